"""Three stages of knowing a car: most is settled on the telephone by the kit maker's list, all but a little once it is measured.

The shares asked for are the project's own; the five cars are invented.
"""

from pathlib import Path

import pytest

from bomcheck.io.read.job import read_job
from bomcheck.model.shipped import folder
from tests.helpers.stages import CARS, settled, stages


@pytest.mark.parametrize(("stage", "least"), [("phone", 0.80), ("car measured", 0.90), ("all measured", 0.98)])
def test_share_that_is_settled(stage: str, least: float) -> None:
    """Over five cars, of the checks that apply."""
    found = [settled(stages(read_job(Path(folder("demo_workbooks")) / f"{car}.xlsx")[0])[stage]) for car in CARS]
    assert sum(done for done, _ in found) >= least * sum(of for _, of in found)
