"""What the user typed into our input columns on an earlier run, by line, so that it stands there again."""

from collections.abc import Mapping
from typing import Any

from bomcheck.fields import plain
from bomcheck.workbook.cells import Cell

KEY_HEADING = "Line"
ON_HAND, OWN_PRICE, OWN_SUPPLIER, RECEIVED, OWN_NOTE = (
    "On hand, yours",
    "Price, yours",
    "Supplier, yours",
    "Received",
    "Note, yours",
)
FIGURE = "Yours"
FOUND, FOUND_PLUS_MINUS, FOUND_BY = "Found", "Its ±", "By, and when"
INPUTS = {
    "on_hand": ON_HAND,
    "own_price": OWN_PRICE,
    "own_supplier": OWN_SUPPLIER,
    "received": RECEIVED,
    "own_note": OWN_NOTE,
    "found": FOUND,
    "found_plus_minus": FOUND_PLUS_MINUS,
    "found_by": FOUND_BY,
    "figure": FIGURE,
}
NUMBERS = ("on_hand", "own_price", "received", "figure")
MEASURE_PREFIX, QUOTE_PREFIX = "measure ", "quote "
OTHER_SHEETS = (MEASURE_PREFIX, QUOTE_PREFIX)


def read_kept(cells: Mapping[str, Cell]) -> dict[str, dict[str, Any]]:
    """What stands in the input columns of Parts list or Measure next.

    cells: of the sheet, by address. The columns are found by their headings, the lines by their name in the last
    column, so moved columns and sorted rows do no harm. Returns {line: {"on_hand": 2.0, "own_note": "call", ...}}; a line
    of which nothing was typed is absent.
    """
    return {line: {key: _content(cell) for key, cell in typed.items()} for line, typed in input_cells(cells).items()}


def input_cells(cells: Mapping[str, Cell]) -> dict[str, dict[str, Cell]]:
    """The cells in which something was typed, as `read_kept` finds them."""
    heading_row = _heading_row(cells)
    if heading_row is None:
        return {}
    columns = {plain(cell.text): cell.column for cell in cells.values() if cell.row == heading_row}
    inputs = {columns[plain(words)]: key for key, words in INPUTS.items() if plain(words) in columns}
    names = {c.row: c.text for c in cells.values() if c.column == columns[plain(KEY_HEADING)] and c.row > heading_row}
    typed: dict[str, dict[str, Cell]] = {}
    for cell in cells.values():
        if cell.row in names and cell.column in inputs and cell.value is not None and cell.text.strip():
            typed.setdefault(names[cell.row], {})[inputs[cell.column]] = cell
    return typed


def _heading_row(cells: Mapping[str, Cell]) -> int | None:
    """The row that holds the heading of the lines' names and one of an input column."""
    rows: dict[int, set[str]] = {}
    for cell in cells.values():
        if cell.kind == "text":
            rows.setdefault(cell.row, set()).add(plain(cell.text))
    wanted = {plain(words) for words in INPUTS.values()}
    return next((row for row, words in sorted(rows.items()) if plain(KEY_HEADING) in words and words & wanted), None)


def _content(cell: Cell) -> float | str:
    """A number as a number, everything else as it is shown."""
    return float(cell.value) if cell.kind == "number" and isinstance(cell.value, float | int) else cell.text
