"""Where a size comes from decides its interval where no ± is typed."""

import pytest

from bomcheck.tables.fields import fields
from bomcheck.tables.sources import default_source, general_tolerance, usual_interval


@pytest.mark.parametrize(
    ("size", "fine", "medium"),
    [
        (2.0, 0.05, 0.1),
        (6.0, 0.05, 0.1),
        (6.1, 0.1, 0.2),
        (30.0, 0.1, 0.2),
        (66.6, 0.15, 0.3),
        (120.0, 0.15, 0.3),
        (330.0, 0.2, 0.5),
    ],
)
def test_general_tolerances(size: float, fine: float, medium: float) -> None:
    """Source: ISO 2768-1:1989 table 1 (from memory)."""
    assert (general_tolerance(size, "fine"), general_tolerance(size, "medium")) == (fine, medium)


def test_a_kit_sheet_bore_is_taken_as_turned() -> None:
    """66.60 on the kit's sheet is 66.60 to 66.65; on a pilot of 66.50 ±0.02 the clearance is 0.08 to 0.17, inside 0.02 to 0.20.

    Common practice, no source.
    """
    bore, pilot = fields()["hat_bore"], fields()["hub_pilot_diameter"]
    moved, half = usual_interval(bore, default_source(bore), 66.60)
    low, high = 66.60 + moved - half, 66.60 + moved + half
    assert (low, high) == pytest.approx((66.60, 66.65))
    pilot_half = usual_interval(pilot, default_source(pilot), 66.50)[1]
    assert (low - 66.50 - pilot_half, high - 66.50 + pilot_half) == pytest.approx((0.08, 0.17))


def test_a_customers_word_is_wide() -> None:
    """Three times the usual ±, at least 1 mm: common practice, no source."""
    ear = fields()["ear_face_position"]
    assert usual_interval(ear, "customer", 40.0) == (0.0, 1.0)
    assert usual_interval(ear, "measured", 40.0) == (0.0, ear.plus_minus)
    assert usual_interval(ear, "catalogue", 40.0) == (0.0, 0.3)
