"""Which parts of the user's workbook change when our sheets go in, which go, and which are new."""

import os
import struct
import zlib
from collections.abc import Iterator, Mapping
from itertools import count
from pathlib import Path
from types import MappingProxyType

from bomcheck.io import transplant
from bomcheck.io.disk import beside, hard_link_note, is_there, open_elsewhere, real_path
from bomcheck.io.mark import own_sheets
from bomcheck.io.package import Package, Sheet, open_package
from bomcheck.io.parts import reachable, read_tree, relations_part, relative
from bomcheck.io.refusal import refuse
from bomcheck.io.replace_file import Draft, write_files
from bomcheck.io.styles import EMPTY, Styled, append_styles
from bomcheck.io.workbook_part import edit_relations, edit_types, edit_workbook, types_part
from bomcheck.io.xml import OFFICE, BadXml, Doctype, new_parser, run
from bomcheck.io.zip_file import Archive, Member
from bomcheck.model.errors import WorkbookError
from bomcheck.model.records import dataclass

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
    grafts: list[transplant.Graft]
    tabs: list[transplant.Tab]
    parts: dict[str, str]
    removed: frozenset[str]
    dropped_relations: frozenset[str]


def plan_changes(package: Package, ours: Package, kinds: Mapping[str, str]) -> Changes:
    """All that must change so that our sheets are in the workbook and no older ones are. kinds: by name in `ours`."""
    plan = _plan(package, ours, kinds)
    styles = package.related("styles")
    their_styles = read_tree(package.archive, styles)[0] if styles else EMPTY
    styled = append_styles(their_styles, ours.archive.read(ours.related("styles")))
    shown = plan.tabs[transplant.active_tab(package, plan.tabs)].graft
    added = transplant.carried_parts(ours, plan.grafts, plan.parts, styled, shown.name if shown else "")
    edited = _edited(plan, styles, styled)
    if not styles:
        added["xl/styles.xml"] = styled.content
    return Changes(edited, added, plan.removed, tuple(graft.name for graft in plan.grafts))


def _plan(package: Package, ours: Package, kinds: Mapping[str, str]) -> _Plan:
    old = own_sheets(package)
    removed, relations = _removed(package, old)
    sheets = [sheet for sheet in ours.sheets if sheet.name in kinds]
    parts = transplant.new_names(ours, sheets, [name for name in package.archive.members if name not in removed])
    grafts = _grafts(package, old, sheets, kinds, parts)
    return _Plan(package, ours, grafts, transplant.arrange(package, old, grafts), parts, removed, relations)


def _grafts(
    package: Package, old: Mapping[str, Sheet], sheets: list[Sheet], kinds: Mapping[str, str], parts: Mapping[str, str]
) -> list[transplant.Graft]:
    """Each sheet with its tab's name: the one it had before, or a free one."""
    replaced = {sheet.name for sheet in old.values()}
    taken = [name for name in package.sheet_names if name not in replaced]
    kept = {kind: old[kind].name for kind in kinds.values() if kind in old}
    taken += kept.values()
    grafts = []
    for sheet in sheets:
        kind = kinds[sheet.name]
        name = kept.get(kind) or transplant.free_name(sheet.name, taken)
        taken.append(name)
        grafts.append(transplant.Graft(kind, sheet, name, parts[sheet.part]))
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
        added[transplant.free_relation(taken)] = (f"{OFFICE}/styles", relative(part, "xl/styles.xml"))
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


_LOCAL = struct.Struct("<4s5H3L2H")
_CENTRAL = struct.Struct("<4s6H3L5H2L")
_END = struct.Struct("<4s4H2LH")
_EARLIEST = (0, 0x21)
"""Time and date of new members: midnight of 1 January 1980, so that two runs give the same bytes."""


