"""The other parts of a spreadsheet that new lines change: tables, sums on other sheets, names, charts, notes, pictures."""

import re
from collections.abc import Iterator
from dataclasses import replace
from html import unescape

from bomcheck.io.order.place import Place
from bomcheck.io.order.shift import Shift, anchors, areas
from bomcheck.io.package import Package
from bomcheck.io.parts import read_relations
from bomcheck.io.xml import Edit, apply, ascii_xml


def followers(package: Package, place: Place, shift: Shift) -> Iterator[tuple[str, bytes]]:
    """(part, its new contents)."""
    read, own = package.archive.read, {place.part}
    for relation in read_relations(package.archive, place.part):
        if relation.external:
            continue
        own.add(relation.target)
        if relation.kind == "table":
            yield relation.target, _table(shift.formulas(read(relation.target), True), place, shift)
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
            yield name, shift.formulas(read(name), False)
        if name not in own and re.search(r"/pivotCache/pivotCacheDefinition[^/]*\.xml$", name):
            yield name, _pivot(read(name), place, shift)
    yield package.workbook_part, _names(package, shift)


def _table(content: bytes, place: Place, shift: Shift) -> bytes:
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
