"""Strength and torque of inch screws against SAE J429 and a retail torque chart made from it."""

import pytest

from bomcheck.notation import read_thread
from bomcheck.rules.screw_strength import nut_factors, preload, proof_load, strength

KSI, POUND_FORCE, POUND_FOOT = 6.894757, 4.448222, 1.355818

# Retail chart: grade 2, 75 percent of proof, K = 0.2, clamp [lbf] and torque [lb·ft].
CHART = {"1/4-20": (1312, 5.4), "3/8-24": (3622, 22.6), "7/16-20": (4896, 35.7), "1/2-20": (6600, 55.0)}


@pytest.mark.parametrize(("grade", "ksi"), [("grade 2", 55), ("grade 5", 85), ("grade 8", 120)])
def test_proof_stress(grade, ksi):
    """SAE J429, table 1, up to 3/4 in."""
    assert strength(grade, 12.7)[0] == pytest.approx(ksi * KSI, rel=0.001)


@pytest.mark.parametrize("name", CHART)
def test_torque_chart(name):
    """Clamp and torque of the chart within 1.5 percent."""
    thread, (clamp, torque) = read_thread(name), CHART[name]
    found = 0.75 * proof_load(thread, "grade 2") * thread.diameter * nut_factors()["dry"] / 1000
    assert found / POUND_FOOT == pytest.approx(torque, rel=0.015)
    assert preload(found, thread.diameter, 0.2) / POUND_FORCE == pytest.approx(clamp, rel=0.015)
