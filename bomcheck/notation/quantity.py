"""A measured quantity as people type it, read into the internal unit."""

import math
import re
from datetime import date
from typing import NamedTuple

from bomcheck import units
from bomcheck.notation.clean import is_blank, plain, refuse
from bomcheck.notation.dates import looks_like_date, refuse_date
from bomcheck.notation.number import number
from bomcheck.notation.quantity_faults import EXAMPLES, example, no_number, wrong_unit

_ABOUT = re.compile(
    r"^(?:~|about|approximately|approx\.?|appr\.?|circa|ca\.?|roughly|abt\.?)\s*|\s*\(?(?:approx\.?|about)\)?$", re.I
)
_DIAMETER = re.compile(r"^(?:Ø|dia\.?|diameter)\s*|\s*(?:Ø|dia\.?|diameter)$", re.I)
NOUN = re.compile(
    r"(?<=[\d\s.\"m])\s*\b(?:shims?|wire|washers?|thick|thk|long|wide|deep|bore|o\.?d\.?|i\.?d\.?)$", re.I
)
_NUMBER_FIRST = re.compile(
    r"(?P<number>[+-]?\s*(?:\d{1,4}(?:\s*[-+]\s*|\s+)\d{1,3}\s*/\s*\d{1,3}|\d{1,3}\s*/\s*\d{1,3}"
    r"|\d{1,3}(?:[ ']\d{3})+(?:[.,]\d+)?(?!\d)|(?:\d+(?:[.,]\d+)*|[.,]\d+)(?:e[+-]?\d{1,3})?))(?P<unit>.*)",
    re.I,
)
_FEET = re.compile(r"(\d{1,3})\s*(?:'|ft\.?|feet)\s*-?\s*(\d[\d./ -]*)\s*(?:\"|in\.?|inch(?:es)?)", re.I)
_MORE = re.compile(r"[-+/x*±\d]|[^\d]+[\s(=]\W*\d")


class Split(NamedTuple):
    """Plain text divided into a number (None if there is none) and what stands behind it."""

    number: float | None
    unit: str
    is_fraction: bool


def read_quantity(typed: object, unit: str, cell_unit: str | None = None, *, difference: bool = False) -> float | None:
    """`typed` in the internal `unit`; None when the cell says that nothing is known.

    typed: text, or a number from a cell. unit: "mm", "N·m", "MPa", "kg", "s", "°C", "m/s", "mm³", "N",
    "-", "m/s²" or any other name in tables/unit_names.txt. cell_unit: the unit written beside the cell, which a bare
    number takes; None: the internal unit. difference: for a ± or a rise of temperature. Raises Unreadable.

    >>> read_quantity('1-3/4"', "mm")
    44.45
    >>> round(read_quantity("90 in-lb", "N·m"), 6)
    10.168635
    """
    if isinstance(typed, date):
        raise refuse_date(typed, unit)
    if typed is None or is_blank(text := plain(typed)):
        return None
    if isinstance(typed, bool) or (isinstance(typed, float) and not math.isfinite(typed)):
        raise refuse(typed, "this is no size", f"Type {example(unit)}")
    if looks_like_date(text):
        raise refuse_date(typed, unit)
    bare = _DIAMETER.sub("", NOUN.sub("", _ABOUT.sub("", text))).strip()
    feet = _feet_and_inches(bare) if unit == "mm" else None
    value, typed_unit = (
        (feet, named_or_typed("in", unit, typed)) if feet is not None else _value(bare, unit, cell_unit, typed)
    )
    to = units.named(unit)
    return value if to is None or typed_unit is None else units.convert(value, typed_unit, to, difference)


def split_number(text: str) -> Split:
    """The number at the start of plain text and the unit behind it."""
    found = _NUMBER_FIRST.fullmatch(text)
    if not found:
        return Split(None, text, False)
    tail = found["unit"].strip()
    return Split(number(found["number"].strip()), tail.rstrip("."), "/" in found["number"])


def named_or_typed(text: str, unit: str, typed: object) -> units.Unit | None:
    """The unit that `text` spells, of the quantity that `unit` measures; None if `unit` is not in the tables.

    Raises Unreadable "unknown unit" when it measures something else or is no unit.
    """
    to = units.named(unit)
    if to is None and text.strip() == unit:
        return None
    found = units.find(text, to.quantity) if to else None
    if found is None:
        raise wrong_unit(text, to, unit, typed)
    return found


def _value(bare: str, unit: str, cell_unit: str | None, typed: object) -> tuple[float, units.Unit | None]:
    """(number as typed, its unit) of plain text."""
    split = split_number(bare)
    if split.number is None or (_MORE.match(split.unit) and not units.spelled(split.unit)):
        raise no_number(bare, unit, typed)
    if split.unit:
        return split.number, named_or_typed(split.unit, unit, typed)
    return split.number, _unit_of_bare(split, unit, cell_unit, typed)


def _unit_of_bare(split: Split, unit: str, cell_unit: str | None, typed: object) -> units.Unit | None:
    """The unit of a number that has none of its own."""
    beside = (cell_unit or "").strip()
    to = units.named(unit)
    if to and to.quantity == "torque" and not beside:
        raise refuse(typed, "this torque has no unit", f"Type its unit too, {EXAMPLES['torque']}", "unit missing")
    found = named_or_typed(plain(beside), unit, typed) if beside else to
    if split.is_fraction and found and found.quantity == "length" and found.name not in ("in", "ft"):
        text = plain(typed)
        wrong = f"a fraction is a size in inches, but this cell is in {found.name}"
        raise refuse(typed, wrong, f"Type {text} in, or the size in {found.name}", "unit missing")
    return found


def _feet_and_inches(text: str) -> float | None:
    """Inches in 8' 6-1/2", None if it is no such size."""
    found = _FEET.fullmatch(text)
    inches = number(found[2].strip()) if found else None
    return None if found is None or inches is None else int(found[1]) * 12 + inches
