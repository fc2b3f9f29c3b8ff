"""Figures of the system findings as they are printed: percent, g, degrees; metric and inch jobs.

1 lbf = 4.4482216152605 N, 1 psi = 6 894.757 Pa, 1 ft = 0.3048 m, 1 in = 25.4 mm, 1 lbf·ft = 1.355 818 N·m,
g = 9.80665 m/s², °F = 1.8 °C + 32: NIST SP 811, appendix B.
"""

import pytest

from bomcheck.assess import assess
from bomcheck.car.figures import limit_shown, one, shown
from bomcheck.model.box import Range
from bomcheck.model.limits import Limit
from tests.system.cars import car, found

PAIRS = [
    (500.0, "N", "112 lbf (500 N)"),  # 500 / 4.4482216 = 112.4
    (1000.0, "N·m", "738 lb·ft (1000 N·m)"),  # 1000 / 1.355818 = 737.6
    (6.8, "MPa", "986 psi (6.8 MPa)"),  # 6.8e6 / 6894.757 = 986.3
    (100.0, "°C", "212 °F (100 °C)"),
    (0.0, "°C", "32 °F (0 °C)"),
    (70.0, "m", "230 ft (70 m)"),  # 70 / 0.3048 = 229.7
    (8.82599, "m/s²", "0.90 g (29.0 ft/s²)"),  # 0.9 x 9.80665; / 0.3048 = 28.96
    (16.387064, "mL", "1.00 in³ (16.4 mL)"),  # 25.4³ mm³
    (645.16, "mm²", "1.00 in²"),
    (25.4, "mm", "1.00 in"),
]


@pytest.mark.parametrize(("value", "unit", "text"), PAIRS)
def test_an_inch_job_has_its_own_units_first(value: float, unit: str, text: str) -> None:
    """And the metric one in brackets where both are usual."""
    assert one(value, unit, "inch") == text


@pytest.mark.parametrize(
    ("value", "unit", "key", "system", "text"),
    [
        (Range(0.07, 0.14, 0.21), "-", "best_stop_loss", "metric", "14 % (7 to 21)"),
        (Range(0.92, 1.09, 1.26), "-", "master_stroke", "metric", "109 % (92 to 126)"),
        (Range(-0.04, -0.02, 0.01), "-", "lock_order", "metric", "-2 points (-4 to 1)"),
        (Range(0.77, 0.79, 0.82), "-", "grip_front", "metric", "0.79 (0.77 to 0.82)"),
        (Range(82.0, 91.0, 101.0), "K", "single_stop", "metric", "91 °C hotter (82 to 101)"),
        (Range(-84.0, 9.0, 85.0), "K", "fluid_margin", "metric", "9 °C in hand (-84 to 85)"),
        (Range(50.0, 100.0, 150.0), "K", "single_stop", "inch", "180 °F hotter (90 to 270; 100 °C)"),
        (Range(7.7, 8.2, 8.7), "m/s²", "best_stop", "metric", "0.84 g (0.79 to 0.89; 8.2 m/s²)"),
        (Range(-0.001, -0.001, -0.001), "-", "front_share", "metric", "0 %"),
        (Range(0.0, 0.0, 0.0), "MPa", "residual_valve", "metric", "0 MPa"),
    ],
)
def test_ranges(value: Range, unit: str, key: str, system: str, text: str) -> None:
    """A rise takes no 32 °F; what rounds to nothing has no sign."""
    assert shown(value, unit, system, key) == text


@pytest.mark.parametrize(
    ("low", "high", "unit", "system", "key", "text"),
    [
        (None, 500.0, "N", "metric", "", "at most 500 N"),
        (None, 500.0, "N", "inch", "", "at most 112 lbf (500 N)"),
        (None, 0.65, "-", "metric", "master_stroke", "at most 65 %"),
        (25.0, None, "K", "metric", "fluid_margin", "at least 25 °C in hand"),
        (-0.05, 0.05, "-", "metric", "front_share", "-5 to 5 %"),
        (10.0, 700.0, "°C", "inch", "pad_window", "50 to 1292 °F (10 to 700 °C)"),
    ],
)
def test_limits(low: float | None, high: float | None, unit: str, system: str, key: str, text: str) -> None:
    """In the same units as the figures that are held against them."""
    assert limit_shown(Limit("x", "x", low, high, unit, "x"), system, key) == text


def test_the_values_stay_in_internal_units() -> None:
    """An inch job finds the same as a metric one; only the sentences differ."""
    metric, inch = found(car()), found(car(units="inch"))
    assert list(metric) == list(inch)
    for key, one_finding in metric.items():
        other = inch[key]
        assert (one_finding.before, one_finding.value, one_finding.unit) == (other.before, other.value, other.unit)
        assert one_finding.verdict == other.verdict
    assert metric["pedal_force"].said.endswith("should be at most 500 N")
    assert inch["pedal_force"].said.endswith("should be at most 112 lbf (500 N)")


def test_the_next_master_cylinder_of_an_inch_job_is_named_once_in_inches() -> None:
    """A bore that is stamped in both units: "1-1/8 in", not "1.126 in (1-1/8 in)"; the part asked for is the same."""
    strong = {"caliper_bores": (46.0, 42.0, 38.0), "pad_friction": 0.50, "rotor_diameter": 355.0, "master_bore": 22.225}
    said = {}
    for units in ("metric", "inch"):
        report = assess(car(0.3, **strong, units=units))
        (line,) = (line for line in report.parts if line.role == "master cylinder")
        said[units] = f"{line.spec} {line.description} {line.reason}"
    assert "28.6 mm (1-1/8 in) bore" in said["metric"]
    assert "1-1/8 in bore" in said["inch"]
    assert "mm" not in said["inch"]
    assert "1.12" not in said["inch"]
