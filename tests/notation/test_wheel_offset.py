"""Wheel offsets as they are stamped and said. What notations mean: common practice, no source."""

import pytest

from bomcheck.model.errors import Unreadable
from bomcheck.notation import read_wheel_offset


@pytest.mark.parametrize(
    ("typed", "mm"),
    [
        ("ET45", 45),
        ("et 45", 45),
        ("+45", 45),
        ("offset 45", 45),
        ("45P", 45),
        ("12N", -12),
        ("ET-12", -12),
        (45, 45),
        ("?", None),
    ],
)
def test_offsets(typed, mm):
    """Plus is outboard of the rim's middle."""
    assert read_wheel_offset(typed) == mm


def test_a_backspace_needs_the_width():
    """Backspace = (width + 1 in)/2 + offset: 5.5 in on an 8 in rim is 25.4 mm; without the width it is asked."""
    assert read_wheel_offset("5.5 BS", rim_width=8 * 25.4) == pytest.approx(25.4)
    with pytest.raises(Unreadable, match="backspace"):
        read_wheel_offset("5.5 BS")
