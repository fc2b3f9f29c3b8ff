"""Where the order lines stand in a shop's sheet: headings, lines, rows that wait, what stands below, whose formulas are where."""

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import field
from pathlib import Path

from bomcheck.io.cells import Cell
from bomcheck.io.order.columns import COUNTS, NAMES, ColumnMap, mapping_file, propose
from bomcheck.io.package import Package, Rows, Sheet, cells_by_row
from bomcheck.io.parts import read_relations, read_tree
from bomcheck.io.refusal import refuse
from bomcheck.io.xml import Node, column_number
from bomcheck.model.records import dataclass
from bomcheck.paper.order_rows import COLUMNS
from bomcheck.tables.fields import plain

HEADINGS_WITHIN = 40  # rows from the top
LEAST_HEADINGS = 2
TEXT_COLUMNS = frozenset(c.name for c in COLUMNS if c.type == "string") - {"part_number", "job_number", "note", "unit"}
FIGURE_COLUMNS = frozenset(c.name for c in COLUMNS if c.type in ("number", "integer"))
TOTAL = re.compile(
    r"(?:sub|grand|net|order|overall)?\s*-?(?:totals?|sum|vat|tax|gst|balance|amount due|carried forward|brought forward|freight|postage|shipping|discount)\b",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Place:
    """name, part: of the sheet. heading: row of the headings. first, last: rows of the first and the last order line; last is the headings' where there
    is none. columns: order column by number of the sheet's column. rows: the filled cells by row and column. free: rows that
    wait behind the last line. below: whether something stands below these. formulas: columns with formulas of the shop.
    """

    name: str
    part: str
    heading: int
    last: int
    columns: dict[int, str]
    rows: Rows
    first: int = 0
    free: int = 0
    below: bool = False
    formulas: frozenset[int] = frozenset()

    def texts(self, row: int) -> dict[str, str]:
        """What a row of the sheet says, by order column."""
        return {name: self.rows[row][number].text for number, name in self.columns.items() if number in self.rows[row]}


def find_place(package: Package, mapping: ColumnMap) -> Place:
    """Where a mapping says. Raises WorkbookError where a column is gone."""
    sheet = package.sheet(mapping.sheet)
    rows = cells_by_row(package.cells(sheet.name))
    heading, columns = found_columns(package.path, rows, mapping, sheet.name)
    formulas = _formula_columns(package, sheet, rows, heading)
    columns = {number: name for number, name in columns.items() if number not in formulas}
    table = _table_of(package, sheet, heading)
    lines = _lines(rows, heading, columns, table)
    last = max(lines, default=heading)
    free, below = _behind(package, sheet, rows, heading, last, columns, formulas, table)
    first = min((row for row in lines if row > heading), default=heading + 1)
    return Place(sheet.name, sheet.part, heading, last, columns, rows, first, free, below, formulas)


def found_columns(book: Path, rows: Rows, mapping: ColumnMap, sheet: str = "") -> tuple[int, dict[int, str]]:
    """(row of the headings, order column by number of the column). Raises WorkbookError where a column is gone."""
    wanted = {plain(text) for text in mapping.columns}
    heading = max(_near_top(rows), key=lambda row: len(wanted & _plain_texts(rows[row])), default=0)
    by_text = {
        plain(cell.text): number for number, cell in reversed(rows.get(heading, {}).items()) if cell.kind == "text"
    }
    gone = [text for text in mapping.columns if plain(text) not in by_text]
    if gone or not wanted:
        wrong = f'the column "{(gone or ["Part number"])[0]}" is gone'
        instead = f"Put the heading back, or correct {mapping_file(book).name}"
        raise refuse("heading missing", book.name, wrong, instead, sheet=sheet)
    return heading, {by_text[plain(text)]: name for text, name in mapping.columns.items()}


def _is_total(cells: Mapping[int, Cell]) -> bool:
    """Whether a row is one of totals: some text says so, in few words."""
    texts = [cell.text.strip() for cell in cells.values() if cell.kind == "text"]
    return any(TOTAL.match(text) and len(text.split()) <= 5 for text in texts)


def _lines(rows: Rows, heading: int, columns: Mapping[int, str], table: "_Table | None") -> list[int]:
    """Rows of order lines: two typed things in columns that are filled; directly behind them one is enough. Totals are none."""
    found: list[int] = []
    for row in sorted(row for row in rows if row > heading):
        if table is not None and table.data_end < row <= table.end:
            continue
        typed = [n for n, cell in rows[row].items() if n in columns and not cell.is_formula]
        named = any(columns[n] == "part_number" for n in typed) and len(typed) > 2
        if _is_total(rows[row]) and not named:
            continue
        if len(typed) >= min(2, len(columns)) or (typed and row - 1 == max(found, default=heading)):
            found.append(row)
    return found


@dataclass(frozen=True)
class _Table:
    """A table of the sheet. data_end: its last row before the totals. formulas: columns that are worked out."""

    end: int
    data_end: int
    formulas: frozenset[int] = field(default=frozenset())


def tables_on(package: Package, part: str) -> Iterator[tuple[int, int, int, dict[int, Node]]]:
    """(row of the headings, last row, rows of totals, formulas of whole columns) of each table of a sheet."""
    for relation in read_relations(package.archive, part):
        if relation.kind != "table":
            continue
        _, root = read_tree(package.archive, relation.target, 4)
        area = re.fullmatch(r"([A-Z]+)(\d+):[A-Z]+(\d+)", root.attributes.get("ref", ""))
        if area is None:
            continue
        columns = root.child("tableColumns")
        numbered = enumerate(columns.children if columns else [], column_number(area[1]))
        worked = {number: one.child("calculatedColumnFormula") for number, one in numbered}
        formulas = {number: node for number, node in worked.items() if node is not None}
        yield int(area[2]), int(area[3]), int(root.attributes.get("totalsRowCount") or 0), formulas


def _table_of(package: Package, sheet: Sheet, heading: int) -> _Table | None:
    found = tables_on(package, sheet.part)
    return next(
        (_Table(end, end - totals, frozenset(worked)) for row, end, totals, worked in found if row == heading), None
    )


def _formula_columns(package: Package, sheet: Sheet, rows: Rows, heading: int) -> frozenset[int]:
    """Columns in which the shop reckons: in most rows of lines, or by its table."""
    table = _table_of(package, sheet, heading)
    formulas, typed = dict[int, int](), dict[int, int]()
    for row, cells in rows.items():
        if row <= heading or _is_total(cells) or (table and table.data_end < row <= table.end):
            continue
        for number, cell in cells.items():
            if cell.is_formula:
                formulas[number] = formulas.get(number, 0) + 1
            else:
                typed[number] = typed.get(number, 0) + 1
    most = max(typed.values(), default=1)
    found = {n for n, count in formulas.items() if count >= typed.get(n, 0) and (count > 1 or most <= 2)}
    return frozenset(found | (table.formulas if table else frozenset()))


def _behind(
    package: Package, sheet: Sheet, rows: Rows, heading: int, last: int, columns: Collection[int], formulas: Collection[int],
    table: _Table | None,
) -> tuple[int, bool]:  # fmt: skip
    """(rows that wait for lines, whether something stands below them)."""
    content, root = read_tree(package.archive, sheet.part, 4)
    data = root.child("sheetData")
    ruled = {
        int(r.attributes["r"]): r for r in (data.children if data else []) if r.attributes.get("r", "").isdecimal()
    }
    row = last + 1
    while table is None or row <= table.data_end:
        there = (
            {column_number(c.attributes.get("r", "A").rstrip("0123456789")) for c in ruled[row].children}
            if row in ruled
            else set[int]()
        )
        waits = len(there & set(columns)) * 2 >= len(columns) and bool(there)
        typed = [n for n, cell in rows.get(row, {}).items() if not cell.is_formula or n not in formulas]
        if not waits or typed:
            break
        row += 1
    free = row - 1 - last
    if table is not None and last <= table.data_end:
        free = (
            max(free, table.data_end - last)
            if not any(rows.get(r) for r in range(last + 1, table.data_end + 1))
            else free
        )
    below = any(one > last + free for one in rows) or (table is not None and table.end > last + free)
    below = below or any(top > last for top, *_ in tables_on(package, sheet.part) if top != heading)
    merged = re.findall(rb'<(?:\w+:)?mergeCell\b[^<>]*\sref="[A-Z]+(\d+):[A-Z]+\d+"', content)
    return free, below or any(int(top) > last + free for top in merged)


def candidates(package: Package, given: Mapping[str, str] | None = None) -> list[ColumnMap]:
    """Proposals for the sheets whose headings are understood best, the likeliest first: the newest year, then the tab in front.

    given: headings that the shop has settled before: heading -> order column, "" for none.
    """
    found: list[tuple[int, ColumnMap]] = []
    for sheet in package.sheets:
        rows = cells_by_row(package.cells(sheet.name)) if sheet.visibility == "visible" else {}
        tried = [_proposed(package, sheet, rows, row, given or {}) for row in _near_top(rows)]
        good = [one for one in tried if len(one.columns) >= LEAST_HEADINGS and one.has(NAMES)]
        if good:
            best = max(good, key=lambda one: len(one.columns))
            found.append((len(best.columns), best))
    if not found:
        wrong = "no row of headings such as Part number, Description, Quantity was found"
        raise refuse("heading missing", package.file, wrong, "Give the columns of the ordering sheet such headings")
    most = max(count for count, _ in found)
    front = _active(package)
    alike = [one for count, one in found if count == most]
    return sorted(alike, key=lambda one: (-_year(one.sheet), one.sheet != front))


def _year(name: str) -> int:
    return max((int(year) for year in re.findall(r"(?<!\d)(?:19|20)\d\d(?!\d)", name)), default=0)


def newer(package: Package, mapping: ColumnMap) -> str:
    """A sheet of a later year with the same headings, "" for none."""
    own = {plain(text) for text in mapping.columns}
    for sheet in package.sheets:
        if _year(sheet.name) > _year(mapping.sheet) > 0 and sheet.visibility == "visible":
            rows = cells_by_row(package.cells(sheet.name))
            if any(own <= _plain_texts(rows[row]) for row in _near_top(rows)):
                return sheet.name
    return ""


def _active(package: Package) -> str:
    views = package.workbook_root.child("bookViews")
    view = views.child("workbookView") if views else None
    at = int(view.attributes.get("activeTab", "0")) if view is not None else 0
    return package.sheets[at].name if at < len(package.sheets) else ""


def _proposed(package: Package, sheet: Sheet, rows: Rows, row: int, given: Mapping[str, str]) -> ColumnMap:
    cells = {number: cell for number, cell in sorted(rows[row].items()) if cell.kind == "text"}
    formulas = _formula_columns(package, sheet, rows, row)
    barred = {cell.text: _barred(rows, row, number) for number, cell in cells.items()}
    texts = [cell.text for number, cell in cells.items() if number not in formulas]
    return ColumnMap(sheet.name, propose(texts, given, barred))


def _barred(rows: Rows, heading: int, number: int) -> Collection[str]:
    """What a column cannot take, by what the shop typed in it: numbers are no words, words are no figures."""
    kinds = {
        cells[number].kind
        for row, cells in rows.items()
        if row > heading and number in cells and not cells[number].is_formula and not _is_total(cells)
    }
    return TEXT_COLUMNS if kinds == {"number"} else FIGURE_COLUMNS if kinds == {"text"} else ()


def require_useful(book: Path, mapping: ColumnMap) -> None:
    """Raises WorkbookError for a sheet that takes no quantity, or nothing that names the part."""
    for names, what in ((NAMES, "the part"), (COUNTS, "how many are ordered")):
        if not mapping.has(names):
            wrong = f"no column is known to take {what}"
            instead = f'Write it into {mapping_file(book).name}, for example "Your heading": "{names[0]}"'
            raise refuse("heading missing", book.name, wrong, instead, sheet=mapping.sheet)


def left_blank(place: Place) -> tuple[list[str], list[str]]:
    """(headings that nothing goes into, headings of columns with formulas of the shop), in their order."""
    texts = [(n, " ".join(c.text.split())) for n, c in sorted(place.rows[place.heading].items()) if c.kind == "text"]
    free = [text for n, text in texts if n not in place.columns and n not in place.formulas]
    return free, [text for n, text in texts if n in place.formulas]


def _near_top(rows: Rows) -> list[int]:
    return [row for row in sorted(rows) if row <= HEADINGS_WITHIN]


def _plain_texts(cells: Mapping[int, Cell]) -> set[str]:
    return {plain(cell.text) for cell in cells.values() if cell.kind == "text"}
