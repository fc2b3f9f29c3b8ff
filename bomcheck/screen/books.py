"""What stands in one cell of a sheet, from the bytes between its tags."""

import re
from math import isfinite
from pathlib import Path

from bomcheck.io.cells import Cell, shortest, unescape
from bomcheck.io.mark import marked_sheets
from bomcheck.io.package import Package, Sheet, open_package
from bomcheck.io.xml import LAST_COLUMN, LAST_ROW, BadXml, Doctype, column_number, new_parser, run
from bomcheck.screen.grids import BEGIN, BOOKS, Entries, Entry, Grid, heading_texts, refuse, require_columns, too_long

MARK = re.compile(r"&(?:(lt|gt|quot|apos|amp)|#([0-9]{1,7})|#x([0-9A-Fa-f]{1,6}));")
NAMED = {"lt": "<", "gt": ">", "quot": '"', "apos": "'", "amp": "&"}
NO_TEXT = re.compile(r"[\x00-\x08\x0b-\x1f\ud800-\udfff\ufffe\uffff]")
EXACT = 15  # digits of a figure that is the same however it is rounded
Bytes = bytes | None


class CellEntries:
    """Contents of cells as entries. Raises LookupError or ValueError for whatever a sound workbook does not hold.

    figures: those that were read, by their bytes. dated: styles that show a date.
    """

    def __init__(self, package: Package) -> None:
        self.package = package
        self.dated = {style.encode() for style in package.dated.styles}
        self.figures: dict[bytes, float] = {}
        self.texts: dict[bytes, str] = {}

    def figure(self, value: bytes) -> float:
        """A figure to the 15 digits that spreadsheet programs show."""
        if value not in self.figures:
            figure = float(value)
            if not isfinite(figure):
                raise ValueError
            self.figures[value] = figure if len(value) <= EXACT else float(shortest(figure))
        return self.figures[value]

    def entry(self, kind: Bytes, style: Bytes, value: Bytes, inline: Bytes, formula: Bytes) -> Entry:
        """Any cell, "" for a blank. kind, style: its attributes. value, inline, formula: between its tags, None for none."""
        if kind == b"inlineStr":
            return "" if inline is None else self._text(inline)
        if inline is not None:
            raise ValueError
        if kind == b"str":
            return self._text(value or b"")
        if value is None or not value.strip():
            return "" if formula is None else Cell("", 0, 0, "formula without value", None, "")
        if kind == b"s":
            return self._shared(value)
        return self._figure_or_date(value, style) if kind in (None, b"n") else self._said(kind, self._text(value))

    def _shared(self, value: bytes) -> str:
        if not value.isdigit():
            raise ValueError
        return self.package.strings[int(value)]

    def _figure_or_date(self, value: bytes, style: Bytes) -> Entry:
        figure = self.figure(value)
        iso = self.package.dated.iso(style.decode(), float(value)) if style in self.dated and style else ""
        return Cell("", 0, 0, "date", iso, iso) if iso else figure

    def _said(self, kind: Bytes, text: str) -> Cell:
        if kind == b"b":
            is_true = text.strip() in ("1", "true")
            return Cell("", 0, 0, "bool", is_true, "TRUE" if is_true else "FALSE")
        return Cell("", 0, 0, {b"e": "error", b"d": "date"}[kind or b""], text, text)

    def _text(self, data: bytes) -> str:
        """A text as it stands between its tags."""
        if data not in self.texts:
            text = data.decode()
            if text.count("&") != len(MARK.findall(text)):
                raise ValueError
            text = MARK.sub(
                lambda one: NAMED[one[1]] if one[1] else chr(int(one[2]) if one[2] else int(one[3], 16)), text
            )
            if NO_TEXT.search(text):
                raise ValueError
            self.texts[data] = unescape(text)
        return self.texts[data]


