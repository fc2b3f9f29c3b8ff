"""The present rotors' heat beside the kit's: by hand, and quiet where their mass is blank."""

import pytest

from bomcheck.car.assess import known_scene
from bomcheck.car.checks import UNKNOWN, word
from bomcheck.car.series import heat_curves
from tests.system.cars import CAR, car, found, sizes_of


def test_one_stop_before_and_after_by_hand():
    """0.5 x 1 450 kg x 1.04 x (35² - 15²) m²/s² = 754 000 J; half of the front's share of it, 92.5 percent into 5.5 kg of
    480 J/(kg·K) now and into 7.0 kg with the kit; the shares are those that the finding of the share states."""
    answers = found(car(0.0))
    share, one = answers["front_share"], answers["single_stop"]
    assert one.before.middle == pytest.approx(754000 * share.before.middle / 2 * 0.925 / (5.5 * 480), rel=1e-9)
    assert one.value.middle == pytest.approx(754000 * share.value.middle / 2 * 0.925 / (7.0 * 480), rel=1e-9)
    rear = answers["single_stop_other"]
    assert rear.before.middle == pytest.approx(754000 * (1 - share.before.middle) / 2 * 0.925 / (3.5 * 480), rel=1e-9)
    assert rear.value.middle == pytest.approx(754000 * (1 - share.value.middle) / 2 * 0.925 / (3.5 * 480), rel=1e-9)


def test_a_kit_that_is_what_is_on_the_car_heats_alike():
    """The present pistons, radius, pads and rotor mass."""
    same = {
        "caliper_bores": CAR["present_front_bores"], "caliper_build": "sliding", "pad_friction": 0.38,
        "kit_effective_radius": 110.0, "rotor_mass": 5.5,
    }  # fmt: skip
    answers = found(car(0.0, **same))
    for key in ("single_stop", "repeated_stops", "single_stop_other", "repeated_stops_other", "fluid_margin"):
        assert answers[key].before == answers[key].value, key


@pytest.mark.parametrize(
    ("axle", "present"), [("front", "present_front_rotor_mass"), ("rear", "present_rear_rotor_mass")]
)
def test_a_blank_present_mass_is_said_and_never_in_the_way(axle, present):
    """The kit's rotor is judged all the same, in words the present one is not known, and nothing is asked."""
    answers = found(car(axle=axle, **{present: None}))
    for key in ("single_stop", "repeated_stops"):
        assert word(answers[key]) != UNKNOWN
        assert answers[key].before is None
        assert answers[key].said.endswith(f"Now: not known, blank: Present {axle} rotor mass")
        assert not answers[key].asks
    assert answers["fluid_margin"].before is None


def test_the_other_axles_rotor_is_left_out_where_its_mass_is_blank():
    """Nothing is said of a rotor that was not weighed."""
    assert "single_stop_other" not in found(car(present_rear_rotor_mass=None))
    assert "single_stop_other" in found(car())


def test_the_chart_shows_both_rotors():
    """The present rotor's last point is the figure before; without its mass there is no such line."""
    job = car()
    curves = heat_curves(known_scene(job, sizes_of(job)))
    assert curves.rotor_now[-1] == pytest.approx(found(job)["repeated_stops"].before.middle, rel=1e-9)
    assert len(curves.rotor_now) == len(curves.rotor)
    bare = car(present_front_rotor_mass=None)
    assert heat_curves(known_scene(bare, sizes_of(bare))).rotor_now == ()
