"""A stop that the tyres cannot give is never "good": grip rows and hardest stop, just inside and just outside."""

import pytest

from bomcheck.car.balance import G
from bomcheck.car.checks import GOOD, LOOK, word
from tests.system.cars import CAR, car, found

SAME = {
    "caliper_bores": CAR["present_front_bores"], "caliper_build": "sliding", "pad_friction": 0.38,
    "kit_effective_radius": 110.0,
}  # fmt: skip
ROWS = ("grip_front", "grip_rear", "best_stop")


def _by_hand(front_area: float, asked: float) -> tuple[float, float]:
    """Grip used by front and rear [-] without a valve: force by areas, friction and radius; loads by statics (Gillespie, ch. 3)."""
    strength = front_area * 0.38 * 110.0, 36.0**2 * 0.36 * 115.0
    share = strength[0] / sum(strength)
    front_load = 0.55 + asked / G * 520.0 / 2600.0
    rate = asked / G
    return share * rate / front_load, (1 - share) * rate / (1 - front_load)


@pytest.mark.parametrize(("beyond", "verdict"), [(-0.002, GOOD), (0.002, LOOK)])
def test_the_row_turns_where_the_first_axle_uses_all_of_the_grip(beyond, verdict):
    """No ±: the road's grip a hair above and a hair below the most that an axle uses in the stop asked for."""
    used = _by_hand(54.0**2, 8.0)
    answers = found(car(0.0, **SAME, tyre_friction=max(used) - beyond))
    tight = "grip_rear" if used[1] > used[0] else "grip_front"
    loose = "grip_front" if tight == "grip_rear" else "grip_rear"
    assert word(answers[tight]) == verdict
    assert word(answers["best_stop"]) == verdict
    assert word(answers[loose]) == GOOD
    for key in (tight, "best_stop"):
        assert ("the tyres do not give the stop asked for" in answers[key].said) == (verdict == LOOK)
        assert ("Now the tyres" in answers[key].said) == (verdict == LOOK)
        assert bool(answers[key].do) == (verdict == LOOK)


def test_the_most_that_can_be_had_is_named():
    """Grip of 0.5: nobody stops at 0.82 g; the figure of the hardest stop stands in both rows."""
    answers = found(car(0.0, tyre_friction=0.5))
    best = answers["best_stop"].value
    for key in ROWS[:1] + ROWS[2:]:
        assert word(answers[key]) == LOOK
        assert f"at most {best.middle / G:.2f} g ({best.middle:.1f} m/s²)" in answers[key].said


def test_what_the_car_cannot_do_now_is_said_of_now_alone():
    """Weak present front brakes lock the rear first; the kit puts it right: the row is still to be looked at."""
    grip = max(_by_hand(54.0**2, 8.0)) - 0.01
    answers = found(car(0.0, tyre_friction=grip, present_front_friction=0.30))
    kit = found(car(0.0, tyre_friction=1.2))
    assert word(kit["best_stop"]) == GOOD
    assert "Now the tyres do not give" in answers["grip_rear"].said
    assert "With the kit" not in answers["grip_rear"].said
    assert word(answers["grip_rear"]) == LOOK


def test_inside_the_plus_minus_it_may_not():
    """A road's grip of ±0.05 about the grip that is used: for some true sizes it holds."""
    used = max(_by_hand(54.0**2, 8.0))
    said = found(car(1.0, **SAME, tyre_friction=used))["best_stop"].said
    assert "the tyres may not give the stop asked for" in said


@pytest.mark.parametrize("key", ["tyre_friction", "design_deceleration"])
def test_a_blank_keeps_the_other_rows_as_they_are(key):
    """Without the road's grip, or the stop, nothing is said of it."""
    for row in ROWS:
        assert "the stop asked for," not in found(car(**{key: None}))[row].said
