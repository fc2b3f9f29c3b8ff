"""A formula of the last order line, for a new row."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from bomcheck.io.order.columns import Place
from bomcheck.io.package import Package
from bomcheck.io.parts import read_relations, read_tree
from bomcheck.io.refusal import damaged, refuse
from bomcheck.io.xml import (
    BAD_IN_XML,
    Edit,
    Node,
    append,
    apply,
    ascii_xml,
    attribute,
    column_letters,
    column_number,
    qualified,
    whole,
)

FORMULA = re.compile(rb"<(?:\w+:)?f(?:\s[^<>]*)?(?:/>|>([^<]*)</(?:\w+:)?f>)")
_TEXTS = re.compile(r'("[^"]*")')
_REFERENCE = re.compile(r"(?<![\w!:$.'])(\$?[A-Z]{1,3})(\d+)(?![\w(!:.])")
_ANY_REFERENCE = re.compile(r"\$?[A-Z]{1,3}\$?\d+|!|\[|:")


def moved_formula(cell: bytes, prefix: str, old: int, new: int) -> bytes:
    """The formula element of a cell for another row; b"" for one that is shared, looks beyond its row, or none.

    >>> moved_formula(b'<c r="F4"><f>ROUND(B4*E4,2)</f><v>7</v></c>', "", 4, 9)
    b'<f>ROUND(B9*E9,2)</f>'
    >>> moved_formula(b'<c r="F4"><f>F3+E4</f></c>', "", 4, 9)
    b''
    """
    found = FORMULA.search(cell)
    if found is None or found[1] is None or re.match(rb"<(?:\w+:)?f>", found[0]) is None:
        return b""
    moved = []
    for piece in _TEXTS.split(found[1].decode()):
        if piece.startswith('"'):
            moved.append(piece)
            continue
        rows = {int(row) for _, row in _REFERENCE.findall(piece)}
        if rows - {old} or _ANY_REFERENCE.search(_REFERENCE.sub("", piece)):
            return b""
        moved.append(_REFERENCE.sub(lambda one: f"{one[1]}{new}", piece))
    tag = qualified(prefix, "f")
    return b"<%s>%s</%s>" % (tag, "".join(moved).encode("ascii", "xmlcharrefreplace"), tag)


_AREA = re.compile(r"\$?([A-Z]+)\$?(\d+):\$?([A-Z]+)\$?(\d+)")


def areas(content: bytes, root: Node, place: Place, more: int) -> Iterator[Edit]:
    """The sheet's own extent, and its filter where the last line lay inside it."""
    for name in ("dimension", "autoFilter"):
        node = root.child(name)
        area = _AREA.fullmatch(node.attributes.get("ref", "")) if node is not None else None
        if node is None or area is None or int(area[4]) >= place.last + more:
            continue
        if name == "autoFilter" and not int(area[2]) <= place.heading <= place.last <= int(area[4]):
            continue
        yield attribute(content, node, "ref", f"{area[1]}{area[2]}:{area[3]}{place.last + more}")


def tables_with_rows(package: Package, place: Place, more: int) -> dict[str, bytes]:
    """The tables in which the last line lies, made longer where they end before the new rows do."""
    edited = {}
    for relation in read_relations(package.archive, place.sheet.part):
        if relation.kind != "table":
            continue
        content, root = read_tree(package.archive, relation.target, 2)
        area = _AREA.fullmatch(root.attributes.get("ref", ""))
        if area is None or not int(area[2]) <= place.heading <= int(area[4]):
            continue
        _require_no_totals(package, place, root)
        if int(area[4]) >= place.last + more:
            continue
        ref = f"{area[1]}{area[2]}:{area[3]}{place.last + more}"
        inner = [attribute(content, node, "ref", ref) for node in root.children if node.name == "autoFilter"]
        edited[relation.target] = apply(content, [attribute(content, root, "ref", ref), *inner])
    return edited


def _require_no_totals(package: Package, place: Place, table: Node) -> None:
    if table.attributes.get("totalsRowCount", "0") not in ("", "0"):
        wrong = "the order table has a row of totals"
        raise refuse(
            "not allowed here",
            package.file,
            wrong,
            "Switch the totals row off and run it again",
            sheet=place.sheet.name,
        )


_LIKE_ESCAPE = re.compile("_(?=x[0-9A-Fa-f]{4}_)")


