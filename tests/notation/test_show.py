"""Values printed for a person."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bomcheck.notation import read_quantity, show_length, show_number


@pytest.mark.parametrize(
    ("mm", "system", "text"),
    [
        (44.45, "metric", "44.45 mm"),
        (44.45, "inch", "1.750 in"),
        (100, "metric", "100 mm"),
        (-0.0001, "metric", "0 mm"),
        (0.8128, "metric", "0.813 mm"),
        (0.8128, "inch", "0.032 in"),
    ],
)
def test_lengths(mm, system, text):
    """Three decimals at most in mm, three always in inches, no minus before a nought."""
    assert show_length(mm, system) == text


def test_other_quantities():
    """Speed is shown as on the speedometer, a share without a unit."""
    assert show_number(100 / 3.6, "m/s") == "100 km/h"
    assert show_number(8, "MPa", "inch") == "1160 psi"
    assert show_number(0.38, "-") == "0.38"


@given(st.floats(-2000, 2000), st.sampled_from(["metric", "inch"]))
def test_what_is_shown_can_be_typed_again(mm, system):
    """And reads to the same length within the digits shown."""
    assert read_quantity(show_length(mm, system), "mm") == pytest.approx(
        mm, abs=0.0005 if system == "metric" else 0.0128
    )
