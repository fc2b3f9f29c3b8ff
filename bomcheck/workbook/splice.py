"""Write our sheets into the user's workbook; every part that need not change is copied as it lies in the file."""

import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from bomcheck.errors import WorkbookError
from bomcheck.workbook import files
from bomcheck.workbook.assemble import assemble
from bomcheck.workbook.beside import name_beside, reason_not_to_touch
from bomcheck.workbook.changes import Changes, plan_changes
from bomcheck.workbook.package import Package
from bomcheck.workbook.refusal import refuse
from bomcheck.workbook.replace_file import explain, hard_link_note, replace_file
from bomcheck.workbook.xml_tree import BadXml, Doctype, new_parser, run


@dataclass(frozen=True, slots=True)
class Written:
    """Where the result went. message: why it went there, and what else to know; None if it is where it was asked for."""

    path: Path
    message: str | None = None


def write_back(
    package: Package, ours: bytes, sheet_kinds: Mapping[str, str], target: Path, backup: bool = False
) -> Written:
    """Put our sheets into a workbook, in the place of those of an earlier run.

    package: the user's workbook. ours: a workbook made by XlsxWriter. sheet_kinds: for each sheet of it that goes in,
    the kind by which it is known again. target: where the result goes; the path of `package` to write in place.
    backup: keep a copy of what the target was. Raises WorkbookError; the target is then unchanged.
    """
    real, source = Path(target).resolve(), package.path.resolve()
    in_place = real == source
    message = reason_not_to_touch(package, target, real, in_place=in_place)
    if message:
        target = real = name_beside(target)
        in_place, message = False, f"{message}. The result is in {target.name}"
    _require_writable(real)
    _require_ending(package, real)
    changes = plan_changes(package, Package(Path("ours.xlsx"), ours), sheet_kinds)
    linked = hard_link_note(real)
    _put(package, changes, real, in_place=in_place, backup=backup and message is None)
    if linked:
        message = f"{message or f'The result is in {target.name}'}. {linked}"
    return Written(target, message)


def _put(package: Package, changes: Changes, real: Path, *, in_place: bool, backup: bool) -> None:
    replace_file(
        real,
        assemble(package.archive, changes),
        like=package.status,
        verify=lambda data: verify(package, changes, real, data),
        last_look=lambda: _require_unchanged(package, real) if in_place else None,
        backup=_backup(package, real, in_place=in_place) if backup else None,
    )


def _backup(package: Package, real: Path, *, in_place: bool) -> tuple[Path, bytes] | None:
    """(name, contents) of the copy to keep; None if there is nothing to keep."""
    try:
        content = package.data if in_place else files.read(real)
    except FileNotFoundError:
        return None
    except OSError as error:
        raise explain(error, real) from None
    return real.with_name(f"{real.stem}.backup{real.suffix}"), content


def _require_writable(real: Path) -> None:
    if real.exists() and not os.access(real, os.W_OK):
        wrong = "you have no permission to write to it"
        raise refuse("file", real.name, wrong, "Change its permissions or give another name with --out")


def _require_ending(package: Package, real: Path) -> None:
    """Spreadsheet programs refuse a workbook with macros under the other ending."""
    macros = "macroenabled" in package.types.of(package.workbook_part).lower()
    ending, wrong = (".xlsm", ".xlsx") if macros else (".xlsx", ".xlsm")
    if real.suffix.lower() == wrong and real != package.path.resolve():
        says = "the workbook has macros" if macros else "the workbook has no macros"
        raise refuse("file", real.name, f"{says}, so its name cannot end in {wrong}", f"Give it the ending {ending}")


def verify(package: Package, changes: Changes, real: Path, data: bytes) -> None:
    """Read the result as it lies on the disk: untouched parts equal, new ones as intended, our sheets readable."""
    try:
        result = Package(real, data)
        same = all(_is_as_meant(package, changes, result, name) for name in result.archive.members)
        for name in changes.sheets:
            run(new_parser(), result.archive.read(result.sheet(name).part))
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


def _require_unchanged(package: Package, real: Path) -> None:
    """The source must still be, byte for byte, what was read."""
    try:
        now = files.status(real)
        same = package.status is not None and _stamp(now) == _stamp(package.status) and files.read(real) == package.data
    except FileNotFoundError:
        raise refuse("file", real.name, "the workbook was removed meanwhile", "Put it back and run it again") from None
    if not same:
        raise refuse("file", real.name, "the workbook was changed meanwhile", "Close it elsewhere and run it again")


def _stamp(status: object) -> tuple[object, ...]:
    return tuple(getattr(status, f"st_{name}") for name in ("ino", "size", "mtime_ns"))
