"""XML by expat, never a DOCTYPE: a small tree that remembers at which byte each element stands."""

import gc
import re
from dataclasses import dataclass, field
from functools import lru_cache
from xml.parsers import expat

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
RELATIONS = "http://schemas.openxmlformats.org/package/2006/relationships"
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
TYPES = "http://schemas.openxmlformats.org/package/2006/content-types"

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


def run(parser: expat.XMLParserType, content: bytes) -> None:
    """Parse all of `content`; raises Doctype or BadXml. Python's search for garbage would double the time, so it waits."""
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
