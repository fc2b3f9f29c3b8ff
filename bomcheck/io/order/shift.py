"""What becomes of references when rows are put into a sheet: in formulas, areas, names, and in what is tied to its rows."""

import re
from collections.abc import Callable, Iterator
from html import unescape

from bomcheck.io.order.place import Place
from bomcheck.io.package import Package
from bomcheck.io.parts import read_relations
from bomcheck.io.xml import Edit, apply, ascii_xml, column_letters, column_number
from bomcheck.model.records import dataclass, replace

_PARTS = re.compile(
    r"""(?P<text>"(?:[^"]|"")*")|(?P<brackets>\[(?:[^\[\]]|\[[^\[\]]*\])*\][\w.]*!?)"""
    r"""|(?P<sheet>(?:'(?:[^']|'')+'|(?<![\w.:'])[^\W\d][\w.]*)!)?"""
    r"""(?<![\w.$])(?P<from>\$?[A-Z]{1,3}\$?[1-9]\d{0,6}|\$?[1-9]\d{0,6}(?=:))(?::(?P<to>\$?[A-Z]{1,3}\$?[1-9]\d{0,6}|\$?[1-9]\d{0,6}))?(?![\w(!.\[])"""
)
_CELL = re.compile(r"(\$?)([A-Z]{0,3})(\$?)(\d+)")
FORMULA = re.compile(
    rb"<((?:\w+:)?(?:f|formula|formula1|formula2))((?:\s[^<>]*)?)(?<!/)>([^<]*)</\1>(<(?:\w+:)?v>[^<]*</(?:\w+:)?v>)?"
)


@dataclass(frozen=True)
class Shift:
    """Rows put behind row `after`, `count` of them, so that the lines, from row `first` to row `last`, now end in row `new_last`.
    sheet: its name."""

    sheet: str
    first: int
    last: int
    new_last: int
    after: int
    count: int

    def row(self, row: int) -> int:
        """Where a row of the old sheet is now."""
        return row + self.count if row > self.after else row

    def span(self, top: int, bottom: int, stretch: bool = True) -> tuple[int, int]:
        """An area of rows; one that holds all lines takes in the new ones."""
        low = self.row(bottom)
        if stretch and top <= self.first and bottom >= self.last and low < self.new_last:
            low = self.new_last
        return self.row(top), low

    def formula(self, text: str, own: bool, row: int = 0) -> str:
        """own: whether it stands on the sheet itself. row: of the lines in which it stands, 0 for elsewhere: there a sum that
        ends with its own row, not fixed by $, is a running one and stays so."""

        def moved(found: re.Match[str]) -> str:
            start, end, sheet = found["from"], found["to"], found["sheet"]
            if start is None or _elsewhere(found) or not (self._is_here(sheet) if sheet else own):
                return found[0]
            first = _CELL.fullmatch(start)
            if end is None or first is None:
                return f"{sheet or ''}{_at(start, self.row)}"
            last = _CELL.fullmatch(end)
            if last is None:
                return found[0]
            running = bool(row) and not last[3]
            top, bottom = self.span(int(first[4]), int(last[4]), not running)
            return f"{sheet or ''}{_at(start, lambda _: top)}:{_at(end, lambda _: bottom)}"

        return _PARTS.sub(moved, text)

    def _is_here(self, sheet: str) -> bool:
        name = sheet.removesuffix("!")
        name = name[1:-1].replace("''", "'") if name.startswith("'") else name
        return name.casefold() == self.sheet.casefold()

    def formulas(self, content: bytes, own: bool, row: int = 0) -> bytes:
        """All formulas of a piece of a part; what a changed one came to is left out, so that programs work it out."""

        def changed(found: re.Match[bytes]) -> bytes:
            old = unescape(found[3].decode())
            new = self.formula(old, own, row)
            area = re.sub(
                rb'(\sref=")([^"]+)(")', lambda one: one[1] + self.area(one[2].decode()).encode() + one[3], found[2]
            )
            area = area if own else found[2]
            if new == old and area == found[2]:
                return found[0]
            return b"<%s%s>%s</%s>" % (found[1], area, ascii_xml(new), found[1])

        return FORMULA.sub(changed, content)

    def area(self, text: str, stretch: str = "") -> str:
        """Areas "A1:B9 D4". stretch: "" for none, "lines" where one holds all lines, "look" where it holds the last one."""
        return " ".join(self._area(one, stretch) for one in text.split())

    def _area(self, text: str, stretch: str) -> str:
        start, _, end = text.partition(":")
        first, last = _CELL.fullmatch(start), _CELL.fullmatch(end or start)
        if first is None or last is None:
            return text
        top, bottom = int(first[4]), int(last[4])
        new_top, new_bottom = self.span(top, bottom, stretch == "lines" and bool(end))
        alone = top == bottom == self.last and self.first != self.last
        if stretch == "look" and top <= self.last <= bottom and new_bottom < self.new_last and not alone:
            new_bottom = self.new_last
        if not end and new_top == new_bottom:
            return _at(start, lambda _: new_top)
        return f"{_at(start, lambda _: new_top)}:{_at(end or start, lambda _: new_bottom)}"


