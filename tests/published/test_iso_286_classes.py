"""ISO 286-1 classes worked out from the formula, against an independent package and rows printed in ISO 286-2."""

import pressfit
import pytest

from bomcheck.notation.tolerance import class_limits

SIZES = (2.0, 5.0, 8.0, 15.0, 25.0, 40.0, 66.6, 100.0, 150.0, 220.0, 280.0, 350.0, 450.0)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("grade", range(5, 12))
def test_grades(size: float, grade: int) -> None:
    """Source: the package pressfit, which tables ISO 286-1 on its own."""
    low, high = class_limits(size, "h", grade)
    assert round((high - low) * 1000) == pressfit.it_value(size, grade)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("letter", "defg")
def test_deviations(size: float, letter: str) -> None:
    """Source: the package pressfit."""
    assert round(class_limits(size, letter, 7)[1] * 1000) == pressfit.shaft_deviation(size, letter, 7)


@pytest.mark.parametrize(
    ("size", "letter", "grade", "low", "high"),
    [
        (54.1, "H", 9, 0.0, 0.074),
        (54.1, "h", 8, -0.046, 0.0),
        (66.6, "H", 7, 0.0, 0.030),
        (66.6, "h", 6, -0.019, 0.0),
        (72.6, "g", 6, -0.029, -0.010),
        (40.0, "js", 7, -0.0125, 0.0125),
        (60.0, "F", 8, 0.030, 0.076),
        (12.0, "h", 9, -0.043, 0.0),
    ],
)
def test_printed_rows(size: float, letter: str, grade: int, low: float, high: float) -> None:
    """Source: ISO 286-2 tables (54.1 H9/h8 0..0.120, 66.6 H7/h6 0..0.049, 72.6 H7/g6 0.010..0.059; the rest from memory)."""
    assert class_limits(size, letter, grade) == pytest.approx((low, high), abs=1e-9)
