"""The shims that lie at hand serve every true size, with as few as do; unstated or disputed shims are asked for.

Worked out again here by trying every size in steps of 0.01 mm against every stack that the pieces make. No outside source:
shims of one thickness at all screws, at most 4 pieces and 3 mm, centred within 0.5 mm, are common practice.
"""

from collections.abc import Iterable
from dataclasses import replace
from itertools import combinations, combinations_with_replacement
from random import Random

import pytest

from bomcheck.assess import assess
from bomcheck.model.errors import Fault, Place
from bomcheck.model.job import Part
from bomcheck.model.line import ASK
from bomcheck.model.report import Report
from tests.helpers.jobs import finding, good_job

NEAR = 0.5  # mm that a fixed caliper may stand off the rotor's centre
EXACT = {"ear_face_position": (111.0, 0.0), "rotor_plane_position": (42.0, 0.0)}
# Spokes and what the bracket's screws pass far away, so that nothing but the rotor's centre asks for a stack.
FAR = {"wheel_spoke": "60:120; 180:120; 205:120"}


def needing(low: float, high: float, kit: str | None, prices: tuple[Part, ...] = ()) -> Report:
    """A corner whose caliper needs between `low` and `high` of axial shims; it stands that much too far outboard."""
    offset = (-69 + (low + high) / 2, (high - low) / 2)
    job = good_job(**EXACT, **FAR, bracket_offset=offset, shim_sizes_axial=kit)
    return assess(replace(job, prices=prices))


def stacks(pieces: Iterable[float]) -> set[float]:
    """Thicknesses of all stacks of at most 4 of these pieces and at most 3 mm."""
    held = list(pieces)
    made = {round(sum(some), 4) for count in range(5) for some in combinations(held, count)}
    return {thickness for thickness in made if thickness <= 3.0}


def serve(pieces: Iterable[float], low: float, high: float) -> bool:
    """Whether every need finds a stack within NEAR."""
    made = stacks(pieces)
    steps = round((high - low) / 0.01)
    needs = [low + (high - low) * step / max(1, steps) for step in range(steps + 1)]
    return all(any(abs(need - stack) <= NEAR + 1e-6 for stack in made) for need in needs)


def at_hand(report: Report) -> list[float]:
    """The pieces for one screw."""
    found = report.plans["axial"].pieces
    assert found is not None
    return [size for size, count in found for _ in range(count)]


def test_bought_shims_leave_no_gap() -> None:
    """0 to 2.03 needed, one of 2.0 at each screw in the box: with 0.5 and 0.25 beside it 1.37 would be 0.62 from any stack."""
    listed = tuple(Part("shim", f"S{size}", thickness=size, unit_price=0.2) for size in (0.25, 0.5, 1.0))
    report = needing(0.0, 2.03, "2.0x4", listed)
    assert not serve([2.0, 0.5, 0.25], 0.0, 2.03)
    assert serve(at_hand(report), 0.0, 2.03)
    assert len([size for size in at_hand(report) if size != 2.0]) == 1


