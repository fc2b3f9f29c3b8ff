"""Closed lists, counts and dates."""

from datetime import date, datetime

import pytest

from bomcheck.model.errors import Unreadable
from bomcheck.notation import read_choice, read_choices, read_count, read_date

BUILDS = ["one-piece", "two-piece"]


@pytest.mark.parametrize(
    ("typed", "choices", "choice"),
    [
        ("One piece", BUILDS, "one-piece"),
        ("1-piece", BUILDS, "one-piece"),
        ("TWO-PIECE", BUILDS, "two-piece"),
        ("Aluminum", ["steel", "aluminium"], "aluminium"),
        (True, ["yes", "no"], "yes"),
        ("n", ["yes", "no"], "no"),
        ("none", ["none", "straight"], "none"),
        ("?", BUILDS, None),
        (None, BUILDS, None),
    ],
)
def test_choices_are_told_apart_by_words_not_by_capitals_or_dashes(typed, choices, choice):
    """A blank is no choice, "none" may be one."""
    assert read_choice(typed, choices) == choice


def test_a_near_miss_is_asked_and_not_taken():
    """Did you mean."""
    with pytest.raises(Unreadable, match='Did you mean "two-piece"') as caught:
        read_choice("two pice", BUILDS)
    assert caught.value.kind == "not one of the choices"


def test_several_choices():
    """Divided by semicolon, comma, slash or "and"."""
    duties = ["road", "fast road", "track", "race"]
    for typed in ("road; fast road", "road, fast road", "road/fast road", "road and fast road", "Road & Fast Road"):
        assert read_choices(typed, duties) == ("road", "fast road")
    assert read_choices("TBC", duties) is None


@pytest.mark.parametrize(
    ("typed", "count"), [("5", 5), (5.0, 5), (5, 5), ("5 pcs", 5), ("x5", 5), ("0", 0), ("-", None)]
)
def test_counts(typed, count):
    """A count carries no unit and no fraction."""
    assert read_count(typed) == count


@pytest.mark.parametrize("typed", ["4.5", "-1", -1, "five", True, 2.5, "1e99", float("nan"), float("inf")])
def test_no_counts(typed):
    """Halves, words and negatives are refused."""
    with pytest.raises(Unreadable):
        read_count(typed)


@pytest.mark.parametrize(
    "typed", ["2026-10-01", "1.10.2026", "1 Oct 2026", datetime(2026, 10, 1, 8), date(2026, 10, 1), "1-Oct-26"]
)
def test_dates(typed):
    """Where only one reading is possible."""
    assert read_date(typed) == date(2026, 10, 1)


@pytest.mark.parametrize("typed", ["10/1/2026", "2026-13-01", "soon", "Jan-10", 44000])
def test_unclear_dates_are_asked(typed):
    """10/1 is October in one country and January in another."""
    with pytest.raises(Unreadable):
        read_date(typed)
