"""Sizes with their units, typed and shown."""

import math
import re
from datetime import date
from typing import NamedTuple

from bomcheck.model.errors import Unreadable
from bomcheck.notation import units
from bomcheck.notation.dates import looks_like_date, refuse_date
from bomcheck.notation.text import is_blank, number, plain, refuse

_PAIR = re.compile(r".*\d\s*(?:mm|in|\")?\s*[x*]\s*\.?\d.*|\d{3}\s*/\s*\d+.*", re.I)
_RANGE = re.compile(r"\.?\d[\d.,]*\s*(?:-|to|\.\.+)\s*\.?\d[\d.,]*\s*\D*", re.I)
_PLUS_MINUS = re.compile(r".*(?:±|\+\s*/\s*-|\+-).*")
EXAMPLES = {
    "length": "44.45 mm or 1-3/4 in", "torque": "14 N·m, 10 lb·ft or 124 lb·in",
    "pressure": "8 MPa, 80 bar or 1200 psi", "mass": "9.5 kg or 21 lb", "speed": "100 km/h or 60 mph",
    "temperature": "230 °C or 450 °F", "ratio": "0.38 or 38 %", "time": "40 s", "force": "500 N or 112 lbf",
    "volume": "250 mm³ or 0.25 cm³", "acceleration": "9 m/s² or 0.9 g",
}  # fmt: skip


def example(unit: str) -> str:
    """What a person may type where `unit` belongs: '44.45 mm or 1-3/4 in'."""
    to = units.named(unit)
    return EXAMPLES.get(to.quantity if to else "", f"a number in {unit}" if unit != "-" else "a number")


def wrong_unit(text: str, to: units.Unit | None, unit: str, typed: object) -> Unreadable:
    others = units.spelled(text)
    if others and to:
        wrong = f"{others[0].name} is a unit of {others[0].quantity}, but a {to.quantity} belongs here"
    elif units.squash(text) in ("mil", "mils"):
        wrong = "mil is used for a thousandth of an inch and for a millimetre"
    else:
        wrong = f'"{text[:30]}" is no unit that belongs here'
    return refuse(typed, wrong, f"Type {example(unit)}", "unknown unit")


def no_number(bare: str, unit: str, typed: object) -> Unreadable:
    """What is wrong with text that does not begin with one number."""
    if _PLUS_MINUS.fullmatch(bare):
        return refuse(
            typed, "the value and its ± stand in one cell", "Type the value here and the ± in the cell for it"
        )
    if unit == "mm" and _PAIR.fullmatch(bare):
        return refuse(typed, "these are two sizes", "Type the first here and the other in its own cell")
    if _RANGE.fullmatch(bare):
        return refuse(
            typed, "this is a range or two numbers", "Type the middle here and half of the width in the cell for the ±"
        )
    return refuse(typed, "this cannot be read as one number with a unit", f"Type {example(unit)}")


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


def without_about(text: str) -> str:
    """The text without a word that it is not exact: "~66.5", "about 66.5 mm", "66.5 approx." """
    return _ABOUT.sub("", text)


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
    if text.endswith(".."):
        raise refuse(typed, "the dots at its end say that something is left out", f"Type {example(unit)}")
    if without_about(text) != text:
        wrong = "it is said to be about right, so the usual ± of the instrument does not hold"
        raise refuse(typed, wrong, "Type its own ± in the cell for it, or measure it and type the figure alone")
    bare = _DIAMETER.sub("", NOUN.sub("", text)).strip()
    bare = re.sub(r"\s*:\s*1$", "", bare) if unit == "-" else bare  # a ratio
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
    return Split(number(found["number"].strip()), tail.removesuffix("."), "/" in found["number"])


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


INCH_UNITS = {
    "mm": ("in", 3), "N·m": ("lb·ft", 1), "MPa": ("psi", 0), "kg": ("lb", 1), "N": ("lbf", 0), "°C": ("°F", 0),
    "m/s": ("mph", 1), "mm³": ("in³", 3),
}  # fmt: skip
METRIC_UNITS = {
    "mm": ("mm", 3), "N·m": ("N·m", 1), "MPa": ("MPa", 2), "kg": ("kg", 2), "N": ("N", 0), "°C": ("°C", 0),
    "m/s": ("km/h", 1), "mm³": ("mm³", 0), "m/s²": ("m/s²", 2),
}  # fmt: skip


def show_number(value: float, unit: str, system: str = "metric") -> str:
    """`value` of the internal `unit` as a person of this system reads it: "44.45 mm", "1.750 in", "10 lb·ft".

    system: "metric" or "inch". A plain number (unit "-") has no unit behind it. Metric drops needless zeros; inch sizes
    keep three decimals, as they are written on drawings.
    """
    name, digits = (INCH_UNITS if system == "inch" else METRIC_UNITS).get(unit, METRIC_UNITS.get(unit, (unit, 3)))
    here, there = units.named(unit), units.named(name)
    shown = value if here is None or there is None else units.convert(value, here, there)
    text = f"{shown:.{digits}f}"
    if "." in text and name != "in":
        text = text.rstrip("0").rstrip(".")
    text = text.lstrip("-") if not text.strip("-0.") else text
    return text if name == "-" else f"{text} {name}"


def show_length(mm: float, system: str = "metric") -> str:
    """A length [mm] as "44.45 mm" or "1.750 in".

    >>> show_length(44.45), show_length(44.45, "inch")
    ('44.45 mm', '1.750 in')
    """
    return show_number(mm, "mm", system)


INCH = 25.4
FLANGES = 1.0
"""[in]; both rim flanges together, by which a rim is wider than its stamped width (common practice, no source)."""
_OFFSET = re.compile(r"(?:et|offset|o/s|is)?\s*=?\s*([+-]?\s*[\d.,]+)\s*(p|n|mm)?(?:\s*(?:et|offset))?", re.I)
_BACKSPACE = re.compile(r"([\d.,/ -]+)\s*(?:\"|in\.?)?\s*(?:b\.?s\.?|backspac(?:e|ing))", re.I)


def read_wheel_offset(typed: object, rim_width: float | None = None) -> float | None:
    """Offset of a wheel [mm], + when its mounting face is outboard of the rim's middle; None for a blank cell.

    rim_width: stamped width [mm], which a backspace ("5.5 BS", inches) needs. Raises Unreadable.

    >>> read_wheel_offset("ET45"), read_wheel_offset("45P")
    (45.0, 45.0)
    """
    if typed is None or (isinstance(typed, str) and is_blank(plain(typed))):
        return None
    text = plain(typed)
    if backspace := _BACKSPACE.fullmatch(text):
        return _from_backspace(backspace[1], rim_width, typed)
    found = _OFFSET.fullmatch(text)
    if not found or (found[2] or "").lower() not in ("p", "n", "mm", ""):
        return read_quantity(typed, "mm")
    value = read_quantity(found[1], "mm")
    return None if value is None else -abs(value) if (found[2] or "").lower() == "n" else value


def _from_backspace(text: str, rim_width: float | None, typed: object) -> float:
    """Backspace minus half of the overall width."""
    backspace = read_quantity(text, "mm", "in")
    if rim_width is None or backspace is None:
        wrong = "this is a backspace, not an offset"
        raise refuse(typed, wrong, "Type the offset in mm: (backspace - (rim width + 1) / 2) x 25.4, all in inches")
    return round(backspace - (rim_width + FLANGES * INCH) / 2, 3)
