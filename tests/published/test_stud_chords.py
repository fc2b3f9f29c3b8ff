"""Bolt circles from the distance between two studs, against plane geometry.

Neighbours: chord = D sin(180°/n). One stud between, of five: D sin 72°. Figures computed from the formula (geometry).
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bomcheck.engine.settle import settle
from bomcheck.notation import read_bolt_circle
from bomcheck.notation.bolt_circle import circle_from_chord
from tests.helpers.jobs import good_job

NEIGHBOURS = [
    (4, 100.0, 70.711), (5, 100.0, 58.779), (5, 112.0, 65.832), (5, 114.3, 67.184), (5, 120.0, 70.534),
    (5, 120.65, 70.916), (6, 139.7, 69.850),
]  # fmt: skip
ONE_BETWEEN = [(120.0, 114.1), (127.0, 120.8), (120.65, 114.7), (114.3, 108.7)]


@pytest.mark.parametrize(("count", "circle", "chord"), NEIGHBOURS)
def test_neighbours(count: int, circle: float, chord: float) -> None:
    """The circle comes back from the chord of neighbours."""
    assert circle_from_chord(chord, count) == pytest.approx(circle, abs=0.002)


@pytest.mark.parametrize(("circle", "reads"), ONE_BETWEEN)
def test_one_between_of_five(circle: float, reads: float) -> None:
    """Across one stud each circle reads like another known one; told so, it comes back right."""
    assert circle_from_chord(reads, 5, between=1) == pytest.approx(circle, abs=0.06)


@given(st.integers(3, 10), st.floats(90, 200), st.integers(0, 1))
def test_chord_of_points_on_a_circle(count: int, circle: float, between: int) -> None:
    """Second computation: the distance of two points placed on the circle."""
    angle = 2 * math.pi * (between + 1) / count
    chord = math.dist((circle / 2, 0.0), (circle / 2 * math.cos(angle), circle / 2 * math.sin(angle)))
    if chord > 1.0:
        assert circle_from_chord(chord, count, between) == pytest.approx(circle, rel=1e-9)


def test_a_job_with_a_count_and_a_chord_snaps_to_the_named_circle() -> None:
    """Five studs, neighbours 65.9 mm apart: 112.1 mm ±0.17, and only 112 is within it."""
    job = settle(good_job(hub_bolt_circle=read_bolt_circle("5 lug"), hub_bolt_circle_basis=None, hub_stud_chord=65.9,
                          hub_stud_chord_over="neighbours"))  # fmt: skip
    assert job.get("hub_circle_diameter") == 112.0
    assert job.values["hub_circle_diameter"].plus_minus == 0.0
