"""The ± beside a value: typed, typed as a share of the value, or the usual one of its field."""

import re
from typing import Any

from bomcheck import notation, units
from bomcheck.errors import Unreadable
from bomcheck.fields import Field
from bomcheck.workbook.cells import Cell
from bomcheck.workbook.read_value import own_unit, refuse_no_value, says_nothing

TAKES = ("number", "pairs")
"""Notations of which every field may carry a typed ±; a bolt circle only where it has a usual one."""

TYPE = "Type a number, 0 for exact, or leave the cell blank for the usual ±"
_SIGN = re.compile(r"^(?:±|\+\s*/?\s*-)\s*")


def takes_plus_minus(field: Field) -> bool:
    """Whether a ± typed beside this field has a meaning."""
    return field.notation in TAKES or field.takes_plus_minus


def read_plus_minus(
    field: Field, value: Any, value_cell: Cell, cell: Cell | None, beside: str | None
) -> tuple[float, str]:
    """(±, where it is from: "typed", "usual" or ""). Raises Unreadable.

    beside: the unit that bare figures of the row take.
    """
    usual = (field.plus_minus, "usual" if field.plus_minus else "")
    if cell is None or says_nothing(cell) or not takes_plus_minus(field):
        return usual
    refuse_no_value(cell, field.unit)
    half = _half(field, value, value_cell, cell, beside)
    if half is None:
        return usual
    if half < 0:
        raise Unreadable("out of range", cell.text, "a ± is never below 0", TYPE)
    _refuse_too_wide(field, half, cell)
    return half, "typed"


def _half(field: Field, value: Any, value_cell: Cell, cell: Cell, beside: str | None) -> float | None:
    if cell.kind == "bool":
        raise Unreadable("unreadable text", cell.text, "this is no ±", TYPE)
    text = _SIGN.sub("", notation.plain(cell.text))
    if text.endswith("%"):
        return _share(field, value, text, cell)
    _refuse_mixed(field, value_cell, cell, text, beside)
    unit = field.unit or "mm"
    try:
        return notation.read_quantity(text, unit, beside, difference=True)
    except Unreadable as bad:
        instead = bad.instead if bad.kind in ("unknown unit", "unit missing") else TYPE
        raise Unreadable(bad.kind, cell.text, bad.wrong, instead) from None


def _share(field: Field, value: Any, text: str, cell: Cell) -> float:
    """A ± typed in percent of the value."""
    inside = units.named(field.unit)
    if not isinstance(value, int | float) or (inside and inside.quantity in ("ratio", "temperature")):
        raise Unreadable("unreadable text", cell.text, "percent of what is not clear for this field", TYPE)
    return abs(value) * float(notation.read_quantity(text, "-") or 0.0)


def _refuse_mixed(field: Field, value_cell: Cell, cell: Cell, text: str, beside: str | None) -> None:
    """A bare ± beside a size that names another unit than the row's could mean either."""
    own = own_unit(value_cell, field.unit)
    if own is None or beside is None or own == beside or any(sign.isalpha() or sign in "\"'" for sign in text):
        return
    if notation.read_quantity(text, "-") == 0:
        return
    wrong = f"the size beside it has the unit {own} and its row {beside}, so the unit of this ± is not clear"
    raise Unreadable("unit missing", cell.text, wrong, f"Type {cell.text} {own} or {cell.text} {beside}")


def _refuse_too_wide(field: Field, half: float, cell: Cell) -> None:
    """A ± wider than all that is plausible says nothing about the size."""
    low, high = field.pair_ranges[1] if field.pair_ranges else (field.low, field.high)
    if low is not None and high is not None and half > (high - low) / 2:
        wrong = "this ± is wider than everything that is plausible for the size"
        raise Unreadable("out of range", cell.text, wrong, TYPE)
