"""Barrels, spokes and outlines with a wide ±, of every form side by side: screening says of each pair what its check says.

Invented sizes round a corner that fits; common practice, no source.
"""

import random
from collections import Counter
from typing import Any

import numpy as np
import pytest

from bomcheck.screen.world import World
from bomcheck.tables.fields import section_fields
from tests.helpers import jobs
from tests.screen.table_rows import rows
from tests.screen.test_equal_to_check import _agree

PAIRS = 120
Row = dict[str, Any]
WHEEL = ("ear_height", "bracket_rise", "bracket_offset", "rotor_plane_position", "hat_flange_thickness", "caliper_body_height",
         "caliper_width_outboard", "caliper_width_inboard", "caliper_pad_top", "rotor_diameter", "wheel_weight_thickness")  # fmt: skip
HALVES = (None, None, 0.0, 0.02, 0.2, 0.5, 1.0, 3.0, 6.0)


def _nearly(draw: random.Random, key: str, typed: Any, wide: bool) -> Any:
    """A size near the good one with some ±, often a wide one; any other entry as it is."""
    stated, half = typed if isinstance(typed, tuple) else (typed, None)
    if not isinstance(stated, float):
        return typed
    if key in WHEEL:
        stated = round(stated + draw.choice((0, 0, 0.1, -0.1, 0.5, -0.5, 2, -2)), 2)
        half = draw.choice(HALVES) if wide else half
    return stated if half is None else (stated, half)


def _row(draw: random.Random, name: str, sections: tuple[str, ...], wide: bool) -> Row:
    keys = [field.key for section in sections for field in section_fields(section)]
    base = {**jobs.GOOD, "vehicle_label": name, "kit_number": name}
    return {key: _nearly(draw, key, base[key], wide) for key in keys if key in base and draw.random() > 0.003}


def _corner(draw: random.Random, number: int, wide: bool) -> Row:
    size = draw.choice((195, 200, 203, 206, 215))
    first, middle, last = draw.choice((0, -20, 10)), draw.choice((40, 60)), draw.choice((80, 120, 150))
    barrel = f"{first}:{size + draw.choice((0, 5, 2))}; {middle}:{size - draw.choice((4, 0, -3))}; {last}:{size - draw.choice((0, 4, 10))}"
    spoke = f"60:{draw.choice((40, 30))}; 180:{draw.choice((20, 30, 10))}; {draw.choice((190, 205, 230))}:{draw.choice((16, 4, 25))}"
    row = _row(draw, f"corner {number}", ("job", "corner", "system"), wide)
    row |= {"wheel_barrel": (barrel, draw.choice((0.0, 0.5, 2.0, 6.0))), "vehicle_label": f"corner {number}"}
    return row | {"wheel_spoke": (spoke, draw.choice((0.0, 0.5, 2.0, 5.0)))}


def _kit(draw: random.Random, number: int, wide: bool) -> Row:
    row = _row(draw, f"kit {number}", ("kit",), wide) | {"kit_number": f"kit {number}"}
    if draw.random() < 0.5:
        outline = f"-{draw.choice((48, 52))}:{draw.choice((50, 60))}; 0:{draw.choice((58, 64))}; {draw.choice((50, 60))}:{draw.choice((50, 40))}"
        row["caliper_envelope"] = (outline, draw.choice((0.0, 0.5, 2.0)))
    if draw.random() < 0.3:
        row["shim_sizes_radial"] = draw.choice(("0.5x16", "1.0x8; 0.5x8; 0.25x8"))
    if draw.random() < 0.2:
        row["caliper_mount"] = "axial lug"
    if draw.random() < 0.2:
        row["caliper_build"] = "sliding"
    return row


@pytest.mark.parametrize("part", range(4))
def test_wheels_of_every_form(part: int) -> None:
    """480 pairs: a caliper with an outline beside one without, tables that end too early, and ± up to 6 mm."""
    draw = random.Random(f"wheels {part}")
    wide = [draw.random() < 0.6 for _ in range(PAIRS)]
    corners = [_corner(draw, number, wide[number]) for number in range(PAIRS)]
    kits = [_kit(draw, number, wide[number]) for number in range(PAIRS)]
    lanes = np.arange(PAIRS)
    found = _agree(World(rows("corners", corners), rows("kits", kits)), lanes, lanes)
    decides = Counter(one.check for one in found)
    assert decides["caliper_in_wheel"] >= 10
    assert len({one.verdict for one in found}) >= 3
