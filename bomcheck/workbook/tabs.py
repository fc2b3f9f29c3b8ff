"""The tabs of the result and their order."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bomcheck.workbook.package import Package, Sheet
from bomcheck.workbook.transplant import Graft


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
    return moved(int(given) if given.isdecimal() else 0, package, tabs)


def moved(index: int, package: Package, tabs: Sequence[Tab]) -> int:
    """Where the tab of that old index is now; the nearest one if it is gone."""
    old = [id(tab.old) for tab in tabs if tab.old]
    if index < len(package.sheets) and id(package.sheets[index]) in old:
        return old.index(id(package.sheets[index]))
    return max(0, min(index, len(tabs) - 1))
