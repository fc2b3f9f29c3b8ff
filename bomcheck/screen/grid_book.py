"""A table in a workbook: the first sheet that holds something."""

from pathlib import Path

from bomcheck.io.cells import Cell
from bomcheck.io.package import Package, Sheet, open_package
from bomcheck.screen.entries import Entries, Entry
from bomcheck.screen.faults import refuse
from bomcheck.screen.grids import BEGIN, BOOKS, Grid, heading_texts, require_columns, too_long
from bomcheck.screen.sheet_cells import plain_cells

Rows = dict[int, dict[int, Entry]]
"""Entries by row, then by column, as the sheet counts."""


def from_book(path: Path) -> Grid:
    """The table in a workbook. Raises WorkbookError."""
    return from_package(open_package(path))


def from_package(package: Package) -> Grid:
    """The table in a workbook that is open."""
    for sheet in package.sheets:
        rows = _rows(package, sheet) if sheet.kind == "worksheet" else {}
        if rows:
            return _grid(package.file, rows)
    raise refuse("nothing filled in", package.file, "no sheet holds anything", BEGIN)


def is_job_workbook(package: Package) -> bool:
    """Whether a workbook is a job, with a sheet of fields in it."""
    from bomcheck.io import layout

    return layout.CORNER in package.sheet_names or layout.KIT in package.sheet_names


def may_be_job(path: Path) -> bool:
    """Whether a file is a workbook at all, by its name."""
    return path.suffix.lower() in BOOKS and path.is_file()


def _rows(package: Package, sheet: Sheet) -> Rows:
    plain = plain_cells(package, sheet)
    if plain is not None:
        return plain
    rows: Rows = {}
    for cell in package.cells(sheet.name).values():
        rows.setdefault(cell.row, {})[cell.column] = _entry(cell)
    return rows


def _entry(cell: Cell) -> Entry:
    """Texts and figures by themselves; anything else stays a cell."""
    if cell.kind in ("text", "number") and isinstance(cell.value, str | float):
        return cell.value
    return cell


def _grid(file: str, rows: Rows) -> Grid:
    head = rows.pop(1, {})
    width = max(head, default=1)
    filled = {number: row for number, row in rows.items() if any(_fills(entry) for entry in row.values())}
    numbers = sorted(filled)
    require_columns(file, width, len(numbers))
    columns: list[Entries] = [[""] * len(numbers) for _ in range(width)]
    for place, number in enumerate(numbers):
        for column, entry in filled[number].items():
            if column <= width:
                columns[column - 1][place] = entry
            elif _fills(entry):
                raise too_long(file, width, number)
    return Grid(file, heading_texts([head.get(column, "") for column in range(1, width + 1)]), columns, numbers)


def _fills(entry: Entry) -> bool:
    return not isinstance(entry, str) or bool(entry.strip())
