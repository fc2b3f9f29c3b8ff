"""The sheet Supplier terms: freight and least order of each supplier."""

from collections.abc import Iterable

from bomcheck.errors import Unreadable
from bomcheck.fields import find_label, supplier_fields
from bomcheck.job import Part, Terms
from bomcheck.parts.names import same_name
from bomcheck.workbook import layout
from bomcheck.workbook.cells import Cell
from bomcheck.workbook.found import Context, Found
from bomcheck.workbook.grid import Grid, Headings, read_grid
from bomcheck.workbook.money import read_money
from bomcheck.workbook.plausible import refuse_implausible
from bomcheck.workbook.read_value import refuse_not_typed, says_nothing

MONEY = ("freight", "minimum_order")


def read_terms(found: Found, context: Context, cells: dict[str, Cell], prices: Iterable[Part]) -> tuple[Terms, ...]:
    """The terms by line. A supplier who stands there twice, or with a figure that cannot be used, is a fault."""
    shown = {key: supplier_fields()[key].label for key in layout.TERM_COLUMNS}
    grid = read_grid(found, cells, Headings(_column_named, shown, ("supplier",)))
    if grid is None:
        return ()
    read: list[Terms] = []
    for row in grid.rows:
        terms = _line(found, context, grid, row)
        if terms is not None and not _twice(found, terms, read):
            read.append(terms)
    _strangers(found, read, prices)
    return tuple(read)


def _column_named(text: str) -> str | None:
    field = find_label(layout.split_heading(text)[0], "supplier")
    return field.key if field else None


def _line(found: Found, context: Context, grid: Grid, row: int) -> Terms | None:
    """One supplier; None where the line says nothing, or names nobody."""
    figures = {key: _figure(found, context, grid, row, key) for key in MONEY}
    name = grid.cell(row, "supplier")
    if name is None or says_nothing(name):
        stated = next((cell for key in MONEY if not says_nothing(cell := grid.cell(row, key))), None)
        if stated is not None:
            wrong = "this line names no supplier, so it is not used"
            found.fault(
                "part of it missing", stated.address, stated.text, wrong, "Type the supplier in the first column"
            )
        return None
    return Terms(name.text.strip(), figures["freight"], figures["minimum_order"], found.place(name.address))


def _figure(found: Found, context: Context, grid: Grid, row: int, key: str) -> float:
    """An amount of money; 0.0 where the cell is blank, or where a fault says why it is not used."""
    cell = grid.cell(row, key)
    if cell is None or says_nothing(cell):
        return 0.0
    field = supplier_fields()[key]
    try:
        if cell.kind not in ("number", "text"):
            refuse_not_typed(field, cell)
        value = read_money(cell, context.currency)
        if value is not None:
            refuse_implausible(field, value, cell.text, None, context.system)
        return value or 0.0
    except Unreadable as bad:
        found.fault(bad.kind, cell.address, cell.text, bad.wrong, bad.instead, key)
        return 0.0


def _twice(found: Found, terms: Terms, read: list[Terms]) -> bool:
    first = next((one for one in read if same_name(one.supplier, terms.supplier)), None)
    if first is None:
        return False
    wrong = f"this supplier stands at {first.place.cell} too; the line there is used, this one is not"
    found.fault("label used twice", terms.place.cell, terms.supplier, wrong, "Delete one of the two")
    return True


def _strangers(found: Found, read: list[Terms], prices: Iterable[Part]) -> None:
    """Names suppliers who sell nothing in the price list: a slip in the name would make their terms void."""
    listed = {part.supplier for part in prices if part.supplier}
    for terms in read:
        if listed and not any(same_name(terms.supplier, name) for name in listed):
            wrong = "nothing in the price list is of this supplier, so these terms are not used"
            found.remark("unknown label", terms.place.cell, terms.supplier, wrong, "Type the name as it stands there")
