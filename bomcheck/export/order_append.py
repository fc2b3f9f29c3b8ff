"""Rows at the end of the shop's own ordering spreadsheet, in that sheet's formats; every other part stays byte for byte."""

import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any

from bomcheck.export.order_mapping import ColumnMap, heading_row, keep_mapping, kept_mapping, propose
from bomcheck.fields import plain
from bomcheck.workbook import files
from bomcheck.workbook.address import column_letters, column_number
from bomcheck.workbook.assemble import assemble
from bomcheck.workbook.beside import reason_not_to_touch
from bomcheck.workbook.changes import Changes
from bomcheck.workbook.edits import Edit, append, apply, ascii_xml, attribute, qualified
from bomcheck.workbook.package import Package, Sheet, open_package
from bomcheck.workbook.parts import read_relations, read_tree
from bomcheck.workbook.refusal import refuse
from bomcheck.workbook.replace_file import replace_file
from bomcheck.workbook.splice import verify
from bomcheck.workbook.xml_tree import Node

_AREA = re.compile(r"\$?([A-Z]+)\$?(\d+):\$?([A-Z]+)\$?(\d+)")
DAY_ZERO = date(1899, 12, 30)


def append_rows(book: Path, rows: Sequence[Mapping[str, Any]]) -> list[str]:
    """Add the rows that are not there yet; returns what to tell the user. Raises WorkbookError; nothing is then written."""
    package = open_package(book)
    reason = reason_not_to_touch(package, book, book.resolve(), in_place=True)
    if reason:
        raise refuse("file", book.name, reason, "Close it and run it again, or give another name")
    kept = kept_mapping(book)
    sheet, heading, mapping = _place(package, kept, book)
    fresh = [row for row in rows if [str(row["job_number"]), str(row["line_key"])] not in mapping.appended]
    said = [] if kept else [_proposal(mapping, book)]
    if fresh:
        _write(package, sheet, heading, mapping, fresh)
        mapping.appended += [[str(row["job_number"]), str(row["line_key"])] for row in fresh]
    if fresh or not kept:
        keep_mapping(book, mapping)
    there = len(rows) - len(fresh)
    return [
        *said,
        f"{len(fresh)} lines added to {book.name}, sheet {sheet.name}"
        + (f"; {there} were there already" if there else ""),
    ]


def _proposal(mapping: ColumnMap, book: Path) -> str:
    pairs = ", ".join(f'"{heading}" takes {name}' for heading, name in mapping.columns.items())
    return f"Columns of {book.name}: {pairs}. Kept in {book.name}.columns.json; edit it there."


def _place(package: Package, kept: ColumnMap | None, book: Path) -> tuple[Sheet, int, ColumnMap]:
    """The sheet, its row of headings, and the columns."""
    if kept is not None:
        sheet = package.sheet(kept.sheet)
        cells = package.cells(sheet.name)
        row = heading_row(cells, list(kept.columns))
        there = {plain(c.text) for c in cells.values() if c.row == row}
        gone = [heading for heading in kept.columns if plain(heading) not in there]
        if row is None or gone:
            instead = f"Put the heading back, or correct {book.name}.columns.json"
            raise refuse(
                "heading missing",
                book.name,
                f'the column "{(gone or list(kept.columns))[0]}" is gone',
                instead,
                sheet=sheet.name,
            )
        return sheet, row, kept
    for sheet in package.sheets:
        cells = package.cells(sheet.name)
        row = heading_row(cells)
        if row is not None:
            texts = {plain(c.text): c.text for c in cells.values() if c.row == row and c.kind == "text"}
            return sheet, row, ColumnMap(sheet.name, propose(texts))
    wrong = "no row of headings such as Part number, Description, Quantity was found"
    raise refuse("heading missing", book.name, wrong, "Give the ordering sheet at least three such headings")


def _write(package: Package, sheet: Sheet, heading: int, mapping: ColumnMap, rows: Sequence[Mapping[str, Any]]) -> None:
    cells = package.cells(sheet.name)
    by_heading = {plain(c.text): c.column for c in cells.values() if c.row == heading}
    columns = {by_heading[plain(words)]: name for words, name in mapping.columns.items()}
    last = max([heading, *(c.row for c in cells.values() if c.column in columns)])
    below = [c for c in cells.values() if c.row > last]
    if below:
        wrong = f"below the last order line, in {below[0].address}, stands something else"
        raise refuse(
            "not allowed here", package.file, wrong, "Move it to another sheet", sheet=sheet.name, cell=below[0].address
        )
    edited = {sheet.part: _sheet_with(package, sheet, heading, last, columns, rows)}
    edited.update(_tables(package, sheet, last, len(rows)))
    changes = Changes(edited, {}, frozenset(), (sheet.name,))
    real = package.path.resolve()
    replace_file(
        real,
        assemble(package.archive, changes),
        like=package.status,
        verify=lambda data: verify(package, changes, real, data),
        last_look=lambda: _unchanged(package, real),
    )