CELL = re.compile(
    rb'<c r="([A-Z]{1,3})([1-9][0-9]{0,6})"(?: s="([0-9]+)")?(?: t="(n|s|str|inlineStr|e|b|d)")?'
    rb"(?:/>|>(<f(?: [^<>]*)?(?:/>|>[^<]*</f>))?(?:<v>([^<]*)</v>)?</c>|"
    rb'><is><t(?: xml:space="preserve")?>([^<]*)</t></is></c>)'
)
PARTS = 8  # of what the pattern divides the sheet into: what stands before a cell, and its seven groups
ROW_TAGS = re.compile(rb"(?:\s|<row(?: [^<>]*)?>|</row>)*")
UTF8 = re.compile(
    rb"(?:\xef\xbb\xbf)?\s*(?:<[A-Za-z]|"
    rb"<\?xml version=[\"']1\.0[\"'](?: encoding=[\"'][uU][tT][fF]-8[\"'])?(?: standalone=[\"'](?:yes|no)[\"'])?\s*\?>)"
)
BODY, END = b"<sheetData>", b"</sheetData>"
Rows = dict[int, dict[int, Entry]]
"""Entries by row, then by column, as the sheet counts."""


def plain_cells(package: Package, sheet: Sheet) -> Rows | None:
    """Entries by row and column; None where the careful reader must look. Raises WorkbookError."""
    content = package.archive.read(sheet.part)
    start, end = content.find(BODY) + len(BODY), content.rfind(END)
    if start < len(BODY) or end < start or not UTF8.match(content):
        return None
    pieces = CELL.split(content[start:end])
    between = b"".join(pieces[::PARTS])
    if not ROW_TAGS.fullmatch(between) or not _sound(content[:start] + between + content[end:]):
        return None
    try:
        return _plain_rows(CellEntries(package), pieces)
    except (LookupError, ValueError):
        return None


def _sound(content: bytes) -> bool:
    try:
        run(new_parser(), content)
    except (Doctype, BadXml):
        return False
    return True


def _plain_rows(entries: CellEntries, pieces: list[bytes]) -> Rows:
    """Every entry that is not blank. The loop runs for every cell, so the common cases come first in it."""
    rows: Rows = {}
    columns, last, row = dict[bytes, int](), b"", dict[int, Entry]()
    figures, dated = entries.figures, entries.dated
    groups = (pieces[place::PARTS] for place in range(1, PARTS))
    for letters, number, style, kind, formula, value, inline in zip(*groups, strict=False):
        if value is None and inline is None and formula is None:
            continue
        if number != last:
            last, row = number, rows.setdefault(_within(int(number), LAST_ROW), {})
        column = columns.get(letters)
        if column is None:
            column = columns[letters] = _within(column_number(letters.decode()), LAST_COLUMN)
        if column in row:
            raise ValueError
        figure = figures.get(value) if kind is None and style not in dated else None
        entry = entries.entry(kind, style, value, inline, formula) if figure is None else figure
        if entry != "":
            row[column] = entry
    return {number: row for number, row in rows.items() if row}


def _within(number: int, last: int) -> int:
    if number > last:
        raise ValueError
    return number


def from_book(path: Path) -> Grid:
    """The table in a workbook. Raises WorkbookError."""
    return from_package(open_package(path))


def from_package(package: Package, kind: str = "") -> Grid:
    """The table in a workbook that is open: of the shop's records the sheet of this kind, "corners" or "kits"; else the first
    that holds anything."""
    kept = marked_sheets(package).get(f"records {kind}")
    for sheet in package.sheets if kept is None else [package.sheet(kept)]:
        rows = _rows(package, sheet) if sheet.kind == "worksheet" else {}
        if rows:
            return _grid(package.file, rows)
    raise refuse("nothing filled in", package.file, "no sheet holds anything", BEGIN)


def is_job_workbook(package: Package) -> bool:
    """Whether a workbook is a job, with a sheet of fields in it."""
    from bomcheck.io.read.tabs import ADDED, NEEDED

    return not {*ADDED, *NEEDED}.isdisjoint(package.sheet_names)


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
