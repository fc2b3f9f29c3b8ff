"""Front share, lock order and a whole stop against textbooks (figures from memory, recomputed)."""

import pytest

from bomcheck.car.balance import (
    Brakes,
    G,
    Loads,
    best_deceleration,
    ideal_front_share,
    locking_deceleration,
    stopping_distance,
)
from bomcheck.car.heat import rotor_rise, stop_energy

FOOT, POUND, POUND_FORCE = 0.3048, 0.45359237, 4.448222
BTU = 1055.056


def test_highway_engineering_text():
    """L 100, lf 40, lr 60, h 24 in, road grip 0.6, rolling 0.014: front share 74.7 percent, ratio 2.96."""
    share = ideal_front_share(60 / 100, 24 / 100, 0.6 + 0.014)
    assert share == pytest.approx(0.747, abs=5e-4)
    assert share / (1 - share) == pytest.approx(2.96, rel=0.005)


@pytest.mark.parametrize(("grip", "front_first"), [(0.8, False), (0.2, True)])
def test_wong_theory_of_ground_vehicles(grip, front_first):
    """21.24 kN, L 2.87, lf 1.27, h 0.508 m, 60 percent in front: rear first on 0.8, front first on 0.2."""
    loads = Loads(21240 / G, (2.87 - 1.27) / 2.87, 0.508 / 2.87)
    front, rear = locking_deceleration(Brakes(600.0, 400.0), loads, grip)
    assert (front < rear) is front_first
    assert best_deceleration(Brakes(600.0, 400.0), loads, grip) <= grip * G


def test_gillespie_example_3_1():
    """3 635 lb, 60 mph, 2 000 lb of force: 17.72 ft/s², 218.6 ft, 4.97 s, 437 100 ft·lb."""
    mass, speed = 3635 * POUND, 88 * FOOT
    deceleration = 2000 * POUND_FORCE / mass
    assert deceleration / FOOT == pytest.approx(17.72, rel=2e-3)
    assert stopping_distance(speed, deceleration) / FOOT == pytest.approx(218.6, rel=2e-3)
    assert speed / deceleration == pytest.approx(4.97, rel=2e-3)
    assert stop_energy(mass, speed, 0.0) / (FOOT * POUND_FORCE) == pytest.approx(437100, rel=2e-3)


def test_published_rotor_rise():
    """3 000 lb from 60 mph into four rotors of 10 lb, c 0.130 Btu/(lb·°F): 469.7 Btu and +90.3 °F.

    The source takes all heat into the rotors; its energy differs from ½ m v² by 1.3 percent, so the rise is compared with
    its own energy and the energy within 1.5 percent.
    """
    assert stop_energy(3000 * POUND, 88 * FOOT, 0.0) / BTU == pytest.approx(469.7, rel=0.015)
    assert rotor_rise(469.7, 0.5, 1.0, 10.0, 0.130) == pytest.approx(90.3, rel=1e-3)
