"""XML parts of a workbook: reading, editing at byte offsets, cell addresses."""

import gc
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import field
from functools import lru_cache
from html import escape
from xml.parsers import expat

from bomcheck.model.records import dataclass

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
BAD_IN_XML = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff]")
"""Signs that no XML can hold."""
_UTF16 = re.compile(r"""(^\s*<\?xml[^>]*encoding=["'])utf-16""", re.IGNORECASE)
NOT_XML = (expat.ExpatError, ValueError, LookupError)
"""What expat raises for bad XML; the last two for letters that do not decode and for encodings that do not exist."""
_TAG = re.compile(rb"""<(?:[^"'>]|"[^"]*"|'[^']*')*>""")


class Doctype(Exception):
    """An XML part carries a DOCTYPE, which no workbook needs and which only attacks use."""


class BadXml(Exception):
    """An XML part is not well-formed."""


class TooMany(Exception):
    """An XML part has more elements than any real one."""


class RootSeen(Exception):
    """Stops a parse at the first element."""


@dataclass(slots=True)
class Node:
    """An element. start: byte of "<"; inside: byte after its start tag; close: byte of its end tag; end: byte after it.

    For an empty element tag `inside`, `close` and `end` are equal. attributes: by "uri name" or plain name.
    """

    name: str
    uri: str
    prefix: str
    attributes: dict[str, str]
    start: int
    inside: int = 0
    close: int = 0
    end: int = 0
    text: str = ""
    children: list["Node"] = field(default_factory=list)

    def child(self, name: str) -> "Node | None":
        """The first child of that local name."""
        return next((child for child in self.children if child.name == name), None)


MOST_NODES = 160_000
"""Elements of one part that are kept; Excel itself allows 65,490 cell formats."""


def new_parser(*, prefixes: bool = False) -> expat.XMLParserType:
    """An expat parser with namespaces ("uri name", or "uri name prefix") that raises Doctype."""
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.buffer_text = True
    parser.namespace_prefixes = prefixes
    parser.StartDoctypeDeclHandler = _refuse_doctype
    return parser


def _refuse_doctype(*_: object) -> None:
    raise Doctype


MOST_NAMESPACES = 5_000
"""Declarations in one part; the parser keeps each, and 500,000 of them fill a gigabyte."""


def run(parser: expat.XMLParserType, content: bytes) -> None:
    """Parse all of `content`; raises Doctype or BadXml. Python's search for garbage would double the time, so it waits."""
    if content.count(b"xmlns") + content.count(b"x\0m\0l\0n\0s") > MOST_NAMESPACES:
        raise BadXml(f"it declares more than {MOST_NAMESPACES} namespaces")
    waits = gc.isenabled()
    gc.disable()
    try:
        parser.Parse(content, True)
    except NOT_XML as error:
        raise BadXml(str(error)) from None
    finally:
        if waits:
            gc.enable()


def looks_at_root(content: bytes) -> bool:
    """True if the first element of a part is in `content`; raises Doctype, and BadXml for what is not XML at all."""
    parser = new_parser()
    parser.StartElementHandler = _stop
    try:
        parser.Parse(content, False)
    except RootSeen:
        return True
    except NOT_XML as error:
        raise BadXml(str(error)) from None
    return False


def _stop(*_: object) -> None:
    raise RootSeen


def as_utf8(content: bytes) -> bytes:
    """The same part in UTF-8 if it was in UTF-16, so that bytes can be counted; otherwise unchanged."""
    if content[:2] not in (b"\xff\xfe", b"\xfe\xff"):
        return content
    try:
        return _UTF16.sub(r"\1UTF-8", content.decode("utf-16"), count=1).encode()
    except UnicodeError:
        return content


def tree(content: bytes, depth: int = 3) -> Node:
    """The root of a part with its descendants down to `depth` levels (the root is 1); raises Doctype, BadXml, TooMany."""
    builder = _Builder(content, depth)
    parser = builder.parser
    run(parser, content)
    return builder.root