@pytest.mark.parametrize("seed", range(60))
def test_every_size_is_served_by_as_few_as_do(seed: int) -> None:
    """Random needs, boxes and price lists; fewer bought pieces would leave a size without a stack."""
    dice = Random(seed)
    low = dice.choice([0.0, 0.3, 0.9])
    high = round(low + dice.uniform(0.2, 2.0), 2)
    sizes = sorted(dice.sample([0.2, 0.4, 0.5, 0.8, 1.0, 1.5, 2.0], dice.choice([1, 2])))
    kit = "; ".join(f"{size}x{4 * dice.choice([1, 1, 2])}" for size in sizes)
    listed = dice.sample([0.1, 0.3, 0.6, 1.0, 1.2], 3)
    report = needing(low, high, kit, tuple(Part("shim", f"S{size}", thickness=size, unit_price=0.2) for size in listed))
    plan = report.plans["axial"]
    if plan.pieces is None:
        assert str(finding("caliper_centred", report).verdict) == "not known"
        return
    held = [size for text in kit.split("; ") for size in [float(text.split("x")[0])] * (int(text.split("x")[1]) // 4)]
    mine = at_hand(report)
    assert serve(mine, low, high)
    bought = list(mine)
    for size in held:
        if size in bought:
            bought.remove(size)
    start = [size for size, count in plan.likely.pieces for _ in range(count)]
    for size in held:
        if size in start:
            start.remove(size)
    others = {*sizes, *listed}
    for fewer in combinations_with_replacement(sorted(others), max(0, len(bought) - len(start) - 1)):
        if len(bought) > len(start):
            assert not serve([*held, *start, *fewer], low, high), fewer


def shim_lines(report: Report) -> list[tuple[float, float, str]]:
    """(Needed, to order, status) of the list's lines for shims at the ear."""
    return [
        (line.needed, line.to_order, line.status)
        for line in report.parts
        if line.role == "shim" and "ear" in line.used_at
    ]


def test_unstated_shims_are_asked_for_and_nothing_is_planned() -> None:
    """With the field blank no size of the house is ordered: the line asks, and so does the check."""
    report = needing(0.9, 1.1, None)
    assert shim_lines(report) == [(0, 0, ASK)]
    assert str(finding("caliper_centred", report).verdict) == "not known"


def test_disputed_shims_are_asked_for_and_nothing_is_planned() -> None:
    """Where box and kit's sheet say different numbers neither counts."""
    job = good_job(**EXACT, bracket_offset=(-68.0, 0.1), shim_sizes_axial=None)
    fault = Fault("disagree", Place(), "1.0x8", "the box holds 4", "Count them", "shim_sizes_axial")
    report = assess(replace(job, rejected={"shim_sizes_axial": fault}))
    assert shim_lines(report) == [(0, 0, ASK)]
    assert str(finding("caliper_centred", report).verdict) == "not known"


def test_shims_of_the_other_screw_are_not_planned() -> None:
    """A price list with 1.0 for M10 only: it does not go on the ear's M12, so another size that does is taken."""
    wrong = Part("shim", "W", thickness=0.9, inner_diameter=10.2, unit_price=0.1)
    right = Part("shim", "R", thickness=0.8, inner_diameter=12.2, unit_price=0.3)
    report = needing(0.8, 1.0, "none", (wrong, right))
    assert 0.9 not in at_hand(report)


def test_axial_and_radial_pieces_of_one_size_are_not_mixed() -> None:
    """A box line that says radial does not serve at the ear, even with the same hole."""
    box = (Part("shim", "A", "axial shim 1.0", thickness=1.0, quantity=4.0), Part("shim", "B", "radial shim 1.0", thickness=1.0, quantity=4.0))  # fmt: skip
    job = good_job(**EXACT, bracket_offset=(-68.0, 0.1), shim_sizes_axial="1.0x4", box=box)
    lines = [line for line in assess(job).parts if line.role == "shim" and line.needed and "ear" in line.used_at]
    assert [(line.part_number, line.in_kit) for line in lines] == [("A", 4)]
    only_radial = [
        line for line in assess(replace(job, box=box[1:])).parts if line.role == "shim" and "ear" in line.used_at
    ]
    assert [line.in_kit for line in only_radial] == [0]


def test_pieces_of_one_thickness_with_another_hole_are_two_lines() -> None:
    """1.0 at the ear's M12 and 1.0 under the caliper's M10: two lines of 4, each from its own line of the box, none from the other's."""
    typed = {
        "ear_height": (97.5, 0.0),
        "bracket_rise": (37.0, 0.0),
        "caliper_pad_top": (29.0, 0.0),
        "rotor_diameter": (330.0, 0.0),
    }
    wide = Part("shim", "W", "shim 1.0", thickness=1.0, inner_diameter=12.2, quantity=4.0)
    narrow = Part("shim", "N", "shim 1.0", thickness=1.0, inner_diameter=10.2, quantity=4.0)
    sizes = {"bracket_offset": (-68.0, 0.1), "shim_sizes_axial": "1.0x4", "shim_sizes_radial": "1.0x4"}
    job = good_job(**EXACT, **typed, **sizes, box=(wide, narrow))

    def lines(*box: Part) -> list[tuple[str, float, float, str]]:
        found = [line for line in assess(replace(job, box=box)).parts if line.role == "shim" and line.needed]
        return [(line.used_at, line.needed, line.in_kit, line.part_number) for line in found]

    ear, caliper = "bracket to ear", "caliper to bracket"
    assert lines(wide, narrow) == [(ear, 4, 4, "W"), (caliper, 4, 4, "N")]
    for gone, left in ((ear, narrow), (caliper, wide)):
        assert [(place, there) for place, _, there, _ in lines(replace(left, quantity=8.0))] == [
            (place, 0 if place == gone else 4) for place in (ear, caliper)
        ]


def test_a_listed_shim_for_the_other_joint_is_not_planned() -> None:
    """0.9 on the price list that says radial is not laid at the ear, whatever its hole."""
    listed = (Part("shim", "R", "radial shim 0.9", thickness=0.9, unit_price=0.1), Part("shim", "S", "shim 0.8", thickness=0.8, unit_price=0.3))  # fmt: skip
    assert 0.9 not in at_hand(needing(0.8, 1.0, "none", listed))
