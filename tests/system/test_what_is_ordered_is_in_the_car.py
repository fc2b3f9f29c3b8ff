"""What the brakes as a whole order goes into the car and is judged again; and what nobody listed: one side, drums, a master cylinder in the box."""

from math import pi
from pathlib import Path
from random import Random

import pytest

from bomcheck.assess import assess
from bomcheck.car import figures
from bomcheck.car.assess import assess_axles, known_scene, of_both
from bomcheck.car.balance import Brakes, G, Loads, Valve, best_deceleration, rate_asked, rate_room
from bomcheck.car.checks import BAD, GOOD, LOOK, UNKNOWN, counts, word
from bomcheck.io.read.job import read_job
from bomcheck.model.finding import Finding
from bomcheck.model.job import Job, Part, TypedLimit
from bomcheck.model.records import replace
from bomcheck.model.shipped import folder
from bomcheck.model.verdict import Verdict
from bomcheck.paper.summary import not_looked_at
from tests.system.cars import car, found, sizes_of

REAR_HEAVY = {"front_mass_share": 0.60, "present_rear_friction": 0.42, "present_rear_bores": (41.0,)}


def _rear_heavy(seed: int) -> Job:
    dice = Random(seed)
    changed = {
        "front_mass_share": dice.uniform(0.52, 0.60), "present_rear_bores": (dice.uniform(28.0, 40.0),),
        "caliper_bores": (dice.uniform(30.0, 40.0), dice.uniform(28.0, 36.0)), "tyre_friction": dice.uniform(0.7, 1.1),
    }  # fmt: skip
    return car(dice.choice((0.0, 1.0, 2.0)), **changed)


def test_a_valve_that_is_ordered_holds_for_every_true_size_or_it_is_not_known() -> None:
    """With the valve in the car, as the order says it: at its low end the front wheels lock first, else the verdict waits."""
    ordered = {Verdict.FITS_WITH_PARTS: 0, Verdict.NOT_KNOWN: 0}
    for job in map(_rear_heavy, range(400)):
        told = found(job)
        lock = told["lock_order"]
        if not lock.demands:
            assert lock.verdict is not Verdict.FITS_WITH_PARTS
            continue
        scene = known_scene(job, sizes_of(job))
        assert scene is not None
        with_it = scene.kit.put(**dict(lock.demands[0].puts)).over(figures.reserve)
        assert scene.shown(with_it, "-", "lock_order") in lock.do
        assert (with_it.low >= 0.0) == (lock.verdict is Verdict.FITS_WITH_PARTS)
        assert counts(lock)
        ordered[lock.verdict] += 1
        used = scene.kit.put(
            **{key: size for one in told.values() for part in one.demands for key, size in part.puts}
        ).over(lambda at: figures.grip_in_stop(at, "rear"))
        assert told["grip_rear"].value == used
    assert ordered[Verdict.FITS_WITH_PARTS] >= 15
    assert ordered[Verdict.NOT_KNOWN] >= 2


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
        bore = dict(part.puts)["master_bore"]
        with_it = found(car(0.0, circuit_split=split, master_bore=bore, caliper_bores=(46.0, 42.0, 38.0)))
        assert word(with_it["master_stroke"]) == GOOD
    assert word(found(car(0.0, circuit_split=None))["master_stroke"]) == UNKNOWN


def _in_the_box(*parts: Part) -> dict[str, Finding]:
    job = replace(car(0.0), box=parts)
    return found(job)


def test_a_master_cylinder_in_the_box_is_the_one_that_is_judged() -> None:
    """As if its bore stood on the System sheet, for the car with the kit; without a bore it is asked for."""
    there = _in_the_box(Part("master cylinder", quantity=1, inner_diameter=25.4))
    typed = found(car(0.0, master_bore=25.4))
    for key in ("master_stroke", "pedal_force", "failed_circuit", "circuit_fluid"):
        assert there[key].value == typed[key].value
    (part,) = there["master_stroke"].demands
    assert part.spec["inner_diameter"] == pytest.approx((25.25, 25.55))
    assert not any("that is ordered" in one.said for one in there.values())
    for none in (Part("master cylinder", quantity=1), Part("master cylinder", quantity=0, inner_diameter=25.4)):
        assert _in_the_box(none)["pedal_force"].value == found(car(0.0))["pedal_force"].value


