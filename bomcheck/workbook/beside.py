"""When a workbook must not be touched, and under which name the result goes then."""

from pathlib import Path

from bomcheck.errors import WorkbookError
from bomcheck.workbook.changes import SIGNATURES
from bomcheck.workbook.mark import own_sheets
from bomcheck.workbook.package import Package, open_package
from bomcheck.workbook.transplant import PREFIX


def reason_not_to_touch(package: Package, target: Path, real: Path, *, in_place: bool) -> str | None:
    """Why the result may not go into the target; None if it may. real: the target behind any symbolic link."""
    lock = _lock(target) or _lock(real)
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


def _lock(target: Path) -> Path | None:
    """The lock file that LibreOffice or Excel puts beside a workbook that is open."""
    locks = (target.with_name(f".~lock.{target.name}#"), target.with_name(f"~${target.name}"))
    return next((lock for lock in locks if lock.exists()), None)


def _is_locked(package: Package) -> bool:
    protection = package.workbook_root.child("workbookProtection")
    return protection is not None and protection.attributes.get("lockStructure") in ("1", "true", "on")


def name_beside(target: Path) -> Path:
    """ "job - checked.xlsx", or with a number if that name is taken by anything but an untouched result of ours."""
    number = 1
    while True:
        ending = "" if number == 1 else f" {number}"
        name = target.with_name(f"{target.stem} - checked{ending}{target.suffix}")
        if not name.exists() or _is_untouched_result(name):
            return name
        number += 1


def _is_untouched_result(path: Path) -> bool:
    """True if no one saved the file since we wrote it: spreadsheet programs give all parts names of their own."""
    if _lock(path):
        return False
    try:
        ours = own_sheets(open_package(path)).values()
    except WorkbookError:
        return False
    return bool(ours) and all(PREFIX in sheet.part for sheet in ours)
