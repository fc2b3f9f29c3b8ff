"""The parts that list other parts: content types and relationships, edited in place."""

from collections.abc import Collection, Mapping

from bomcheck.workbook.edits import append, apply, ascii_xml, qualified, removal
from bomcheck.workbook.package import Package
from bomcheck.workbook.parts import TYPES_PART, ContentTypes, read_tree, relations_part


def edit_types(package: Package, removed: Collection[str], added: Mapping[str, str]) -> bytes:
    """Content types without the removed parts and with the added ones (part name to content type)."""
    content, root = read_tree(package.archive, types_part(package), 2)
    gone = {name.lower() for name in removed}
    edits = [
        removal(node)
        for node in root.children
        if node.name == "Override" and node.attributes.get("PartName", "").lstrip("/").lower() in gone
    ]
    kept = {name: kind for name, kind in package.types.overrides.items() if name not in gone}
    types = ContentTypes(package.types.defaults, kept)
    tag = qualified(root.prefix, "Override")
    new = [
        b'<%s PartName="%s" ContentType="%s"/>' % (tag, ascii_xml(f"/{name}"), ascii_xml(kind))
        for name, kind in added.items()
        if types.of(name) != kind
    ]
    return apply(content, [*edits, *append(content, root, b"".join(new))] if new else edits)


def types_part(package: Package) -> str:
    """The name of the part with the content types, as it is spelled in the archive."""
    return package.archive.find(TYPES_PART) or TYPES_PART


def edit_relations(
    package: Package, part: str, removed: Collection[str], added: Mapping[str, tuple[str, str]]
) -> tuple[str, bytes]:
    """(name, new content) of the relationships of `part`. removed: ids. added: id to (type, target as written)."""
    name = package.archive.find(relations_part(part)) or relations_part(part)
    content, root = read_tree(package.archive, name, 2)
    edits = [removal(node) for node in root.children if node.attributes.get("Id") in removed]
    tag = qualified(root.prefix, "Relationship")
    new = b"".join(
        b'<%s Id="%s" Type="%s" Target="%s"/>' % (tag, ascii_xml(key), ascii_xml(kind), ascii_xml(target))
        for key, (kind, target) in added.items()
    )
    return name, apply(content, [*edits, *append(content, root, new)] if new else edits)
