"""What the brakes as a whole order goes into the car and is judged again; and what nobody listed: one side, drums, a master cylinder in the box."""

from math import pi
from pathlib import Path
from random import Random

import pytest

from bomcheck.assess import assess
from bomcheck.car import figures
from bomcheck.car.assess import assess_system, known_scene
from bomcheck.car.balance import Brakes, G, Loads, Valve, best_deceleration, rate_asked, rate_room
from bomcheck.car.checks import BAD, GOOD, LOOK, UNKNOWN, counts, word
from bomcheck.car.findings_balance import with_parts
from bomcheck.io.read.job import read_job
from bomcheck.model.finding import Finding
from bomcheck.model.job import Job, Part, TypedLimit
from bomcheck.model.records import replace
from bomcheck.model.shipped import folder
from bomcheck.model.verdict import Verdict
from bomcheck.paper.summary import not_looked_at
from tests.system.cars import car, found, sizes_of

REAR_HEAVY = {"front_mass_share": 0.60, "present_rear_friction": 0.42, "present_rear_bores": (41.0,)}


@pytest.mark.parametrize("seed", range(60))
def test_a_valve_that_is_ordered_holds_for_every_true_size_where_one_can(seed: int) -> None:
    """With the valve in the car, as the order says it, the front wheels lock first: at its low end, or the words show that they may not."""
    dice = Random(seed)
    changed = {
        "front_mass_share": dice.uniform(0.52, 0.64), "present_rear_bores": (dice.uniform(34.0, 46.0),),
        "present_rear_friction": dice.uniform(0.34, 0.48), "tyre_friction": dice.uniform(0.7, 1.1),
    }  # fmt: skip
    job = car(dice.choice((0.0, 0.5, 1.0)), **changed)
    told = found(job)["lock_order"]
    if not told.demands:
        assert told.verdict is not Verdict.FITS_WITH_PARTS
        return
    scene = known_scene(job, sizes_of(job))
    assert scene is not None
    with_it = with_parts(scene, told.demands).over(figures.reserve)
    assert with_it.middle >= -1e-9
    assert scene.shown(with_it, "-", "lock_order") in told.do
    grips = found(job)["grip_rear"].value
    assert grips is not None
    typed = replace(scene, kit=with_parts(scene, told.demands)).kit.over(lambda at: figures.grip_in_stop(at, "rear"))
    assert (grips.low, grips.high) == pytest.approx((typed.low, typed.high))


CARS = [
    (Brakes(dice.uniform(800, 3000), dice.uniform(300, 2000), valve), Loads(dice.uniform(900, 2200), dice.uniform(0.4, 0.65), dice.uniform(0.14, 0.3)))
    for dice in map(Random, range(150))
    for valve in (Valve(), Valve(dice.uniform(0.5, 6.0), dice.uniform(0.1, 0.7)))
]  # fmt: skip


@pytest.mark.parametrize("part", range(10))
def test_the_rule_s_curve_is_tried_on_every_grip(part: int) -> None:
    """UN R13-H, annex 5 (from memory): z at least 0.1 + 0.7 (k - 0.2) for grips k of 0.2 to 0.8. Brute force: a grip every thousandth."""
    for brakes, loads in CARS[part::10]:
        grips = [0.2 + 0.001 * step for step in range(601)]
        least = min(best_deceleration(brakes, loads, k) / G - rate_asked(k) for k in grips)
        assert (
            least - 5e-4 <= rate_room(brakes, loads) <= least + 1e-12
        )  # at a knee the curve has a corner between two of the grips


def test_between_the_ends_of_the_rule() -> None:
    """By hand, no valve: front part 0.75 of the force, mass share 0.5, height share 0.2. z = k s / (p - k h) rises as the rule where
    k = (0.75 - (0.5 x 0.75 / 0.7)^0.5) / 0.2 = 0.0904: below 0.2. With p = 0.9: k = (0.9 - (0.45 / 0.7)^0.5) / 0.2 = 0.4911, z = 0.24555 /
    0.80178 = 0.30626, the rule asks for 0.30377: 0.0025 are left, at the ends 0.0163 (k = 0.2) and 0.0205 (k = 0.8)."""
    assert rate_room(Brakes(9.0, 1.0), Loads(1000.0, 0.5, 0.2)) == pytest.approx(0.0025, abs=2e-4)


@pytest.mark.parametrize(("ratio", "said"), [(0.701, GOOD), (0.699, BAD), (1 / 0.701, GOOD), (1 / 0.699, BAD)])
def test_a_kit_on_one_wheel_alone_must_brake_as_the_other_does(ratio: float, said: str) -> None:
    """Directive 2014/45/EU, annex I, 1.2.2 (from memory): at most 30 % between the sides. Present: 54 mm piston, 0.38, 110 mm."""
    old, radius = pi / 4 * 54**2 * 0.38 * 110.0, 165 - 0.75 - 26
    friction = ratio * old / (pi / 4 * (42**2 + 38**2 + 34**2) * radius)
    told = found(car(0.0, corners=1, pad_friction=friction, kit_effective_radius=radius))["one_side"]
    assert word(told) == said
    assert counts(told) == (said == BAD)
    assert told.value is not None
    assert told.value.middle == pytest.approx(min(ratio, 1 / ratio))


def test_both_wheels_are_no_matter_of_sides() -> None:
    assert "one_side" not in found(car(corners=2))
    assert word(found(car(corners=1, present_front_friction=None))["one_side"]) == UNKNOWN


def test_drums_are_not_reckoned_as_discs() -> None:
    """What needs their strength says so; what does not is judged."""
    told = found(car(present_rear_build="drum"))
    for key in ("lock_order", "front_share", "best_stop", "line_pressure"):
        assert word(told[key]) == UNKNOWN
        assert "drums" in told[key].said
        assert told[key].asks == ()
    assert told["master_stroke"].value is not None