def assemble(archive: Archive, changes: Changes) -> Iterator[bytes | memoryview]:
    """The bytes of the result, piece by piece."""
    directory, at = [], 0
    for name, member in archive.members.items():
        if name in changes.removed:
            continue
        if name in changes.edited:
            local, data, record = _packed(name, changes.edited[name], at, _stamp(member))
            yield local
            yield data
            length = len(local) + len(data)
        else:
            raw = archive.raw(name)
            yield raw
            record, length = _moved(member, at), len(raw)
        directory.append(record)
        at += length
    for name, content in changes.added.items():
        local, data, record = _packed(name, content, at, _EARLIEST)
        yield local
        yield data
        directory.append(record)
        at += len(local) + len(data)
    yield from _ending(directory, at, archive.comment)


def _ending(directory: list[bytes], at: int, comment: bytes) -> Iterator[bytes]:
    whole = b"".join(directory)
    yield whole
    yield _END.pack(b"PK\x05\x06", 0, 0, len(directory), len(directory), len(whole), at, len(comment)) + comment


def _stamp(member: Member) -> tuple[int, int]:
    time, date = _CENTRAL.unpack_from(member.record)[5:7]
    return time, date


def _moved(member: Member, at: int) -> bytes:
    """The directory entry of a member that is copied to another place."""
    spot, width = member.offset_at
    return member.record[:spot] + at.to_bytes(width, "little") + member.record[spot + width :]


def _packed(name: str, content: bytes, at: int, stamp: tuple[int, int]) -> tuple[bytes, bytes, bytes]:
    """(local header, packed data, directory entry) of a member that is written anew."""
    packer = zlib.compressobj(6, zlib.DEFLATED, -15)
    data = packer.compress(content) + packer.flush()
    raw = name.encode()
    flags = 0 if name.isascii() else 0x800
    middle = (20, flags, 8, *stamp, zlib.crc32(content), len(data), len(content), len(raw))
    local = _LOCAL.pack(b"PK\x03\x04", *middle, 0) + raw
    record = _CENTRAL.pack(b"PK\x01\x02", 20, *middle, 0, 0, 0, 0, 0, at) + raw
    return local, data, record


def reason_not_to_touch(package: Package, target: Path, *, in_place: bool) -> str | None:
    """Why the result may not go into the target; None if it may."""
    lock = open_elsewhere(target) or open_elsewhere(real_path(target))
    if lock:
        return (
            f"{target.name} is open in a spreadsheet program, so it was left as it is (if it is not open, "
            f"delete the lock file {lock.name})"
        )
    if in_place and any(name.startswith(SIGNATURES) for name in package.archive.members):
        return f"{target.name} is digitally signed, so it was left as it is; the copy does not carry the signature"
    if in_place and _is_locked(package):
        return f"the sheet tabs of {target.name} are locked, so it was left as it is"
    return None


def require_in_place(package: Package) -> None:
    """Raises WorkbookError where a result could only go beside: what is booked there would be lost sight of."""
    reason = reason_not_to_touch(package, package.path, in_place=True)
    if reason:
        instead = "Close it, unlock its tabs or take the signature off, and run it again; nothing was written"
        raise refuse("file", package.file, reason, instead)


def _is_locked(package: Package) -> bool:
    protection = package.workbook_root.child("workbookProtection")
    return protection is not None and protection.attributes.get("lockStructure") in ("1", "true", "on")


def name_beside(target: Path) -> tuple[Path, bytes | None]:
    """("job - checked.xlsx", what it holds), or with a number if that name is taken by anything but an untouched result."""
    for number in count(1):
        ending = " - checked" if number == 1 else f" - checked {number}"
        stem = target.stem.removesuffix(" - checked")
        name = beside(target.with_name(stem or target.stem), f"{ending}{target.suffix}")
        if name == target:
            continue
        if not is_there(name):
            return name, None
        there = _untouched_result(name)
        if there is not None:
            return name, there
    raise AssertionError


def _untouched_result(path: Path) -> bytes | None:
    """The file if no one saved it since we wrote it, as spreadsheet programs give all parts names of their own, and if no
    slip is booked in it; else None."""
    if open_elsewhere(path):
        return None
    try:
        package = open_package(path)
        ours = own_sheets(package)
    except WorkbookError:
        return None
    untouched = bool(ours) and all(transplant.PREFIX in sheet.part for sheet in ours.values())
    return package.data if untouched and "receiving" not in ours else None


