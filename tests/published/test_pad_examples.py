"""Annular pads against two worked examples on public pages (uniform wear), the one- or two-face convention stated in each."""

import math

import pytest

from bomcheck.car.hydraulics import brake_torque, pressure_from

INCH, POUND_FORCE = 25.4, 4.448222
PSI, POUND_INCH = POUND_FORCE / INCH**2, POUND_FORCE * INCH / 1000


def test_pad_of_45_degrees():
    """ro 6, ri 4 in, friction 0.4, 100 psi: 628.3 lbf; two faces 2 513.3 lbf·in."""
    force = math.radians(45.0) * 100 * PSI * 4 * INCH * 2 * INCH
    assert force / POUND_FORCE == pytest.approx(628.3, rel=1e-3)
    assert brake_torque(1.0, force, 0.4, 5 * INCH) / POUND_INCH == pytest.approx(2513.3, rel=1e-3)


def test_pad_of_60_degrees():
    """10 and 5 in across, friction 0.2, 200 psi: 1 309 lbf; one face 982 lbf·in."""
    force = math.radians(60.0) * 200 * PSI * 2.5 * INCH * 2.5 * INCH
    assert force / POUND_FORCE == pytest.approx(1309, rel=1e-3)
    assert brake_torque(1.0, force, 0.2, 3.75 * INCH, faces=1) / POUND_INCH == pytest.approx(982, rel=1e-3)


def test_lever_and_areas():
    """Lever 3:1, areas 1:4: 10 N become 120 N; 120 mm at the pedal become 10 mm at the pad (worked example)."""
    bore = 20.0
    small, large = 3.14159265 / 4 * bore**2, 3.14159265 * bore**2
    assert pressure_from(10.0, bore, 3.0) * large == pytest.approx(120.0)
    assert 120.0 / 3.0 * small / large == pytest.approx(10.0)
