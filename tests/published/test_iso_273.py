"""Clearance holes of ISO 273:1979 and what the checks say of them: fine and medium pass, coarse does not unless the shop's own limit
allows it. Figures seen in public tables; those of ASME B18.2.8 from memory."""

import pytest

from bomcheck.model.verdict import Verdict
from bomcheck.notation import read_thread
from bomcheck.rules.joint_table import hole_row
from tests.helpers.jobs import assessed, finding

# thread -> (fine, medium, coarse) [mm]
SERIES = {
    "M8x1.25": (8.4, 9.0, 10.0), "M10x1.5": (10.5, 11.0, 12.0), "M12x1.75": (13.0, 13.5, 14.5), "M14x2.0": (15.0, 15.5, 16.5),
    "M16x2.0": (17.0, 17.5, 18.5),
}  # fmt: skip
INCH = {"3/8-24": (0.391, 0.406), "1/2-20": (0.531, 0.562)}  # close and normal fit [in]


def hole(thread: str, size: float, half: float = 0.0, **changes):
    """The finding on a hole of the bracket at the ear."""
    report = assessed(bracket_screw_thread=thread, ear_thread=thread, bracket_ear_hole_diameter=(size, half), **changes)
    return finding("screw_in_bracket_hole", report)


@pytest.mark.parametrize("thread", SERIES)
def test_fine_and_medium_pass_and_coarse_does_not(thread):
    """No sleeves for a normal hole."""
    fine, medium, coarse = SERIES[thread]
    assert hole(thread, fine).verdict is Verdict.FITS
    assert hole(thread, medium, 0.1).verdict is Verdict.FITS
    assert hole(thread, coarse).verdict is Verdict.FITS_WITH_PARTS


@pytest.mark.parametrize("thread", INCH)
def test_inch_close_and_normal_fits_pass(thread):
    """ASME B18.2.8."""
    for inches in INCH[thread]:
        assert hole(thread, inches * 25.4).verdict is Verdict.FITS


def test_just_inside_just_outside_and_across():
    """M12 medium drilled to H13: 13.5 + 0.27 = 13.77."""
    assert hole("M12x1.75", 13.76).verdict is Verdict.FITS
    assert hole("M12x1.75", 13.78).verdict is Verdict.FITS_WITH_PARTS
    assert hole("M12x1.75", 13.77, 0.05).verdict is Verdict.NOT_KNOWN
    assert hole("M12x1.75", 11.99).verdict is Verdict.NEEDS_MACHINING
    assert hole("M12x1.75", 12.0).verdict is Verdict.FITS


def test_the_shop_s_own_limit_lets_coarse_holes_through():
    """A house that allows 2.6 mm over an M12 gets no sleeves."""
    assert hole("M12x1.75", 14.4, limits={"ear_hole": (0.0, 2.6)}).verdict is Verdict.FITS


def test_the_table_is_the_standard_s():
    """The rows that ship."""
    for thread, (fine, medium, coarse) in SERIES.items():
        found = read_thread(thread)
        assert found is not None
        row = hole_row(found.diameter)
        assert (float(row["fine"]), float(row["medium"]), float(row["coarse"])) == (fine, medium, coarse)
