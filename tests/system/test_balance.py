"""Balance of the axles against a second computation: the pressure raised by a thousandth at a time until a wheel slides."""

import pytest

from bomcheck.car.balance import (
    NO_KNEE,
    Brakes,
    G,
    Loads,
    Valve,
    best_deceleration,
    front_share,
    grip_used,
    locking_deceleration,
    stopping_distance,
)

CARS = {
    "front-heavy": (Brakes(2400.0, 900.0), Loads(1450.0, 0.60, 0.21)),
    "too much rear": (Brakes(1500.0, 1400.0), Loads(1450.0, 0.52, 0.20)),
    "valve": (Brakes(1900.0, 1300.0, Valve(2.5, 0.35)), Loads(1450.0, 0.55, 0.22)),
    "early valve": (Brakes(1900.0, 1600.0, Valve(0.8, 0.2)), Loads(1100.0, 0.50, 0.18)),
}


def searched(brakes: Brakes, loads: Loads, grip: float, axle: int) -> float:
    """Deceleration at which this axle slides first: pressure in fine steps, moments about the tyres' contact points.

    Written from scratch: lengths in metres for a wheelbase of 2.5 m, forces from the pressure, loads from the moments.
    """
    wheelbase, pressure = 2.5, 0.01
    behind = loads.mass_share * wheelbase
    height = loads.height_share * wheelbase
    while pressure < 30.0:
        pressure *= 1.001
        rear_line = (
            pressure
            if pressure <= brakes.valve.knee
            else brakes.valve.knee + brakes.valve.slope * (pressure - brakes.valve.knee)
        )
        force = (brakes.front * pressure, brakes.rear * rear_line)
        total = sum(force)
        on_front = (loads.mass * G * behind + total * height) / wheelbase
        on_rear = loads.mass * G - on_front
        if force[axle] > grip * (on_front, on_rear)[axle]:
            return total / loads.mass
    return NO_KNEE


@pytest.mark.parametrize("grip", [0.2, 0.5, 0.8, 1.1])
@pytest.mark.parametrize("name", CARS)
def test_locking_decelerations_agree_with_a_step_by_step_search(name, grip):
    """Closed form against brute force within 0.5 percent, both axles, with and without a valve."""
    brakes, loads = CARS[name]
    for axle, found in enumerate(locking_deceleration(brakes, loads, grip)):
        by_steps = searched(brakes, loads, grip, axle)
        if found > 3 * grip * G:  # the other axle would have slid long before
            assert by_steps > 2.5 * grip * G
        else:
            assert found == pytest.approx(by_steps, rel=0.005)


@pytest.mark.parametrize("name", CARS)
def test_grip_curves_agree_with_the_search(name):
    """The grip that an axle uses at a deceleration is the grip on which it would just slide there."""
    brakes, loads = CARS[name]
    for z in (0.1, 0.25, 0.4, 0.6, 0.8):
        for axle, used in enumerate(grip_used(brakes, loads, z * G)):
            if 0.05 < used < 1.5:
                assert searched(brakes, loads, used, axle) == pytest.approx(z * G, rel=0.005)


@pytest.mark.parametrize("name", CARS)
def test_the_best_stop_is_where_the_first_axle_slides(name):
    """And never beyond what the tyres hold."""
    brakes, loads = CARS[name]
    for grip in (0.3, 0.7, 1.0):
        first = min(searched(brakes, loads, grip, axle) for axle in (0, 1))
        assert best_deceleration(brakes, loads, grip) == pytest.approx(min(first, grip * G), rel=0.005)


def test_pressure_gives_back_the_force_on_both_sides_of_the_knee():
    """Force to pressure and back, with a valve."""
    brakes = CARS["valve"][0]
    for force in (100.0, 5000.0, 8000.0, 8001.0, 15000.0):
        assert sum(brakes.forces(brakes.pressure_for(force))) == pytest.approx(force, rel=1e-12)


def test_a_valve_moves_the_share_to_the_front_only_beyond_its_knee():
    """Below the knee the share is that of the brakes alone."""
    brakes, loads = CARS["valve"]
    alone = brakes.front / (brakes.front + brakes.rear)
    assert front_share(brakes, loads.mass, 2.0) == pytest.approx(alone)
    assert front_share(brakes, loads.mass, 9.0) > alone + 0.05


def test_axle_loads_of_a_braking_car():
    """1 500 kg, 7 m/s², height 0.52 m, wheelbase 2.7 m, front axle 1.2 m ahead: 10 197 and 4 518 N.

    Closed form with g = 9.81, from a reference package; the program's standard gravity differs by 0.04 percent.
    """
    front, rear = Loads(1500.0, 1.5 / 2.7, 0.52 / 2.7).axles(7.0)
    assert front == pytest.approx(10197, rel=1e-3)
    assert rear == pytest.approx(4518, rel=1e-3)


def test_stopping_distance_by_steps_of_time():
    """Against a stop followed in steps of a thousandth of a second."""
    speed, distance, step = 27.78, 0.0, 0.001
    while speed > 0:
        distance += speed * step - 0.5 * 6.4 * step**2
        speed -= 6.4 * step
    assert stopping_distance(27.78, 6.4) == pytest.approx(distance, rel=0.001)
