"""The columns of a table of parts: found by their headings, each with its unit and the way its cells are read."""

from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from typing import Any

from bomcheck import notation
from bomcheck.io import layout
from bomcheck.io.cells import Cell
from bomcheck.io.read import value as reading
from bomcheck.io.read.field_cells import split_remark
from bomcheck.io.read.found import Context, Found, Grid, Headings, column_named, read_grid
from bomcheck.io.read.plausible import refuse_implausible
from bomcheck.model.errors import Unreadable
from bomcheck.model.job import Part
from bomcheck.model.records import dataclass, replace
from bomcheck.model.types import Thread
from bomcheck.notation import units
from bomcheck.supply.part_sizes import HANDED, side_in_words
from bomcheck.supply.part_words import says_road_mark
from bomcheck.tables.fields import Field, part_fields

COUNTS = ("quantity", "on_hand", "unit_price")
"""Columns without which a table says nothing of how many, or for how much."""
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
    return Headings(column_named("part"), shown, ("role",))


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
                found.rejected.pop(key, None)
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
    name = reading.unit_beside(field.unit, typed)
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
        reading.refuse_other_currency(heading.text, typed, context.currency)
        return
    wrong = f'"{typed}" in this heading is not used'
    found.remark("not allowed here", heading.address, heading.text, wrong, f"Write {field.label}")


def _number(column: Column, cell: Cell, context: Context) -> float | None:
    if column.field.key == "unit_price":
        return reading.read_money(cell, context.currency)
    if cell.kind == "number" and isinstance(cell.value, float):
        if column.unit is None or column.inside is None:
            return cell.value
        return units.convert(cell.value, column.unit, column.inside)
    if column.field.key in COUNTED and isinstance(cell.value, str) and cell.kind == "text":
        return reading.how_many(cell.value)
    typed = cell.text if cell.kind == "date" else cell.value
    return notation.read_quantity(typed, column.field.unit, column.unit.name if column.unit else None)


def _count(column: Column, cell: Cell, context: Context) -> Any:
    if cell.kind == "number" and isinstance(cell.value, float) and cell.value.is_integer():
        return int(cell.value)
    return _any(column, cell, context)


def _any(column: Column, cell: Cell, _context: Context) -> Any:
    return reading.read_value(column.field, cell)


READERS: dict[str, Callable[[Column, Cell, Context], Any]] = {
    "number": _number,
    "choice": lambda column, cell, context: (
        cell.text if cell.text in column.field.choices else _any(column, cell, context)
    ),
    "text": lambda column, cell, _context: reading.text_of(column.field, cell),
    "count": _count,
}
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
    _require_counts(found, grid, sheet)
    seen: set[str] = set()
    lines = [_line(found, context, grid, columns, row, seen) for row in grid.rows]
    return [line for line in lines if line is not None]


def _require_counts(found: Found, grid: Grid, sheet: str) -> None:
    """Names a column that is gone without which a filled table counts nothing."""
    for key in COUNTS:
        label, told = part_fields()[key].label, " ".join(f"{one.wrong} {one.instead}" for one in found.faults)
        if key in layout.TABLES[sheet] and key not in grid.columns and grid.rows and label not in told:
            wrong = f'the column "{label}" is missing, so nothing is known of it in any line'
            instead = f'Put a column with the heading "{label}" back'
            found.fault("heading missing", "", "", wrong, instead, key, stops=key != "unit_price")


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
    words = f"{values.get('description', '')} {values.get('note', '')}"
    if values["role"] in (*HANDED, "hose") and "side" not in values:
        said = side_in_words(words, letters=values["role"] != "hose")
        values |= {"side": said} if said else {}
    if values["role"] == "hose" and "road_marked" not in values and says_road_mark(words):
        values["road_marked"] = "yes"
    addresses = {columns[n].field.key: cell.address for n, cell in cells.items()}
    named = {ATTRIBUTES.get(key, key): value for key, value in values.items()}
    return PartLine(Part(**named, place=found.place(cells[role_at].address)), addresses)


def _blank(cell: Cell) -> bool:
    return cell.kind == "text" and len(cell.text) < LONGEST_BLANK and reading.says_nothing(cell)


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
        reading.refuse_not_typed(column.field, cell)
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


def drop_prices_that_disagree(found: Found, lines: list[PartLine]) -> list[PartLine]:
    """The price list with the prices taken out that contradict one another; `found` is that sheet's."""
    same: dict[tuple[Any, ...], list[int]] = defaultdict(list)
    for index, line in enumerate(lines):
        part = line.part
        if part.part_number and part.unit_price is not None:
            key = (part.role, part.part_number, part.supplier, part.pack_size, part.unit, part.lead_days)
            same[key].append(index)
    for indexes in same.values():
        first = lines[indexes[0]]
        other = next((lines[i] for i in indexes if lines[i].part.unit_price != first.part.unit_price), None)
        if other is not None:
            _two_prices(found, first, other)
            for index in indexes:
                lines[index] = replace(lines[index], part=replace(lines[index].part, unit_price=None))
    return lines


def _two_prices(found: Found, first: PartLine, other: PartLine) -> None:
    prices = [f"{line.part.unit_price:g} ({line.cells['unit_price']})" for line in (first, other)]
    wrong = (
        f"{first.part.part_number} has two prices from the same supplier, {prices[0]} and {prices[1]}; neither is used"
    )
    typed = f"{first.part.unit_price:g}"
    found.fault(
        "entries disagree", first.cells["unit_price"], typed, wrong, "Delete the line that is out of date", "unit_price"
    )


LEAST_PACK, ABOUT = 4.0, (0.75, 1.34)
"""Pack sizes from which a price that differs by about that much is doubted: common practice, no source."""


def doubt_pack_prices(found: Found, lines: Sequence[PartLine]) -> None:
    """Names a part number whose prices of one differ by about what is in a pack: one of the two may be a pack's."""
    same: dict[tuple[str, ...], list[PartLine]] = defaultdict(list)
    for line in lines:
        if line.part.part_number and line.part.unit_price:
            same[line.part.role, line.part.part_number.casefold(), line.part.unit].append(line)
    for alike in same.values():
        low, *_, high = sorted((*alike, alike[0]), key=lambda one: one.part.unit_price or 0.0)
        times = (high.part.unit_price or 0.0) / (low.part.unit_price or 1.0)
        packs = {low.part.pack_size or 1.0, high.part.pack_size or 1.0}
        if any(size >= LEAST_PACK and ABOUT[0] * size <= times <= ABOUT[1] * size for size in packs):
            wrong = (
                f"{high.part.part_number} costs {low.part.unit_price:g} there ({low.cells['unit_price']}) and {times:.1f} times that here, "
                "about what is in a pack; one of the two may be the price of a pack"
            )
            field = part_fields()["unit_price"].label
            found.remark(
                "entries disagree",
                high.cells["unit_price"],
                f"{high.part.unit_price:g}",
                wrong,
                f"Type under {field} what one piece costs",
                "unit_price",
            )


def one_spelling(lines: list[PartLine]) -> list[PartLine]:
    """Every line with its supplier as it is spelled the first time; capitals and spaces make no other supplier."""
    first: dict[tuple[str, ...], str] = {}
    same = []
    for line in lines:
        typed = line.part.supplier
        name = first.setdefault(tuple(typed.casefold().split()), " ".join(typed.split()))
        same.append(line if name == typed else replace(line, part=replace(line.part, supplier=name)))
    return same