def test_a_master_cylinder_in_the_box_that_is_too_small_is_replaced() -> None:
    """The one that is ordered is in the car, not the kit's."""
    told = _in_the_box(Part("master cylinder", quantity=1, inner_diameter=15.875))
    (part,) = told["master_stroke"].demands
    assert part.spec["inner_diameter"][0] > 16.0
    typed = found(car(0.0, master_bore=dict(part.puts)["master_bore"]))
    assert told["pedal_force"].value == typed["pedal_force"].value


REAR = {
    "axle": "rear",
    "caliper_bores": (40.0,),
    "caliper_build": "sliding",
    "rotor_diameter": 300.0,
    "pad_friction": 0.38,
}


def _both(front: dict[str, object], rear: dict[str, object], **shared: object) -> list[dict[str, Finding]]:
    jobs = [car(0.0, **shared, **front), car(0.0, **shared, **{**REAR, **rear})]
    return [{one.check: one for one in told} for told in assess_axles([(job, sizes_of(job)) for job in jobs])]


def test_what_one_axle_orders_is_in_the_car_for_the_other() -> None:
    """Too small a bore for the rear kit alone: the front's rows, which the car takes, are those of the bore that the rear orders."""
    shared = {"master_bore": 17.46, "master_stroke_front": 40.0, "pedal_travel_to_floor": 150.0}
    told = _both({}, {}, **shared)
    assert told[0]["master_stroke"].demands == ()
    (part,) = told[1]["master_stroke"].demands
    typed = _both({}, {}, **{**shared, "master_bore": dict(part.puts)["master_bore"]})
    for key in ("pedal_force", "failed_circuit", "pedal_travel_use"):
        for axle in (0, 1):
            assert told[axle][key].value == typed[axle][key].value, key
    assert told[0]["pedal_travel"].value == told[1]["pedal_travel"].value
    assert [one.check for one in of_both(*(tuple(one.values()) for one in told))].count("pedal_travel") == 1


@pytest.mark.parametrize("blank", [{"master_stroke_rear": None}, {"hose_path_length": None}, {"caliper_bores": None}])
def test_what_is_blank_of_the_other_axle_is_in_nobody_s_way(blank: dict[str, object]) -> None:
    """The axle that is known orders by what it takes itself."""
    shared = {"master_bore": 15.875, **{key: value for key, value in blank.items() if key.startswith("master")}}
    told = _both({}, {key: value for key, value in blank.items() if not key.startswith("master")}, **shared)
    assert told[0]["master_stroke"].demands
    assert word(told[1]["master_stroke"]) == UNKNOWN


def _masters(told: list[dict[str, Finding]]) -> set[str]:
    return {
        repr(part) for one in told for found in one.values() for part in found.demands if part.role == "master cylinder"
    }


def test_a_kit_with_the_pistons_that_are_on_the_car_is_a_kit_too() -> None:
    """Rear pistons as now, and too small a bore for both circuits: one master cylinder, that serves both, named by both rows."""
    told = _both({}, {"caliper_bores": (36.0,)}, master_bore=15.875, master_stroke_rear=9.0)
    (part,) = {repr(one["master_stroke"].demands[0].spec) for one in told}
    assert part
    bore = dict(told[0]["master_stroke"].demands[0].puts)["master_bore"]
    fitted = _both({}, {"caliper_bores": (36.0,)}, master_bore=bore, master_stroke_rear=9.0)
    assert [word(one["master_stroke"]) for one in fitted] == [GOOD, GOOD]


def test_the_kit_s_master_cylinder_gives_way_to_a_larger_one_that_the_other_axle_orders() -> None:
    """Rear box: 17.46 mm, enough for the rear; the front orders a larger one, and that alone is on the list and in both rows."""
    front = car(0.0)
    rear = replace(
        car(0.0, **{**REAR, "caliper_bores": (26.0,)}), box=(Part("master cylinder", quantity=1, inner_diameter=17.46),)
    )
    found = assess_axles([(front, sizes_of(front)), (rear, sizes_of(rear))])
    told = [{one.check: one for one in axle} for axle in found]
    assert len(_masters(told)) == 1
    (part,) = told[0]["master_stroke"].demands
    assert part.spec["inner_diameter"][0] > 17.6
    assert told[1]["master_stroke"].demands == ()
    assert "With the master cylinder that is ordered" in told[1]["master_stroke"].said


