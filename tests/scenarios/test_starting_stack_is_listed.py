"""The stack that the fitter starts with can be made of what the parts list counts."""

import pytest

from bomcheck.assess import assess
from bomcheck.io.read.job import read_job
from bomcheck.model.demand import scope_of
from bomcheck.model.line import SURPLUS
from bomcheck.model.shipped import folder

SCREWS = 2
DEMOS = sorted(folder("demo_workbooks").glob("*.xlsx"))


@pytest.mark.parametrize("demo", DEMOS, ids=lambda path: path.stem)
def test_every_piece_of_the_starting_stack_is_counted(demo) -> None:
    """Each size of the stack to start with, and of the thickest one, as often as it stands at each screw of each corner."""
    report = assess(read_job(demo)[0])
    listed = [line for line in report.parts if line.role == "shim" and line.status != SURPLUS]
    for name, plan in report.plans.items():
        for thickness, count in (*plan.likely.pieces, *plan.most.pieces):
            needed = sum(line.needed for line in listed if _holds(line.key, thickness))
            assert needed >= count * SCREWS * scope_of(report.job).count, (name, thickness)


def _holds(key: str, thickness: float) -> bool:
    """Whether a line's name says this thickness; a line that asks for the shims says none."""
    said = key.rpartition(", ")[2]
    return said.replace(".", "", 1).isdigit() and abs(float(said) - thickness) < 0.005
