"""The columns of a table of parts: found by their headings, each with its unit and the way its cells are read."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from bomcheck import notation, units
from bomcheck.errors import Unreadable
from bomcheck.fields import Field, find_label, part_fields
from bomcheck.workbook import layout
from bomcheck.workbook.cells import Cell
from bomcheck.workbook.found import Context, Found
from bomcheck.workbook.grid import Grid, Headings
from bomcheck.workbook.money import read_money, refuse_other_currency
from bomcheck.workbook.read_value import read_value, text_of, unit_beside

COUNTED = ("quantity", "pack_size", "on_hand")
"""Numbers of pieces, or of what the line is counted in: they take no unit and are no ratio."""


@dataclass(frozen=True, slots=True)
class Column:
    """unit: what its bare figures are in, None where it has no unit. inside: the internal unit of its field."""

    field: Field
    unit: units.Unit | None
    inside: units.Unit | None
    read: Callable[["Column", Cell, Context], Any]


def headings(sheet: str) -> Headings:
    """The headings of a table; those of the other tables are known there too."""
    shown = {key: part_fields()[key].label for key in layout.TABLES[sheet]}
    return Headings(_column_named, shown, ("role",))


def _column_named(text: str) -> str | None:
    field = find_label(layout.split_heading(text)[0], "part")
    return field.key if field else None


def columns_of(found: Found, context: Context, grid: Grid) -> dict[int, Column]:
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
    try:
        return notation.read_quantity(typed, column.field.unit, column.unit.name if column.unit else None)
    except Unreadable as bad:
        if column.field.key in COUNTED and bad.kind == "unreadable text":
            raise Unreadable(bad.kind, bad.typed, "this cannot be read as one number", "Type a number") from None
        raise


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
