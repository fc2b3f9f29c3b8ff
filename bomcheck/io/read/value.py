"""Prices as people type them: 12.5, "12.50 EUR", "€12.50". No currency is ever converted."""

import re
from collections.abc import Callable
from functools import lru_cache
from typing import Any

from bomcheck import notation
from bomcheck.io.cells import Cell
from bomcheck.model.errors import Unreadable
from bomcheck.notation import units
from bomcheck.notation.lists import unit_at_end
from bomcheck.notation.quantity import split_number
from bomcheck.notation.text import LONGEST, decimal, pieces, refuse
from bomcheck.tables import rows
from bomcheck.tables.fields import Field

SIGNS = {
    "€": ("EUR",), "£": ("GBP",), "$": ("USD", "CAD", "AUD", "NZD", "SGD", "HKD"), "¥": ("JPY", "CNY"), "kr": ("SEK", "NOK", "DKK"),
}  # fmt: skip
"""What a sign may stand for, by ISO 4217."""
TYPE = "Type the number alone, in the currency of the Job sheet"
_MONEY = re.compile(
    r"(?P<before>[^\d\s.,+-]{1,4})?\s*(?P<number>[+-]?[\d.,' ]*\d[.,]?-?)\s*(?P<behind>[^\d\s.,+-]{1,4})?"
)
_THOUSAND = re.compile(r"[1-9]\d{0,2}[.,]\d{3}")
"""One mark before three figures: between thousands, or before the decimals."""
CURRENCY = "Type the three letters of one currency, such as EUR, GBP or USD"


def read_currency(typed: str) -> str:
    """The ISO 4217 code of a currency, from its three letters or a sign that only one has. Raises Unreadable.

    >>> read_currency("eur"), read_currency("€")
    ('EUR', 'EUR')
    """
    text = notation.plain(typed)
    if text.upper() in {row["code"] for row in rows("currencies")}:
        return text.upper()
    meant = SIGNS.get(text.lower(), ())
    if len(meant) == 1:
        return meant[0]
    if meant:
        wrong, instead = "this sign stands for several currencies", f"Type {', '.join(meant[:-1])} or {meant[-1]}"
        raise refuse(typed, wrong, instead)
    raise refuse(typed, "this is not the code of one currency", CURRENCY)


def read_money(cell: Cell, currency: str) -> float | None:
    """A price; raises Unreadable for another currency than that of the job, and for what is no price."""
    if cell.kind == "number" and isinstance(cell.value, float):
        return cell.value
    if cell.kind == "bool":
        raise Unreadable("unreadable text", cell.text, "this is no price", TYPE)
    text = notation.plain(cell.text)
    if notation.is_blank(text):
        return None
    found = _MONEY.fullmatch(text)
    value = decimal(found["number"].rstrip("-").rstrip(".,")) if found else None
    if found is None or value is None or (found["before"] and found["behind"]):
        raise Unreadable("unreadable text", cell.text, "this cannot be read as one price", TYPE)
    typed = found["before"] or found["behind"]
    if typed:
        refuse_other_currency(cell.text, typed, currency)
    if _THOUSAND.fullmatch(found["number"]):
        whole = re.sub(r"[.,]", "", found["number"])
        raise Unreadable(
            "unreadable text", cell.text, f"this may be {whole} or {value:g}", f"Type {whole} or {value:.2f}"
        )
    return value


def refuse_other_currency(text: str, typed: str, currency: str) -> None:
    """Raises Unreadable where a price names another currency than the job, or the job names none."""
    if typed.upper() == currency.upper() or currency.upper() in SIGNS.get(typed.lower(), ()):
        return
    if not currency:
        raise Unreadable(
            "unit missing",
            text,
            "this names a currency, but the Job sheet states none",
            "Type the currency on the Job sheet",
        )
    wrong = f"this price is not in {currency.upper()}, the currency of the Job sheet, and is not converted"
    raise Unreadable("entries disagree", text, wrong, f"Type the price in {currency.upper()}")


