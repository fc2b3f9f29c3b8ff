"""All pistons of the caliper that the kit replaces: caught before any figure is made of them."""

import pytest

from bomcheck.car.assess import known_scene
from bomcheck.car.checks import GOOD, UNKNOWN, word
from bomcheck.car.hydraulics import one_side_area, replaced_both_sides
from bomcheck.car.series import heat_curves, stroke_budget
from tests.system.cars import car, found, sizes_of

BEFORE = ("front_share", "line_pressure", "pedal_force", "master_stroke", "brake_torque", "best_stop")


@pytest.mark.parametrize("bores", [(40.0, 40.0, 36.0, 36.0), (42.0, 42.0, 40.0, 40.0), (36.0,) * 4, (30.0,) * 6])
def test_both_sides_of_the_present_caliper_are_caught(bores):
    """Asked for, nothing stands under "now", and what needs both states is not known."""
    answers = found(car(present_front_bores=bores, present_front_build="fixed"))
    told = answers["pistons_front_now"]
    assert word(told) == UNKNOWN
    assert told.asks == ("present_front_bores",)
    assert "ONE side" in told.do
    for key in BEFORE:
        assert answers[key].before is None, key
        assert answers[key].value is not None, key
    assert word(answers["best_stop_loss"]) == UNKNOWN
    assert "both sides" in answers["best_stop_loss"].said
    assert word(answers["pistons_front"]) == GOOD


@pytest.mark.parametrize(
    ("bores", "build"), [((40.0, 36.0), "fixed"), ((42.0, 42.0), "fixed"), ((40.0, 40.0), "sliding")]
)
def test_one_side_is_taken_as_it_is(bores, build):
    """Half of the same lists, or a sliding caliper."""
    answers = found(car(present_front_bores=bores, present_front_build=build))
    assert word(answers["pistons_front_now"]) == GOOD
    assert answers["front_share"].before is not None


def test_a_caliper_that_has_so_many_on_one_side_can_be_entered():
    """One bore of the same area is taken, and is the area of all four: 4 x 36² = 72²."""
    told = found(car(present_front_bores=(36.0,) * 4, present_front_build="fixed"))["pistons_front_now"]
    assert told.do.endswith("72 mm")
    assert one_side_area((72.0,)) == pytest.approx(one_side_area((36.0,) * 4))
    assert word(found(car(present_front_bores=(72.0,), present_front_build="fixed"))["pistons_front_now"]) == GOOD


def test_both_lists_with_both_sides_are_both_caught():
    """Neither list vouches for the other."""
    both = {"caliper_bores": (42.0, 42.0, 38.0, 38.0), "present_front_bores": (40.0, 40.0, 36.0, 36.0)}
    answers = found(car(**both, present_front_build="fixed"))
    assert word(answers["pistons_front_now"]) == UNKNOWN
    assert word(answers["pistons_front"]) != GOOD


@pytest.mark.parametrize(("factor", "doubt"), [(0.79, False), (0.81, None), (1.49, None), (1.51, True)])
def test_four_pistons_against_the_kits_area(factor, doubt):
    """Free while half of them would be less than 0.4 of the kit's, surely doubled from 1.5 on: common practice, no source."""
    four = (36.0,) * 4
    assert replaced_both_sides(four, "fixed", one_side_area(four) / factor) is doubt


def test_no_curve_of_now_is_drawn_from_them():
    """The charts leave the present car out."""
    job = car(present_front_bores=(42.0, 42.0, 40.0, 40.0), present_front_build="fixed")
    curves, budget = (of(known_scene(job, sizes_of(job))) for of in (heat_curves, stroke_budget))
    assert curves is not None
    assert budget is not None
    assert not curves.rotor_now
    assert not budget.now


def test_a_rear_kit_looks_at_the_present_rear_caliper():
    """The axle of the kit, whichever it is."""
    rear = {
        "axle": "rear",
        "present_rear_bores": (38.0,) * 4,
        "present_rear_build": "fixed",
        "caliper_bores": (36.0, 30.0),
    }
    answers = found(car(**rear))
    assert word(answers["pistons_rear_now"]) == UNKNOWN
    assert "pistons_front_now" not in answers
