"""Every figure of a whole car once more, from the trade's formulas written out from scratch, as it is and with the kit.

Formulas: T. D. Gillespie, Fundamentals of Vehicle Dynamics, chapter 3, in the form with the front share B; heat: Shigley.
Metres, newtons, MPa; the car of `tests.system.cars` with every ± at 0 and the constants at their middles.
"""

from dataclasses import dataclass
from math import exp, pi

import pytest

from tests.system.cars import car, found

G = 9.80665
MASS, WHEELBASE, HEIGHT, TYRE, GRIP = 1450.0, 2.6, 0.52, 0.31, 0.9
BEHIND = 0.55 * WHEELBASE  # centre of gravity to the rear axle
AHEAD = WHEELBASE - BEHIND
ETA, PEDAL_ETA, PLAY = 0.965, 0.875, 4.5
MASTER = pi / 4 * 22.225**2
STOP = 8.0
Z = STOP / G
REAR_AREA = pi / 4 * 36**2


@dataclass
class Front:
    """area [mm²] of one side, friction, effective radius [mm], mass of the ring [kg]."""

    area: float
    friction: float
    radius: float
    ring: float


FRONTS = {
    "before": Front(pi / 4 * 54**2, 0.38, 110.0, 5.5),
    "after": Front(pi / 4 * (42**2 + 38**2 + 34**2), 0.42, 165 - 0.75 - 26, 7.0),
}


def torque_for_each_mpa(area: float, friction: float, radius: float) -> float:
    """Of one brake [N·m]."""
    return 2 * friction * area * radius / 1000 * ETA


def worked(front: Front) -> dict[str, float]:
    """By key of the finding."""
    ahead = torque_for_each_mpa(front.area, front.friction, front.radius)
    rear = torque_for_each_mpa(REAR_AREA, 0.36, 115.0)
    share, line = ahead / (ahead + rear), MASS * STOP * TYRE / (2 * (ahead + rear))
    front_limited = GRIP * BEHIND / (share * WHEELBASE - GRIP * HEIGHT)
    rear_limited = GRIP * AHEAD / ((1 - share) * WHEELBASE + GRIP * HEIGHT)
    best = min(front_limited, rear_limited, GRIP)
    hose = (350 + 12 + 60 / 2) / 1000
    fluid, behind = (2 * (2 * area * 0.2 + 60 * 8 + 120 * hose * 8) for area in (front.area, REAR_AREA))
    # Beyond 65 % of the stroke the next bore, 15/16 in (23.812 mm), is asked for; all else is as far as with that one.
    asked = MASTER if (fluid / MASTER + 1.5) / 18 <= 0.65 else pi / 4 * 23.812**2
    pushed = min(500 * 4 * PEDAL_ETA / asked * 5, 8.0)  # run-out of the booster at 8 MPa, 1.6 of them the foot's own
    pushed += max(0.0, 500 * 4 * PEDAL_ETA / asked - 1.6)
    alone = min(
        2 * ahead * pushed / TYRE / MASS, GRIP * BEHIND / (WHEELBASE - GRIP * HEIGHT) * G,
        2 * rear * pushed / TYRE / MASS, GRIP * AHEAD / (WHEELBASE + GRIP * HEIGHT) * G,
    )  # fmt: skip
    heat = 0.5 * MASS * (35**2 - 15**2) * 1.04
    rise, kept = heat * share / 2 * 0.925 / (front.ring * 480), exp(-40 / 275)
    hot = 20 + rise * (1 - kept**10) / (1 - kept)
    return {
        "line_pressure": line, "brake_torque": line * ahead, "brake_torque_other": line * rear, "front_share": share,
        "ideal_share": (BEHIND + Z * HEIGHT) / WHEELBASE, "grip_front": share * Z * WHEELBASE / (BEHIND + Z * HEIGHT),
        "grip_rear": (1 - share) * Z * WHEELBASE / (AHEAD - Z * HEIGHT),
        "lock_order": min(share - (BEHIND + z * HEIGHT) / WHEELBASE for z in (0.15, 0.8)), "best_stop": best * G,
        "pedal_force": line * asked / (5 * 4 * PEDAL_ETA), "failed_circuit": alone, "failed_booster": MASS * 2.44 * TYRE / (2 * (ahead + rear)) * asked / (4 * PEDAL_ETA),
        "circuit_fluid": fluid / 1000,
        "master_stroke": (fluid / MASTER + 1.5) / 18, "single_stop": rise, "repeated_stops": hot,
        "pedal_travel_use": (PLAY + 4 * ((fluid + behind) / asked + 1.5)) / 130,
        "fluid_margin": 170 - (20 + 0.275 * (hot - 20)),
    }  # fmt: skip


