"""Engagement at equal strength against the form of FED-STD-H28."""

import math

import pytest

from bomcheck.model.limits import house_limits
from bomcheck.notation import read_thread
from bomcheck.rules.screw_strength import stress_area


def engagement_of(area: float, diameter: float, pitch: float) -> float:
    """Engagement at equal strength from stress area, diameter and pitch, all in one unit of length (FED-STD-H28, from memory)."""
    return 2.0 * area / (0.5 * math.pi * (diameter - 0.64952 * pitch))


def equal_strength(name):
    """Engagement [mm] at which the screw breaks before its thread strips."""
    thread = read_thread(name)
    return engagement_of(stress_area(thread), thread.diameter, thread.pitch)


def test_worked_example_in_inches():
    """At 0.1 in², d 0.5 in, P 0.1 in: 0.2927 in."""
    assert engagement_of(0.1, 0.5, 0.1) == pytest.approx(0.2927, abs=5e-5)


@pytest.mark.parametrize(("name", "millimetres"), [("M12x1.5", 10.17), ("M14x1.5", 12.18)])
def test_metric_threads(name, millimetres):
    """Recomputed from the form; the published figures come from stress areas rounded to a tenth of a mm²."""
    assert equal_strength(name) == pytest.approx(millimetres, abs=0.01)


@pytest.mark.parametrize(
    "name", ["M8x1.25", "M10x1.25", "M12x1.25", "M12x1.5", "M12x1.75", "M14x1.5", "3/8-24", "7/16-20", "1/2-20"]
)
def test_the_practice_limits_hold_at_least_the_equal_strength_length(name: str) -> None:
    """One diameter in steel (common practice, no source) is never less than FED-STD-H28's length for equal strengths;
    iron and aluminium take more, as their shear strength is less."""
    thread = read_thread(name)
    assert thread is not None
    needed = equal_strength(name)
    steel, iron, aluminium = (
        house_limits()[f"screw_engagement_{metal}"].low or 0.0 for metal in ("steel", "iron", "aluminium")
    )
    assert needed <= steel * thread.diameter < iron * thread.diameter < aluminium * thread.diameter