def test_a_doubtful_list_of_the_other_kit_decides_nothing() -> None:
    """Both sides of the rear caliper entered: held back for the front as it is for the rear."""
    told = _both({}, {"caliper_bores": (44.0, 44.0, 44.0, 44.0), "caliper_build": "fixed"}, master_bore=17.46)
    assert told[1]["pistons_rear"].verdict is Verdict.NOT_KNOWN
    assert told[0]["master_stroke"].demands
    assert word(told[0]["front_share"]) == UNKNOWN


@pytest.mark.parametrize(("height", "half"), [(450.0, 450.0), (250.0, 250.0)])
def test_a_height_that_may_be_nothing_is_no_fault(height: float, half: float) -> None:
    job = car(0.0)
    values = {**job.values, "cg_height": replace(job.values["cg_height"], value=height, plus_minus=half)}
    assert found(replace(job, values=values))


def test_one_wheel_is_seen_by_its_side_too() -> None:
    assert "one_side" in found(car(0.0, corner_side="left"))
    assert "one_side" not in found(car(0.0, corner_side="both"))


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
    told = found(own)["lock_order"]
    assert told.verdict is Verdict.FITS
    assert "the rear wheels may lock first" in told.said


def _hill_climb(words: str) -> Job:
    job = read_job(Path(folder("demo_workbooks")) / "hill_climb_two_seater.xlsx")[0]
    assert any("edge code FF" in part.description for part in job.prices)
    prices = (replace(part, description=part.description.replace("edge code FF", words)) for part in job.prices)
    return replace(job, prices=tuple(prices))


@pytest.mark.parametrize("words", ["edge code FF", "edge code: FF", "edge-code FF", "Edge codes ff"])
def test_an_edge_code_as_it_is_written(words: str) -> None:
    assert assess(_hill_climb(words)).cured.get("pad_friction") == 0.4


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
    assert (
        word(of[1]["pad_window"]) == UNKNOWN
    )  # the kit's temperatures are of its own pads, and stand where they would be asked for
    assert of[1]["pad_window"].asks == ()
    assert "their maker's sheet" in of[1]["pad_window"].said
    note = "judged with the kit's own"
    same = replace(
        job, values={**job.values, "pad_friction": friction}
    )  # the kit's own have the friction of those that are bought
    assert not any(note in one for one in not_looked_at(assess(same)))
    assert not any(note in one for report in (bought, unknown) for one in not_looked_at(report))
    assert word(of[2]["lock_order"]) == UNKNOWN
    assert "state no edge code" in of[2]["lock_order"].said


@pytest.mark.parametrize(("over", "said"), [(0.999, GOOD), (1.001, BAD)])
def test_a_failed_booster_just_inside_and_just_outside(over: float, said: str) -> None:
    """At most 500 N for 2.44 m/s² (UN R13-H, annex 3, 2.2.1; FMVSS 135, S7.11; from memory): the pedal ratio that needs so much is
    worked out from the figure at a ratio of 4, which it is one over of; every ± 0 but for the constants, 0.80 to 0.95 of efficiency."""
    small = {"caliper_bores": (24.0, 24.0), "pad_friction": 0.35}
    at_four = found(car(0.0, pedal_ratio=4.0, **small))["failed_booster"].value
    force = at_four.high if over < 1 else at_four.low
    told = found(car(0.0, pedal_ratio=4.0 * force / 500.0 / over, **small))["failed_booster"]
    assert word(told) == said


def test_a_failed_booster_that_is_no_worse_than_now_or_none() -> None:
    """The same pistons: looked at. Without a booster the pedal force says it all."""
    weak = {"caliper_bores": (20.0, 20.0), "pad_friction": 0.30, "pedal_ratio": 2.0}
    now = {"present_front_bores": (20.0, 20.0), "present_front_build": "fixed", "present_front_friction": 0.30}
    assert word(found(car(0.0, **weak))["failed_booster"]) == BAD
    assert word(found(car(0.0, **weak, **now, present_front_effective_radius=100.0))["failed_booster"]) == LOOK
    assert "failed_booster" not in found(car(0.0, booster_gain=1.0))
