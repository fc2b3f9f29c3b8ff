"""Changes to a part at byte offsets: everything between them stays as it was."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from html import escape

from bomcheck.workbook.xml_tree import Node


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
