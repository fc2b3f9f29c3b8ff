"""The workbook's own part: its list of tabs, which is on show, and that formulas are worked out anew; edited in place."""

from collections.abc import Sequence

from bomcheck.workbook.calculation import calculation_edits
from bomcheck.workbook.defined_names import name_edits
from bomcheck.workbook.edits import Edit, append, apply, ascii_xml, attribute, qualified, removal
from bomcheck.workbook.package import Package
from bomcheck.workbook.tabs import Tab, moved
from bomcheck.workbook.xml_tree import OFFICE, Node


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
            if given and given.isdecimal() and moved(int(given), package, tabs) != int(given):
                edits.append(attribute(package.workbook_xml, view, name, str(moved(int(given), package, tabs))))
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
