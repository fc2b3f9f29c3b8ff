"""The workbook's own part: its list of tabs and its defined names, edited in place."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bomcheck.workbook.edits import Edit, append, apply, ascii_xml, attribute, qualified, removal
from bomcheck.workbook.mark import MARK, mark_text
from bomcheck.workbook.package import Package, Sheet
from bomcheck.workbook.sheet_names import rename_in_formula
from bomcheck.workbook.transplant import Graft
from bomcheck.workbook.xml_tree import OFFICE, Node

BEFORE_NAMES = ("externalReferences", "functionGroups", "sheets")


@dataclass(frozen=True, slots=True)
class Tab:
    """One tab of the result. old: the user's sheet, or the one of ours that is replaced; graft: ours, if it is one."""

    old: Sheet | None
    graft: Graft | None
    sheet_id: str
    relation_id: str


def arrange(package: Package, old: Mapping[str, Sheet], grafts: Sequence[Graft]) -> list[Tab]:
    """The tabs in their new order: replaced ones keep their place, new ones follow the last, dropped ones are gone."""
    by_kind = {graft.kind: graft for graft in grafts}
    kind_of = {id(sheet): kind for kind, sheet in old.items()}
    tabs = [
        Tab(sheet, by_kind.get(kind_of.get(id(sheet), "")), sheet.sheet_id, sheet.relation.id)
        for sheet in package.sheets
        if id(sheet) not in kind_of or kind_of[id(sheet)] in by_kind
    ]
    next_id = 1 + max([0, *(int(sheet.sheet_id) for sheet in package.sheets if sheet.sheet_id.isdecimal())])
    taken = {relation.id for relation in package.relations}
    for graft in grafts:
        if graft.kind not in old:
            tabs.append(Tab(None, graft, str(next_id), free_relation(taken)))
            next_id += 1
    return tabs


def free_relation(taken: set[str]) -> str:
    """A relationship id that is not taken; it is taken from now on."""
    number = 1
    while f"rId{number}" in taken:
        number += 1
    taken.add(f"rId{number}")
    return f"rId{number}"


def active_tab(package: Package, tabs: Sequence[Tab]) -> int:
    """Index, among the new tabs, of the one on show."""
    views = package.workbook_root.child("bookViews")
    given = views.children[0].attributes.get("activeTab", "0") if views and views.children else "0"
    return _moved(int(given) if given.isdecimal() else 0, package, tabs)


def _moved(index: int, package: Package, tabs: Sequence[Tab]) -> int:
    """Where the tab of that old index is now; the nearest one if it is gone."""
    old = [id(tab.old) for tab in tabs if tab.old]
    if index < len(package.sheets) and id(package.sheets[index]) in old:
        return old.index(id(package.sheets[index]))
    return max(0, min(index, len(tabs) - 1))


def edit_workbook(package: Package, ours: Package, tabs: Sequence[Tab]) -> bytes:
    """The workbook part with the new tabs and names."""
    edits = [*_view_edits(package, tabs), *_tab_edits(package, tabs), *_name_edits(package, ours, tabs)]
    return apply(package.workbook_xml, edits)


def _view_edits(package: Package, tabs: Sequence[Tab]) -> list[Edit]:
    views = package.workbook_root.child("bookViews")
    edits = []
    for view in views.children if views else []:
        for name in ("activeTab", "firstSheet"):
            given = view.attributes.get(name)
            if given and given.isdecimal() and _moved(int(given), package, tabs) != int(given):
                edits.append(attribute(package.workbook_xml, view, name, str(_moved(int(given), package, tabs))))
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
        qualified(listed.prefix, "sheet"),
        ascii_xml(tab.graft.name),
        tab.sheet_id.encode(),
        state,
        b"" if known in head else b" " + known,
        tab.relation_id.encode(),
    )


def _name_edits(package: Package, ours: Package, tabs: Sequence[Tab]) -> list[Edit]:
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
        if local is None or not local.isdecimal() or int(local) >= len(package.sheets):
            kept += 1
        elif id(package.sheets[int(local)]) not in place:
            edits.append(removal(node))
        else:
            kept += 1
            new = str(place[id(package.sheets[int(local)])])
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
