"""Ranges over the ±: exact for what goes one way, proved against all corners and against sizes drawn at random."""

import random
from functools import partial
from itertools import product

import pytest

from bomcheck.car import circuits
from bomcheck.car import figures as formulas
from bomcheck.car.spread import Point, State, Unknown, change, side_by_side
from bomcheck.car.states import car_with_kit, present_car
from tests.system.cars import car, sizes_of

FORMULAS = {
    "torque in front": partial(formulas.torque, axle="front"),
    "torque behind": partial(formulas.torque, axle="rear"),
    "share": formulas.share,
    "ideal share": formulas.ideal_share,
    "lock reserve": formulas.reserve,
    "front locks": partial(formulas.locks, axle="front"),
    "rear locks": partial(formulas.locks, axle="rear"),
    "pressure": formulas.pressure,
    "pedal force": formulas.foot,
    "grip in front": partial(formulas.grip_in_stop, axle="front"),
    "grip behind": partial(formulas.grip_in_stop, axle="rear"),
    "front alone": partial(circuits.axle_pressed, axle="front", force=500.0),
    "rear alone": partial(circuits.axle_pressed, axle="rear", force=500.0),
    "front locks alone": partial(circuits.axle_locks, axle="front"),
    "rear locks alone": partial(circuits.axle_locks, axle="rear"),
    "diagonal alone": partial(circuits.diagonal_pressed, force=500.0),
    "front of a diagonal locks": partial(circuits.diagonal_locks, axle="front"),
    "rear of a diagonal locks": partial(circuits.diagonal_locks, axle="rear"),
    "fluid of a circuit": partial(circuits.millilitres, axle="front"),
    "stroke": partial(circuits.stroke_use, axle="front"),
    "foot": circuits.foot_travel,
    "rise": partial(formulas.rise, axle="front"),
    "rise behind": partial(formulas.rise, axle="rear"),
    "after the last stop": partial(formulas.hottest, axle="front"),
    "fluid": partial(formulas.fluid_heat, axle="front"),
}
VALVES = {
    "no valve": {},
    "valve": {"rear_valve_knee": 3.0, "rear_valve_slope": 0.4},
    "diagonal": {"circuit_split": "diagonal"},
}


def state(valve: str, halves: float = 1.0) -> State:
    job = car(halves, **VALVES[valve])
    return car_with_kit(job, sizes_of(job))


def loose_keys(where: State, formula) -> list[str]:
    point = Point(where)
    formula(point)
    return [key for key in point if where.ranges[key].low < where.ranges[key].high]


@pytest.mark.parametrize("valve", VALVES)
@pytest.mark.parametrize("name", FORMULAS)
def test_no_true_size_inside_the_plus_minus_leaves_the_range(name, valve):
    """600 cars drawn at random from the box, corners among them, all lie between least and greatest."""
    where, formula = state(valve), FORMULAS[name]
    found = where.over(formula)
    keys, chance = loose_keys(where, formula), random.Random(7)
    for number in range(600):
        corner = number % 2
        at = {key: _drawn(where.ranges[key], chance, corner) for key in keys}
        value = formula(Point(where, at))
        slack = 1e-9 * max(1.0, abs(value))
        assert found.low - slack <= value <= found.high + slack, at


def _drawn(size, chance, corner):
    return chance.choice((size.low, size.high)) if corner else chance.uniform(size.low, size.high)


@pytest.mark.parametrize("valve", VALVES)
@pytest.mark.parametrize("name", ["lock reserve", "front locks", "rear locks", "pressure", "stroke", "ideal share"])
def test_least_and_greatest_are_reached_at_corners(name, valve):
    """Every corner of the box is tried (all 2^n): the range is the same."""
    where, formula = state(valve), FORMULAS[name]
    keys = loose_keys(where, formula)
    assert len(keys) <= 14
    ends = [(where.ranges[key].low, where.ranges[key].high) for key in keys]
    values = [formula(Point(where, dict(zip(keys, corner, strict=True)))) for corner in product(*ends)]
    found = where.over(formula)
    assert (found.low, found.high) == pytest.approx((min(values), max(values)), rel=1e-12)


@pytest.mark.parametrize("valve", VALVES)
@pytest.mark.parametrize(("name", "slack"), [("share", 0.001), ("best stop", 0.15)])
def test_a_change_between_two_states_is_found_with_what_they_share_counted_once(name, slack, valve):
    """500 pairs of cars that differ only in the kit: none leaves the range by more than it may bend."""
    job = car(**VALVES[valve])
    both = side_by_side(present_car(job, sizes_of(job)), car_with_kit(job, sizes_of(job)))
    formula = change({"share": formulas.share, "best stop": formulas.best_stop}[name])
    found, keys, chance = both.searched(formula), loose_keys(both, formula), random.Random(11)
    for _ in range(500):
        value = formula(Point(both, {key: _drawn(both.ranges[key], chance, 0) for key in keys}))
        assert found.low - slack <= value <= found.high + slack


@pytest.mark.parametrize("valve", VALVES)
def test_the_best_stop_of_every_true_size_lies_in_its_range(valve):
    """The least of what both axles and the tyres allow, 600 cars drawn at random."""
    where = state(valve)
    found, keys, chance = formulas.best_range(where), loose_keys(where, formulas.best_stop), random.Random(3)
    for _ in range(600):
        value = formulas.best_stop(Point(where, {key: _drawn(where.ranges[key], chance, 0) for key in keys}))
        assert found.low - 1e-9 <= value <= found.high + 1e-9


def test_without_plus_minus_the_range_is_one_value():
    """± 0 everywhere and constants without a spread: least, middle and greatest agree."""
    where = state("no valve", halves=0.0)
    found = where.over(formulas.ideal_share)
    assert found.low == found.middle == found.high


def test_a_size_that_is_blank_is_named():
    """The field to fill in comes with it."""
    job = car(present_rear_friction=None)
    with pytest.raises(Unknown) as unknown:
        car_with_kit(job, sizes_of(job)).over(formulas.share)
    assert unknown.value.keys == ("present_rear_friction",)


def test_the_size_that_decides_by_hand() -> None:
    """Of a pressure in the stop asked for, the mass times 8 m/s² over what both axles make: the size whose ± moves it most stands first;
    with that one exact the next does, and with every one exact none."""
    job = car(1.0)
    state = car_with_kit(job, sizes_of(job))
    first, second, *_ = state.decisive(formulas.pressure)
    least = state.over(formulas.pressure).low
    gains = {}
    for key, size in state.ranges.items():
        if size.low < size.high:
            gains[key] = state.put(**{key: size.middle}).over(formulas.pressure).low - least
    assert max(gains, key=lambda key: gains[key]) == first
    exact = state.put(**{first: state.ranges[first].middle})
    assert exact.decisive(formulas.pressure)[0] == second
    assert state.put(**{key: size.middle for key, size in state.ranges.items()}).decisive(formulas.pressure) == []
