"""Which parts of the user's workbook change when our sheets go in, which go, and which are new."""

from collections.abc import Mapping
from dataclasses import dataclass

from bomcheck.workbook.directory_parts import edit_relations, edit_types, types_part
from bomcheck.workbook.mark import own_sheets
from bomcheck.workbook.package import Package, Sheet
from bomcheck.workbook.parts import reachable, read_tree, relations_part, relative
from bomcheck.workbook.sheet_names import free_name
from bomcheck.workbook.styles import EMPTY, Styled, append_styles
from bomcheck.workbook.tabs import Tab, active_tab, arrange, free_relation
from bomcheck.workbook.transplant import Graft, carried_parts, new_names
from bomcheck.workbook.workbook_part import edit_workbook
from bomcheck.workbook.xml_tree import OFFICE

STYLES_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"
SIGNATURES = "_xmlsignatures/"
SIGNATURE_RELATION = "origin"


@dataclass(frozen=True, slots=True)
class Changes:
    """edited: new contents of the user's parts that are spliced. added: our parts. removed: parts that go."""

    edited: dict[str, bytes]
    added: dict[str, bytes]
    removed: frozenset[str]
    sheets: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Plan:
    package: Package
    ours: Package
    grafts: list[Graft]
    tabs: list[Tab]
    parts: dict[str, str]
    removed: frozenset[str]
    dropped_relations: frozenset[str]


def plan_changes(package: Package, ours: Package, kinds: Mapping[str, str]) -> Changes:
    """All that must change so that our sheets are in the workbook and no older ones are. kinds: by name in `ours`."""
    plan = _plan(package, ours, kinds)
    styles = package.related("styles")
    their_styles = read_tree(package.archive, styles)[0] if styles else EMPTY
    styled = append_styles(their_styles, ours.archive.read(ours.related("styles")))
    shown = plan.tabs[active_tab(package, plan.tabs)].graft
    added = carried_parts(ours, plan.grafts, plan.parts, styled, shown.name if shown else "")
    edited = _edited(plan, styles, styled)
    if not styles:
        added["xl/styles.xml"] = styled.content
    return Changes(edited, added, plan.removed, tuple(graft.name for graft in plan.grafts))


def _plan(package: Package, ours: Package, kinds: Mapping[str, str]) -> _Plan:
    old = own_sheets(package)
    removed, relations = _removed(package, old)
    sheets = [sheet for sheet in ours.sheets if sheet.name in kinds]
    parts = new_names(ours, sheets, [name for name in package.archive.members if name not in removed])
    grafts = _grafts(package, old, sheets, kinds, parts)
    return _Plan(package, ours, grafts, arrange(package, old, grafts), parts, removed, relations)


def _grafts(
    package: Package, old: Mapping[str, Sheet], sheets: list[Sheet], kinds: Mapping[str, str], parts: Mapping[str, str]
) -> list[Graft]:
    """Each sheet with its tab's name: the one it had before, or a free one."""
    replaced = {sheet.name for sheet in old.values()}
    taken = [name for name in package.sheet_names if name not in replaced]
    kept = {kind: old[kind].name for kind in kinds.values() if kind in old}
    taken += kept.values()
    grafts = []
    for sheet in sheets:
        kind = kinds[sheet.name]
        name = kept.get(kind) or free_name(sheet.name, taken)
        taken.append(name)
        grafts.append(Graft(kind, sheet, name, parts[sheet.part]))
    return grafts


def _removed(package: Package, old: Mapping[str, Sheet]) -> tuple[frozenset[str], frozenset[str]]:
    """(parts that nothing leads to once our older sheets are gone, ids of the workbook's relationships to drop)."""
    gone: set[str] = set()
    dropped = {sheet.relation.id for sheet in old.values()}
    if old:
        without = frozenset(sheet.part for sheet in old.values())
        left = reachable(package.archive, "", without)
        gone = {part for one in without for part in reachable(package.archive, one) if part not in left}
    chain = package.related("calcChain")
    if chain and _chain_names(package, chain, {sheet.sheet_id for sheet in old.values()}):
        gone.add(chain)
        dropped |= {relation.id for relation in package.relations if relation.kind == "calcChain"}
    signatures = [name for name in package.archive.members if name.startswith(SIGNATURES)]
    links = [package.archive.find(relations_part(part)) for part in gone]
    return frozenset([*gone, *signatures, *(link for link in links if link)]), frozenset(dropped)


def _chain_names(package: Package, chain: str, sheet_ids: set[str]) -> bool:
    """True if the order of calculation names a sheet that goes; an entry without a sheet repeats the last one."""
    if not sheet_ids:
        return False
    _, root = read_tree(package.archive, chain, 2)
    return any(node.attributes.get("i") in sheet_ids for node in root.children)


def _edited(plan: _Plan, styles: str, styled: Styled) -> dict[str, bytes]:
    package = plan.package
    edited = {package.workbook_part: edit_workbook(package, plan.ours, plan.tabs)}
    edited.update([_workbook_relations(plan, styles)])
    edited[types_part(package)] = _types(plan, styles)
    if styles:
        edited[styles] = styled.content
    if any(name.startswith(SIGNATURES) for name in plan.removed):
        edited.update([_package_relations(package)])
    return {name: content for name, content in edited.items() if content != package.archive.read(name)}


def _workbook_relations(plan: _Plan, styles: str) -> tuple[str, bytes]:
    part = plan.package.workbook_part
    added = {tab.relation_id: (f"{OFFICE}/worksheet", relative(part, tab.graft.part)) for tab in plan.tabs if tab.graft}
    if not styles:
        taken = {relation.id for relation in plan.package.relations} | set(added)
        added[free_relation(taken)] = (f"{OFFICE}/styles", relative(part, "xl/styles.xml"))
    return edit_relations(plan.package, part, plan.dropped_relations, added)


def _types(plan: _Plan, styles: str) -> bytes:
    added = {new: plan.ours.types.of(old) for old, new in plan.parts.items()}
    if not styles:
        added["xl/styles.xml"] = STYLES_TYPE
    return edit_types(plan.package, plan.removed, added)


def _package_relations(package: Package) -> tuple[str, bytes]:
    """The package's own relationships without the one that leads to the signatures."""
    root = package.archive.find(relations_part("")) or ""
    _, tree = read_tree(package.archive, root, 2)
    signed = {
        node.attributes["Id"]
        for node in tree.children
        if node.attributes.get("Type", "").rsplit("/", 1)[-1] == SIGNATURE_RELATION
    }
    return edit_relations(package, "", signed, {})
