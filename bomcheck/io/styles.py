"""Our fonts, fills, borders, number and cell formats, put at the end of the user's; what is there already is used again."""

import re
from dataclasses import field

from bomcheck.io.xml import MAIN, Edit, Node, append, apply, as_utf8, ascii_xml, qualified, tree, whole, with_prefix
from bomcheck.model.records import dataclass

ORDER = (
    "numFmts", "fonts", "fills", "borders", "cellStyleXfs", "cellXfs", "cellStyles", "dxfs", "tableStyles", "colors", "extLst"
)  # fmt: skip
"""Order of the groups in a styles part, ISO/IEC 29500-1 18.8.39."""
EMPTY = b'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n<styleSheet xmlns="%s"></styleSheet>' % MAIN.encode()
FIRST_CUSTOM_FORMAT = 164
_PLAIN_STYLE = b'<xf numFmtId="0" fontId="0" fillId="0" borderId="0"/>'


@dataclass(slots=True)
class Group:
    """One group of the user's styles, with what is added to it. at: index of each element by its bytes."""

    node: Node | None
    at: dict[bytes, int]
    count: int
    added: list[bytes] = field(default_factory=list)

    def index(self, raw: bytes) -> int:
        """Index of an element, which is added if it is not there."""
        if raw not in self.at:
            self.at[raw] = self.count
            self.added.append(raw)
            self.count += 1
        return self.at[raw]


@dataclass(frozen=True, slots=True)
class Styled:
    """The styles part after the additions; cells, conditions: user's index for each of our cellXfs and dxfs."""

    content: bytes
    cells: list[int]
    conditions: list[int]


def append_styles(theirs: bytes, ours: bytes) -> Styled:
    """Add our styles to theirs (EMPTY if they have none). The bytes of theirs stay, but for the counts of the groups."""
    theirs = as_utf8(theirs)
    root, our_root = tree(theirs), tree(ours)
    if root.inside == root.end:
        theirs = EMPTY
        root = tree(theirs)
    merger = _Merger(theirs, root, ours, our_root)
    cells = [merger.cell_format(node) for node in children(our_root, "cellXfs")]
    conditions = [merger.take("dxfs", node) for node in children(our_root, "dxfs")]
    return Styled(merger.result(), cells, conditions)


def children(root: Node, group: str) -> list[Node]:
    """Elements of one group of a styles part."""
    found = root.child(group)
    return found.children if found else []


class _Merger:
    def __init__(self, theirs: bytes, root: Node, ours: bytes, our_root: Node) -> None:
        self.theirs, self.root, self.ours = theirs, root, ours
        self.groups = {name: self._group(name) for name in ORDER}
        self.formats = {node.attributes.get("formatCode", ""): node for node in children(root, "numFmts")}
        self.our_formats = {one.attributes["numFmtId"]: one for one in children(our_root, "numFmts")}
        self.next_format = 1 + max([FIRST_CUSTOM_FORMAT - 1, *map(_format_id, self.formats.values())])
        self.new_formats: dict[str, int] = {}
        self.maps = {
            "fontId": [self.take("fonts", node) for node in children(our_root, "fonts")],
            "fillId": [self.take("fills", node) for node in children(our_root, "fills")],
            "borderId": [self.take("borders", node) for node in children(our_root, "borders")],
        }
        if self.groups["cellStyleXfs"].count == 0:
            self.groups["cellStyleXfs"].index(with_prefix(_PLAIN_STYLE, root.prefix))

    def _group(self, name: str) -> Group:
        node = self.root.child(name)
        raw = [self.theirs[one.start : one.end] for one in (node.children if node else [])]
        at: dict[bytes, int] = {}
        for index, one in enumerate(raw):
            at.setdefault(one, index)
        return Group(node, at, len(raw))

    def take(self, group: str, node: Node) -> int:
        """Index in the user's group of one of our elements."""
        raw = _freed_from_theme(self.ours[node.start : node.end])
        return self.groups[group].index(with_prefix(raw, self.root.prefix))

    def number_format(self, number: str) -> int:
        """The user's id of one of our number formats; built-in ones are the same everywhere."""
        if number not in self.our_formats:
            return int(number)
        code = self.our_formats[number].attributes["formatCode"]
        if code in self.formats:
            return _format_id(self.formats[code])
        if code not in self.new_formats:
            self.new_formats[code] = self.next_format
            raw = b'<numFmt numFmtId="%d" formatCode="%s"/>' % (self.next_format, ascii_xml(code))
            self.groups["numFmts"].index(with_prefix(raw, self.root.prefix))
            self.next_format += 1
        return self.new_formats[code]

    def cell_format(self, node: Node) -> int:
        """The user's index of one of our cell formats. Everything it says is marked as applied."""
        given = node.attributes
        ids = [("numFmtId", self.number_format(given.get("numFmtId", "0")))]
        ids += [(name, known[int(given.get(name, "0"))]) for name, known in self.maps.items()]
        applied = ["NumberFormat", "Font", "Fill", "Border"]
        applied += [child.name.capitalize() for child in node.children]
        words = [f'{name}="{value}"' for name, value in [*ids, ("xfId", 0)]]
        words += [f'quotePrefix="{given["quotePrefix"]}"'] if "quotePrefix" in given else []
        words += [f'apply{name}="1"' for name in applied]
        inner = self.ours[node.inside : node.close]
        ending = b">" + inner + b"</xf>" if inner else b"/>"
        raw = b"<xf " + " ".join(words).encode() + ending
        return self.groups["cellXfs"].index(with_prefix(raw, self.root.prefix))

    def result(self) -> bytes:
        edits: list[Edit] = []
        for name, group in self.groups.items():
            if group.added and group.node:
                edits += append(self.theirs, group.node, b"".join(group.added), group.count)
            elif group.added:
                edits.append(self._new_group(name, group))
        return apply(self.theirs, edits)

    def _new_group(self, name: str, group: Group) -> Edit:
        """A group that the user's styles lack, put before the next one that they have."""
        after = [self.root.child(one) for one in ORDER[ORDER.index(name) + 1 :]]
        at = next((node.start for node in after if node), self.root.close)
        tag = qualified(self.root.prefix, name)
        return Edit(at, at, b'<%s count="%d">%s</%s>' % (tag, group.count, b"".join(group.added), tag))


def _format_id(node: Node) -> int:
    number = node.attributes.get("numFmtId", "0")
    return whole(number, 0)


def _freed_from_theme(raw: bytes) -> bytes:
    """Our sheets look the same in every workbook: no font or text colour of the user's theme."""
    if not raw.startswith(b"<font>"):
        return raw
    raw = re.sub(rb'<scheme val="\w+"/>', b"", raw)
    return raw.replace(b'<color theme="1"/>', b'<color rgb="FF000000"/>')
