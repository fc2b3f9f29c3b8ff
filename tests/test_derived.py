"""Sizes that follow from others: hats, ears from two distances, knurls; against plain geometry on a fine grid."""

from itertools import product
from math import hypot, isclose
from random import Random

import pytest

from bomcheck.engine.inputs import Inputs
from bomcheck.engine.settle import settle
from bomcheck.model.sizes import Missing, Span
from bomcheck.rules.derived import DERIVATIONS, ears_from_two_distances
from tests.helpers.jobs import good_job


def ears(upper: float, lower: float, spacing: float, half: float) -> Inputs:
    changes = {"ear_height": None, "ear_sideways_offset": None}
    sizes = {"ear_distance_upper": (upper, half), "ear_distance_lower": (lower, half), "ear_spacing": (spacing, half)}
    return Inputs(settle(good_job(**changes, **sizes)), DERIVATIONS)


@pytest.mark.parametrize(
    ("height", "sideways", "spacing"), [(90.0, 0.0, 130.0), (75.0, 12.0, 90.0), (60.0, -20.0, 110.0)]
)
def test_ears_from_two_distances(height: float, sideways: float, spacing: float) -> None:
    """Made from a known place, the two distances give it back: + is toward the upper hole. Source: Pythagoras."""
    upper, lower = hypot(height, sideways + spacing / 2), hypot(height, sideways - spacing / 2)
    sizes = ears(upper, lower, spacing, 0.0)
    assert isclose(sizes.number("hub_axis_to_ears"), height, abs_tol=1e-9)
    assert isclose(sizes.number("ears_sideways"), sideways, abs_tol=1e-9)


def test_their_range_holds_every_point_of_a_grid() -> None:
    """Also where the angle at a hole is square, and the height has its top inside the ±."""
    dice, steps = Random(4), [index / 5 - 1 for index in range(11)]
    for _ in range(25):
        spacing = dice.uniform(70, 140)
        height, foot = dice.uniform(60, 110), dice.choice((0.0, spacing, dice.uniform(-20, spacing + 20)))
        upper, lower, half = hypot(height, foot), hypot(height, spacing - foot), dice.choice((0.1, 0.3, 1.0))
        low, high = ears_from_two_distances(*(Span(size - half, size + half) for size in (upper, lower, spacing))) or (
            0,
            0,
        )
        heights = []
        for a, b, c in product(steps, repeat=3):
            r1, r2, length = upper + a * half, lower + b * half, spacing + c * half
            s1 = (length**2 + r1**2 - r2**2) / (2 * length)
            heights.append((r1**2 - s1**2) ** 0.5)
        assert low - 1e-9 <= min(heights)
        assert max(heights) <= high + 1e-9
        assert min(heights) - low < 1e-6  # no wider than it must be
        assert high - max(heights) < 0.05 * half


def test_three_sizes_that_make_no_triangle_are_asked_for() -> None:
    """50 and 50 do not span 130: nothing is worked out from it."""
    with pytest.raises(Missing):
        ears(50.0, 50.0, 130.0, 0.1)["hub_axis_to_ears"]


def test_a_measured_height_goes_before_the_two_distances() -> None:
    """Both typed: the height is used."""
    job = good_job(ear_distance_upper=115.0, ear_distance_lower=115.0)
    assert Inputs(settle(job), DERIVATIONS).number("hub_axis_to_ears") == 95.0


def test_the_wheels_own_pilot_where_it_has_one() -> None:
    """A second step is the wheel's; otherwise wheel and rotor share the pilot."""
    shared = Inputs(settle(good_job()), DERIVATIONS)
    own = Inputs(settle(good_job(hub_wheel_pilot_diameter=57.0, hub_wheel_pilot_length=18.0)), DERIVATIONS)
    assert (shared.number("wheel_pilot_diameter"), shared.number("wheel_pilot_length")) == (66.5, 14.0)
    assert (own.number("wheel_pilot_diameter"), own.number("wheel_pilot_length")) == (57.0, 18.0)


def test_every_derived_size_names_fields_that_a_person_types() -> None:
    """What is asked for, where a derived size is missing, is never a derived size itself."""
    blank = Inputs(settle(good_job(**dict.fromkeys(good_job().values))), DERIVATIONS)
    asked = {key: name for key in DERIVATIONS for name in lacking(blank, key)}
    assert asked
    assert not [name for name in asked.values() if name in DERIVATIONS]


def lacking(sizes: Inputs, key: str) -> tuple[str, ...]:
    """The fields that a derived size waits for; empty where it is known."""
    try:
        sizes[key]
    except Missing as missing:
        return missing.keys
    return ()
