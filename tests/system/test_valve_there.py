"""The valve in the rear line: a new one, the one that is there, and what is said where none was tried."""

import re

import pytest

from bomcheck.car.checks import BAD, LOOK, word
from tests.system.cars import car, found

REAR = {
    "axle": "rear", "caliper_bores": (36.0, 30.0), "pad_friction": 0.40, "rotor_diameter": 310.0, "pad_height": 45.0,
    "front_mass_share": 0.50, "present_front_bores": (60.0,),
}  # fmt: skip
TOO_STRONG = {**REAR, "caliper_bores": (46.0, 42.0, 38.0), "pad_friction": 0.55, "rotor_diameter": 355.0}
MPA = re.compile(r"begin at about ([\d.]+) MPa")


def _lock(halves=0.2, **changed):
    return found(car(halves, **changed))["lock_order"]


def test_a_pressure_stands_in_both_units_side_by_side():
    """Bracket in no bracket, the job's unit first. 1 MPa = 145.04 psi: NIST SP 811."""
    metric, inch = _lock(**REAR), _lock(**REAR, units="inch")
    pressure, psi = map(float, re.search(r"about ([\d.]+) MPa \((\d+) psi\)", metric.do).groups())
    assert psi == pytest.approx(pressure * 145.04, abs=0.05 * 145.04 + 0.5)
    assert re.search(r"about \d+ psi \([\d.]+ MPa\)", inch.do)
    for told in (metric, inch):
        assert not re.search(r"\([^)]*\(", told.do)


def test_a_valve_that_begins_too_late_is_set_again():
    """The pressure that is named is tried: the car with it is in order at the sizes as stated, without ±."""
    late = {**REAR, "rear_valve_knee": 9.0, "rear_valve_slope": 0.4}
    told = _lock(0.0, **late)
    assert word(told) == BAD
    assert not told.demands
    assert told.do.startswith("Set the valve that is there")
    assert "instead of 9.0 MPa" in told.do
    knee = float(MPA.search(told.do).group(1))
    assert _lock(0.0, **{**late, "rear_valve_knee": knee - 0.06}).value.middle >= 0
    assert _lock(0.0, **{**late, "rear_valve_knee": knee + 0.3}).value.middle < 0


def test_a_valve_that_holds_back_too_little_gives_way_to_one_that_does():
    """A slope of 0.95 cures nothing at any setting; an adjustable one of the usual slope does and is demanded."""
    told = _lock(0.0, **REAR, rear_valve_knee=9.0, rear_valve_slope=0.95)
    assert "in place of the one that is there" in told.do
    assert [part.role for part in told.demands] == ["proportioning valve"]


@pytest.mark.parametrize("valve", [{}, {"rear_valve_knee": 3.0, "rear_valve_slope": 0.6}])
def test_where_nothing_was_tried_nothing_is_claimed(valve):
    """The rear locks first from the softest stop on: no valve begins so early."""
    told = _lock(**TOO_STRONG, **valve)
    assert word(told) == BAD
    assert "alone" not in told.do
    assert "before a valve could begin" in told.do


@pytest.mark.parametrize("blank", [{"design_deceleration": None}, {}])
def test_the_valve_does_not_wait_for_the_stop_asked_for(blank):
    """Where the rear locks first has nothing to do with the stop that the customer asks for."""
    assert [part.role for part in _lock(**{**REAR, **blank}).demands] == ["proportioning valve"]


@pytest.mark.parametrize(
    ("bores", "valve"),
    [((30.0, 28.0), {}), ((36.0, 30.0), {"rear_valve_knee": 3.0, "rear_valve_slope": 0.4})],
)
def test_in_order_as_stated_asks_for_closer_sizes(bores, valve):
    """Only the ± lets the rear lock first: no valve is said to cure or not to cure it."""
    told = _lock(1.0, **{**REAR, "caliper_bores": bores, "pad_friction": 0.30, **valve})
    assert word(told) == LOOK
    assert told.value.middle >= 0
    assert "state the sizes more closely, first of all " in told.do
    assert "does not cure" not in told.do
