"""The tables of parts: Box contents, On hand, Price list. Every filled cell becomes part of a line or is named."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from bomcheck import notation, units
from bomcheck.errors import Unreadable
from bomcheck.fields import Field, find_label, part_fields
from bomcheck.job import Part
from bomcheck.notation.types import Thread
from bomcheck.workbook import layout
from bomcheck.workbook.cells import Cell
from bomcheck.workbook.found import Context, Found
from bomcheck.workbook.grid import Grid, Headings, read_grid
from bomcheck.workbook.money import read_money, refuse_other_currency
from bomcheck.workbook.plausible import refuse_implausible
from bomcheck.workbook.read_fields import split_remark
from bomcheck.workbook.read_value import read_value, refuse_not_typed, says_nothing, text_of, unit_beside

ATTRIBUTES = {"class": "strength_class"}
"""Where a column's key is not the name of the Part's attribute."""


LONGEST_BLANK = 20
"""No longer text says that nothing is known."""


@dataclass(frozen=True, slots=True)
class PartLine:
    """A part and the address of each of its filled cells, by column."""

    part: Part
    cells: dict[str, str]


@dataclass(frozen=True, slots=True)
class Column:
    """unit: what its bare figures are in, None where it has no unit. inside: the internal unit of its field."""

    field: Field
    unit: units.Unit | None
    inside: units.Unit | None
    read: Callable[["Column", Cell, Context], Any]


def read_table(found: Found, context: Context, sheet: str, cells: dict[str, Cell]) -> list[PartLine]:
    """The lines of a table. sheet: its name in the layout."""
    grid = read_grid(found, cells, headings(sheet))
    if grid is None:
        return []
    columns = _columns(found, context, grid)
    seen: set[str] = set()
    lines = [_line(found, context, grid, columns, row, seen) for row in grid.rows]
    return [line for line in lines if line is not None]


def headings(sheet: str) -> Headings:
    """The headings of a table; those of the other tables are known there too."""
    shown = {key: part_fields()[key].label for key in layout.TABLES[sheet]}
    return Headings(_column_named, shown, ("role",))


def _column_named(text: str) -> str | None:
    field = find_label(layout.split_heading(text)[0], "part")
    return field.key if field else None


def _columns(found: Found, context: Context, grid: Grid) -> dict[int, Column]:
    """The readable columns by their number."""
    made = {}
    for key, number in grid.columns.items():
        field = part_fields()[key]
        try:
            unit = _heading_unit(found, field, grid.headings[key], context)
        except Unreadable as bad:
            if any(number in row for row in grid.rows.values()):
                found.refuse(grid.headings[key].address, grid.headings[key].text, bad, key)
                found.held.pop(key, None)
            continue
        made[number] = Column(field, unit, units.named(field.unit), READERS.get(field.notation, _any))
    return made


def _heading_unit(found: Found, field: Field, heading: Cell, context: Context) -> units.Unit | None:
    """The unit in a heading's brackets, else the usual one of this workbook. Raises Unreadable."""
    typed = layout.split_heading(heading.text)[1]
    if not layout.unit_text(field, "metric"):
        _refuse_heading_unit(found, field, heading, typed, context)
        return None
    if not typed:
        if not context.system:
            instead = (
                f"Write it in the heading: {field.label} [{field.metric_unit}] or {field.label} [{field.inch_unit}]"
            )
            raise Unreadable(
                "unit missing", heading.text, "nothing tells the unit of this column, so it was not read", instead
            )
        return units.named(field.shown_unit(context.system))
    name = unit_beside(field.unit, typed)
    if name is None:
        instead = f"Write {field.label} [{field.metric_unit}] or {field.label} [{field.inch_unit}]"
        raise Unreadable(
            "unknown unit", heading.text, f'"{typed}" is no unit of this column, so it was not read', instead
        )
    return units.named(name)


def _refuse_heading_unit(found: Found, field: Field, heading: Cell, typed: str, context: Context) -> None:
    """Names what stands in the brackets of a heading that has no unit; a price may name the currency there."""
    if not typed:
        return
    if field.key == "unit_price":
        refuse_other_currency(heading.text, typed, context.currency)
        return
    wrong = f'"{typed}" in this heading is not used'
    found.remark("not allowed here", heading.address, heading.text, wrong, f"Write {field.label}")


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


def _number(column: Column, cell: Cell, context: Context) -> float | None:
    if column.field.key == "unit_price":
        return read_money(cell, context.currency)
    if cell.kind == "number" and isinstance(cell.value, float):
        same = column.unit is None or column.inside is None
        return (
            cell.value
            if same or column.unit is None or column.inside is None
            else units.convert(cell.value, column.unit, column.inside)
        )
    typed = cell.text if cell.kind == "date" else cell.value
    return notation.read_quantity(typed, column.field.unit, column.unit.name if column.unit else None)


def _choice(column: Column, cell: Cell, context: Context) -> Any:
    return cell.text if cell.text in column.field.choices else _any(column, cell, context)


def _text(column: Column, cell: Cell, _context: Context) -> str:
    return text_of(column.field, cell)


def _count(column: Column, cell: Cell, context: Context) -> Any:
    if cell.kind == "number" and isinstance(cell.value, float) and cell.value.is_integer():
        return int(cell.value)
    return _any(column, cell, context)


def _any(column: Column, cell: Cell, _context: Context) -> Any:
    return read_value(column.field, cell)


READERS: dict[str, Callable[[Column, Cell, Context], Any]] = {
    "number": _number,
    "choice": _choice,
    "text": _text,
    "count": _count,
}


def _no_role(found: Found, cells: list[Cell]) -> None:
    cells = sorted(cells, key=lambda cell: cell.column)
    where = cells[0].address if len(cells) == 1 else f"{cells[0].address}:{cells[-1].address}"
    wrong = "this line has no role, so it is not used"
    found.remark(
        "part of it missing", where, cells[0].text, wrong, "Choose its role in the first column, or clear the line"
    )


def _thread_remark(found: Found, grid: Grid, row: int, values: dict[str, Any], seen: set[str]) -> None:
    """Names a thread that no standard has, once a table."""
    thread = values.get("thread")
    if not isinstance(thread, Thread) or thread.name in seen:
        return
    seen.add(thread.name)
    odd = notation.remark(thread)
    if odd:
        found.remark("out of range", grid.address(row, "thread"), thread.name, *split_remark(odd), "thread")