ANSWERS = found(car(0.0, pedal_travel_to_floor=130.0))


@pytest.mark.parametrize("when", FRONTS)
@pytest.mark.parametrize("key", worked(FRONTS["after"]))
def test_a_figure_by_hand(key: str, when: str) -> None:
    """The middle of the finding's range is the figure worked out from scratch."""
    figure = getattr(ANSWERS[key], {"before": "before", "after": "value"}[when])
    assert figure is not None
    assert figure.middle == pytest.approx(worked(FRONTS[when])[key], rel=1e-9)


def test_differences_by_hand() -> None:
    """What the kit changes: points of the share, part of the best stop, travel at the foot; and what the reservoir gives."""
    now, then = worked(FRONTS["before"]), worked(FRONTS["after"])
    assert ANSWERS["best_stop_loss"].value.middle == pytest.approx(1 - then["best_stop"] / now["best_stop"])
    behind = 2 * (2 * REAR_AREA * 0.2 + 60 * 8 + 120 * (350 + 12 + 30) / 1000 * 8)
    longer = 4 * (
        (then["circuit_fluid"] * 1000 + behind) / (pi / 4 * 23.812**2) - (now["circuit_fluid"] * 1000 + behind) / MASTER
    )
    assert ANSWERS["pedal_travel"].value.middle == pytest.approx(longer)
    assert ANSWERS["reservoir"].value.middle == pytest.approx(4 * FRONTS["after"].area * 8 / 1000)
    share = then["front_share"]
    rates = [
        min(k * BEHIND / (share * WHEELBASE - k * HEIGHT), k * AHEAD / ((1 - share) * WHEELBASE + k * HEIGHT), k)
        - 0.1
        - 0.7 * (k - 0.2)
        for k in (0.2 + 0.001 * step for step in range(601))
    ]
    assert ANSWERS["rate_rule"].value.middle == pytest.approx(min(rates), abs=1e-5)
    points = 100 * (then["front_share"] - now["front_share"])
    assert f"{points:.0f} points more at the front" in ANSWERS["front_share"].said


def test_what_the_pedal_has_left_is_quiet_where_it_was_not_measured() -> None:
    """Blank travel to the floor: no finding, and the whole travel is still told."""
    bare = found(car())
    assert "pedal_travel_use" not in bare
    assert "In all, free play included" in bare["pedal_travel"].said


def test_travel_is_judged_with_the_master_cylinder_that_is_asked_for() -> None:
    """The stroke asks for a larger bore: what is left of the pedal is that bore's, as if it were typed."""
    asked = found(car(0.0, pedal_travel_to_floor=130.0, master_bore=15.875))
    (demand,) = asked["master_stroke"].demands
    bore = dict(demand.puts)["master_bore"]
    typed = found(car(0.0, pedal_travel_to_floor=130.0, master_bore=round(bore, 3)))
    assert typed["master_stroke"].demands == ()
    assert asked["pedal_travel_use"].value.middle == pytest.approx(typed["pedal_travel_use"].value.middle, abs=1e-6)
    assert "With the master cylinder that is ordered" in asked["pedal_travel_use"].said


@pytest.mark.parametrize("key", sorted(worked(FRONTS["after"])))
def test_every_figure_has_a_range_over_the_plus_minus(key: str) -> None:
    """With the usual ± each figure is a range around its middle."""
    value = found(car(pedal_travel_to_floor=130.0))[key].value
    assert value.low < value.middle < value.high