def escaped(text: str) -> str:
    """Text as a cell stores it: signs that XML lacks, and what looks like such a sign, in the format's own way.

    >>> escaped("J_x0041_\\x01")
    'J_x005F_x0041__x0001_'
    """
    text = text.encode("utf-16-le", "surrogatepass").decode("utf-16-le", "replace")
    return BAD_IN_XML.sub(lambda found: f"_x{ord(found[0]):04X}_", _LIKE_ESCAPE.sub("_x005F_", text))


DAY_ZERO, DAY_ZERO_1904 = date(1899, 12, 30), date(1904, 1, 1)
Line = Mapping[str, Any]
Fills = Mapping[int, Mapping[int, Any]]


def sheet_with_rows(package: Package, place: Place, lines: Sequence[Line], fills: Fills | None = None) -> bytes:
    """The sheet's part with the lines behind the last one. Rows that are there, empty but formatted, are filled in.

    fills: values for empty cells of rows that are there, by row and column.
    """
    content, root = read_tree(package.archive, place.sheet.part, 4)
    data = root.child("sheetData")
    if data is None:
        raise damaged(package.file, f'its sheet "{place.sheet.name}" has no rows')
    if root.child("sheetProtection") is not None and _is_on(root.child("sheetProtection")):
        wrong = "the sheet is protected"
        raise refuse(
            "not allowed here", package.file, wrong, "Take the protection off and run it again", sheet=place.sheet.name
        )
    there = _rows(data)
    model = _cells(there.get(place.last)) if place.last > place.heading else {}
    dates = Dates(_day_zero(package), package.dated.styles, _date_styles(there, place, package.dated.styles))
    writer = _Writer(content, data.prefix, dates, place, model, _column_styles(root))
    edits: list[Edit] = []
    new: list[bytes] = []
    for number, line in enumerate(lines, start=place.last + 1):
        row = there.get(number)
        new.append(writer.row(number, line, _cells(row), row, there.get(place.last)))
        if row is not None:
            edits.append(Edit(row.start, row.end, b""))
    before = max((n for n in there if n <= place.last), default=None)
    whole = b"".join(new)
    edits += [Edit(there[before].end, there[before].end, whole)] if before is not None else append(content, data, whole)
    edits += areas(content, root, place, len(lines))
    for number, values in (fills or {}).items():
        edits += writer.filled(number, there[number], values)
    return apply(content, edits)


def _is_on(node: Node | None) -> bool:
    return node is not None and node.attributes.get("sheet", "0") in ("1", "true", "on")


def _day_zero(package: Package) -> date:
    settings = package.workbook_root.child("workbookPr")
    late = settings is not None and settings.attributes.get("date1904") in ("1", "true", "on")
    return DAY_ZERO_1904 if late else DAY_ZERO


def _rows(data: Node) -> dict[int, Node]:
    """Row elements by number; one without a number follows the last."""
    found, at = {}, 0
    for row in data.children:
        if row.name == "row":
            given = row.attributes.get("r", "")
            at = whole(given, at + 1)
            found[at] = row
    return found


def _cells(row: Node | None) -> dict[int, Node]:
    """Cell elements by column."""
    found, at = {}, 0
    for cell in row.children if row is not None else []:
        if cell.name == "c":
            letters = cell.attributes.get("r", "").rstrip("0123456789")
            at = column_number(letters) if letters else at + 1
            found[at] = cell
    return found


def _column_styles(root: Node) -> dict[range, str]:
    """Style of whole columns."""
    columns = root.child("cols")
    styled = [one.attributes for one in (columns.children if columns else []) if one.attributes.get("style")]
    wide = [(whole(one.get("min", "")), whole(one.get("max", "")), one["style"]) for one in styled]
    return {range(first, last + 1): style for first, last, style in wide if 0 < first <= last}


@dataclass(frozen=True)
class Dates:
    """zero: the day from which days are counted. styles: cell styles that show a date. of_column: one of them by column."""

    zero: date
    styles: frozenset[str]
    of_column: Mapping[int, str]


def _date_styles(rows: Mapping[int, Node], place: Place, styles: frozenset[str]) -> dict[int, str]:
    """How the shop's own dates in a column are shown; the lowest counts."""
    found: dict[int, str] = {}
    for number in sorted(n for n in rows if n > place.heading):
        for column, cell in _cells(rows[number]).items():
            if column in place.columns and cell.attributes.get("s") in styles:
                found[column] = cell.attributes["s"]
    return found


