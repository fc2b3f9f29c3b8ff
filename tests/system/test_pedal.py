"""Pedal, booster, master cylinder and fluid."""

import math

import pytest

from bomcheck.car.hydraulics import circuit_fluid, pedal_force, pressure_from, stroke


@pytest.mark.parametrize("pressure", [0.5, 3.9, 7.99, 8.0, 8.01, 12.0])
def test_force_and_pressure_are_the_same_relation_both_ways(pressure):
    """Below, at and beyond the booster's run-out."""
    force = pedal_force(pressure, 22.2, 4.0, 5.0, 8.0, 0.9)
    assert pressure_from(force, 22.2, 4.0, 5.0, 8.0, 0.9) == pytest.approx(pressure)


def test_beyond_run_out_the_foot_makes_the_rest_alone():
    """One MPa more takes as much more force as without a booster."""
    more = pedal_force(10.0, 22.2, 4.0, 5.0, 8.0) - pedal_force(9.0, 22.2, 4.0, 5.0, 8.0)
    assert more == pytest.approx(pedal_force(1.0, 22.2, 4.0))


def test_a_fixed_and_a_sliding_caliper_of_one_area_take_the_same_fluid():
    """Fixed: both sides' pistons move one clearance. Sliding: one side's pistons move two. Counted out piece by piece."""
    area, clearance = math.pi / 4 * 40.0**2, 0.2
    fixed = 2 * (area * clearance + area * clearance)
    sliding = 2 * (area * 2 * clearance)
    assert circuit_fluid(area, clearance, 0.0, 0.0, 0.0, 8.0).total == pytest.approx(fixed) == pytest.approx(sliding)


def test_entering_both_sides_doubles_the_fluid_for_the_clearance():
    """The slip that makes a pedal seem long."""
    one = circuit_fluid(1257.0, 0.2, 60.0, 120.0, 400.0, 8.0)
    both = circuit_fluid(2 * 1257.0, 0.2, 60.0, 120.0, 400.0, 8.0)
    assert both.pads == pytest.approx(2 * one.pads)
    assert (both.calipers, both.hoses) == (one.calipers, one.hoses)


def test_the_stroke_holds_the_fluid():
    """Area times stroke beyond the ports is the volume."""
    assert (stroke(3000.0, 20.0, 1.5) - 1.5) * math.pi * 100.0 == pytest.approx(3000.0)
