"""Bolt circles as people type them. What notations mean: common practice, no source."""

from datetime import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bomcheck.model.errors import Unreadable
from bomcheck.notation import read_bolt_circle, read_bolt_circles

ONE = [
    ("5x114.3", 5, 114.3),
    ("5-114.3", 5, 114.3),
    ("5/114.3", 5, 114.3),
    ("114.3x5", 5, 114.3),
    ('5x4.5"', 5, 114.3),
    ("5x4.5", 5, 114.3),
    ("5x4-1/2", 5, 114.3),
    ("5x4 1/2", 5, 114.3),
    ("5x4½", 5, 114.3),
    ("5 on 4.5", 5, 114.3),
    ("5 lug 4.5 in", 5, 114.3),
    ("5 × 114,3 mm", 5, 114.3),
    ("4.5x5", 5, 114.3),
    ("5x4.75", 5, 120.65),
    ("5x4.25", 5, 107.95),
    ("5x108", 5, 108.0),
    ("4x4", 4, 101.6),
    ("4x100", 4, 100.0),
    ("5x115", 5, 115.0),
    ("6x5.5", 6, 139.7),
    ("5x120.65 PCD", 5, 120.65),
]


@pytest.mark.parametrize(("typed", "count", "mm"), ONE)
def test_one_circle_however_it_is_typed(typed, count, mm):
    """The small whole number is the count on whichever side; 2 to 8 is inches."""
    circle = read_bolt_circle(typed)
    assert circle is not None
    assert (circle.count, circle.diameter) == (count, mm)
    assert circle.low == circle.high
    assert read_bolt_circle(circle.name) == circle


@pytest.mark.parametrize("typed", ["5-lug", "5 lug", "5H", "5 stud", "5"])
def test_a_count_alone_leaves_the_diameter_open(typed):
    """5 lug says nothing about the circle."""
    circle = read_bolt_circle(typed)
    assert circle is not None
    assert (circle.name, circle.count, circle.diameter) == ("5", 5, None)
    assert read_bolt_circle(circle.name) == circle


@pytest.mark.parametrize(
    ("typed", "names"),
    [
        ("5x100/114.3", ["5x100", "5x114.3"]),
        ("5x100; 5x114.3", ["5x100", "5x114.3"]),
        ("5x100, 5x114.3", ["5x100", "5x114.3"]),
        ("5x100 + 5x114.3", ["5x100", "5x114.3"]),
        ("4x100/4x108", ["4x100", "4x108"]),
        ("dual 5x4.5/4.75", ["5x114.3", "5x120.65"]),
        ("5x4-1/2/4-3/4", ["5x114.3", "5x120.65"]),
        ("5x100-114.3 slotted", ["5x100-114.3 slotted"]),
        ("slotted 5x100 to 114.3", ["5x100-114.3 slotted"]),
        ("5x4-1/2-4-3/4 slotted", ["5x114.3-120.65 slotted"]),
    ],
)
def test_dual_and_slotted_hats(typed, names):
    """Every circle of a dual-drilled hat is kept; a slot keeps both ends."""
    circles = read_bolt_circles(typed)
    assert circles is not None
    assert [circle.name for circle in circles] == names
    assert [read_bolt_circle(name) for name in names] == list(circles)


def test_near_circles_stay_apart():
    """107.95 and 108 differ by 0.05, 115 and 114.3 by 0.7, 101.6 and 100 by 1.6: no snapping here."""
    gaps = [("5x4.25", "5x108", 0.05), ("5x4.5", "5x115", 0.7), ("4x4", "4x100", 1.6)]
    for one, other, gap in gaps:
        a, b = read_bolt_circle(one), read_bolt_circle(other)
        assert a
        assert b
        assert abs((a.diameter or 0) - (b.diameter or 0)) == pytest.approx(gap)


@pytest.mark.parametrize(
    ("typed", "kind"),
    [
        ("dual 4.5/4.75", "part of it missing"),
        ("114.3", "part of it missing"),
        ("5x100 slotted", "part of it missing"),
        ("5x100-114.3", "unreadable text"),
        ("2x100", "unreadable text"),
        ("12x114.3", "unreadable text"),
        ("5x20", "unreadable text"),
        ("five by something", "unreadable text"),
        (datetime(2026, 5, 10), "date in a size"),
    ],
)
def test_what_is_no_bolt_circle_is_refused(typed, kind):
    """Neither the count nor the kind of hole is guessed."""
    with pytest.raises(Unreadable) as caught:
        read_bolt_circles(typed)
    assert caught.value.kind == kind


def test_a_cell_for_one_circle_refuses_two():
    """A hub has one circle."""
    with pytest.raises(Unreadable, match="more than one"):
        read_bolt_circle("5x100/114.3")


@given(st.integers(3, 10), st.integers(50_000, 399_999))
def test_every_name_reads_to_itself(count, micrometres):
    """Canonical names are stable."""
    circle = read_bolt_circle(f"{count}x{micrometres / 1000!r}")
    assert circle is not None
    assert circle.count == count
    assert read_bolt_circle(circle.name) == circle