class _Writer:
    """Makes rows. model: cells of the last order line, whose styles and formulas are taken over."""

    def __init__(
        self, content: bytes, prefix: str, dates: Dates, place: Place, model: dict[int, Node], whole: dict[range, str]
    ) -> None:
        self.content, self.prefix, self.dates = content, prefix, dates
        self.place, self.model, self.whole = place, model, whole

    def row(self, number: int, line: Line, own: Mapping[int, Node], row: Node | None, last: Node | None) -> bytes:
        """One row element. own: cells that the row has already; what is no order column of them stays as it is."""
        tag = qualified(self.prefix, "row")
        styled = {column for column in self.model if column > 0}
        columns = sorted({*self.place.columns, *own, *styled})
        cells = b"".join(self._cell(column, number, line, own.get(column)) for column in columns)
        return b'<%s r="%d"%s>%s</%s>' % (tag, number, self._look(row if row is not None else last), cells, tag)

    @staticmethod
    def _look(row: Node | None) -> bytes:
        """Height and format of a row."""
        given = row.attributes if row is not None else {}
        names = [name for name in ("s", "customFormat", "ht", "customHeight") if name in given]
        return b"".join(b' %s="%s"' % (name.encode(), ascii_xml(given[name])) for name in names)

    def _cell(self, column: int, number: int, line: Line, own: Node | None) -> bytes:
        name = self.place.columns.get(column)
        value = line.get(name) if name is not None else None
        formula = self._own_formula(own) if own is not None else self._formula(column, number)
        if own is not None and not formula and (value is None or value == ""):
            return self.content[own.start : own.end]
        style, value = self._dated(column, self._style(column, own), value)
        return self._made(f"{column_letters(column)}{number}", style, value, formula)

    def filled(self, number: int, row: Node, values: Mapping[int, Any]) -> Iterator[Edit]:
        """Values for empty cells of a row that stays as it is otherwise."""
        own = _cells(row)
        for column, value in sorted(values.items()):
            there = own.get(column)
            style, value = self._dated(column, self._style(column, there), value)
            made = self._made(f"{column_letters(column)}{number}", style, value, b"")
            after = min((c for c in own if c > column), default=None)
            at = row.close if after is None else own[after].start
            yield Edit(at, at, made) if there is None else Edit(there.start, there.end, made)
        if values and row.attributes.get("spans"):
            wide = [*own, *values]
            yield attribute(self.content, row, "spans", f"{min(wide)}:{max(wide)}")

    def _dated(self, column: int, style: str, value: Any) -> tuple[str, Any]:
        """A day in a format that shows days: the cell's, or that of the column's other days; else as text, 2026-12-01."""
        if not isinstance(value, date) or style in self.dates.styles:
            return style, value
        other = self.dates.of_column.get(column)
        return (style, value.isoformat()) if other is None or value <= self.dates.zero else (other, value)

    def _own_formula(self, cell: Node) -> bytes:
        """The formula that waits in a row which is there already, as it stands."""
        found = FORMULA.search(self.content, cell.inside, cell.close)
        return found[0] if found else b""

    def _style(self, column: int, own: Node | None) -> str:
        for cell in (own, self.model.get(column)):
            if cell is not None and cell.attributes.get("s"):
                return cell.attributes["s"]
        return next((style for columns, style in self.whole.items() if column in columns), "")

    def _formula(self, column: int, number: int) -> bytes:
        """The formula of the last line's cell, for the new row; only one that looks at nothing but its own row."""
        cell = self.model.get(column)
        raw = self.content[cell.start : cell.end] if cell is not None else b""
        return moved_formula(raw, self.prefix, self.place.last, number)

    def _made(self, address: str, style: str, value: Any, formula: bytes) -> bytes:
        """Text is stored as text in the cell itself, so that it is never a formula and a part number never a number.

        A formula gets no stored value: what it comes to is not known here, and programs work out what has none.
        """
        c, v, inline, t = (qualified(self.prefix, name) for name in ("c", "v", "is", "t"))
        start = b'<%s r="%s"' % (c, address.encode()) + (b' s="%s"' % style.encode() if style else b"")
        if formula:
            return start + b">" + formula + b"</%s>" % c
        if value is None or value == "":
            return start + b"/>" if style else b""
        number = self._number(value)
        if number:
            return start + b"><%s>%s</%s></%s>" % (v, number, v, c)
        text = ascii_xml(escaped(str(value)))
        return start + b' t="inlineStr"><%s><%s xml:space="preserve">%s</%s></%s></%s>' % (
            inline,
            t,
            text,
            t,
            inline,
            c,
        )

    def _number(self, value: Any) -> bytes:
        if isinstance(value, date) and value > self.dates.zero:
            return b"%d" % (value - self.dates.zero).days
        if isinstance(value, int | float):
            return repr(round(float(value), 6)).removesuffix(".0").encode()
        return b""
