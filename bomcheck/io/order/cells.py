"""The rows of new lines in the shop's sheet: its formats, its formulas filled down, its totals kept below."""

import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from bomcheck.io import xml
from bomcheck.io.order.place import Place, tables_on
from bomcheck.io.order.shift import Shift, areas, copied, followers, own_text, shared
from bomcheck.io.package import Package
from bomcheck.io.parts import read_tree
from bomcheck.io.refusal import damaged, refuse
from bomcheck.model.records import dataclass

DAY_ZERO, DAY_ZERO_1904 = date(1899, 12, 30), date(1904, 1, 1)
Line = Mapping[str, Any]
Fills = Mapping[int, Mapping[int, Any]]


def shift_for(place: Place, lines: int) -> Shift:
    """Where the rows of so many new lines come: into rows that wait for lines, and behind these into new ones where
    something stands below."""
    new = max(0, lines - place.free) if place.below else 0
    after = place.last + min(place.free, lines) if new else 2_000_000
    return Shift(place.name, place.first, place.last, place.last + lines, after, new)


def edited_parts(package: Package, place: Place, lines: Sequence[Line], fills: Fills | None = None) -> dict[str, bytes]:
    """Every part that new lines change: the sheet, its tables, and whatever refers to rows that moved or to all lines.

    fills: values for empty cells of rows that are there, by row and column.
    """
    shift = shift_for(place, len(lines))
    edited = {place.part: sheet_with_rows(package, place, lines, fills, shift)}
    if not lines:
        return edited
    for part in followers(package, place, shift):
        old = package.archive.read(part[0])
        edited[part[0]] = part[1]
        if part[1] == old:
            del edited[part[0]]
    return edited


def sheet_with_rows(package: Package, place: Place, lines: Sequence[Line], fills: Fills | None, shift: Shift) -> bytes:
    """The sheet's part with the lines behind the last one. Rows that are there, empty but formatted, are filled in."""
    content, root = read_tree(package.archive, place.part, 4)
    data = root.child("sheetData")
    if data is None:
        raise damaged(package.file, f'its sheet "{place.name}" has no rows')
    guard = root.child("sheetProtection")
    if guard is not None and guard.attributes.get("sheet", "0") in ("1", "true", "on"):
        wrong, instead = "the sheet is protected", "Take the protection off and run it again"
        raise refuse("not allowed here", package.file, wrong, instead, sheet=place.name)
    there = xml.rows_of(data)
    dates = Dates(_day_zero(package), package.dated.styles, _date_styles(there, place, package.dated.styles))
    writer = _Writer(
        content, data.prefix, dates, place, there, _column_styles(root), shift, _table_formulas(package, place)
    )
    edits: list[xml.Edit] = [
        edit for number, values in (fills or {}).items() for edit in writer.filled(number, there[number], values)
    ]
    if lines:
        numbers = range(place.last + 1, place.last + 1 + len(lines))
        waiting = {number: there[number] for number in numbers if number <= shift.after and number in there}
        new = b"".join(
            writer.row(number, line, waiting.get(number)) for number, line in zip(numbers, lines, strict=True)
        )
        edits += [xml.Edit(row.start, row.end, b"") for row in waiting.values()]
        edits += writer.moved({*waiting, *(fills or {})})
        before = max((n for n in there if n <= place.last), default=None)
        edits += (
            [xml.Edit(there[before].end, there[before].end, new)]
            if before is not None
            else xml.append(content, data, new)
        )
        edits += _around(content, root, data, shift)
        edits += _merges(content, root, place, shift)
    return xml.apply(content, edits)


