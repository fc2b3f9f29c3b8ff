"""The cells of a large sheet, quickly.

A sheet of thousands of rows is a third of a million cells, most of them alike. They are taken out of the sheet by one
pattern; what is left is parsed as XML, so that a damaged sheet is still found. Where anything does not go by the pattern, the
careful reader of workbooks takes over, and names what is wrong.
"""

import re

from bomcheck.io.package import Package, Sheet
from bomcheck.io.xml import LAST_COLUMN, LAST_ROW, BadXml, Doctype, column_number, new_parser, run
from bomcheck.screen.cell_entries import CellEntries
from bomcheck.screen.entries import Entry

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
        return _rows(CellEntries(package), pieces)
    except (LookupError, ValueError):
        return None


def _sound(content: bytes) -> bool:
    try:
        run(new_parser(), content)
    except (Doctype, BadXml):
        return False
    return True


def _rows(entries: CellEntries, pieces: list[bytes]) -> Rows:
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
