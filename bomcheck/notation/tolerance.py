"""Sizes with their tolerance in one cell, as drawings and people write them: a class, two deviations, a ±, a range.

The middle of the interval and half of its width are given, so the interval is carried exactly, whichever side it lies on.
"""

import math
import re
from functools import cache
from typing import NamedTuple

from bomcheck.notation.dates import looks_like_date
from bomcheck.notation.quantity import example, read_quantity
from bomcheck.notation.text import LONGEST, is_blank, plain, refuse
from bomcheck.tables import rows

STEPS = (3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500)
"""Upper ends of the steps of nominal sizes [mm], ISO 286-1 table 1."""
GRADES = {5: 7, 6: 10, 7: 16, 8: 25, 9: 40, 10: 64, 11: 100, 12: 160, 13: 250, 14: 400}
"""IT grade: how many tolerance units (ISO 286-1, annex)."""
DEVIATIONS = {"d": (16.0, 0.44), "e": (11.0, 0.41), "f": (5.5, 0.41), "g": (2.5, 0.34), "h": (0.0, 1.0)}
"""Fundamental deviation of a shaft below zero: factor and power of the mean size (ISO 286-1, annex)."""


class Toleranced(NamedTuple):
    """middle, half: of the interval of true sizes, in the internal unit."""

    middle: float
    half: float


_CLASS = re.compile(
    r"(?:Ø|dia\.?)?\s*(?P<size>[\d.,]+)\s*(?P<unit>mm)?\s*\(?(?P<letter>js|JS|(?!or|to)[A-Za-z]{1,2})\s?(?P<grade>\d{1,2})\)?"
)
_SIGNED = r"[+-]?\s*(?:\d+(?:[.,]\d+)?|[.,]\d+)"
_UNIT = r"\s*(?P<{}>mm|in\.?|inch|\"|μm|um)?"
_TWO = re.compile(
    rf"(?P<size>.*?\d\s*(?:mm|in\.?|\")?)\s*\(?\s*(?P<one>[+-]\s*(?:\d+(?:[.,]\d+)?|[.,]\d+)|(?<=[\s(])0(?=\s*[/;,]?\s*[+-]))(?:\s*[/;,]\s*|\s+|(?=[+-]))"
    rf"(?P<two>{_SIGNED})\s*\)?" + _UNIT.format("unit")
)
_BOTH = re.compile(
    r"(?P<size>.*?\d\s*(?:mm|in\.?|\")?)\s*(?:±|\+\s*/\s*-)\s*(?P<half>\d+\s*/\s*\d+|\d*[.,]?\d+)"
    + _UNIT.format("unit")
)
_TO = re.compile(
    r"(?P<low>\d*[.,]?\d+\s*(?:mm|in\.?|\")?)\s*(?:to|\.\.+|\.\.\.|…)\s*(?P<high>\d*[.,]?\d+)" + _UNIT.format("unit"),
    re.I,
)
_DASH = re.compile(r"(?P<low>\d+[.,]\d+)\s*-\s*(?P<high>\d+[.,]\d+)" + _UNIT.format("unit"))


def read_toleranced(typed: object, unit: str, cell_unit: str | None = None) -> Toleranced | None:
    """A size [`unit`] and its tolerance out of one cell; None where the cell states none. Raises Unreadable.

    typed: text, or anything else, which carries no tolerance. cell_unit: what bare figures are in.

    >>> read_toleranced("66.6 +0.05/-0", "mm")
    Toleranced(middle=66.625, half=0.025)
    >>> read_toleranced("66.60 H8", "mm")
    Toleranced(middle=66.623, half=0.023)
    """
    if not isinstance(typed, str) or len(typed) > LONGEST:
        return None
    text = plain(typed)
    if is_blank(text) or looks_like_date(text):
        return None
    if found := _CLASS.fullmatch(text):
        return _of_class(found, typed, unit, cell_unit)
    for pattern, read in ((_BOTH, _of_both), (_TO, _of_range), (_DASH, _of_range), (_TWO, _of_two)):
        if found := pattern.fullmatch(text):
            return read(found, typed, unit, cell_unit)
    return None


def _of_class(found: re.Match[str], typed: str, unit: str, cell_unit: str | None) -> Toleranced | None:
    """A class of ISO 286, "66.60 H8" or "12 h9"; None where the letters are a unit or a thread's, not a class."""
    letter, grade = found["letter"], int(found["grade"])
    if letter.lower() in ("m", "x", "et") or unit != "mm":
        return None
    nominal = _size(found["size"], unit, "mm" if found["unit"] else cell_unit)
    low, high = class_limits(nominal, letter, grade, typed)
    return _between(nominal + low, nominal + high)


def _of_both(found: re.Match[str], typed: str, unit: str, cell_unit: str | None) -> Toleranced:
    size, half = _with_units(found, ("size", "half"), typed, unit, cell_unit)
    return Toleranced(size, half)


