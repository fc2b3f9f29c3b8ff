"""Piston lists: one side is asked for, both sides are noticed."""

import pytest

from bomcheck.car.hydraulics import both_sides_entered, equal_halves, one_side_area


def test_area_of_one_side():
    """Three pistons of 42, 38 and 34 mm: pi (21² + 19² + 17²)."""
    assert one_side_area((42.0, 38.0, 34.0)) == pytest.approx(3.14159265 * (441 + 361 + 289), rel=1e-8)


@pytest.mark.parametrize("bores", [(42.0, 42.0, 38.0, 38.0, 34.0, 34.0), (36.0,) * 6, (30.0,) * 8])
def test_six_pistons_in_equal_halves_are_both_sides(bores):
    """No caliper has twelve pistons."""
    assert both_sides_entered(bores, "fixed") is True


@pytest.mark.parametrize("bores", [(42.0, 38.0, 34.0), (44.45,), (40.0, 36.0)])
def test_a_list_that_is_no_pair_of_halves_is_one_side(bores):
    """Different bores stand beside each other on one side."""
    assert not equal_halves(bores)
    assert both_sides_entered(bores, "fixed", present_area=500.0, pressure=1.0) is False


def test_a_sliding_caliper_has_one_side():
    """Two equal pistons of a sliding caliper are all of them."""
    assert both_sides_entered((45.0, 45.0), "sliding") is False


def test_four_pistons_are_judged_by_what_they_replace():
    """Four of 38 mm: one side of eight, or both of four? The present caliper tells; without it, a question."""
    four = (38.0,) * 4
    assert both_sides_entered(four, "fixed") is None
    assert both_sides_entered(four, "fixed", present_area=one_side_area((54.0,))) is True
    assert both_sides_entered(four, "fixed", present_area=one_side_area((60.0, 60.0))) is False


def test_two_pistons_are_usual_unless_the_figures_speak_against_it():
    """Two of 38 mm are one side of a four-piston caliper; two of 60 mm against one of 48 mm are both sides of two."""
    assert both_sides_entered((38.0, 38.0), "fixed", present_area=one_side_area((54.0,))) is False
    assert both_sides_entered((60.0, 60.0), "fixed", present_area=one_side_area((48.0,))) is True
