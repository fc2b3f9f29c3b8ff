"""The two splits of the circuits: fluid, stroke, and the stop on one circuit, against a wheel-by-wheel search."""

import math

import pytest

from bomcheck.car import circuits
from bomcheck.car import figures as formulas
from bomcheck.car.checks import GOOD, LOOK, UNKNOWN, word
from bomcheck.car.hydraulics import bore_area
from bomcheck.car.spread import Point
from bomcheck.car.states import car_with_kit
from tests.system.cars import car, found, sizes_of

G = 9.80665
DIAGONAL = {"circuit_split": "diagonal"}


def point(**changed) -> Point:
    job = car(0.0, **changed)
    return Point(car_with_kit(job, sizes_of(job)))


def slides_first(at: Point, force: float) -> float:
    """Deceleration [m/s²] of a car that brakes on one front and one rear wheel, the foot pressing harder step by step.

    Written from scratch, in metres and newtons: stops when one of the two wheels has used its grip, or at `force` [N].
    """
    wheelbase, height, mass = at["wheelbase"] / 1000, at["cg_height"] / 1000, at["vehicle_mass"]
    area = math.pi / 4 * at["master_bore"] ** 2
    push, best = 1.0, 0.0
    while push <= force:
        alone = push * at["pedal_ratio"] * at["pedal_efficiency"] / area
        line = min(alone * at["booster_gain"], at["booster_runout_pressure"])
        line += max(0.0, alone - at["booster_runout_pressure"] / at["booster_gain"])
        wheels = []
        for axle in ("front", "rear"):
            clamp = line * at[f"{axle}_area"]
            torque = 2 * at[f"{axle}_friction"] * clamp * at[f"{axle}_radius"] * at["caliper_efficiency"]
            wheels.append(torque / at[f"tyre_radius_{axle}"])
        stop = sum(wheels) / mass
        on_front = mass * (G * at["front_mass_share"] + stop * height / wheelbase)
        loads = (on_front / 2, (mass * G - on_front) / 2)
        if any(wheel > at["tyre_friction"] * load for wheel, load in zip(wheels, loads, strict=True)):
            break
        best, push = stop, push * 1.0005
    return best


@pytest.mark.parametrize(
    "changed",
    [
        {}, {"tyre_friction": 0.4}, {"booster_gain": 1.0, "booster_runout_pressure": None}, {"present_rear_bores": (60.0,)},
        {"booster_gain": 1.0, "booster_runout_pressure": None, "master_bore": 31.75, "pedal_ratio": 2.2},
    ],
)  # fmt: skip
def test_the_stop_on_one_diagonal_agrees_with_a_wheel_by_wheel_search(changed):
    """Within 0.2 percent: the wheel that slides first, or the foot that gives out at 500 N."""
    job = car(0.0, **DIAGONAL, **changed)
    state = car_with_kit(job, sizes_of(job))
    assert circuits.stop_alone(state, 500.0).middle == pytest.approx(slides_first(Point(state), 500.0), rel=0.002)


def test_a_diagonal_brakes_half_of_what_four_wheels_do():
    """At one pressure, tyres holding: 250 N on the pedal of one diagonal, half of the whole car's deceleration."""
    at = point(**DIAGONAL)
    whole = sum(formulas.brakes(at).forces(3.0)) / at["vehicle_mass"]
    assert sum(circuits.diagonal_left(at).forces(3.0)) / at["vehicle_mass"] == pytest.approx(whole / 2)


def test_fluid_of_a_diagonal_counted_out_brake_by_brake():
    """One front brake: 2 x 3 427 mm² x 0.2 + 60 x 8 + 120 x 0.404 x 8; one rear brake: the same with 1 018 mm²."""
    at = point(**DIAGONAL)
    front = math.pi / 4 * (42**2 + 38**2 + 34**2)
    rear = math.pi / 4 * 36**2
    hose = at["hose_length_front"] / 1000
    one_of_each = sum(2 * area * 0.2 + 60 * 8.0 + 120 * hose * 8.0 for area in (front, rear))
    assert circuits.millilitres(at, "front") == pytest.approx(one_of_each / 1000)
    assert circuits.millilitres(at, "rear") == pytest.approx(one_of_each / 1000)
    both_front = 2 * (2 * front * 0.2 + 60 * 8.0 + 120 * hose * 8.0)
    assert circuits.millilitres(point(), "front") == pytest.approx(both_front / 1000)