def _of_two(found: re.Match[str], typed: str, unit: str, cell_unit: str | None) -> Toleranced | None:
    """Two deviations, the upper and the lower in either order."""
    if found["two"].strip()[0] not in "+-" and float(found["two"].replace(",", ".")) != 0:
        return None
    size, one, two = _with_units(found, ("size", "one", "two"), typed, unit, cell_unit)
    return _between(size + min(one, two), size + max(one, two))


def _of_range(found: re.Match[str], typed: str, unit: str, cell_unit: str | None) -> Toleranced:
    low, high = _with_units(found, ("low", "high"), typed, unit, cell_unit)
    if high < low:
        raise refuse(
            typed, "the second figure of this range is less than the first", "Type the least, then the greatest"
        )
    return _between(low, high)


def _with_units(
    found: re.Match[str], names: tuple[str, ...], typed: str, unit: str, cell_unit: str | None
) -> tuple[float, ...]:
    """The figures; a unit behind the last one is of them all, but micrometres, which are of the deviations only."""
    behind = found["unit"] or ""
    fine = behind in ("μm", "um")
    own = None if fine or not behind else behind
    first = _size(found[names[0]], unit, own or cell_unit)
    scale = 0.001 if fine else 1.0
    size_unit = own or _unit_in(found[names[0]]) or cell_unit
    rest = (
        _size(found[name].replace(" ", ""), unit, "mm" if fine else size_unit, deviation=True) for name in names[1:]
    )
    return first, *(figure * scale for figure in rest)


def _unit_in(text: str) -> str | None:
    found = re.search(r"(mm|in\.?|\")\s*$", text.strip())
    return found[1] if found else None


def _size(text: str, unit: str, cell_unit: str | None, deviation: bool = False) -> float:
    found = read_quantity(text, unit, cell_unit, difference=deviation)
    if found is None:
        raise refuse(text, "there is no figure here", f"Type {example(unit)}")
    return found


def _between(low: float, high: float) -> Toleranced:
    return Toleranced(round((low + high) / 2, 6), round((high - low) / 2, 6))


def class_limits(nominal: float, letter: str, grade: int, typed: str = "") -> tuple[float, float]:
    """Lower and upper deviation [mm] of an ISO 286 class: capital letters are holes, small ones shafts.

    nominal [mm]. Raises Unreadable where there is no such class or it is none of those that bores and registers have.

    >>> class_limits(66.6, "H", 7), class_limits(12.0, "h", 9)
    ((0.0, 0.03), (-0.043, 0.0))
    """
    typed = typed or f"{nominal:g} {letter}{grade}"
    if grade not in GRADES:
        raise refuse(
            typed, f"there is no grade {grade} among the usual ones", "Type a grade from 5 to 14, as in H8, or the ±"
        )
    if not 0 < nominal <= STEPS[-1]:
        raise refuse(typed, "classes are known up to 500 mm", "Type the size with its ±")
    width = _grade(nominal, grade)
    if letter.lower() == "js":
        return -width / 2, width / 2
    away = _deviation(nominal, letter.lower())
    if away is None:
        known = ", ".join(sorted((*DEVIATIONS, "js")))
        raise refuse(
            typed,
            f'the letter "{letter}" is no class that is known here',
            f"Type one of {known}, or the size with its ±",
        )
    return (away, round(away + width, 6)) if letter.isupper() else (round(-away - width, 6), -away)


@cache
def _departs() -> dict[tuple[int, str], float]:
    return {(int(row["up_to"]), row["kind"]): float(row["microns"]) for row in rows("iso_286")}


def _step(nominal: float) -> tuple[int, float]:
    """Upper end of the step [mm] and the geometric mean of its ends [mm]."""
    place = next(n for n, up_to in enumerate(STEPS) if nominal <= up_to)
    return STEPS[place], math.sqrt(STEPS[place] * (STEPS[place - 1] if place else 1))


def _grade(nominal: float, grade: int) -> float:
    """Width of a grade [mm]."""
    up_to, mean = _step(nominal)
    unit = 0.45 * mean ** (1 / 3) + 0.001 * mean
    printed = _departs().get((up_to, f"IT{grade}"))
    return (printed if printed is not None else _rounded(GRADES[grade] * unit)) / 1000


def _deviation(nominal: float, letter: str) -> float | None:
    """Distance of a class from the nominal size [mm]."""
    if letter not in DEVIATIONS:
        return None
    factor, power = DEVIATIONS[letter]
    up_to, mean = _step(nominal)
    printed = _departs().get((up_to, letter))
    if printed is None:
        away = factor * mean**power
        printed = 5.0 * round(away / 5) if letter == "d" and away >= 60 else float(round(away))
        printed = 10.0 * round(away / 10) if letter in "de" and away > 150 else printed
    return printed / 1000


def _rounded(microns: float) -> float:
    """To whole micrometres, above 100 to fives, above 200 to tens, as the standard prints them."""
    step = 1 if microns < 100 else 5 if microns < 200 else 10
    return float(step * math.floor(microns / step + 0.5))
