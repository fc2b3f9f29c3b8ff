"""What stands in one place of a table: a text, a figure, or a workbook's cell where it is neither."""

import math
from typing import Any

import numpy as np

from bomcheck.io.cells import Cell, shortest
from bomcheck.screen.lanes import Array

Entry = str | float | Cell
"""A text, "" for a blank; a figure of a workbook or of Parquet; a date, an error, a truth value, a formula without result."""

Entries = list[Entry] | Array
"""Entries one below another; an array holds numbers in internal units, NaN for blanks."""


def as_cell(entry: Entry) -> Cell | None:
    """The entry as a workbook's cell, None for a blank."""
    if isinstance(entry, Cell):
        return entry
    if isinstance(entry, float):
        return None if math.isnan(entry) else Cell("", 0, 0, "number", entry, shortest(entry))
    text = entry.strip()
    return Cell("", 0, 0, "text", text, text) if text else None


def seen(entry: Entry) -> str:
    """The entry as a person reads it."""
    if isinstance(entry, str):
        return entry.strip()
    cell = as_cell(entry)
    return "" if cell is None else cell.text.strip()


def listed(column: Entries) -> list[Entry]:
    """A column entry by entry, figures to the 15 digits that a person sees."""
    if isinstance(column, np.ndarray):
        return [float(shortest(figure)) for figure in column.tolist()]
    return column


def holds_something(column: Entries) -> bool:
    """Whether any entry is filled in."""
    if isinstance(column, np.ndarray):
        return not bool(np.isnan(column).all())
    return any(entry != "" for entry in column)


def types_of(column: Entries) -> set[Any]:
    """The types of a list's entries; empty for an array."""
    return set() if isinstance(column, np.ndarray) else set(map(type, column))
