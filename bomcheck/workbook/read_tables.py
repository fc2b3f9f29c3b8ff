"""The tables of parts: Box contents, On hand, Price list. Every filled cell becomes part of a line or is named."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from bomcheck import notation
from bomcheck.errors import Unreadable
from bomcheck.fields import part_fields
from bomcheck.job import Part
from bomcheck.notation.types import Thread
from bomcheck.workbook.cells import Cell
from bomcheck.workbook.found import Context, Found
from bomcheck.workbook.grid import Grid, read_grid
from bomcheck.workbook.plausible import refuse_implausible
from bomcheck.workbook.read_fields import split_remark
from bomcheck.workbook.read_value import refuse_not_typed, says_nothing
from bomcheck.workbook.table_columns import Column, columns_of, headings

ATTRIBUTES = {"class": "strength_class"}
"""Where a column's key is not the name of the Part's attribute."""

PIECES = ("each", "pair", "set")
"""Units of which there is no half; the first where none is stated."""

LONGEST_BLANK = 20
"""No longer text says that nothing is known."""


@dataclass(frozen=True, slots=True)
class PartLine:
    """A part and the address of each of its filled cells, by column."""

    part: Part
    cells: dict[str, str]


def read_table(found: Found, context: Context, sheet: str, cells: dict[str, Cell]) -> list[PartLine]:
    """The lines of a table. sheet: its name in the layout."""
    grid = read_grid(found, cells, headings(sheet))
    if grid is None:
        return []
    columns = columns_of(found, context, grid)
    seen: set[str] = set()
    lines = [_line(found, context, grid, columns, row, seen) for row in grid.rows]
    return [line for line in lines if line is not None]


def _line(
    found: Found, context: Context, grid: Grid, columns: dict[int, Column], row: int, seen: set[str]
) -> PartLine | None:
    """One row as a part; None where it has no role."""
    cells = {n: cell for n, cell in grid.rows[row].items() if n in columns and not _blank(cell)}
    if not cells:
        return None
    role_at = grid.columns["role"]
    if role_at not in cells:
        _no_role(found, list(cells.values()))
        return None
    values = {key: value for key, value in _values(found, context, columns, cells) if value is not None}
    if "role" not in values:
        return None
    _thread_remark(found, grid, row, values, seen)
    _part_of_a_piece(found, grid, row, values)
    addresses = {columns[n].field.key: cell.address for n, cell in cells.items()}
    named = {ATTRIBUTES.get(key, key): value for key, value in values.items()}
    return PartLine(Part(**named, place=found.place(cells[role_at].address)), addresses)


def _blank(cell: Cell) -> bool:
    return cell.kind == "text" and len(cell.text) < LONGEST_BLANK and says_nothing(cell)


def _values(
    found: Found, context: Context, columns: dict[int, Column], cells: dict[int, Cell]
) -> Iterator[tuple[str, Any]]:
    for number, cell in cells.items():
        column = columns[number]
        try:
            yield column.field.key, _read(column, cell, context)
        except Unreadable as bad:
            if column.field.key == "role":
                bad = Unreadable(bad.kind, bad.typed, f"{bad.wrong}, so this line is not used", bad.instead)
            found.fault(bad.kind, cell.address, cell.text, bad.wrong, bad.instead, column.field.key)


def _read(column: Column, cell: Cell, context: Context) -> Any:
    if cell.kind not in ("number", "text"):
        refuse_not_typed(column.field, cell)
    value = column.read(column, cell, context)
    field = column.field
    if value is not None and field.low is not None:
        quick = isinstance(value, int | float) and field.low <= value <= (field.high or 0.0)
        if not quick:
            refuse_implausible(field, value, cell.text, column.unit.name if column.unit else None, context.system)
    return value


def _no_role(found: Found, cells: list[Cell]) -> None:
    cells = sorted(cells, key=lambda cell: cell.column)
    where = cells[0].address if len(cells) == 1 else f"{cells[0].address}:{cells[-1].address}"
    wrong = "this line has no role, so it is not used"
    found.remark(
        "part of it missing", where, cells[0].text, wrong, "Choose its role in the first column, or clear the line"
    )


def _part_of_a_piece(found: Found, grid: Grid, row: int, values: dict[str, Any]) -> None:
    """A pack holds whole pieces; the pack size is not used where it says otherwise."""
    size, stated = values.get("pack_size"), grid.cell(row, "unit")
    unit = values.get("unit", PIECES[0] if stated is None or _blank(stated) else "")
    if size is None or unit not in PIECES or float(size).is_integer():
        return
    del values["pack_size"]
    cell = grid.cell(row, "pack_size")
    wrong = f"a pack cannot hold {size:g} pieces" if unit == "each" else f"a pack cannot hold {size:g} {unit}s"
    instead = f"Type a whole number, or say in the column {part_fields()['unit'].label} what it is counted in"
    found.fault("out of range", grid.address(row, "pack_size"), cell.text if cell else "", wrong, instead, "pack_size")


def _thread_remark(found: Found, grid: Grid, row: int, values: dict[str, Any], seen: set[str]) -> None:
    """Names a thread that no standard has, once a table."""
    thread = values.get("thread")
    if not isinstance(thread, Thread) or thread.name in seen:
        return
    seen.add(thread.name)
    odd = notation.remark(thread)
    if odd:
        found.remark("out of range", grid.address(row, "thread"), thread.name, *split_remark(odd), "thread")
