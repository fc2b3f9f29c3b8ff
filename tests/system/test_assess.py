"""What the system checks say of whole cars: good, refused, asked; never in the way of the fit."""

import re
from dataclasses import replace

import pytest

from bomcheck.car.assess import assess_axles, known_scene
from bomcheck.car.checks import BAD, GOOD, LOOK, UNKNOWN, WORDS, word
from bomcheck.car.figures import brakes
from bomcheck.car.findings_balance import _area_that_keeps_balance
from bomcheck.car.spread import exact
from bomcheck.car.states import TYPED
from bomcheck.model.job import Job, Value
from bomcheck.tables.fields import section_fields
from tests.system.cars import CAR, EVERYTHING, KIT, car, found, sizes_of

# A large bolt-on front kit on a light car with a small master cylinder: three big pistons a side and grippy pads.
TOO_MUCH = {"caliper_bores": (46.0, 42.0, 38.0), "pad_friction": 0.50, "rotor_diameter": 355.0, "master_bore": 19.05}


def test_a_kit_that_is_too_strong_is_refused_in_words_a_customer_understands():
    """Closely measured: the car stops later than now, the sentence says by how many metres."""
    refused = found(car(0.3, **TOO_MUCH))["best_stop_loss"]
    assert word(refused) == BAD
    assert "from 100 km/h" in refused.said
    assert "m farther to stop" in refused.said
    assert "smaller pistons" in refused.do


@pytest.mark.parametrize(
    ("rear", "words"), [(1.0, "smaller pistons"), (0.6, "smaller pistons"), (2.0, "larger pistons")]
)
def test_the_area_that_keeps_the_balance_counts_with_the_rear_brakes_that_will_be_there(
    rear: float, words: str
) -> None:
    """With that area the front brakes are as much stronger than the rear ones, changed too, as they are now."""
    job = car(**{**TOO_MUCH, "caliper_bores": (42.0, 38.0), "pad_friction": 0.38})
    scene = known_scene(job, sizes_of(job))
    ranges = {**scene.kit.ranges, "rear_area": exact(rear * scene.kit.ranges["rear_area"].middle)}
    scene = replace(scene, kit=replace(scene.kit, ranges=ranges))
    said = _area_that_keeps_balance(scene)
    ranges["front_area"] = exact(float(re.search(r"about (\d+) mm²", said)[1]))
    now, then = (state.middle(brakes) for state in (scene.present, replace(scene.kit, ranges=ranges)))
    assert then.front / then.rear == pytest.approx(now.front / now.rear, rel=1e-3)
    assert words in said


def test_the_next_master_cylinder_that_works_is_demanded():
    """The stroke fails for every true size; the bore that is demanded works for every true size, the one before does not."""
    job = car(0.3, **TOO_MUCH)
    stroke = found(job)["master_stroke"]
    assert word(stroke) == BAD
    (demand,) = stroke.demands
    assert (demand.role, demand.per) == ("master cylinder", "car")
    low, high = demand.spec["inner_diameter"]
    bore = (low + high) / 2
    assert word(found(car(0.3, **{**TOO_MUCH, "master_bore": bore}))["master_stroke"]) == GOOD
    smaller = [size for size in (20.638, 22.225, 23.812, 25.4, 26.988, 28.575, 31.75) if size < bore - 0.2]
    assert smaller
    assert word(found(car(0.3, **{**TOO_MUCH, "master_bore": smaller[-1]}))["master_stroke"]) != GOOD


def test_a_stroke_that_no_bore_cures_says_so():
    """Huge clearance: no master cylinder of the trade is large enough."""
    stroke = found(car(0.1, **TOO_MUCH, pad_clearance=0.78, master_stroke_front=6.0))["master_stroke"]
    assert word(stroke) == BAD
    assert not stroke.demands
    assert "No master cylinder" in stroke.do


def test_a_rear_kit_that_locks_first_is_refused_and_a_valve_is_demanded_where_one_can_cure_it():
    """A strong rear kit: the rear wheels lock first; a proportioning valve in the rear line is the part."""
    rear = {
        "axle": "rear",
        "caliper_bores": (36.0, 30.0),
        "pad_friction": 0.40,
        "rotor_diameter": 310.0,
        "pad_height": 45.0,
    }
    refused = found(car(0.2, **rear, front_mass_share=0.50, present_front_bores=(60.0,), residual_valve_rear=0.0))[
        "lock_order"
    ]
    assert word(refused) == BAD
    assert [demand.role for demand in refused.demands] == ["proportioning valve"]
    assert "rear wheels may lock first" in refused.said


def test_too_strong_a_rear_brake_is_no_case_for_a_valve():
    """Where the rear would lock at any rate, a valve alone does not cure it."""
    rear = {"axle": "rear", "caliper_bores": (46.0, 42.0, 38.0), "pad_friction": 0.55, "rotor_diameter": 355.0}
    refused = found(car(0.2, **rear))["lock_order"]
    assert word(refused) == BAD
    assert not refused.demands


@pytest.mark.parametrize("key", sorted(set(EVERYTHING) - {"axle"}))
def test_any_blank_field_gives_not_known_and_a_question_never_an_error(key):
    """Each field taken out in turn: whatever needs it is not known and asks for it."""
    for finding in found(car(**{key: None})).values():
        assert word(finding) in WORDS
        if word(finding) == UNKNOWN:
            assert finding.asks, finding
            assert finding.said, finding
            assert finding.do, finding
            assert finding.value is None or finding.check == "residual_valve"


