"""What a file is, told from its first bytes before anything in it is opened."""

import stat
from pathlib import Path

from bomcheck.errors import WorkbookError
from bomcheck.workbook.refusal import refuse, too_large

LARGEST_FILE = 150_000_000
"""Largest workbook that is read [bytes]; it is held in memory once, as an exact copy to compare with."""

SAVE_AS = "Open it in a spreadsheet program and save it as .xlsx"
OLD_CONTAINER = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"

BY_FIRST_BYTES = (
    (b"%PDF", "this is a PDF, not a workbook"),
    (b"{\\rtf", "this is a text document (RTF), not a workbook"),
    (b"\x89PNG", "this is a picture (PNG), not a workbook"),
    (b"\xff\xd8\xff", "this is a picture (JPEG), not a workbook"),
    (b"Rar!", "this is a RAR archive, not a workbook"),
    (b"7z\xbc\xaf", "this is a 7z archive, not a workbook"),
    (b"\x1f\x8b", "this is a gzip archive, not a workbook"),
)


def read_file(path: Path) -> bytes:
    """The bytes of a regular file whose first bytes are a zip archive's; raises WorkbookError for all else."""
    name = path.name
    try:
        _require_regular(path)
        data = path.read_bytes()
    except FileNotFoundError:
        raise refuse("file", name, "there is no such file", "Check the name and the folder") from None
    except PermissionError:
        raise refuse("file", name, "you have no permission to read it", "Change its permissions or copy it") from None
    except OSError as error:
        raise refuse("file", name, f"it cannot be read ({error.strerror})", "Check the disk or copy the file") from None
    require_zip(name, data)
    return data


def _require_regular(path: Path) -> None:
    status = path.stat()
    if stat.S_ISDIR(status.st_mode):
        raise refuse("file", path.name, "this is a folder", "Give the name of the workbook inside it")
    if not stat.S_ISREG(status.st_mode):
        raise refuse("file", path.name, "this is not an ordinary file", "Give the name of a workbook")
    if status.st_size > LARGEST_FILE:
        wrong = f"the file has {status.st_size // 1_000_000} MB; at most {LARGEST_FILE // 1_000_000} MB are read"
        raise too_large(path.name, wrong, "Make the pictures in it smaller and try again")


def require_zip(name: str, data: bytes) -> None:
    """Raise WorkbookError, naming what the file really is, unless it starts as a zip archive does."""
    if name.startswith(("~$", ".~lock.")):
        raise refuse(
            "not a workbook", name, "this is the lock file of a workbook that is open", "Give the workbook itself"
        )
    if not data:
        raise refuse("not a workbook", name, "the file is empty", "Start from a new template or use an older copy")
    if data.startswith(OLD_CONTAINER):
        raise _old_container(name, data)
    if not data.startswith(b"PK\x03\x04"):
        raise refuse("not a workbook", name, _other_kind(data), SAVE_AS)


def _old_container(name: str, data: bytes) -> WorkbookError:
    """Tell a password-protected workbook from an old binary one by the names in the container's directory."""
    if _has_entry(data, "EncryptedPackage"):
        instead = "Open it, remove the password (File, Info or Save as) and save it"
        return refuse("not a workbook", name, "the workbook is protected by a password", instead)
    if _has_entry(data, "Workbook") or _has_entry(data, "Book"):
        return refuse("not a workbook", name, "this is a workbook in the old binary format (.xls)", SAVE_AS)
    return refuse("not a workbook", name, "this is an old office file without a workbook in it", SAVE_AS)


def _has_entry(data: bytes, entry: str) -> bool:
    """Directory entries are 128 bytes long and start with their name in UTF-16."""
    wanted, at = f"{entry}\0".encode("utf-16-le"), -1
    while (at := data.find(wanted, at + 1)) >= 0:
        if at % 128 == 0:
            return True
    return False


def _other_kind(data: bytes) -> str:
    for start, says in BY_FIRST_BYTES:
        if data.startswith(start):
            return says
    head = data[:4096]
    if b"schemas-microsoft-com:office:spreadsheet" in head:
        return "this is an XML spreadsheet of 2003, not an .xlsx workbook"
    if b"<html" in head.lower() or b"<table" in head.lower():
        return "this is a web page, not a workbook"
    if _is_text(head):
        return "this is plain text (perhaps a CSV file with another ending), not a workbook"
    return "this is not a workbook"


def _is_text(head: bytes) -> bool:
    if head.startswith((b"\xff\xfe", b"\xfe\xff")):
        return True
    return not any(byte < 9 or 13 < byte < 27 for byte in head)