def _elsewhere(found: re.Match[str]) -> bool:
    """Whether it is a cell of another workbook, or of several sheets at once."""
    return found["sheet"] is None and found.string[: found.start()].endswith("!")


def _at(cell: str, row: Callable[[int], int]) -> str:
    return _CELL.sub(lambda one: f"{one[1]}{one[2]}{one[3]}{row(int(one[4]))}", cell)


def copied(formula: str, down: int, right: int = 0) -> str:
    """A formula as it reads so many rows further down and columns further right: what is not fixed by $ goes along.

    >>> copied('ROUND(B4*$E$1,2)&"A1"', 5), copied("SUM(F$3:F4)", 1), copied("Lines[[#This Row],[Qty 1]]*C4", 1)
    ('ROUND(B9*$E$1,2)&"A1"', 'SUM(F$3:F5)', 'Lines[[#This Row],[Qty 1]]*C5')
    """

    def moved(found: re.Match[str]) -> str:
        if found["from"] is None or _elsewhere(found):
            return found[0]
        ends = [_along(text, down, right) for text in (found["from"], found["to"]) if text]
        return f"{found['sheet'] or ''}{':'.join(ends)}"

    return _PARTS.sub(moved, formula)


def _along(cell: str, down: int, right: int) -> str:
    found = _CELL.fullmatch(cell)
    if found is None:
        return cell
    letters = found[2] if found[1] or not right or not found[2] else column_letters(column_number(found[2]) + right)
    return f"{found[1]}{letters}{found[3]}{int(found[4]) if found[3] else int(found[4]) + down}"


_TAGS = re.compile(rb"<(?:\w+:)?(\w+)\s[^<>]*>")
_AREAS = re.compile(rb'(\s(?:ref|sqref|activeCell|topLeftCell)=")([^"]+)(")')
_LOOKS = (b"conditionalFormatting", b"dataValidation", b"ignoredError", b"protectedRange")
_LINES = (b"autoFilter", b"sortState", b"dimension", b"worksheetSource", b"table")


def areas(content: bytes, shift: Shift) -> bytes:
    """All areas that the elements of a sheet, or of a part that belongs to it, name."""

    def changed(tag: re.Match[bytes]) -> bytes:
        stretch = "look" if tag[1] in _LOOKS else "lines" if tag[1] in _LINES else ""
        return _AREAS.sub(lambda one: one[1] + shift.area(one[2].decode(), stretch).encode() + one[3], tag[0])

    content = _TAGS.sub(changed, content)
    content = re.sub(
        rb"(<xm:sqref>)([^<]+)(</xm:sqref>)",
        lambda one: one[1] + shift.area(one[2].decode(), "look").encode() + one[3],
        content,
    )
    return re.sub(
        rb'(<(?:\w+:)?brk\b[^<>]*?\sid=")(\d+)(")',
        lambda one: one[1] + b"%d" % (shift.row(int(one[2]) + 1) - 1) + one[3],
        content,
    )


def anchors(content: bytes, shift: Shift) -> bytes:
    """A drawing's or a note's rows, counted from 0: what stands below the new rows goes down with its cells."""

    def row(text: bytes) -> bytes:
        return b"%d" % (shift.row(int(text) + 1) - 1)

    content = re.sub(rb"(<(?:\w+:)?(?:row|Row)>)(\d+)(<)", lambda one: one[1] + row(one[2]) + one[3], content)

    def anchor(found: re.Match[bytes]) -> bytes:
        places = found[2].split(b",")
        for at in (2, 6):
            places[at] = b" " + row(places[at].strip())
        return found[1] + b",".join(places) + found[3]

    return re.sub(rb"(<x:Anchor>)(\s*(?:\d+\s*,\s*){7}\d+\s*)(<)", anchor, content)


def shared(rows: Iterator[tuple[str, bytes]]) -> dict[bytes, tuple[str, str]]:
    """The first cell and the text of every formula that several cells share, by its number. rows: address and bytes of cells."""
    found: dict[bytes, tuple[str, str]] = {}
    for address, cell in rows:
        master = re.search(rb'<(?:\w+:)?f\b(?=[^<>]*\st="shared")[^<>]*\ssi="(\d+)"[^<>]*>([^<]+)<', cell)
        if master:
            found[master[1]] = address, unescape(master[2].decode())
    return found