def _around(content: bytes, root: xml.Node, data: xml.Node, shift: Shift) -> Iterator[xml.Edit]:
    """Areas and formulas before and behind the rows: filters, formats, validations, merged cells, breaks."""
    for start, end in ((root.inside, data.start), (data.end, root.close)):
        old = content[start:end]
        new = areas(shift.formulas(old, True), shift)
        new = re.sub(
            rb'(<(?:\w+:)?dimension\b[^<>]*?\sref=")([^"]*)(")',
            lambda one: one[1] + _extent(one[2], shift) + one[3],
            new,
        )
        merged = root.child("mergeCells")
        if new != old and merged is not None and start <= merged.start < end:
            cut = merged.start - start, merged.end - start
            yield xml.Edit(start, merged.start, areas(shift.formulas(old[: cut[0]], True), shift))
            yield xml.Edit(merged.end, end, areas(shift.formulas(old[cut[1] :], True), shift))
        elif new != old:
            yield xml.Edit(start, end, new)


def _extent(ref: bytes, shift: Shift) -> bytes:
    found = re.fullmatch(rb"([A-Z]+\d+)(?::([A-Z]+)(\d+))?", ref)
    if found is None or found[2] is None:
        return ref
    return b"%s:%s%d" % (found[1], found[2], max(int(found[3]), shift.new_last))


def _merges(content: bytes, root: xml.Node, place: Place, shift: Shift) -> Iterator[xml.Edit]:
    """Merged cells move; those within the last line are made in each new one too."""
    merged = root.child("mergeCells")
    if merged is None:
        return
    refs = re.findall(rb'\sref="([A-Z]+)(\d+):([A-Z]+)(\d+)"', content[merged.start : merged.end])
    old = [(a.decode(), int(r1), b.decode(), int(r2)) for a, r1, b, r2 in refs]
    within = [(a, b) for a, r1, b, r2 in old if r1 == r2 == place.last > place.heading]
    waiting = {(a, r1, b, r2) for a, r1, b, r2 in old if place.last < r1 <= min(shift.after, shift.new_last)}
    moved = [f"{a}{shift.row(r1)}:{b}{shift.row(r2)}" for a, r1, b, r2 in old]
    here = {f"{a}{r1}:{b}{r2}" for a, r1, b, r2 in waiting}
    new = [f"{a}{row}:{b}{row}" for row in range(place.last + 1, shift.new_last + 1) for a, b in within]
    tag = xml.qualified(root.prefix, "mergeCell")
    refs_now = [*moved, *(one for one in new if one not in here)]
    inner = b"".join(b'<%s ref="%s"/>' % (tag, ref.encode()) for ref in refs_now)
    outer = xml.qualified(root.prefix, "mergeCells")
    yield xml.Edit(merged.start, merged.end, b'<%s count="%d">%s</%s>' % (outer, len(refs_now), inner, outer))


def _table_formulas(package: Package, place: Place) -> dict[int, str]:
    """The formulas of the table's columns, by column of the sheet."""
    for heading, last, _, formulas in tables_on(package, place.part):
        if heading == place.heading and last >= place.last:
            return {number: node.text for number, node in formulas.items() if node.text}
    return {}


def _day_zero(package: Package) -> date:
    settings = package.workbook_root.child("workbookPr")
    late = settings is not None and settings.attributes.get("date1904") in ("1", "true", "on")
    return DAY_ZERO_1904 if late else DAY_ZERO


def _column_styles(root: xml.Node) -> dict[range, str]:
    """Style of whole columns."""
    columns = root.child("cols")
    styled = [one.attributes for one in (columns.children if columns else []) if one.attributes.get("style")]
    wide = [(xml.whole(one.get("min", "")), xml.whole(one.get("max", "")), one["style"]) for one in styled]
    return {range(first, last + 1): style for first, last, style in wide if 0 < first <= last}


@dataclass(frozen=True)
class Dates:
    """zero: the day from which days are counted. styles: cell styles that show a date. of_column: one of them by column."""

    zero: date
    styles: frozenset[str]
    of_column: Mapping[int, str]


def _date_styles(rows: Mapping[int, xml.Node], place: Place, styles: frozenset[str]) -> dict[int, str]:
    """How the shop's own dates in a column are shown; the lowest counts."""
    found: dict[int, str] = {}
    for number in sorted(n for n in rows if n > place.heading):
        for column, cell in xml.cells_of(rows[number]).items():
            if column in place.columns and cell.attributes.get("s") in styles:
                found[column] = cell.attributes["s"]
    return found