INCH = 25.4
WITH_UNIT = ("number", "bores", "shims", "pairs")
"""Notations whose bare figures take the unit that stands beside the cell."""
NO_DATES = ("part_number", "pad_shape", "caliper_pad_shape", "pad_compound", "class", "kit_number")
"""Texts that are compared or ordered by: a date in them is a number with a dash that the spreadsheet changed."""
PLAIN: dict[str, Callable[[Any], Any]] = {
    "thread": lru_cache(2048)(notation.read_thread), "line end": lru_cache(2048)(notation.read_line_end), "count": notation.read_count,
    "bolt circle": notation.read_bolt_circle, "bolt circles": notation.read_bolt_circles, "date": notation.read_date,
}  # fmt: skip
LISTS: dict[str, Callable[[Any, str | None], Any]] = {
    "bores": notation.read_bores, "shims": notation.read_shims, "pairs": notation.read_pairs,
}  # fmt: skip
CHOICES: dict[str, Callable[[Any, tuple[str, ...]], Any]] = {
    "choice": notation.read_choice,
    "choices": notation.read_choices,
}
COUNTED = ("quantity", "on_hand")
PRICES = ("kit_price", "labour_rate")
_RIM = re.compile(r"^(?:\d{2}\s*x\s*)?(\d[\d.,]*(?:\s\d/\d)?)\s*(?:JJ|JK|J|K|B|D)?(?:\s*x\s*\d{2})?$", re.I)
"""A rim's width as stamped, with the letters of its flange and its diameter: "8.5J", "8,5Jx18", "18x8.5"."""
WORDS = ("text", "choice", "choices")
AGAIN = "Format the cell as text and type it again"
DATE_HINTS = {"thread": "thread", "bolt circle": "bolt circle", "bolt circles": "bolt circle", "line end": "line end"}
LOST_DIGITS = 1e15
_CLOCK = re.compile(r"(\d\d):(\d\d):(\d\d)")


def says_nothing(cell: Cell | None) -> bool:
    """Whether a cell is empty or says that nothing is known: "?", "TBC", "N/A"."""
    if cell is None:
        return True
    text = cell.text
    if cell.kind != "text" or len(text) > LONGEST:
        return False
    try:
        return notation.is_blank(" ".join(text.split()) if text.isascii() else notation.plain(text))
    except Unreadable:  # says something that is refused where it is read
        return False


def read_value(field: Field, cell: Cell, beside: str | None = None, rim_width: float | None = None) -> Any:
    """The cell's value in internal units; None for a blank.

    beside: the unit of a bare figure, None where only a unit in the cell itself counts. rim_width: stamped width of the
    wheel [in], for an offset typed as a backspace.
    """
    refuse_not_typed(field, cell)
    if says_nothing(cell):
        return None
    kind = field.notation
    if field.key == "currency":
        return read_currency(cell.text)
    if kind == "text":
        return text_of(field, cell)
    typed = cell.text if cell.kind == "date" else cell.value
    if kind in CHOICES:
        return CHOICES[kind](typed, field.choices)
    if kind in LISTS:
        return LISTS[kind](typed, beside)
    if field.key in COUNTED and isinstance(typed, str):
        return how_many(typed)
    if field.key == "wheel_rim_width" and isinstance(typed, str):
        typed = _RIM.sub(r"\1", notation.plain(typed))
    if field.key == "wheel_offset":
        return _offset(typed, beside, rim_width)
    return PLAIN[kind](typed) if kind in PLAIN else notation.read_quantity(typed, field.unit, beside)


def refuse_no_value(cell: Cell, unit: str) -> None:
    """Raises for a cell that holds an error, a formula without its result, or a date in place of a size in `unit`."""
    refuse_no_result(cell)
    if cell.kind == "date":
        _refuse_clock(cell)
        raise notation.refuse_date(cell.text, unit)


def refuse_no_result(cell: Cell) -> None:
    """Raises for a cell that holds an error value or a formula without its result."""
    if cell.kind == "error":
        raise Unreadable(
            "error value",
            cell.text,
            "this is an error value, not a size or a word",
            "Correct the formula or type what belongs here",
        )
    if cell.kind == "formula without value":
        instead = (
            "Open the workbook in a spreadsheet program, let it calculate, save it and try again, or type the value"
        )
        raise Unreadable("formula without a value", "", "this formula has no stored result", instead)


def refuse_not_typed(field: Field, cell: Cell) -> None:
    """Raises for what nobody typed: an error value, a formula without its result, a date where none belongs."""
    refuse_no_result(cell)
    if cell.kind != "date" or field.notation == "date" or (field.notation == "text" and field.key not in NO_DATES):
        return
    _refuse_clock(cell)
    bad = notation.refuse_date(cell.text, DATE_HINTS.get(field.notation, field.unit))
    raise Unreadable(bad.kind, bad.typed, bad.wrong, AGAIN) if field.notation in WORDS else bad


