"""Points of the charts: the same figures as the findings, and nothing where nothing is known."""

import pytest

from bomcheck.car.assess import known_scene
from bomcheck.car.series import grip_curves, heat_curves, share_curves, stroke_budget
from tests.system.cars import car, found, sizes_of


def of(make, **changed):
    job = car(**changed)
    scene = known_scene(job, sizes_of(job))
    return scene and make(scene)


def test_the_last_point_of_the_heat_curve_is_the_finding():
    """Two points a stop, the last one just after the last stop."""
    curves = of(heat_curves)
    assert len(curves.rotor) == len(curves.fluid) == len(curves.times) == 20
    assert curves.rotor[-1] == pytest.approx(found(car())["repeated_stops"].value.middle, rel=1e-9)
    assert (curves.pad_low, curves.pad_high, curves.fluid_wet) == (10.0, 700.0, 170.0)
    assert curves.stops[-1] == 10


def test_the_stroke_budget_adds_up_to_the_finding():
    """Dead stroke, clearance, calipers and hoses together are the share of the stroke."""
    budget = of(stroke_budget)
    assert sum(budget.kit) / budget.there_is == pytest.approx(found(car())["master_stroke"].value.middle)
    assert budget.most == pytest.approx(0.65 * budget.there_is)
    assert len(budget.parts) == len(budget.kit) == len(budget.now)


def test_the_stroke_budget_of_a_diagonal_is_that_of_the_shorter_stroke():
    """Half of both axles' fluid against 16 of 18 and 16 mm; a blank stroke leaves the line out."""
    budget = of(stroke_budget, circuit_split="diagonal")
    assert budget.there_is == 16.0
    assert sum(budget.kit) / 16.0 == pytest.approx(found(car(circuit_split="diagonal"))["master_stroke"].value.middle)
    assert of(stroke_budget, circuit_split="diagonal", master_stroke_rear=None).there_is is None
    assert of(stroke_budget, circuit_split=None) is None


def test_grip_curves_cross_where_both_axles_are_alike():
    """Where front and rear use the same grip they use as much as the deceleration."""
    curves = of(grip_curves)
    pairs = list(zip(curves.rates, curves.front_now, curves.rear_now, strict=True))
    crossing = next(
        i for i in range(1, len(pairs)) if (pairs[i][1] - pairs[i][2]) * (pairs[i - 1][1] - pairs[i - 1][2]) <= 0
    )
    assert pairs[crossing][1] == pytest.approx(pairs[crossing][0], abs=0.05)
    assert all(f > r for f, r in zip(curves.front_kit, curves.rear_kit, strict=True) if f and r)


def test_shares_over_the_deceleration():
    """Ideal: 0.55 + z x 520 / 2 600; the brakes' own at 8 m/s² is that of the finding, and with a valve it rises."""
    curves = of(share_curves)
    assert dict(zip(curves.rates, curves.ideal, strict=True))[0.5] == pytest.approx(0.55 + 0.5 * 0.2)
    share = found(car())["front_share"]
    assert curves.now[-1] == pytest.approx(share.before.middle)
    assert curves.kit[-1] == pytest.approx(share.value.middle)
    valve = of(share_curves, rear_valve_knee=2.0, rear_valve_slope=0.4).kit
    assert valve[0] == pytest.approx(curves.kit[0])
    assert valve[-1] > curves.kit[-1] + 0.01


def test_shares_without_the_brakes_are_the_ideal_alone():
    """The car's own sizes are enough for the line that suits it; without them there is no chart."""
    bare = of(share_curves, present_rear_bores=None)
    assert (bare.now, bare.kit) == ((), ())
    assert len(bare.ideal) == len(bare.rates)
    assert of(share_curves, wheelbase=None) is None


def test_no_curve_is_drawn_from_what_is_not_known():
    """Blank sizes leave the curve out."""
    assert of(grip_curves, present_rear_bores=None) is None
    assert of(heat_curves, rotor_mass=None) is None
    assert of(stroke_budget, hose_compliance=None) is None
    assert of(grip_curves, axle=None) is None
    half = of(grip_curves, caliper_bores=None)
    assert half.front_kit == ()
    assert len(half.front_now) == len(half.rates)