def _renumbered(row: bytes, number: bytes) -> bytes:
    """A row and its cells under another number."""
    row = re.sub(rb'(<(?:\w+:)?row\b[^<>]*?\sr=")\d+(")', lambda one: one[1] + number + one[2], row, count=1)
    return re.sub(rb'(<(?:\w+:)?c\b[^<>]*?\sr="[A-Z]+)\d+(")', lambda one: one[1] + number + one[2], row)


class _Writer:
    """Makes rows. The cells of the last order line give styles and formulas, else those of the first row that waits."""

    def __init__(
        self, content: bytes, prefix: str, dates: Dates, place: Place, there: Mapping[int, xml.Node], whole: dict[range, str],
        shift: Shift, of_table: Mapping[int, str],
    ) -> None:  # fmt: skip
        self.content, self.prefix, self.dates, self.place = content, prefix, dates, place
        self.there, self.whole, self.shift, self.of_table = there, whole, shift, of_table
        at = place.last if place.last > place.heading else place.last + 1 if place.free else 0
        self.at, self.model_row = at, there.get(at)
        self.model = xml.cells_of(self.model_row)
        every = (
            (f"{xml.column_letters(c)}{n}", self._raw(cell))
            for n, row in there.items()
            for c, cell in xml.cells_of(row).items()
        )
        self.masters = shared(every) if re.search(rb"""\bt=["']shared["']""", content) else {}

    def _raw(self, cell: xml.Node) -> bytes:
        return self.content[cell.start : cell.end]

    def row(self, number: int, line: Line, row: xml.Node | None) -> bytes:
        """One row element. row: one that is there already and waits; what is no order column of it stays as it is."""
        tag, own = xml.qualified(self.prefix, "row"), xml.cells_of(row)
        columns = sorted({*self.place.columns, *own, *self.model, *self.of_table})
        cells = b"".join(self._cell(column, number, line, own.get(column)) for column in columns)
        return b'<%s r="%d"%s>%s</%s>' % (
            tag,
            number,
            self._look(row if row is not None else self.model_row),
            cells,
            tag,
        )

    @staticmethod
    def _look(row: xml.Node | None) -> bytes:
        """Height and format of a row."""
        given = row.attributes if row is not None else {}
        names = [name for name in ("s", "customFormat", "ht", "customHeight") if name in given]
        return b"".join(b' %s="%s"' % (name.encode(), xml.ascii_xml(given[name])) for name in names)

    def _cell(self, column: int, number: int, line: Line, own: xml.Node | None) -> bytes:
        name = self.place.columns.get(column)
        value = line.get(name) if name is not None else None
        formula = self._formula(column, number, own)
        if own is not None and not formula and (value is None or value == ""):
            return self._raw(own)
        style, value = self._dated(column, self._style(column, own), value)
        return self._made(f"{xml.column_letters(column)}{number}", style, value, formula)

    def _formula(self, column: int, number: int, own: xml.Node | None) -> bytes:
        """The formula that waits there, or that of the table's column, or the last line's, filled down."""
        if own is not None and (
            text := own_text(f"{xml.column_letters(column)}{number}", self._raw(own), self.masters)
        ):
            return self._f(self.shift.formula(text, True, number))
        if column in self.of_table:
            return self._f(self.of_table[column])
        cell = self.model.get(column)
        if cell is None or column in self.place.columns:
            return b""
        text = own_text(f"{xml.column_letters(column)}{self.at}", self._raw(cell), self.masters)
        text = copied(self.shift.formula(text, True, self.at), number - self.at) if text else ""
        array = re.search(rb'<(?:\w+:)?f\b[^<>]*\st="array"', self._raw(cell))
        return self._f(text, f"{xml.column_letters(column)}{number}" if array else "") if text else b""

    def _f(self, text: str, array: str = "") -> bytes:
        tag = xml.qualified(self.prefix, "f")
        return b"<%s%s>%s</%s>" % (
            tag,
            b' t="array" ref="%s"' % array.encode() if array else b"",
            xml.ascii_xml(text),
            tag,
        )

    def moved(self, done: set[int]) -> Iterator[xml.Edit]:
        """The rows that are there, where they or what their formulas refer to moved. done: rows that are made anew."""
        expanded = self._expanded()
        for number, row in self.there.items():
            if number in done:
                continue
            new = old = self.content[row.start : row.end]
            within = number if self.place.heading < number <= self.place.last else 0
            if any(one in expanded for one in (f"{xml.column_letters(c)}{number}" for c in xml.cells_of(row))):
                new = self._plain(number, row, expanded)
            new = self.shift.formulas(new, True, within)
            if self.shift.row(number) != number:
                new = _renumbered(new, b"%d" % self.shift.row(number))
            if new != old:
                yield xml.Edit(row.start, row.end, new)

    def _expanded(self) -> dict[str, str]:
        """Cells of shared formulas, with their texts, where one of a group moves or refers to what does."""
        groups: dict[bytes, dict[str, str]] = {}
        for number, row in self.there.items() if self.masters else ():
            for column, cell in xml.cells_of(row).items():
                found = re.search(rb'<(?:\w+:)?f\b[^<>]*?\ssi="(\d+)"', self._raw(cell))
                if found and found[1] in self.masters:
                    address = f"{xml.column_letters(column)}{number}"
                    groups.setdefault(found[1], {})[address] = own_text(address, self._raw(cell), self.masters)
        made: dict[str, str] = {}
        for cells in groups.values():
            rows = [int(re.sub(r"\D", "", address)) for address in cells]
            if any(self.shift.row(row) != row for row in rows) or any(
                self.shift.formula(t, True) != t for t in cells.values()
            ):
                made |= cells
        return made

    def _plain(self, number: int, row: xml.Node, texts: Mapping[str, str]) -> bytes:
        """A row with its shared formulas written out."""
        edits = []
        for column, cell in xml.cells_of(row).items():
            text = texts.get(f"{xml.column_letters(column)}{number}")
            raw = self._raw(cell)
            if text is not None:
                found = re.search(rb"<(?:\w+:)?f\b[^<>]*?(?:/>|>[^<]*</(?:\w+:)?f>)", raw)
                start, end = found.span() if found else (0, 0)
                edits.append(xml.Edit(cell.start - row.start + start, cell.start - row.start + end, self._f(text)))
        return xml.apply(self.content[row.start : row.end], edits)

    def filled(self, number: int, row: xml.Node, values: Mapping[int, Any]) -> Iterator[xml.Edit]:
        """Values for empty cells of a row that stays as it is otherwise."""
        own, made = xml.cells_of(row), dict[int, bytes]()
        for column, value in values.items():
            style, value = self._dated(column, self._style(column, own.get(column)), value)
            made[column] = self._made(f"{xml.column_letters(column)}{number}", style, value, b"")
        return xml.filled_row(self.content, row, made)

    def _dated(self, column: int, style: str, value: Any) -> tuple[str, Any]:
        """A day in a format that shows days: the cell's, or that of the column's other days; else as text, 2026-12-01."""
        if not isinstance(value, date) or style in self.dates.styles:
            return style, value
        other = self.dates.of_column.get(column)
        return (style, value.isoformat()) if other is None or value <= self.dates.zero else (other, value)

    def _style(self, column: int, own: xml.Node | None) -> str:
        for cell in (own, self.model.get(column)):
            if cell is not None and cell.attributes.get("s"):
                return cell.attributes["s"]
        return next((style for columns, style in self.whole.items() if column in columns), "")

    def _made(self, address: str, style: str, value: Any, formula: bytes) -> bytes:
        """A formula gets no stored value: what it comes to is not known here, and programs work out what has none."""
        if formula:
            c = xml.qualified(self.prefix, "c")
            look = b' s="%s"' % style.encode() if style else b""
            return b'<%s r="%s"%s>%s</%s>' % (c, address.encode(), look, formula, c)
        if isinstance(value, date) and value > self.dates.zero:
            value = (value - self.dates.zero).days
        return xml.cell_with(self.prefix, address, style, value)