def _refuse_clock(cell: Cell) -> None:
    clock = _CLOCK.fullmatch(cell.text)
    if clock:
        wrong = f'the spreadsheet turned this into a time of day; it probably was "{int(clock[1])}:{int(clock[2])}"'
        raise Unreadable("date in a size", cell.text, wrong, AGAIN)


def text_of(field: Field, cell: Cell) -> str:
    """The text of a cell as it is seen; raises Unreadable for an order number that lost digits."""
    if field.key in NO_DATES and cell.kind == "number" and abs(float(cell.value or 0)) >= LOST_DIGITS:
        wrong = "a number this long has lost digits in the spreadsheet"
        raise Unreadable("unreadable text", cell.text, wrong, "Format the cell as text and type it again")
    return cell.text.strip()


def how_many(typed: str) -> float:
    """A quantity of the box, the shelf or the price list: "8", "8 pcs", "4 Stk." """
    found = pieces(notation.plain(typed))
    if found is None:
        raise refuse(
            typed, "this cannot be read as a quantity", "Type the number alone, for example 4; its unit has a column"
        )
    return found


def _offset(typed: Any, beside: str | None, rim_width: float | None) -> float | None:
    """An offset: a bare figure takes the unit beside it, all other spellings ("ET45", "45P", "5.5 BS") name it."""
    bare = not isinstance(typed, str) or decimal(notation.plain(typed)) is not None
    if bare and beside:
        return notation.read_quantity(typed, "mm", beside)
    return notation.read_wheel_offset(typed, None if rim_width is None else rim_width * INCH)


@lru_cache(512)
def unit_beside(unit: str, text: str) -> str | None:
    """The printed name of the unit that `text` is, None where it is none that measures the same as `unit`."""
    inside = units.named(unit) if text else None
    try:
        found = units.find(notation.plain(text), inside.quantity) if inside else None
    except Unreadable:
        return None
    return found.name if found else None


def own_unit(cell: Cell, unit: str) -> str | None:
    """The printed name of the unit that is typed in the cell itself, None for a bare figure."""
    if cell.kind != "text":
        return None
    text = notation.plain(cell.text)
    split = split_number(text)
    end = split.unit if split.number is not None else unit_at_end(text)
    return (unit_beside(unit, end) or unit_beside(unit, unit_at_end(text) or "")) if end else None


def beside_or_usual(field: Field, unit_cell: Cell | None, system: str) -> str | None:
    """The unit that a bare figure of this field takes; None where it must be typed with the figure.

    Raises Unreadable for a unit cell that holds no unit of the same quantity.
    """
    if field.notation not in WITH_UNIT:
        return None
    if unit_cell is not None and not says_nothing(unit_cell):
        refuse_no_result(unit_cell)
        return _checked_unit(field, unit_cell)
    if field.metric_unit == field.inch_unit:
        return field.metric_unit or None
    return field.shown_unit(system) if system else None


def _checked_unit(field: Field, unit_cell: Cell) -> str:
    found = unit_beside(field.unit, unit_cell.text)
    if found is not None:
        return found
    usual = " or ".join(
        dict.fromkeys(one for one in (field.metric_unit, field.inch_unit, field.unit) if one not in ("", "-"))
    )
    instead = f"Type {usual} here, or the unit behind the figure" if usual else "Leave this cell blank"
    wrong = f"this is no unit for {field.label}"
    raise refuse(unit_cell.text, wrong, instead, "unknown unit")


def refuse_bare(field: Field, cell: Cell, beside: str | None) -> None:
    """Raises for a figure whose unit nothing tells: not the cell, not the one beside it, not the Job sheet."""
    if field.notation not in WITH_UNIT or beside or field.metric_unit == field.inch_unit or own_unit(cell, field.unit):
        return
    if not any(sign.isdigit() for sign in cell.text):
        return
    wrong = "nothing tells the unit of this figure"
    instead = f"Type {field.metric_unit} or {field.inch_unit} behind it or in the cell for the unit"
    raise Unreadable("unit missing", cell.text, wrong, instead)
