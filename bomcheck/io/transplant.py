"""Our sheets taken into the user's package."""

import posixpath
import re
from collections.abc import Collection, Mapping, Sequence
from html import escape, unescape
from itertools import chain

from bomcheck.io.package import Package, Sheet
from bomcheck.io.parts import reachable, read_relations, read_tree, relations_part, relative
from bomcheck.io.styles import Styled
from bomcheck.io.xml import apply, attribute, whole
from bomcheck.model.records import dataclass

LONGEST = 31
_REFERENCE = re.compile(r""""(?:[^"]|"")*"|'((?:[^']|'')+)'!|(?<![\w.\]'])([^\W\d][\w.]*)!""")
_BARE = re.compile(r"[A-Za-z_][A-Za-z_0-9]*")
_LIKE_ADDRESS = re.compile(r"[A-Za-z]{1,3}[0-9]+|[Rr][0-9]*[Cc][0-9]*|[RrCc]")


def free_name(wanted: str, taken: Collection[str]) -> str:
    """`wanted`, or "wanted (2)" and so on if a tab has that name; at most 31 characters, capitals do not count."""
    used = {name.lower() for name in taken}
    name, number = wanted[:LONGEST], 1
    while name.lower() in used:
        number += 1
        ending = f" ({number})"
        name = wanted[: LONGEST - len(ending)] + ending
    return name


def quoted(name: str) -> str:
    """A tab's name as formulas write it, in quotes where it must be."""
    if _BARE.fullmatch(name) and not _LIKE_ADDRESS.fullmatch(name):
        return name
    doubled = name.replace("'", "''")
    return f"'{doubled}'"


def rename_in_formula(formula: str, names: Mapping[str, str]) -> str:
    """The formula with its references to tabs renamed (old name to new); texts in quotes stay."""

    def renamed(found: re.Match[str]) -> str:
        old = found[1].replace("''", "'") if found[1] else found[2]
        return f"{quoted(names[old])}!" if old in names else found[0]

    return _REFERENCE.sub(renamed, formula) if names else formula


_CELL = re.compile(rb"<c ([^<>]*?)(/?)>(?:<v>(\d+)</v></c>)?")
_STYLE = re.compile(rb' s="(\d+)"')
_ROW = re.compile(rb'(<row [^<>]*? s=")(\d+)"')
_COLUMN = re.compile(rb'(<col [^<>]*? style=")(\d+)"')
_CONDITION = re.compile(rb'(<[^<>]* dxfId=")(\d+)"')
_SELECTED = re.compile(rb' tabSelected="\d"')
_VIEW = re.compile(rb"<sheetView ")
_NEEDS_METADATA = re.compile(rb"<c [^<>]* [cv]m=")
_STRING = re.compile(rb"<si>(.*?)</si>", re.DOTALL)
_FORMULA = re.compile(rb"(<(?:\w+:)?(?:f|formula|formula1|formula2)(?: [^<>]*)?>)([^<>]+)(?=<)")
_LOCATION = re.compile(rb'( location=")([^"]*)(?=")')


def inner_strings(shared: bytes) -> list[bytes]:
    """What stands inside each shared text, ready to stand inline in a cell."""
    return _STRING.findall(shared)


def fit_sheet(
    sheet: bytes, strings: Sequence[bytes], cells: Sequence[int], conditions: Sequence[int], names: Mapping[str, str],
    *, selected: bool,
) -> bytes:  # fmt: skip
    """The sheet's part for the user's workbook.

    cells, conditions: the user's index for each of our cell formats and conditional formats. names: tabs that have
    another name there. selected: True if it is the tab on show.
    """
    if _NEEDS_METADATA.search(sheet):
        raise ValueError("sheets of ours may not hold dynamic arrays, checkboxes or pictures in cells")
    sheet = _CELL.sub(lambda found: _cell(found, strings, cells), sheet)
    for pattern, known in ((_ROW, cells), (_COLUMN, cells), (_CONDITION, conditions)):
        sheet = pattern.sub(lambda found, known=known: found[1] + b'%d"' % known[int(found[2])], sheet)  # type: ignore[misc]
    sheet = _SELECTED.sub(b"", sheet)
    if selected:
        sheet = _VIEW.sub(b'<sheetView tabSelected="1" ', sheet, count=1)
    return rename_tabs(sheet, names)


def _cell(found: re.Match[bytes], strings: Sequence[bytes], cells: Sequence[int]) -> bytes:
    """One cell's tag, with its number if it has nothing else."""
    given, empty, number = b" " + found[1].rstrip(), found[2], found[3]
    style = _STYLE.search(given)
    index = b' s="%d"' % cells[int(style[1]) if style else 0]
    given = _STYLE.sub(index, given) if style else given + index
    if number is None:
        return b"<c" + given + empty + b">"
    if b' t="s"' not in given:
        return b"<c" + given + b"><v>" + number + b"</v></c>"
    inline = given.replace(b' t="s"', b' t="inlineStr"')
    return b"<c" + inline + b"><is>" + strings[int(number)] + b"</is></c>"


def rename_tabs(part: bytes, names: Mapping[str, str]) -> bytes:
    """A sheet, chart or drawing with its references to tabs renamed."""
    if not names:
        return part

    def renamed(found: re.Match[bytes]) -> bytes:
        text = rename_in_formula(unescape(found[2].decode()), names)
        return found[1] + escape(text, quote=found[1].endswith(b'"')).encode()

    return _LOCATION.sub(renamed, _FORMULA.sub(renamed, part))


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


@dataclass(frozen=True, slots=True)
class Tab:
    """One tab of the result. old: the user's sheet, or the one of ours that is replaced; graft: ours, if it is one."""

    old: Sheet | None
    graft: Graft | None
    sheet_id: str
    relation_id: str


HIGHEST_ID = 65_535
"""Above any number of a sheet, ISO/IEC 29500-1 18.2.19 as spreadsheet programs keep it."""


def arrange(package: Package, old: Mapping[str, Sheet], grafts: Sequence[Graft]) -> list[Tab]:
    """The tabs in their new order: replaced ones keep their place, new ones follow the last, dropped ones are gone."""
    by_kind = {graft.kind: graft for graft in grafts}
    kind_of = {id(sheet): kind for kind, sheet in old.items()}
    tabs = [
        Tab(sheet, by_kind.get(kind_of.get(id(sheet), "")), sheet.sheet_id, sheet.relation.id)
        for sheet in package.sheets
        if id(sheet) not in kind_of or kind_of[id(sheet)] in by_kind
    ]
    used = {whole(sheet.sheet_id) for sheet in package.sheets}
    highest = max([0, *(one for one in used if one < HIGHEST_ID)])
    free = (one for one in chain(range(highest + 1, HIGHEST_ID), range(1, HIGHEST_ID)) if one not in used)
    taken = {relation.id for relation in package.relations}
    for graft in grafts:
        if graft.kind not in old:
            tabs.append(Tab(None, graft, str(next(free)), free_relation(taken)))
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
    return moved(whole(given, 0), package, tabs)


def moved(index: int, package: Package, tabs: Sequence[Tab]) -> int:
    """Where the tab of that old index is now; the nearest one if it is gone."""
    old = [id(tab.old) for tab in tabs if tab.old]
    if index < len(package.sheets) and id(package.sheets[index]) in old:
        return old.index(id(package.sheets[index]))
    return max(0, min(index, len(tabs) - 1))