def _unchanged(package: Package, real: Path) -> None:
    if files.read(real) != package.data:
        raise refuse("file", real.name, "the workbook was changed meanwhile", "Close it elsewhere and run it again")


def _sheet_with(
    package: Package,
    sheet: Sheet,
    heading: int,
    last: int,
    columns: Mapping[int, str],
    rows: Sequence[Mapping[str, Any]],
) -> bytes:
    """The sheet's part with the rows behind row `last`, in the styles of the row above them."""
    content, root = read_tree(package.archive, sheet.part, 4)
    data = root.child("sheetData")
    if data is None:
        raise refuse(
            "damaged",
            package.file,
            "a sheet has no rows",
            "Open it in a spreadsheet program and save it",
            sheet=sheet.name,
        )
    there = {int(row.attributes.get("r", 0)): row for row in data.children if row.name == "row"}
    model = there.get(last + 1) or (there.get(last) if last > heading else None)
    styles = _styles(model)
    new = b"".join(_row(data.prefix, last + 1 + n, columns, row, styles) for n, row in enumerate(rows))
    edits = [Edit(row.start, row.end, b"") for number, row in there.items() if last < number <= last + len(rows)]
    before = there.get(last)
    edits += [Edit(before.end, before.end, new)] if before is not None else append(content, data, new)
    edits += _areas(content, root, last, len(rows))
    return apply(content, edits)


def _styles(row: Node | None) -> dict[str, str]:
    """Style by column letters of a row's cells."""
    if row is None:
        return {}
    return {
        cell.attributes.get("r", "").rstrip("0123456789"): cell.attributes.get("s", "0")
        for cell in row.children
        if cell.name == "c"
    }


def _row(
    prefix: str, number: int, columns: Mapping[int, str], row: Mapping[str, Any], styles: Mapping[str, str]
) -> bytes:
    made = []
    for column in sorted({*columns, *(column_number(letters) for letters in styles)}):
        letters = column_letters(column)
        style = f' s="{styles[letters]}"' if letters in styles else ""
        made.append(_cell(prefix, f"{letters}{number}", style, row.get(columns.get(column, ""))))
    tag = qualified(prefix, "row")
    return b'<%s r="%d">%s</%s>' % (tag, number, b"".join(made), tag)


def _cell(prefix: str, address: str, style: str, value: Any) -> bytes:
    """One cell; text is stored as text in the cell itself, so that it is never a formula and a part number never a number."""
    c, v, inline, t = (qualified(prefix, name) for name in ("c", "v", "is", "t"))
    start = b'<%s r="%s"%s' % (c, address.encode(), style.encode())
    if value is None or value == "":
        return start + b"/>"
    if isinstance(value, date):
        return start + b"><%s>%d</%s></%s>" % (v, (value - DAY_ZERO).days, v, c)
    if isinstance(value, int | float):
        return start + b"><%s>%s</%s></%s>" % (v, repr(round(float(value), 6)).removesuffix(".0").encode(), v, c)
    text = ascii_xml(str(value))
    return start + b' t="inlineStr"><%s><%s xml:space="preserve">%s</%s></%s></%s>' % (inline, t, text, t, inline, c)


def _areas(content: bytes, root: Node, last: int, more: int) -> Iterator[Edit]:
    """The sheet's own extent, and its filter where it ended at the last row."""
    for name in ("dimension", "autoFilter"):
        node = root.child(name)
        area = _AREA.fullmatch(node.attributes.get("ref", "")) if node is not None else None
        if node is not None and area and (name == "dimension" or int(area[4]) == last):
            end = max(int(area[4]), last + more)
            yield attribute(content, node, "ref", f"{area[1]}{area[2]}:{area[3]}{end}")


def _tables(package: Package, sheet: Sheet, last: int, more: int) -> dict[str, bytes]:
    """The tables that end at the last row, made longer."""
    edited = {}
    for relation in read_relations(package.archive, sheet.part):
        if relation.kind != "table":
            continue
        content, root = read_tree(package.archive, relation.target, 2)
        area = _AREA.fullmatch(root.attributes.get("ref", ""))
        if area is None or int(area[4]) < last:
            continue
        if root.attributes.get("totalsRowCount", "0") not in ("", "0"):
            raise refuse(
                "not allowed here",
                package.file,
                "the order table has a row of totals",
                "Switch the totals row off and run it again",
                sheet=sheet.name,
            )
        ref = f"{area[1]}{area[2]}:{area[3]}{last + more}"
        inner = [attribute(content, node, "ref", ref) for node in root.children if node.name == "autoFilter"]
        edited[relation.target] = apply(content, [attribute(content, root, "ref", ref), *inner])
    return edited
