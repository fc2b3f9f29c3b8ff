"""Clearance holes of ISO 273 (seen): fine, medium and coarse, in mm, against the ear-hole check's 0 to 0.6 mm.

The house limit takes the fine series and, for M10, nothing coarser: brackets are drilled closer than general engineering.
"""

import pytest

from bomcheck.assess import assess
from bomcheck.model.verdict import Verdict
from tests.helpers.jobs import finding, good_job

HOLES = {
    "M8x1.25": (8.4, 9.0, 10.0),
    "M10x1.5": (10.5, 11.0, 12.0),
    "M12x1.75": (13.0, 13.5, 14.5),
    "M14x2.0": (15.0, 15.5, 16.5),
}


@pytest.mark.parametrize("thread", HOLES)
def test_ear_hole_against_the_series(thread: str) -> None:
    """A hole fits exactly where ISO 273's diameter minus the nominal one is at most 0.6."""
    nominal = float(thread[1:].split("x")[0])
    for hole in HOLES[thread]:
        job = good_job(bracket_screw_thread=thread, bracket_ear_hole_diameter=(hole, 0.0))
        fits = finding("screw_in_bracket_hole", assess(job)).verdict is Verdict.FITS
        assert fits is (hole - nominal <= 0.6 + 1e-9), (thread, hole)


def test_the_fine_series_of_the_small_sizes_fits() -> None:
    """M8 in 8.4 and M10 in 10.5 are fine holes that pass; M12 in 13 is 1.0 loose and does not."""
    passes = {thread: holes[0] - float(thread[1:].split("x")[0]) <= 0.6 for thread, holes in HOLES.items()}
    assert passes == {"M8x1.25": True, "M10x1.5": True, "M12x1.75": False, "M14x2.0": False}
