"""Sizes that a spreadsheet turned into a date are named, never used.

What spreadsheets do: observed behaviour, no source.
"""

from datetime import date, datetime

import pytest

from bomcheck.notation import refuse_date


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
