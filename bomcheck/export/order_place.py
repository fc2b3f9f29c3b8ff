"""Where in the shop's ordering spreadsheet the lines go: the sheet, its headings, the last line."""

from collections.abc import Mapping
from dataclasses import dataclass

from bomcheck.errors import WorkbookError
from bomcheck.export.order_mapping import COUNTS, NAMES, ColumnMap, mapping_file, propose
from bomcheck.fields import plain
from bomcheck.workbook.cells import Cell
from bomcheck.workbook.package import Package, Sheet
from bomcheck.workbook.refusal import refuse

HEADINGS_WITHIN = 40  # rows from the top
LEAST_HEADINGS = 2
Rows = dict[int, dict[int, Cell]]


@dataclass(frozen=True)
class Place:
    """heading: row of the headings. last: row of the last order line, or of the headings. columns: order column by number
    of the sheet's column. rows: the filled cells by row and column."""

    sheet: Sheet
    heading: int
    last: int
    columns: dict[int, str]
    rows: Rows

    def texts(self, row: int) -> dict[str, str]:
        """What a row of the sheet says, by order column."""
        return {name: self.rows[row][number].text for number, name in self.columns.items() if number in self.rows[row]}


def rows_of(cells: Mapping[str, Cell]) -> Rows:
    """The cells by row and column."""
    rows: Rows = {}
    for cell in cells.values():
        rows.setdefault(cell.row, {})[cell.column] = cell
    return rows


def find_place(package: Package, mapping: ColumnMap) -> Place:
    """Where a mapping says. Raises WorkbookError where a column is gone, or something stands in the way."""
    sheet = package.sheet(mapping.sheet)
    rows = rows_of(package.cells(sheet.name))
    wanted = {plain(heading) for heading in mapping.columns}
    heading = max(_near_top(rows), key=lambda row: len(wanted & _plain_texts(rows[row])), default=None)
    there = _plain_texts(rows[heading]) if heading is not None else set()
    gone = [text for text in mapping.columns if plain(text) not in there]
    if heading is None or gone or not wanted:
        raise _gone(package, sheet, (gone or ["Part number"])[0])
    by_heading = {plain(cell.text): number for number, cell in reversed(rows[heading].items())}
    columns = {by_heading[plain(text)]: name for text, name in mapping.columns.items()}
    last = _last_line(rows, heading, columns)
    _require_open_end(package, sheet, rows, last)
    return Place(sheet, heading, last, columns, rows)


def _gone(package: Package, sheet: Sheet, heading: str) -> WorkbookError:
    instead = f"Put the heading back, or correct {mapping_file(package.path).name}"
    return refuse("heading missing", package.file, f'the column "{heading}" is gone', instead, sheet=sheet.name)


def new_mapping(package: Package) -> ColumnMap:
    """A proposal, for the sheet whose headings are understood best. Raises WorkbookError where there is none."""
    best: ColumnMap | None = None
    for sheet in package.sheets:
        rows = rows_of(package.cells(sheet.name)) if sheet.visibility == "visible" else {}
        for row in _near_top(rows):
            texts = [cell.text for _, cell in sorted(rows[row].items()) if cell.kind == "text"]
            found = ColumnMap(sheet.name, propose(texts))
            if len(found.columns) > (len(best.columns) if best else LEAST_HEADINGS - 1) and found.has(NAMES):
                best = found
    if best is None:
        wrong = "no row of headings such as Part number, Description, Quantity was found"
        raise refuse("heading missing", package.file, wrong, "Give the columns of the ordering sheet such headings")
    return best


def require_useful(package: Package, mapping: ColumnMap) -> None:
    """Raises WorkbookError for a sheet that takes no quantity, or nothing that names the part."""
    for names, what in ((NAMES, "the part"), (COUNTS, "how many are ordered")):
        if not mapping.has(names):
            wrong = f"no column is known to take {what}"
            instead = f'Write it into {mapping_file(package.path).name}, for example "Your heading": "{names[0]}"'
            raise refuse("heading missing", package.file, wrong, instead, sheet=mapping.sheet)


def unknown_headings(package: Package, mapping: ColumnMap) -> list[str]:
    """Headings of the sheet that no order column goes into, in their order."""
    place = find_place(package, mapping)
    return [c.text for n, c in sorted(place.rows[place.heading].items()) if c.kind == "text" and n not in place.columns]


def _near_top(rows: Rows) -> list[int]:
    return [row for row in sorted(rows) if row <= HEADINGS_WITHIN]


def _plain_texts(cells: Mapping[int, Cell]) -> set[str]:
    return {plain(cell.text) for cell in cells.values() if cell.kind == "text"}


def _last_line(rows: Rows, heading: int, columns: Mapping[int, str]) -> int:
    """The last row with something typed in a column that is filled; formulas that wait for lines do not count."""
    filled = [row for row, cells in rows.items() if any(n in columns and not c.is_formula for n, c in cells.items())]
    return max([heading, *(row for row in filled if row > heading)])


def _require_open_end(package: Package, sheet: Sheet, rows: Rows, last: int) -> None:
    """Nothing that was typed may stand below the last line, and that line may not be the totals."""
    below = [c for row, cells in sorted(rows.items()) if row > last for c in cells.values() if not c.is_formula]
    totals = [
        c
        for c in rows.get(last, {}).values()
        if c.kind == "text" and plain(c.text) in ("total", "totals", "sum", "grandtotal")
    ]
    if below or totals:
        cell = (below or totals)[0]
        wrong = "below the order lines stands something else" if below else "the last line is a row of totals"
        instead = "Move it above the headings or to another sheet"
        raise refuse(
            "not allowed here", package.file, wrong, instead, typed=cell.text[:40], sheet=sheet.name, cell=cell.address
        )
