"""Sizes that a spreadsheet turned into a date are named, never used.

What spreadsheets do: observed behaviour, no source.
"""

from datetime import date, datetime

import pytest

from bomcheck.model.errors import Unreadable
from bomcheck.notation import read_date, refuse_date


@pytest.mark.parametrize(
    ("typed", "guesses"),
    [
        (date(2026, 10, 1), ('"10-1"', '"1-10"')),
        (datetime(2026, 10, 1), ('"10-1"', '"1-10"')),
        ("2026-10-01", ('"10-1"', '"1-10"')),
        ("Jan-10", ('"1-10"', '"10-1"')),
        ("10-Oct", ('"10-10"',)),
        (date(1932, 10, 1), ('"10-32"',)),
        (date(1998, 5, 1), ('"5-98"',)),
    ],
)
def test_the_fault_says_what_was_probably_typed(typed, guesses):
    """10-1 becomes 1 October or 10 January, 10-32 becomes October 1932."""
    fault = refuse_date(typed, "thread")
    assert fault.kind == "date in a size"
    assert all(guess in fault.wrong for guess in guesses)
    assert "text" in fault.instead
    assert "M10x1.0" in fault.instead


@pytest.mark.parametrize(
    ("unit", "example"),
    [("mm", "10.5"), ("bolt circle", "5x114.3"), ("line end", "M10x1.0 bubble female"), ("N·m", "N·m")],
)
def test_the_remedy_fits_the_field(unit, example):
    """The example is of the kind that belongs into the cell."""
    assert example in refuse_date(date(2026, 10, 1), unit).instead


@pytest.mark.parametrize(
    ("typed", "wrong", "instead"),
    [
        ("2026-11-31", "November 2026 has no day 31", "1 to 30"),
        ("29.2.2026", "February 2026 has no day 29", "1 to 28"),
        ("30 Feb 2028", "February 2028 has no day 30", "1 to 29"),
        ("2026-13-01", "no month 13", "1 to 12"),
        ("soon", "this is no date", "year first"),
    ],
)
def test_a_day_that_no_calendar_has(typed, wrong, instead):
    """Days of the months: the Gregorian calendar, ISO 8601."""
    with pytest.raises(Unreadable) as caught:
        read_date(typed)
    assert wrong in caught.value.wrong
    assert instead in caught.value.instead