@dataclass(frozen=True, slots=True)
class Written:
    """Where the result went. message: why it went there, and what else to know; None if it is where it was asked for."""

    path: Path
    message: str | None = None


def write_back(
    package: Package, ours: bytes, sheet_kinds: Mapping[str, str], target: Path, backup: bool = False,
    earlier: Package | None = None, filled: Mapping[str, bytes] = MappingProxyType({}),
) -> Written:  # fmt: skip
    """Put our sheets into a workbook, in the place of those of an earlier run.

    package: the user's workbook. ours: a workbook made by XlsxWriter. sheet_kinds: for each sheet of it that goes in,
    the kind by which it is known again. target: where the result goes; the path of `package` to write in place.
    backup: keep a copy of what the target was. earlier: what was read at the target, where that is another workbook.
    filled: parts of the user's in which blank cells were filled in, with their contents.
    Raises WorkbookError; the target is then unchanged.
    """
    in_place = real_path(target) == real_path(package.path)
    message = reason_not_to_touch(package, target, in_place=in_place)
    known = package if in_place else earlier
    before, stamp = (known.data, known.status) if known is not None else (None, None)
    if message:
        target, before = name_beside(target)
        stamp, message = None, f"{message}. The result is in {target.name}"
    _require_writable(target)
    _require_ending(package, target)
    changes = plan_changes(package, Package(Path("ours.xlsx"), ours), sheet_kinds)
    changes.edited.update(filled)
    linked = hard_link_note(target)
    write_files(
        Draft(
            target,
            assemble(package.archive, changes),
            before,
            verify=lambda data: verify(package, changes, target, data),
            stamp=stamp,
            like=package.status,
        ),
        backup=beside(real_path(target).with_suffix(""), f".backup{target.suffix}") if backup and not message else None,
    )
    if linked:
        message = f"{message or f'The result is in {target.name}'}. {linked}"
    return Written(target, message)


def _require_writable(target: Path) -> None:
    if target.exists() and not os.access(target, os.W_OK, effective_ids=os.access in os.supports_effective_ids):
        wrong = "you have no permission to write to it"
        raise refuse("file", target.name, wrong, "Change its permissions or give another name with --out")


def _require_ending(package: Package, target: Path) -> None:
    """Spreadsheet programs refuse a workbook with macros under the other ending."""
    macros = "macroenabled" in package.types.of(package.workbook_part).lower()
    ending, wrong = (".xlsm", ".xlsx") if macros else (".xlsx", ".xlsm")
    if target.suffix.lower() == wrong and real_path(target) != real_path(package.path):
        says = "the workbook has macros" if macros else "the workbook has no macros"
        raise refuse("file", target.name, f"{says}, so its name cannot end in {wrong}", f"Give it the ending {ending}")


def verify(package: Package, changes: Changes, real: Path, data: bytes) -> None:
    """Read the result as it lies on the disk: untouched parts equal, new ones as intended, our sheets and drawings readable."""
    try:
        result = Package(real, data)
        same = all(_is_as_meant(package, changes, result, name) for name in result.archive.members)
        drawings = [name for name in changes.added if "/drawings/" in name and name.endswith(".xml")]
        for part in (*(result.sheet(name).part for name in changes.sheets), *drawings):
            run(new_parser(), result.archive.read(part))
    except (WorkbookError, BadXml, Doctype):
        same = False
    if not same or not _is_complete(package, changes, result):
        wrong = "what was written is not what the disk gives back"
        raise refuse("file", real.name, wrong, "Check the disk; the workbook is as it was")


def _is_as_meant(package: Package, changes: Changes, result: Package, name: str) -> bool:
    for meant in (changes.added, changes.edited):
        if name in meant:
            return result.archive.read(name) == meant[name]
    return bytes(result.archive.raw(name)) == bytes(package.archive.raw(name))


def _is_complete(package: Package, changes: Changes, result: Package) -> bool:
    meant = (set(package.archive.members) - changes.removed) | set(changes.added)
    return meant == set(result.archive.members)
