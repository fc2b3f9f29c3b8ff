"""Stages of a torque as they are printed. 1 lb·in = 0.112 984 8 N·m, 1 lb·ft = 1.355 818 N·m: NIST SP 811."""

import re

import pytest

from bomcheck.rules.screw_strength import both_units, stages_said

FACTOR = {"lb·in": 0.1129848, "lb·ft": 1.355818}


@pytest.mark.parametrize("last", [5.0, 29.9, 30.1, 104.4, 200.0])
@pytest.mark.parametrize("system", ["inch", "metric"])
def test_both_units_say_the_same_torques(last, system):
    """Figure by figure within what rounding takes, the last one alike to the figure of the table."""
    said = stages_said((last / 2, last), system)
    unit = next(unit for unit in FACTOR if unit in said)
    inch = next(part for part in re.split(r"[()]", said) if unit in part)
    metric = next(part for part in re.split(r"[()]", said) if "N·m" in part)
    pounds, newtons = (list(map(float, re.findall(r"[\d.]+", part))) for part in (inch, metric))
    for pound, newton in zip(pounds, newtons, strict=True):
        assert pound * FACTOR[unit] == pytest.approx(newton, abs=0.51 * FACTOR[unit] + 0.06)
    assert said.startswith(inch if system == "inch" else metric)
    assert f"{pounds[-1]:.0f} {unit}" in both_units(last)