class _Builder:
    def __init__(self, content: bytes, depth: int) -> None:
        self.content, self.depth, self.level = content, depth, 0
        self.stack: list[Node] = []
        self.nodes = 0
        self.root = Node("", "", "", {}, 0)
        self.parser = new_parser(prefixes=True)
        self.parser.StartElementHandler = self.start
        self.parser.EndElementHandler = self.stop
        self.parser.CharacterDataHandler = self.words

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        self.level += 1
        if self.level > self.depth:
            return
        self.nodes += 1
        if self.nodes > MOST_NODES:
            raise TooMany
        uri, name, prefix = split_name(tag)
        at = self.parser.CurrentByteIndex
        if " " in "".join(attributes):
            attributes = {_attribute_name(key): value for key, value in attributes.items()}
        node = Node(name, uri, prefix, attributes, at, tag_end(self.content, at))
        if self.stack:
            self.stack[-1].children.append(node)
        else:
            self.root = node
        self.stack.append(node)

    def stop(self, tag: str) -> None:
        self.level -= 1
        if self.level >= self.depth:
            return
        node, at = self.stack.pop(), self.parser.CurrentByteIndex
        empty = self.content[node.inside - 2 : node.inside] == b"/>"
        node.close = node.inside if empty else at
        node.end = node.inside if empty else self.content.index(b">", at) + 1

    def words(self, text: str) -> None:
        if self.stack and self.level <= self.depth:
            self.stack[-1].text += text


@lru_cache(512)
def split_name(tag: str) -> tuple[str, str, str]:
    """(uri, local name, prefix) of an expat name."""
    parts = tag.split(" ")
    if len(parts) == 1:
        return "", parts[0], ""
    return parts[0], parts[1], parts[2] if len(parts) > 2 else ""


def _attribute_name(key: str) -> str:
    uri, name, _ = split_name(key)
    return f"{uri} {name}" if uri else name


def tag_end(content: bytes, at: int) -> int:
    """The byte after the start tag that begins at `at`; a ">" inside quotes does not count."""
    found = _TAG.match(content, at)
    if found is None:
        raise BadXml("a tag does not end")
    return found.end()


@dataclass(frozen=True, slots=True)
class Edit:
    """Put `new` in the place of the bytes start..end; an insertion where both are equal."""

    start: int
    end: int
    new: bytes


def apply(content: bytes, edits: Iterable[Edit]) -> bytes:
    """The content with all edits made; they may not overlap, insertions at one place keep their order."""
    pieces, at = [], 0
    for edit in sorted(edits, key=lambda one: (one.start, one.end)):
        if edit.start < at:
            raise ValueError("edits overlap")
        pieces += [content[at : edit.start], edit.new]
        at = edit.end
    return b"".join([*pieces, content[at:]])


def attribute(content: bytes, node: Node, name: str, value: str) -> Edit:
    """Set an attribute in a start tag, adding it if it is not there."""
    tag = content[node.start : node.inside]
    found = re.search(rb"""\s%s\s*=\s*("[^"]*"|'[^']*')""" % name.encode(), tag)
    if found:
        return Edit(node.start + found.start(1), node.start + found.end(1), b'"%s"' % ascii_xml(value))
    at = node.inside - (2 if tag.endswith(b"/>") else 1)
    return Edit(at, at, b' %s="%s"' % (name.encode(), ascii_xml(value)))


def append(content: bytes, node: Node, new: bytes, count: int | None = None) -> list[Edit]:
    """Add children at the end of an element, also of an empty one; `count` becomes its count attribute if it has one."""
    tag = content[node.start : node.inside]
    counted = re.search(rb"""\scount\s*=\s*["'](\d+)["']""", tag)
    edits = []
    if counted and count is not None:
        edits.append(Edit(node.start + counted.start(1), node.start + counted.end(1), b"%d" % count))
    if not tag.endswith(b"/>"):
        return [*edits, Edit(node.close, node.close, new)]
    closing = b"</%s>" % qualified(node.prefix, node.name)
    return [*edits, Edit(node.inside - 2, node.inside, b">" + new + closing)]


def removal(node: Node) -> Edit:
    """Take an element out."""
    return Edit(node.start, node.end, b"")


