"""Sizes that a spreadsheet turned into a date, and fields that are dates."""

import re
from calendar import monthrange
from datetime import date, datetime

from bomcheck.model.errors import Unreadable
from bomcheck.notation.text import is_blank, plain, refuse

MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
MONTH_NAMES = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
_MONTH = rf"({'|'.join(MONTHS)})[a-z]*\.?"
_ISO = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})(?:[T ]\d{1,2}:\d{2}(?::\d{2}(?:\.\d+)?)?)?")
_DAY_FIRST = re.compile(rf"(\d{{1,2}})[-/. ]{_MONTH}(?:[-/. ,]+(\d{{2,4}}))?", re.I)
_MONTH_FIRST = re.compile(rf"{_MONTH}[-/. ](\d{{1,2}})(?:[-/, ]+(\d{{4}}))?", re.I)
_DOTTED = re.compile(r"(\d{1,2})\.(\d{1,2})\.(\d{4})")
_SLASHED = re.compile(r"(\d{1,2})[-/](\d{1,2})[-/](\d{4})")
YEARS = (2000, 2100)
"""Within which a day is one of today's work."""
EXAMPLES = {
    "mm": 'for example 10.5, 3/8" or 1-3/4"',
    "thread": "for example M10x1.0 or 3/8-24",
    "bolt circle": "for example 5x114.3",
    "line end": "for example M10x1.0 bubble female",
}


def refuse_date(typed: object, unit: str) -> Unreadable:
    """The fault for a size that a spreadsheet turned into a date, to be raised.

    typed: a date, datetime, or text such as "2026-10-01" or "Jan-10". unit: "mm", "N·m" ..., "thread", "bolt circle" or
    "line end"; it chooses the example.
    """
    found = typed if isinstance(typed, date) else _as_date(plain(typed))
    guesses = " or ".join(f'"{guess}"' for guess in _guesses(found)) if found else "two numbers with a dash"
    example = EXAMPLES.get(unit, f"for example 12.5 {unit}".rstrip(" -"))
    return refuse(
        _shown(typed),
        f"the spreadsheet turned this into a date; it probably was {guesses}",
        f"Format the cell as text and type it again, {example}",
        "date in a size",
    )


def looks_like_date(text: str) -> bool:
    """Whether plain text is a date that a spreadsheet made, such as "2026-10-01", "10-Jan" or "Jan-10"."""
    return any(form.fullmatch(text) for form in (_ISO, _DAY_FIRST, _MONTH_FIRST))


def read_date(typed: object) -> date | None:
    """A date: a date cell, "2026-10-01", "1.10.2026", "1 Oct 2026", or 13/10/2026 where only one order is possible."""
    if isinstance(typed, date):
        return typed.date() if isinstance(typed, datetime) else typed
    if typed is None or is_blank(text := plain(typed)):
        return None
    if slashed := _SLASHED.fullmatch(text):
        first, second, year = map(int, slashed.groups())
        if first <= 12 and second <= 12 and first != second:
            raise refuse(
                typed, "day and month could be either way round", f"Type the year first, {year}-{second:02}-{first:02}"
            )
    found = _as_date(text, year_needed=True)
    if found is None:
        raise _no_date(typed, *_date_parts(text))
    if not YEARS[0] <= found.year <= YEARS[1]:
        raise refuse(
            typed, f"the year {found.year} cannot be meant", "Type the year with four figures, for example 2026-10-01"
        )
    return found


def _no_date(typed: object, year: int | None, month: int, day: int) -> Unreadable:
    """The fault for what is no date: of one whose day no calendar has, which part of it is wrong."""
    if not year or (month < 1 and day < 1):
        return refuse(typed, "this is no date", "Type the year first, for example 2026-10-01")
    if not 1 <= month <= 12:
        return refuse(typed, f"there is no month {month}", "Correct the month, 1 to 12")
    last, name = monthrange(year, month)[1], MONTH_NAMES[month - 1]
    return refuse(typed, f"{name} {year} has no day {day}", f"Correct the day, 1 to {last}")


def _shown(typed: object) -> str:
    if isinstance(typed, datetime) and typed.time() == datetime.min.time():
        return typed.date().isoformat()
    return str(typed)


def _as_date(text: str, year_needed: bool = False) -> date | None:
    """The date in plain text; one without a year gets this year, unless a year is needed."""
    year, month, day = _date_parts(text)
    if year is None and year_needed:
        return None
    try:
        return date(date.today().year if year is None else year, month, day)
    except ValueError:
        return None


def _date_parts(text: str) -> tuple[int | None, int, int]:
    """(year, month, day); (None, 0, 0) when the text is no date."""
    if found := _ISO.fullmatch(text):
        return int(found[1]), int(found[2]), int(found[3])
    if found := _DAY_FIRST.fullmatch(text):
        return _year(found[3]), MONTHS.index(found[2][:3].lower()) + 1, int(found[1])
    if found := _MONTH_FIRST.fullmatch(text):
        return _year(found[3]), MONTHS.index(found[1][:3].lower()) + 1, int(found[2])
    if found := _DOTTED.fullmatch(text):
        return int(found[3]), int(found[2]), int(found[1])
    if found := _SLASHED.fullmatch(text):
        first, second = int(found[1]), int(found[2])
        return int(found[3]), *((first, second) if second > 12 else (second, first))
    return None, 0, 0


def _year(text: str | None) -> int | None:
    return None if text is None else int(text) + (2000 if len(text) == 2 else 0)


def _guesses(found: date) -> list[str]:
    """What was typed before it became this date: month and day either way round, or month and a year such as 32."""
    if found.day == 1 and found.year % 100 > 28:
        return [f"{found.month}-{found.year % 100}", f"{found.month}/{found.year % 100}"]
    return list(dict.fromkeys([f"{found.month}-{found.day}", f"{found.day}-{found.month}"]))
