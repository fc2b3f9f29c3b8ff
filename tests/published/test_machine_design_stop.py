"""A 1 000 kg car stopped with its turning parts, against stored output of a machine-design text's program (chapter 12)."""

import pytest

from bomcheck.car.heat import stop_energy


def test_energy_and_torque_per_brake():
    """100 km/h, 0.5 g, r 0.35 m, four wheels of 0.5 kg·m², engine 2.5 kg·m² geared 5:1: 147 235 J and 655.17 N·m a brake.

    The turning parts enter as a factor on the car's mass; torque = energy / angle turned while stopping. g = 9.81.
    """
    speed, radius = 100 / 3.6, 0.35
    turning = (4 * 0.5 + 2.5 * 5.0**2) / radius**2
    energy = stop_energy(1000.0, speed, 0.0, 1 + turning / 1000.0) / 4
    assert energy == pytest.approx(147235, rel=1e-4)
    distance = speed**2 / (2 * 0.5 * 9.81)
    assert energy / (distance / radius) == pytest.approx(655.17, rel=1e-4)