def test_a_field_that_a_formula_needs_is_the_one_that_is_asked_for():
    """Blank rear friction: pressure, share, pedal and heat ask for it."""
    answers = found(car(present_rear_friction=None))
    for key in ("front_share", "line_pressure", "pedal_force", "best_stop", "single_stop"):
        assert word(answers[key]) == UNKNOWN
        assert answers[key].asks == ("present_rear_friction",)
    assert word(answers["master_stroke"]) != UNKNOWN


def test_with_nothing_on_the_system_sheet_one_finding_says_so():
    """The fit verdict needs none of it."""
    job = Job({key: Value(key, value) for key, value in KIT.items()})
    ((only,),) = assess_axles([(job, sizes_of(job))])
    assert word(only) == UNKNOWN
    assert "System sheet" in only.said


def test_entering_all_pistons_of_a_fixed_caliper_is_caught():
    """Six pistons in equal halves: asked, and nothing that needs the area is judged with it."""
    answers = found(car(caliper_bores=(42.0, 42.0, 38.0, 38.0, 34.0, 34.0)))
    assert answers["pistons_front"].asks == ("caliper_bores",)
    for key in ("front_share", "line_pressure", "master_stroke", "brake_torque"):
        assert word(answers[key]) == UNKNOWN
        assert "both sides" in answers[key].said


def test_four_pistons_of_twice_the_present_area_are_caught_too():
    """All four of a four-piston caliper, against the sliding caliper that they replace."""
    answers = found(car(caliper_bores=(40.0, 40.0, 40.0, 40.0)))
    assert word(answers["pistons_front"]) == UNKNOWN
    assert word(found(car(caliper_bores=(40.0, 40.0)))["pistons_front"]) == GOOD


def test_a_valve_for_drums_on_a_disc_is_not_good():
    """10 psi keep the pads on the rotor; 2 psi with a low reservoir are in order; without them one is demanded."""
    held = found(car(residual_valve_front=0.069))["residual_valve"]
    assert word(held) == BAD
    assert held.said == "It holds 0.69 bar (10 psi)"
    assert word(found(car(residual_valve_front=0.0138, reservoir_below_caliper="yes"))["residual_valve"]) == GOOD
    low = found(car(reservoir_below_caliper="yes"))["residual_valve"]
    assert word(low) == BAD
    assert [demand.role for demand in low.demands] == ["residual valve"]
    assert low.demands[0].said.startswith("residual valve of 0.14 bar (2 psi) ")


def test_fluid_and_pads_against_the_duty():
    """Twenty hard stops boil wet fluid and leave the window; race pads never get warm in one gentle stop."""
    hard = found(
        car(
            0.1,
            stop_speed_from=55.0,
            stop_count=20,
            stop_interval=25.0,
            fluid_wet_boiling=140.0,
            pad_temperature_high=400.0,
        )
    )
    assert word(hard["fluid_margin"]) == BAD
    assert "DOT" not in hard["fluid_margin"].said
    assert word(hard["pad_window"]) == BAD
    assert word(hard["repeated_stops"]) == BAD
    gentle = found(car(0.1, stop_speed_from=15.0, stop_speed_to=10.0, stop_count=2, pad_temperature_low=200.0))
    assert word(gentle["pad_window"]) == BAD
    assert "never get warm" in gentle["pad_window"].do
    cold = found(car(0.1, pad_temperature_low=60.0, pad_temperature_high=1000.0))["pad_window"]
    assert word(cold) == LOOK
    assert "Cold" in cold.do


def test_before_and_after_agree_when_the_kit_is_what_is_on_the_car():
    """A kit of the present pistons, radius and pads changes nothing."""
    same = {
        "caliper_bores": CAR["present_front_bores"], "caliper_build": "sliding", "pad_friction": 0.38, "kit_effective_radius": 110.0,
    }  # fmt: skip
    answers = found(car(0.0, **same))
    for key in ("front_share", "brake_torque", "line_pressure", "pedal_force", "master_stroke"):
        before, after = answers[key].before, answers[key].value
        assert before is not None
        assert after is not None
        assert before.middle == pytest.approx(after.middle, rel=1e-12), key
    assert answers["pedal_travel"].value.middle == pytest.approx(0.0, abs=1e-12)
    assert answers["best_stop_loss"].value.middle == pytest.approx(0.0, abs=1e-12)


def test_a_booster_without_its_run_out_pressure_is_asked_and_a_gain_of_one_needs_none():
    """Blank run-out means no booster only where the gain is 1."""
    assert found(car(booster_runout_pressure=None))["pedal_force"].asks == ("booster_runout_pressure",)
    alone = found(car(booster_runout_pressure=None, booster_gain=1.0))["pedal_force"]
    assert word(alone) != UNKNOWN


def test_every_field_of_the_system_sheet_is_read():
    """Nothing typed is ignored: the sizes of the car, the pistons and the valves use them all."""
    used = {*TYPED, "reservoir_below_caliper", "circuit_split"}
    present = ("bores", "build", "effective_radius", "friction", "rotor_mass")
    used |= {f"present_{axle}_{name}" for axle in ("front", "rear") for name in present}
    assert {field.key for field in section_fields("system")} <= used


def test_a_hose_that_gives_more_than_the_law_allows_is_looked_at():
    """FMVSS 106, table I: the widest regular hose at 1 000 psi gives 495 mm³ a metre and MPa."""
    assert "hose_give" not in found(car(hose_compliance=490.0))
    assert word(found(car(hose_compliance=500.0))["hose_give"]) == LOOK
