"""The defined names of the workbook: the user's local ones move with their tabs, ours come and go with our sheets."""

from collections.abc import Mapping, Sequence

from bomcheck.workbook.edits import Edit, append, ascii_xml, attribute, qualified, removal
from bomcheck.workbook.mark import MARK, mark_text
from bomcheck.workbook.package import Package
from bomcheck.workbook.sheet_names import rename_in_formula
from bomcheck.workbook.tabs import Tab

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