def test_one_circuit_that_the_kit_weakens_is_not_good_and_one_that_was_weak_is_looked_at() -> None:
    """Limit: 2.44 m/s² (UN R13-H, annex 3, 2.2.1, from memory)."""
    worse = found(car(0.0, booster_gain=2.0, caliper_bores=(20.0, 20.0), pad_friction=0.25))["failed_circuit"]
    same = found(car(0.0, booster_gain=1.0, caliper_bores=(28.0, 26.0), pad_friction=0.30))["failed_circuit"]
    assert worse.verdict is same.verdict is Verdict.DOES_NOT_FIT
    assert (word(worse), word(same)) == (BAD, LOOK)


def test_a_blank_split_does_not_hide_what_fails_either_way() -> None:
    """A bore that is too small for both; one that does for a diagonal split is only asked about."""
    told = found(car(0.0, circuit_split=None, master_bore=15.875, caliper_bores=(46.0, 42.0, 38.0)))["master_stroke"]
    assert word(told) == BAD
    assert told.said.startswith("Too much whichever way")
    assert told.asks == ("circuit_split",)
    (part,) = told.demands
    for split in ("front and rear", "diagonal"):
        bore = sum(part.spec["inner_diameter"]) / 2
        with_it = found(car(0.0, circuit_split=split, master_bore=bore, caliper_bores=(46.0, 42.0, 38.0)))
        assert word(with_it["master_stroke"]) == GOOD
    assert word(found(car(0.0, circuit_split=None))["master_stroke"]) == UNKNOWN


def _in_the_box(*parts: Part) -> dict[str, Finding]:
    job = replace(car(0.0), box=parts)
    return {one.check: one for one in assess_system(job, sizes_of(job))}


def test_a_master_cylinder_in_the_box_is_the_one_that_is_judged() -> None:
    """As if its bore stood on the System sheet, for the car with the kit; without a bore it is asked for."""
    there = _in_the_box(Part("master cylinder", quantity=1, inner_diameter=25.4))
    typed = found(car(0.0, master_bore=25.4))
    for key in ("master_stroke", "pedal_force", "failed_circuit", "circuit_fluid"):
        assert there[key].value == typed[key].value
    blank = _in_the_box(Part("master cylinder", quantity=1))["master_stroke"]
    assert word(blank) == UNKNOWN
    assert "Box contents" in blank.said


def test_a_slope_without_its_knee_is_asked_about() -> None:
    told = found(car(rear_valve_slope=0.3))["lock_order"]
    assert told.asks == ("rear_valve_knee",)


def test_a_residual_valve_of_the_other_axle_s_discs_is_seen() -> None:
    told = found(car(residual_valve_rear=0.07))["residual_valve_other"]
    assert word(told) == BAD
    assert "residual_valve_other" not in found(car(residual_valve_rear=0.07, present_rear_build="drum"))


def test_what_tyres_of_much_grip_reach_is_said() -> None:
    """By hand: front part p of the force, both axles alike at z = (p - 0.55) / 0.2; the rule ends at 0.80 g, the tyres give more."""
    told = found(car(0.0, tyre_friction=1.5, pad_friction=0.42))["lock_order"]
    assert "up to 0.80 g" in told.said
    share = found(car(0.0))["front_share"].value
    assert share is not None
    rate = (share.middle - 0.55) / 0.2
    assert rate > 0.8
    assert (f"beyond {rate:.2f} g" in told.said) == (word(told) == LOOK)
    assert word(found(car(0.0, tyre_friction=0.9))["lock_order"]) == GOOD


def test_a_limit_of_one_s_own_does_not_change_what_happens() -> None:
    """A reserve of -50 points allowed: it is good by that figure, and still says that the rear wheels may lock first."""
    job = car(0.0, **REAR_HEAVY, caliper_bores=(28.0, 26.0))
    own = replace(job, limits={"lock_reserve": TypedLimit("lock_reserve", -0.5, None)})
    told = {one.check: one for one in assess_system(own, sizes_of(own))}["lock_order"]
    assert told.verdict is Verdict.FITS
    assert "the rear wheels may lock first" in told.said


def _hill_climb(words: str) -> Job:
    job = read_job(Path(folder("demo_workbooks")) / "hill_climb_two_seater.xlsx")[0]
    assert any("edge code FF" in part.description for part in job.prices)
    prices = (replace(part, description=part.description.replace("edge code FF", words)) for part in job.prices)
    return replace(job, prices=tuple(prices))


def test_pads_that_are_bought_are_judged_by_their_edge_code() -> None:
    """SAE J866: F is a friction of 0.35 to 0.45; as if that stood on the Kit sheet. Another code, or none, is not taken for it."""
    job = _hill_climb("edge code FF")
    friction = replace(job.values["pad_friction"], value=0.4, plus_minus=0.05)
    typed = assess(replace(job, values={**job.values, "pad_friction": friction}))
    bought, unknown = assess(job), assess(_hill_climb("CE marked"))
    of = [{one.check: one for one in report.system} for report in (typed, bought, unknown)]
    for key in ("lock_order", "front_share", "best_stop", "pedal_force", "repeated_stops"):
        assert of[1][key].value == of[0][key].value
        assert of[2][key].value != of[1][key].value
    assert word(of[1]["pad_window"]) == UNKNOWN  # the kit's temperatures are of its own pads
    note = "judged with the kit's own"
    assert (any(note in one for one in not_looked_at(bought)), any(note in one for one in not_looked_at(unknown))) == (
        False,
        True,
    )
