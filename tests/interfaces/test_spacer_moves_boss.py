"""A spacer between ear and bracket moves the bracket's boss, head and tip by its thickness, whatever the shims do."""

from dataclasses import replace

import pytest

from bomcheck.engine.inputs import Inputs
from bomcheck.engine.settle import settle
from bomcheck.model.job import Job, Value
from bomcheck.rules import all_checks
from bomcheck.rules.derived import DERIVATIONS
from tests.helpers.jobs import good_job


def boss(joint: str, side: str, spacer: float) -> float:
    """Middle of the boss's face [mm] with the bracket's offset counted with the spacer."""
    all_checks()
    push = 1.0 if side == "inboard" else -1.0
    job = good_job(axial_shim_joint=joint, ear_side=side, bracket_spacer_thickness=spacer, caliper_lug_side=side)
    offset = job.values["bracket_offset"]
    values = {key: replace(value, plus_minus=0.0) for key, value in job.values.items()}
    job = Job({**values, "bracket_offset": Value("bracket_offset", offset.value + push * spacer)})
    return Inputs(settle(job), DERIVATIONS).number("boss_face")


@pytest.mark.parametrize("joint", ["ear", "lug"])
@pytest.mark.parametrize(("side", "moved"), [("inboard", 4.0), ("outboard", -4.0)])
def test_by_its_thickness(joint: str, side: str, moved: float) -> None:
    """A spacer of 4 mm on the inboard face of the ear puts the boss 4 mm further inboard; on the other, outboard.

    With shims at the ear the boss stands where the centred caliper puts it: rotor plane less the offset of bracket and
    spacer, plus the spacer. The offset grows by the spacer's 4 mm, so the boss does not move; the spacer takes the place of
    shims. Without shims at the ear (lug) the whole 4 mm show.
    """
    shown = boss(joint, side, 4.0) - boss(joint, side, 0.0)
    assert shown == pytest.approx(moved if joint == "lug" else 0.0, abs=2.1 if joint == "ear" else 1e-9)