def qualified(prefix: str, name: str) -> bytes:
    """A tag name with the prefix that its part uses."""
    return (f"{prefix}:{name}" if prefix else name).encode()


def ascii_xml(text: str) -> bytes:
    """Text for an attribute or an element, fit for a part in any encoding that contains ASCII."""
    return escape(text).encode("ascii", "xmlcharrefreplace")


def with_prefix(raw: bytes, prefix: str) -> bytes:
    """An unprefixed fragment as it is written in a part whose tags carry a prefix."""
    return re.sub(rb"<(/?)(?=[A-Za-z])", rb"<\1%s:" % prefix.encode(), raw) if prefix else raw


def whole(text: str, other: int = -1) -> int:
    """A number, a count or an id of a part; `other` for what is none or has more figures than any real one."""
    return int(text) if text.isascii() and text.isdecimal() and len(text) <= 9 else other


LAST_COLUMN, LAST_ROW = 16_384, 1_048_576
"""Size of a sheet, ISO/IEC 29500-1 and every spreadsheet program since 2007."""


def column_number(letters: str) -> int:
    """1 for "A", 28 for "AB"."""
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - 64
    return number


def column_letters(number: int) -> str:
    """ "A" for 1, "AB" for 28."""
    letters = ""
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


_LIKE_ESCAPE = re.compile("_(?=x[0-9A-Fa-f]{4}_)")


def escaped(text: str) -> str:
    """Text as a cell stores it: signs that XML lacks, and what looks like such a sign, in the format's own way.

    >>> escaped("J_x0041_\\x01")
    'J_x005F_x0041__x0001_'
    """
    text = text.encode("utf-16-le", "surrogatepass").decode("utf-16-le", "replace")
    return BAD_IN_XML.sub(lambda found: f"_x{ord(found[0]):04X}_", _LIKE_ESCAPE.sub("_x005F_", text))


def rows_of(data: Node) -> dict[int, Node]:
    """Row elements of a sheet by number; one without a number follows the last."""
    found, at = {}, 0
    for row in data.children:
        if row.name == "row":
            given = row.attributes.get("r", "")
            at = whole(given, at + 1)
            found[at] = row
    return found


def cells_of(row: Node | None) -> dict[int, Node]:
    """Cell elements of a row by column."""
    found, at = {}, 0
    for cell in row.children if row is not None else []:
        if cell.name == "c":
            letters = cell.attributes.get("r", "").rstrip("0123456789")
            at = column_number(letters) if letters else at + 1
            found[at] = cell
    return found


def cell_with(prefix: str, address: str, style: str, value: object) -> bytes:
    """A cell element. Text is stored in the cell itself, so that it is never a formula and a part number never a number."""
    c, v, inline, t = (qualified(prefix, name) for name in ("c", "v", "is", "t"))
    start = b'<%s r="%s"' % (c, address.encode()) + (b' s="%s"' % style.encode() if style else b"")
    if value is None or value == "":
        return start + b"/>" if style else b""
    if isinstance(value, int | float):
        number = repr(round(float(value), 6)).removesuffix(".0").encode()
        return start + b"><%s>%s</%s></%s>" % (v, number, v, c)
    text = b'<%s xml:space="preserve">%s</%s>' % (t, ascii_xml(escaped(str(value))), t)
    return start + b' t="inlineStr"><%s>%s</%s></%s>' % (inline, text, inline, c)


def filled_row(content: bytes, row: Node, made: Mapping[int, bytes]) -> Iterator[Edit]:
    """Edits that put cells in the place of those of their columns in a row that stays as it is otherwise."""
    own = cells_of(row)
    for column, cell in sorted(made.items()):
        there, after = own.get(column), min((c for c in own if c > column), default=None)
        at = row.close if after is None else own[after].start
        yield Edit(at, at, cell) if there is None else Edit(there.start, there.end, cell)
    if made and row.attributes.get("spans"):
        wide = [*own, *made]
        yield attribute(content, row, "spans", f"{min(wide)}:{max(wide)}")