def test_the_pedal_goes_down_as_far_with_either_split():
    """The same fluid leaves the same cylinder: travel = play + ratio x (all fluid / area + dead stroke)."""
    whole, split = point(), point(**DIAGONAL)
    fluid = 1000 * sum(circuits.millilitres(whole, axle) for axle in ("front", "rear"))
    by_hand = 4.5 + 4.0 * (fluid / bore_area(22.225) + 1.5)
    assert circuits.foot_travel(whole) == pytest.approx(by_hand) == pytest.approx(circuits.foot_travel(split))
    assert found(car())["pedal_travel"].value == found(car(**DIAGONAL))["pedal_travel"].value


def test_a_diagonal_is_held_against_the_shorter_stroke():
    """18 mm and 16 mm: half of each axle's fluid in 16 mm."""
    at = point(**DIAGONAL)
    assert circuits.stroke_use(at, "front") == pytest.approx(circuits.stroke(at, "front") / 16.0)


def test_brakes_alike_at_both_axles_make_the_splits_alike():
    """The kit's pistons, front and rear: a circuit takes the same fluid either way."""
    alike = {"present_rear_bores": (42.0, 38.0, 34.0)}
    assert circuits.millilitres(point(**alike), "front") == pytest.approx(
        circuits.millilitres(point(**alike, **DIAGONAL), "front")
    )


def test_a_blank_split_is_asked_and_neither_is_assumed():
    """What depends on it is not known; what does not is judged all the same."""
    answers = found(car(circuit_split=None))
    for key in ("failed_circuit", "circuit_fluid", "master_stroke"):
        assert word(answers[key]) == UNKNOWN
        assert answers[key].asks == ("circuit_split",)
    for key in ("pedal_travel", "pedal_force", "line_pressure", "front_share", "single_stop"):
        assert word(answers[key]) != UNKNOWN


def test_a_diagonal_asks_for_what_the_other_axle_has():
    """Its fluid comes from one brake of each axle."""
    assert found(car(**DIAGONAL, present_rear_bores=None))["master_stroke"].asks == ("present_rear_bores",)
    assert found(car(**DIAGONAL, master_stroke_rear=None))["master_stroke"].asks == ("master_stroke_rear",)
    assert word(found(car(master_stroke_rear=None))["master_stroke"]) != UNKNOWN


@pytest.mark.parametrize("split", ["front and rear", "diagonal"])
def test_a_weak_circuit_is_a_warning_and_never_more(split):
    """Without a booster and with a large master cylinder 500 N leave less than a quarter of gravity: to be looked at."""
    weak = {"booster_gain": 1.0, "booster_runout_pressure": None, "master_bore": 31.75, "pedal_ratio": 2.2}
    alone = found(car(0.1, circuit_split=split, **weak))["failed_circuit"]
    assert word(alone) == LOOK
    assert alone.value.high < 2.45
    assert alone.said.endswith(("with the weaker axle alone", "on either diagonal circuit"))
    assert "tell the customer" in alone.do
    assert word(found(car(0.1, circuit_split=split))["failed_circuit"]) == GOOD


def test_a_valve_goes_into_each_line_of_a_diagonal_split():
    """Two residual valves for an axle whose brakes hang on two circuits, one where they hang on one."""
    wanted = {
        split: found(car(circuit_split=split, reservoir_below_caliper="yes"))["residual_valve"].demands[0].quantity
        for split in ("front and rear", "diagonal")
    }
    assert wanted == {"front and rear": 1, "diagonal": 2}
