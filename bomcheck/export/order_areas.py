"""What reaches down to the last order line and must reach further: the sheet's extent, its filter, its tables."""

import re
from collections.abc import Iterator

from bomcheck.export.order_place import Place
from bomcheck.workbook.edits import Edit, apply, attribute
from bomcheck.workbook.package import Package
from bomcheck.workbook.parts import read_relations, read_tree
from bomcheck.workbook.refusal import refuse
from bomcheck.workbook.xml_tree import Node

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
