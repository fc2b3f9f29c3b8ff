"""Caliper brake and repeated stops against Shigley, Mechanical Engineering Design (figures from memory, recomputed)."""

import math

import pytest

from bomcheck.car.heat import ceiling, stop_energy
from bomcheck.car.hydraulics import brake_torque

INCH, POUND_FORCE = 25.4, 4.448222
PSI = POUND_FORCE / INCH**2  # MPa
POUND_INCH = POUND_FORCE * INCH / 1000  # N·m


def test_caliper_brake_with_pads_of_108_degrees():
    """ri 3.875, ro 5.50 in, friction 0.37, one 1.5 in cylinder a side, 13 000 lbf·in in all: pa 315.8 psi, F 3 748 lbf,
    p 2 121 psi. Uniform wear; two faces, piston area of one side."""
    inner, outer, friction = 3.875 * INCH, 5.50 * INCH, 0.37
    area, radius = math.pi / 4 * (1.5 * INCH) ** 2, (inner + outer) / 2
    pressure = 2121 * PSI
    assert brake_torque(pressure, area, friction, radius) / POUND_INCH == pytest.approx(13000, rel=0.001)
    force = math.radians(108.0) * 315.8 * PSI * inner * (outer - inner)  # uniform wear
    assert force / POUND_FORCE == pytest.approx(3748, rel=0.001)
    assert force == pytest.approx(pressure * area, rel=0.001)


def test_repeated_stops_of_a_machine():
    """24 an hour from 250 rpm, I 289 lb·in·s², steel disc 6 x 1/4 in, A 50 in², h 12.6e-6: about 209 and 160 °F.

    Heat capacity 0.108 Btu/(lb·°F), density 0.282 lb/in³, air at 70 °F; all heat into the disc. Recomputed 208.6 and 159.3.
    """
    joule_inch_pounds = 9336.0  # in·lbf in one Btu
    speed = 250 * 2 * math.pi / 60
    energy = stop_energy(289.0, speed, 0.0) / joule_inch_pounds  # Btu, with inertia for mass and rad/s for speed
    mass, specific = math.pi / 4 * 36 * 0.25 * 0.282, 0.108
    tau = mass * specific / (12.6e-6 * 50.0)
    rest = ceiling(70.0, energy / (mass * specific), 3600 / 24, tau)
    assert (rest.after, rest.before) == pytest.approx((208.6, 159.3), abs=0.3)
    assert (rest.after, rest.before) == pytest.approx((209, 160), abs=1.0)
