"""The parts of our sheets under new names: sheets, drawings, charts, notes, pictures, and the links between them."""

import posixpath
from collections.abc import Collection, Mapping
from dataclasses import dataclass

from bomcheck.workbook.edits import apply, attribute
from bomcheck.workbook.our_sheet import fit_sheet, inner_strings, rename_tabs
from bomcheck.workbook.package import Package, Sheet
from bomcheck.workbook.parts import reachable, read_relations, read_tree, relations_part, relative
from bomcheck.workbook.sheet_names import rename_in_formula
from bomcheck.workbook.styles import Styled

PREFIX = "bomcheck_"
NOT_CARRIED = {"table": "tables", "pivotTable": "pivot tables", "threadedComment": "threaded notes"}


@dataclass(frozen=True, slots=True)
class Graft:
    """One sheet of ours on its way into the user's workbook. name: of its tab there. part: its new part name."""

    kind: str
    sheet: Sheet
    name: str
    part: str


def new_names(ours: Package, sheets: Collection[Sheet], taken: Collection[str]) -> dict[str, str]:
    """New name of every part that our sheets consist of; `taken` names are avoided."""
    used = {name.lower() for name in taken}
    names: dict[str, str] = {}
    for sheet in sheets:
        for old in reachable(ours.archive, sheet.part):
            if old not in names:
                names[old] = _free_part(old, used)
    return names


def _free_part(old: str, used: set[str]) -> str:
    folder, name = posixpath.split(old)
    stem, ending = posixpath.splitext(name)
    new, number = f"{folder}/{PREFIX}{stem}{ending}", 1
    while new.lower() in used or relations_part(new).lower() in used:
        number += 1
        new = f"{folder}/{PREFIX}{stem}_{number}{ending}"
    used.add(new.lower())
    return new


def carried_parts(
    ours: Package, grafts: Collection[Graft], parts: Mapping[str, str], styled: Styled, shown: str
) -> dict[str, bytes]:
    """Contents of all new parts by new name, relationships included. shown: name of the tab on show."""
    renamed = {graft.sheet.name: graft.name for graft in grafts if graft.sheet.name != graft.name}
    shared = ours.related("sharedStrings")
    strings = inner_strings(ours.archive.read(shared)) if shared else []
    sheets = {graft.sheet.part: graft for graft in grafts}
    result: dict[str, bytes] = {}
    for old, new in parts.items():
        content = ours.archive.read(old)
        if old in sheets:
            selected = sheets[old].name == shown
            content = fit_sheet(content, strings, styled.cells, styled.conditions, renamed, selected=selected)
        elif old.endswith(".xml"):
            content = rename_tabs(content, renamed)
        result[new] = content
        links = _links(ours, old, parts, renamed)
        if links:
            result[relations_part(new)] = links
    return result


def _links(ours: Package, old: str, parts: Mapping[str, str], renamed: Mapping[str, str]) -> bytes | None:
    """The relationships of a part, pointing to the new names."""
    name = ours.archive.find(relations_part(old))
    if name is None:
        return None
    content, _ = read_tree(ours.archive, name, 2)
    edits = []
    for relation in read_relations(ours.archive, old):
        if relation.kind in NOT_CARRIED:
            raise ValueError(f"sheets of ours may not hold {NOT_CARRIED[relation.kind]}")
        if not relation.external:
            target = relative(parts[old], parts[relation.target])
            edits.append(attribute(content, relation.node, "Target", target))
        elif relation.target.startswith("#") and renamed:
            target = rename_in_formula(relation.target, renamed)
            edits.append(attribute(content, relation.node, "Target", target))
    return apply(content, edits)
