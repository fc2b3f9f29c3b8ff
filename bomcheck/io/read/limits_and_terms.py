"""The Limits sheet: figures of the user's own that replace the house limits."""

from collections.abc import Iterable
from difflib import get_close_matches

from bomcheck import notation
from bomcheck.io import layout
from bomcheck.io.cells import Cell
from bomcheck.io.read.found import Context, Found, Grid, Headings, column_named, read_grid
from bomcheck.io.read.plausible import refuse_implausible
from bomcheck.io.read.value import (
    read_money,
    refuse_no_result,
    refuse_no_value,
    refuse_not_typed,
    says_nothing,
    unit_beside,
)
from bomcheck.model.errors import Unreadable
from bomcheck.model.job import Part, Terms, TypedLimit
from bomcheck.model.limits import Limit, house_limits, to_inches
from bomcheck.model.line import same_name
from bomcheck.notation import units
from bomcheck.tables.fields import plain, supplier_fields

WHAT, LOW, HIGH, UNIT, YOUR_LOW, YOUR_HIGH = layout.LIMIT_HEADINGS[:6]
_NAMES = {name.lower(): name for name in layout.LIMIT_HEADINGS}
HEADINGS = Headings(
    lambda text: _NAMES.get(" ".join(text.lower().split())), {name: name for name in layout.LIMIT_HEADINGS}, (WHAT,)
)
NO_BOUND = ("none", "no limit", "unlimited", "no bound")
NEAR_ENOUGH = 0.6


def read_limits(found: Found, cells: dict[str, Cell]) -> dict[str, TypedLimit]:
    """The limits that the user changed, by name. A side that is left blank keeps the figure of the house."""
    grid = read_grid(found, cells, HEADINGS)
    if grid is None:
        return {}
    titles = {plain(text): limit for limit in house_limits().values() for text in (limit.title, limit.name)}
    read: dict[str, TypedLimit] = {}
    twice: set[str] = set()
    for row in grid.rows:
        limit = _limit_of(found, grid, row, titles)
        if limit is None:
            continue
        _house_figure_changed(found, grid, row, limit)
        typed = _typed(found, grid, row, limit)
        if typed is not None and limit.name in read:
            _twice(found, grid, row, limit, read[limit.name])
            twice.add(limit.name)
        elif typed is not None:
            read[limit.name] = typed
    return {name: typed for name, typed in read.items() if name not in twice}


def _limit_of(found: Found, grid: Grid, row: int, titles: dict[str, Limit]) -> Limit | None:
    label = grid.cell(row, WHAT)
    limit = titles.get(plain(label.text)) if label else None
    columns = (YOUR_LOW, YOUR_HIGH) if label else (YOUR_LOW, YOUR_HIGH, UNIT)
    own = [cell for cell in (grid.cell(row, name) for name in columns) if not says_nothing(cell)]
    if limit is not None or not own or own[0] is None:
        return limit
    if label is None:
        wrong = "there is no limit beside this; it is not used"
        found.remark("unknown label", own[0].address, own[0].text, wrong, "Nothing to do if it is your own note")
        return None
    near = get_close_matches(plain(label.text), titles, 1, NEAR_ENOUGH)
    wrong = f"there is no limit of this name, so {own[0].address} is not used"
    instead = f'Did you mean "{titles[near[0]].title}"? Type it so' if near else "Nothing to do if it is your own note"
    found.fault("unknown label", label.address, label.text, wrong, instead, stops=bool(near))
    return None


def _typed(found: Found, grid: Grid, row: int, limit: Limit) -> TypedLimit | None:
    """The user's figures; None where there are none, or where one of them cannot be used."""
    cells = {name: grid.cell(row, name) for name in (YOUR_LOW, YOUR_HIGH)}
    cells = {name: cell for name, cell in cells.items() if not says_nothing(cell)}
    bounds = {YOUR_LOW: limit.low, YOUR_HIGH: limit.high}
    for name, cell in cells.items():
        if cell is None:
            continue
        try:
            bounds[name] = _figure(cell, limit, grid.cell(row, UNIT))
        except Unreadable as bad:
            found.fault(bad.kind, cell.address, cell.text, bad.wrong, bad.instead)
            return None
    first = next((cell for cell in cells.values() if cell is not None), None)
    if first is None:
        _unit_changed(found, grid.cell(row, UNIT), limit)
        return None
    low, high = bounds[YOUR_LOW], bounds[YOUR_HIGH]
    if low is not None and high is not None and low > high:
        wrong = f"{limit.title}: the low bound {low:g} is above the high bound {high:g}, so neither is used"
        found.fault("entries disagree", first.address, first.text, wrong, "Correct one of the two")
        return None
    return TypedLimit(limit.name, low, high, found.place(first.address))


