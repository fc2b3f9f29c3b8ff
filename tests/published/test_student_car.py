"""The chain from pedal to clamp of a student car, against its published report."""

import pytest

from bomcheck.car.hydraulics import brake_torque, one_side_area, pedal_force


def test_from_pedal_to_wheel():
    """Wheel torque 62.63 N·m at re 82.5 mm and friction 0.4: clamp 1 897.8 N, two pistons of 20 mm: 3.022 MPa, master 20 mm,
    pedal 5:1: 189.8 N. The report counts one face and takes pi as 3.14."""
    area = one_side_area((20.0, 20.0))
    pressure = 3.022
    assert pressure * area == pytest.approx(1897.8, rel=1e-3)
    assert brake_torque(pressure, area, 0.4, 82.5, faces=1) == pytest.approx(62.63, rel=1e-3)
    assert pedal_force(pressure, 20.0, 5.0) == pytest.approx(189.8, rel=1e-3)