def own_text(address: str, cell: bytes, masters: dict[bytes, tuple[str, str]]) -> str:
    """The formula of a cell as it reads there, also where it is one that several cells share; "" for none."""
    found = re.search(rb"<(?:\w+:)?f\b([^<>]*?)(?:/>|>([^<]*)<)", cell)
    if found is None:
        return ""
    number = re.search(rb'\ssi="(\d+)"', found[1])
    if found[2] or number is None or number[1] not in masters:
        return unescape((found[2] or b"").decode())
    start, text = masters[number[1]]
    (row, column), (from_row, from_column) = _row_column(address), _row_column(start)
    return copied(text, row - from_row, column - from_column)


def _row_column(address: str) -> tuple[int, int]:
    letters = address.rstrip("0123456789")
    return int(address[len(letters) :]), column_number(letters)


def followers(package: Package, place: Place, shift: Shift) -> Iterator[tuple[str, bytes]]:
    """(part, its new contents)."""
    read, own = package.archive.read, {place.part}
    for relation in read_relations(package.archive, place.part):
        if relation.external:
            continue
        own.add(relation.target)
        if relation.kind == "table":
            yield relation.target, _grown(shift.formulas(read(relation.target), True), place, shift)
        elif relation.kind in ("comments", "threadedComment", "pivotTable") and shift.count:
            yield relation.target, areas(read(relation.target), shift)
        elif relation.kind in ("drawing", "vmlDrawing") and shift.count:
            yield relation.target, anchors(read(relation.target), shift)
    for sheet in package.sheets:
        if sheet.part not in own:
            own.add(sheet.part)
            yield sheet.part, shift.formulas(read(sheet.part), False)
    for name in package.archive.members:
        if name not in own and re.search(r"/charts/chart[^/]*\.xml$", name):
            yield name, shift.formulas(_as_areas(read(name), shift), False)
        if name not in own and re.search(r"/pivotCache/pivotCacheDefinition[^/]*\.xml$", name):
            yield name, _pivot(read(name), place, shift)
    yield package.workbook_part, _names(package, shift)


_CHARTED = re.compile(
    rb"(<(?:\w+:)?(?:val|cat|xVal|yVal)>\s*<(?:\w+:)?(?:num|str)Ref>\s*<(?:\w+:)?f>[^<:]*)(\$[A-Z]+\$(\d+))(?=<)"
)


def _as_areas(content: bytes, shift: Shift) -> bytes:
    """What a chart shows of the only line, a single cell, as an area, which then takes the new lines in."""

    def area(found: re.Match[bytes]) -> bytes:
        only = shift.first == shift.last == int(found[3])
        return found[0] + b":" + found[2] if only else found[0]

    return _CHARTED.sub(area, content)


def _grown(content: bytes, place: Place, shift: Shift) -> bytes:
    """The table in which the lines lie grows; others move."""
    ref = re.search(rb'<(?:\w+:)?table\b[^<>]*?\sref="([A-Z]+)(\d+):([A-Z]+)(\d+)"', content)
    totals = re.search(rb'\stotalsRowCount="(\d+)"', content)
    if ref is None or not int(ref[2]) == place.heading <= place.last <= int(ref[4]):
        return areas(content, replace(shift, first=0))
    below = int(totals[1]) if totals else 0
    end = max(shift.row(int(ref[4])), shift.new_last + below)
    inner = b"%s%d:%s%d" % (ref[1], int(ref[2]), ref[3], end - below)
    content = content[: ref.start(1)] + b"%s%d:%s%d" % (ref[1], int(ref[2]), ref[3], end) + content[ref.end(4) :]
    return re.sub(
        rb'(<(?:\w+:)?autoFilter\b[^<>]*?\sref=")[^"]*(")', lambda one: one[1] + inner + one[2], content, count=1
    )


def _pivot(content: bytes, place: Place, shift: Shift) -> bytes:
    source = re.search(rb"<(?:\w+:)?worksheetSource\b[^<>]*>", content)
    name = re.search(rb'\ssheet="([^"]*)"', source[0]) if source else None
    if source is None or name is None or unescape(name[1].decode()) != place.name:
        return content
    return content[: source.start()] + areas(source[0], shift) + content[source.end() :]


def _names(package: Package, shift: Shift) -> bytes:
    """The workbook's own names: print areas, and those of the shop."""
    content = package.workbook_xml
    names = package.workbook_root.child("definedNames")
    edits = []
    for node in names.children if names else []:
        old = unescape(content[node.inside : node.close].decode("utf-8", "replace"))
        new = shift.formula(old, False)
        if new != old:
            edits.append(Edit(node.inside, node.close, ascii_xml(new)))
    return apply(content, edits) if edits else package.archive.read(package.workbook_part)
