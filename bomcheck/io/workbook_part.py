"""The parts that list other parts: content types and relationships, edited in place."""

from collections.abc import Collection, Mapping, Sequence

from bomcheck.io.mark import MARK, calculation_edits, mark_text
from bomcheck.io.package import Package
from bomcheck.io.parts import TYPES_PART, ContentTypes, read_tree, relations_part
from bomcheck.io.transplant import Tab, moved, rename_in_formula
from bomcheck.io.xml import OFFICE, Edit, Node, append, apply, ascii_xml, attribute, qualified, removal, whole


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


BEFORE_NAMES = ("externalReferences", "functionGroups", "sheets")


def name_edits(package: Package, ours: Package, tabs: Sequence[Tab]) -> list[Edit]:
    root, content = package.workbook_root, package.workbook_xml
    names = root.child("definedNames")
    edits, kept = _shifted_names(package, tabs)
    added = b"".join(_our_names(ours, tabs, names.prefix if names else root.prefix))
    if names:
        return [*edits, *append(content, names, added)] if added or kept else [removal(names)]
    if not added:
        return []
    before = next(node for node in map(root.child, BEFORE_NAMES) if node)
    tag = qualified(root.prefix, "definedNames")
    return [Edit(before.end, before.end, b"<%s>%s</%s>" % (tag, added, tag))]


def _shifted_names(package: Package, tabs: Sequence[Tab]) -> tuple[list[Edit], int]:
    """Edits that renumber the user's local names and take out those of replaced sheets; how many names are kept."""
    names = package.workbook_root.child("definedNames")
    place = {id(tab.old): index for index, tab in enumerate(tabs) if tab.old and not tab.graft}
    edits, kept = [], 0
    for node in names.children if names else []:
        local = node.attributes.get("localSheetId")
        if local is None or not 0 <= whole(local) < len(package.sheets):
            kept += 1
        elif id(package.sheets[whole(local)]) not in place:
            edits.append(removal(node))
        else:
            kept += 1
            new = str(place[id(package.sheets[whole(local)])])
            edits += [attribute(package.workbook_xml, node, "localSheetId", new)] if new != local else []
    return edits, kept


def _our_names(ours: Package, tabs: Sequence[Tab], prefix: str) -> list[bytes]:
    """The elements of all names that belong to our sheets, their marks included."""
    names = ours.workbook_root.child("definedNames")
    grafts = [tab.graft for tab in tabs if tab.graft]
    renamed = {graft.sheet.name: graft.name for graft in grafts if graft.sheet.name != graft.name}
    index = {graft.sheet.name: place for place, tab in enumerate(tabs) if (graft := tab.graft)}
    made = []
    for node in names.children if names else []:
        local = node.attributes.get("localSheetId")
        if local is None:
            raise ValueError(f"the name {node.attributes.get('name')} must be local to a sheet of ours")
        sheet = ours.sheets[int(local)].name
        if sheet in index:
            made.append(_name_element(prefix, node.attributes, index[sheet], rename_in_formula(node.text, renamed)))
    marks = {"name": MARK, "hidden": "1"}
    made += [_name_element(prefix, marks, index[one.sheet.name], mark_text(one.kind, one.name)) for one in grafts]
    return made


def _name_element(prefix: str, attributes: Mapping[str, str], sheet: int, text: str) -> bytes:
    given = {**attributes, "localSheetId": str(sheet)}
    words = b" ".join(b'%s="%s"' % (name.encode(), ascii_xml(value)) for name, value in given.items())
    tag = qualified(prefix, "definedName")
    return b"<%s %s>%s</%s>" % (tag, words, ascii_xml(text), tag)


def edit_workbook(package: Package, ours: Package, tabs: Sequence[Tab]) -> bytes:
    """The workbook part with the new tabs and names, and every formula worked out anew on opening."""
    edits = [*_view_edits(package, tabs), *_tab_edits(package, tabs), *name_edits(package, ours, tabs)]
    return apply(package.workbook_xml, [*edits, *calculation_edits(package)])


def _view_edits(package: Package, tabs: Sequence[Tab]) -> list[Edit]:
    views = package.workbook_root.child("bookViews")
    edits = []
    for view in views.children if views else []:
        for name in ("activeTab", "firstSheet"):
            given = view.attributes.get(name)
            at = whole(given or "")
            if at >= 0 and moved(at, package, tabs) != at:
                edits.append(attribute(package.workbook_xml, view, name, str(moved(at, package, tabs))))
    return edits


def _tab_edits(package: Package, tabs: Sequence[Tab]) -> list[Edit]:
    listed = package.workbook_root.child("sheets")
    assert listed is not None, "a package without sheets is refused when it is opened"
    kept = {id(tab.old): tab for tab in tabs if tab.old}
    edits = [removal(sheet.node) for sheet in package.sheets if id(sheet) not in kept]
    head = package.workbook_xml[package.workbook_root.start : package.workbook_root.inside]
    added = b"".join(_tab_element(listed, tab, head) for tab in tabs if tab.old is None)
    if added:
        edits += append(package.workbook_xml, listed, added)
    return edits


def _tab_element(listed: Node, tab: Tab, head: bytes) -> bytes:
    """head: the start tag of the workbook part, which may declare the prefix of relationships."""
    assert tab.graft is not None, "a tab that is not the user's is one of ours"
    state = {"hidden": b' state="hidden"', "very hidden": b' state="veryHidden"'}.get(tab.graft.sheet.visibility, b"")
    known = b'xmlns:r="%s"' % OFFICE.encode()
    return b'<%s name="%s" sheetId="%s"%s%s r:id="%s"/>' % (
        qualified(listed.prefix, "sheet"), ascii_xml(tab.graft.name), tab.sheet_id.encode(), state,
        b"" if known in head else b" " + known, tab.relation_id.encode(),
    )  # fmt: skip
