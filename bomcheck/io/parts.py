"""How the parts of a package name each other: relationships and content types."""

import posixpath
from urllib.parse import unquote

from bomcheck.io.refusal import damaged, too_large
from bomcheck.io.xml import BadXml, Doctype, Node, TooMany, as_utf8, tree
from bomcheck.io.zip_file import Archive
from bomcheck.model.errors import WorkbookError
from bomcheck.model.records import dataclass

TYPES_PART = "[Content_Types].xml"
STRICT = "http://purl.oclc.org/ooxml/"


@dataclass(frozen=True, slots=True)
class Relation:
    """One relationship. kind: last word of its type, "worksheet", "styles". target: part name, or for what lies outside
    of the package (and for places in this workbook, "#...") the text as it stands; then `external` is True.
    """

    id: str
    kind: str
    type: str
    target: str
    external: bool
    node: Node


def read_tree(archive: Archive, name: str, depth: int = 3) -> tuple[bytes, Node]:
    """(bytes in UTF-8 where they were UTF-16, root with positions in them); raises WorkbookError."""
    content = as_utf8(archive.read(name))
    try:
        return content, tree(content, depth)
    except Doctype:
        raise doctype(archive.file, name) from None
    except TooMany:
        raise too_large(archive.file, f"its part {name} has too many elements") from None
    except BadXml as error:
        raise damaged(archive.file, f"its part {name} is not readable ({error})") from None


def doctype(file: str, name: str) -> WorkbookError:
    """The error for a part with a DOCTYPE."""
    return damaged(file, f"its part {name} has a DOCTYPE, which no spreadsheet program writes")


def relations_part(part: str) -> str:
    """Name of the part that holds the relationships of `part`; "" is the package itself."""
    folder, name = posixpath.split(part)
    return posixpath.join(folder, "_rels", f"{name}.rels")


def resolve(part: str, target: str) -> str:
    """Part name of a relationship's target as seen from `part`: "/xl/a.xml", "a.xml" and "../a.xml" alike."""
    target = target.replace("\\", "/").split("#")[0]
    joined = target if target.startswith("/") else posixpath.join("/", posixpath.dirname(part), target)
    return posixpath.normpath(joined).lstrip("/")


def relative(part: str, target: str) -> str:
    """The target as it is written in the relationships of `part`."""
    return posixpath.relpath("/" + target, posixpath.join("/", posixpath.dirname(part)))


def read_relations(archive: Archive, part: str) -> tuple[Relation, ...]:
    """The relationships of a part, in order; none if it has no such part. Targets are as the archive spells them."""
    name = archive.find(relations_part(part))
    if name is None:
        return ()
    _, root = read_tree(archive, name, 2)
    return tuple(_relation(archive, part, node) for node in root.children if node.name == "Relationship")


def _relation(archive: Archive, part: str, node: Node) -> Relation:
    given = node.attributes
    target, kind = given.get("Target", ""), given.get("Type", "")
    external = given.get("TargetMode") == "External" or target.startswith("#")
    if not external:
        whole = resolve(part, target)
        target = archive.find(whole) or archive.find(unquote(whole)) or whole
    return Relation(given.get("Id", ""), kind.rsplit("/", 1)[-1], kind, target, external, node)


@dataclass(frozen=True, slots=True)
class ContentTypes:
    """What each part is. defaults: by lower-case ending; overrides: by lower-case part name without the first slash."""

    defaults: dict[str, str]
    overrides: dict[str, str]

    def of(self, part: str) -> str:
        """The content type of a part, "" if none is given."""
        ending = part.rsplit(".", 1)[-1].lower()
        return self.overrides.get(part.lower()) or self.defaults.get(ending, "")


def read_types(archive: Archive) -> ContentTypes:
    """The content types of all parts."""
    _, root = read_tree(archive, archive.find(TYPES_PART) or TYPES_PART, 2)
    defaults, overrides = {}, {}
    for node in root.children:
        given = node.attributes.get("ContentType", "")
        if node.name == "Default":
            defaults[node.attributes.get("Extension", "").lower()] = given
        elif node.name == "Override":
            overrides[node.attributes.get("PartName", "").lstrip("/").lower()] = given
    return ContentTypes(defaults, overrides)


def reachable(archive: Archive, start: str, without: frozenset[str] = frozenset()) -> dict[str, None]:
    """Names of all parts that `start` leads to, itself included ("" is the package); none of `without` is entered."""
    seen: dict[str, None] = {start: None}
    waiting = [start]
    while waiting:
        for relation in read_relations(archive, waiting.pop()):
            target = relation.target
            if not (relation.external or target in seen or target in without) and target in archive.members:
                seen[target] = None
                waiting.append(target)
    return seen