def _figure(cell: Cell, limit: Limit, unit_cell: Cell | None) -> float | None:
    """A bound in the limit's unit; None for "none". Raises Unreadable."""
    refuse_no_value(cell, limit.unit)
    if cell.text.strip().lower() in NO_BOUND:
        return None
    unit = _unit(limit, unit_cell)
    inside = limit.unit if units.named(limit.unit) else "-"
    figure = notation.read_quantity(cell.value, inside, unit if units.named(unit) else "-")
    whole = max((abs(one) for one in (limit.low, limit.high) if one is not None), default=9.0) <= 1
    most = 5.0 if limit.title.startswith("Constant") else 1.0
    if whole and limit.unit == "-" and figure is not None and abs(figure) > most and "%" not in cell.text:
        raise Unreadable(
            "out of range", cell.text, "a part of the whole belongs here", f"Type {cell.text} % or {figure / 100:g}"
        )
    return figure


def _unit(limit: Limit, cell: Cell | None) -> str:
    """The unit of the row's figures: the limit's own, or another one of the same kind that the user wrote."""
    if cell is None or says_nothing(cell) or cell.text.strip() == limit.unit:
        return limit.unit
    refuse_no_result(cell)
    found = unit_beside(limit.unit, cell.text)
    if found is None:
        wrong = f'"{cell.text}" in {cell.address} is no unit for this limit'
        instead = "Leave that cell blank" if limit.unit == "-" else f"Write {limit.unit} there"
        raise Unreadable("unknown unit", cell.text, wrong, instead)
    return found


def _unit_changed(found: Found, cell: Cell | None, limit: Limit) -> None:
    """Names a unit typed over beside a limit that has no figure of the user's own."""
    try:
        _unit(limit, cell)
    except Unreadable as bad:
        if cell is not None:
            found.remark(bad.kind, cell.address, cell.text, f"{bad.wrong}; it is not used", bad.instead)


def _house_figure_changed(found: Found, grid: Grid, row: int, limit: Limit) -> None:
    """A figure of the house that was typed over rules nothing; the user's own columns do. One of an earlier version of ours was
    typed by nobody."""
    lows, highs = zip((limit.low, limit.high), *limit.before, strict=True)
    for name, ours, own in ((LOW, lows, YOUR_LOW), (HIGH, highs, YOUR_HIGH)):
        cell, house = grid.cell(row, name), ours[0]
        figures = [one for one in ours if one is not None]
        figures += [to_inches(one) for one in figures if limit.unit == "mm"]  # as an inch workbook shows it
        if cell is None or (cell.kind == "number" and any(abs(float(cell.value or 0) - one) < 1e-9 for one in figures)):
            continue
        stands = "none" if house is None else f"{house:g} {limit.unit}".removesuffix(" -")
        wrong = f"the usual limit here is {stands}; a figure typed over it is not used"
        found.remark("not allowed here", cell.address, cell.text, wrong, f'Type your own figure under "{own}"')


def _twice(found: Found, grid: Grid, row: int, limit: Limit, first: TypedLimit) -> None:
    label = grid.cell(row, WHAT)
    wrong = f"this limit is filled in twice, at {first.place.cell} too; neither is used"
    found.fault("label used twice", label.address if label else "", limit.title, wrong, "Delete one of the two")


MONEY = ("freight", "minimum_order")


def read_terms(found: Found, context: Context, cells: dict[str, Cell], prices: Iterable[Part]) -> tuple[Terms, ...]:
    """The terms by line. A supplier who stands there twice, or with a figure that cannot be used, is a fault."""
    shown = {key: supplier_fields()[key].label for key in layout.TERM_COLUMNS}
    grid = read_grid(found, cells, Headings(column_named("supplier"), shown, ("supplier",)))
    if grid is None:
        return ()
    read: list[Terms] = []
    for row in grid.rows:
        terms = _line(found, context, grid, row)
        if terms is not None and not _read_terms_twice(found, terms, read):
            read.append(terms)
    _strangers(found, read, prices)
    return tuple(read)


def _line(found: Found, context: Context, grid: Grid, row: int) -> Terms | None:
    """One supplier; None where the line says nothing, or names nobody."""
    figures = {key: _read_terms_figure(found, context, grid, row, key) for key in MONEY}
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


def _read_terms_figure(found: Found, context: Context, grid: Grid, row: int, key: str) -> float:
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


def _read_terms_twice(found: Found, terms: Terms, read: list[Terms]) -> bool:
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
