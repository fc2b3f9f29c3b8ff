"""The calls to the disk, each in one place so that tests can make any of them fail; names beside a file; the lock of a file."""

import errno
import itertools
import os
import re
import stat
import sys
import zlib
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path

from bomcheck.io import disk
from bomcheck.io.refusal import refuse, too_large
from bomcheck.model.errors import WorkbookError

BINARY = getattr(os, "O_BINARY", 0)


def create(path: Path) -> int:
    """Descriptor of a new file; it must not be there yet."""
    return os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | BINARY, 0o600)


def write(descriptor: int, data: bytes | memoryview) -> None:
    """Write all of it."""
    rest = memoryview(data)
    while rest:
        rest = rest[os.write(descriptor, rest) :]


def flush(descriptor: int) -> None:
    """Wait until the file is on the disk, where the system can do that."""
    try:
        os.fsync(descriptor)
    except OSError as error:
        if error.errno not in NOT_OFFERED:
            raise


def close(descriptor: int) -> None:
    """Close the file."""
    os.close(descriptor)


def take_over(path: Path, like: os.stat_result | None, source: Path | None = None) -> None:
    """Permissions, owner and extended attributes of the file that is replaced, as far as the system has and allows them."""
    if like is None:
        with suppress(OSError):
            os.chmod(path, 0o666 & ~_umask())
        return
    if hasattr(os, "chown") and (like.st_uid, like.st_gid) != (os.geteuid(), os.getegid()):
        with suppress(OSError):
            os.chown(path, like.st_uid, like.st_gid)
    with suppress(OSError):
        os.chmod(path, like.st_mode & 0o7777)
    if source is not None and hasattr(os, "listxattr"):
        with suppress(OSError):
            for name in os.listxattr(source):
                with suppress(OSError):
                    os.setxattr(path, name, os.getxattr(source, name))


def read(path: Path) -> bytes:
    """All bytes of a file."""
    return path.read_bytes()


def status(path: Path) -> os.stat_result:
    """Size, time and permissions of a file."""
    return path.stat()


def replace(new: Path, old: Path) -> None:
    """Put `new` in the place of `old` in one step."""
    os.replace(new, old)


def link(old: Path, new: Path) -> None:
    """Give a file a second name, which must not be taken."""
    os.link(old, new)


def remove(path: Path) -> None:
    """Delete a file."""
    os.unlink(path)


def flush_folder(folder: Path) -> None:
    """Wait until the folder's list of names is on the disk, where the system can do that."""
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


FULL = (errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC))
FORBIDDEN = (errno.EACCES, errno.EPERM, errno.EROFS)
NOT_OFFERED = (errno.EINVAL, errno.ENOSYS, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOTTY)
"""What a file system says of a call that it does not offer."""
LONGEST_NAME = 255  # bytes, on every file system in use
_LEFTOVER = re.compile(r"\.bomcheck-([0-9a-f]{8})-([0-9a-f]{8})-(\d{1,9})-(\d+)\.part")
_COUNTER = itertools.count()
IN_USE: set[str] = set()
_HELD: set[Path] = set()


def real_path(path: Path) -> Path:
    """The file behind every symbolic link; a circle of links stays as it is, and opening it then says so."""
    return Path(os.path.realpath(path))


def is_there(path: Path) -> bool:
    """Whether something of this name is there; a name that no disk takes is not."""
    return os.path.lexists(path)


def beside(path: Path, ending: str, before: str = "") -> Path:
    """A name beside a file: `before`, its own name, `ending`; its own is cut where the whole would be too long."""
    stem = path.name
    while len(f"{before}{stem}{ending}".encode("utf-8", "surrogateescape")) > LONGEST_NAME:
        stem = stem[:-1]
    return path.with_name(f"{before}{stem}{ending}")


def _hash(text: str) -> str:
    return f"{zlib.crc32(text.encode('utf-8', 'surrogatepass')):08x}"


def _computer() -> str:
    return os.uname().nodename if hasattr(os, "uname") else os.environ.get("COMPUTERNAME", "")


def _umask() -> int:
    current = os.umask(0)
    os.umask(current)
    return current


def part_beside(target: Path) -> Path:
    """Name of a file of this run's own beside the target, which tells whose it is: target, computer, process, number."""
    owner = f"{_hash(target.name)}-{_hash(_computer())}-{os.getpid()}"
    return target.with_name(f".bomcheck-{owner}-{next(_COUNTER)}.part")


def sweep(target: Path) -> None:
    """Delete what killed runs on this computer left beside the target; what a living process writes is left alone."""
    with suppress(OSError):
        for name in os.listdir(target.parent):
            if _is_leftover(name, target):
                disk.remove(target.with_name(name))


def _is_leftover(name: str, target: Path) -> bool:
    found = _LEFTOVER.fullmatch(name)
    if found is None or (found[1], found[2]) != (_hash(target.name), _hash(_computer())):
        return False
    return name not in IN_USE if int(found[3]) == os.getpid() else not is_alive(int(found[3]))


def is_alive(process: int) -> bool:
    """Whether a process of this computer still runs; True where that cannot be told."""
    if os.name == "nt":
        return True
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except OSError:
        return True
    return True


@contextmanager
def only_writer(*targets: Path) -> Iterator[None]:
    """While it lasts no other run writes these disk. Raises WorkbookError, naming who does.

    The lock is a file beside each target that the system itself holds for the process, so that a killed run leaves
    nothing locked. Where no such file can be made nothing can be written either, and the write says why.
    """
    with ExitStack() as stack:
        for target in sorted({real_path(one) for one in targets}):
            stack.enter_context(_locked(target))
        yield


@contextmanager
def _locked(target: Path) -> Iterator[None]:
    path = target.with_name(f".bomcheck-{_hash(target.name.casefold())}.lock")
    if path in _HELD:
        yield
        return
    descriptor = _take(path, target)
    _HELD.add(path)
    try:
        yield
    finally:
        _HELD.discard(path)
        if descriptor is not None:
            _give_back(path, descriptor)


def _take(path: Path, target: Path) -> int | None:
    """Descriptor of the lock file, held; None where there can be none."""
    for _ in range(100):
        try:
            descriptor = os.open(path, os.O_RDWR | os.O_CREAT | BINARY | getattr(os, "O_NOFOLLOW", 0), 0o666)
        except OSError:
            return None
        try:
            if not _hold(descriptor):
                raise _held_by(target, descriptor)
            if _is_same(path, descriptor):
                _sign(descriptor)
                return descriptor
        except BaseException:
            os.close(descriptor)
            raise
        os.close(descriptor)
    return None


def _hold(descriptor: int) -> bool:
    """Ask the system for the lock; True too where the file system offers none and no living run signed the file."""
    try:
        if sys.platform == "win32":
            import msvcrt

            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.lockf(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        if error.errno in (*NOT_OFFERED, errno.ENOLCK):
            found = re.search(r"process (\d{1,9}) on (.*)", _signature(descriptor))
            return found is None or (found[2] == _computer() and not is_alive(int(found[1])))
        return False
    return True


def _is_same(path: Path, descriptor: int) -> bool:
    """Whether the name still leads to the file that is held; the one before may just have deleted it."""
    try:
        return os.path.samestat(os.stat(path), os.fstat(descriptor))
    except OSError:
        return False


def _sign(descriptor: int) -> None:
    with suppress(OSError):
        if hasattr(os, "fchmod"):
            os.fchmod(descriptor, 0o666)
        os.truncate(descriptor, 0)
        who = os.environ.get("USER") or os.environ.get("USERNAME") or ""
        os.write(descriptor, f" {who}, process {os.getpid()} on {_computer()}".encode("utf-8", "replace"))


def _signature(descriptor: int) -> str:
    try:
        os.lseek(descriptor, 1, os.SEEK_SET)
        return os.read(descriptor, 300).decode("utf-8", "replace").strip(" ,")
    except OSError:
        return ""


def _held_by(target: Path, descriptor: int) -> WorkbookError:
    who = _signature(descriptor) or "not named"
    wrong = f"another run of bomcheck is writing it just now ({who})"
    return refuse("file", target.name, wrong, "Nothing was changed; run it again when that one is done")


def _give_back(path: Path, descriptor: int) -> None:
    if sys.platform == "win32":
        os.close(descriptor)
    with suppress(OSError):
        os.unlink(path)
    if sys.platform != "win32":
        os.close(descriptor)


def mark_of(data: bytes) -> str:
    """The same for the same contents."""
    return f"{zlib.crc32(data):08x}{len(data):x}"


def read_ordinary(path: Path, largest: int, what: str) -> bytes:
    """All bytes of an ordinary file. largest: bytes that are read. what: for messages. Raises WorkbookError.

    Pipes and devices, which may never end, are refused before they are opened.
    """
    name = path.name
    try:
        found = path.stat()
        if stat.S_ISDIR(found.st_mode):
            raise refuse("file", name, "this is a folder", f"Give the name of {what} inside it")
        if not stat.S_ISREG(found.st_mode):
            raise refuse("file", name, "this is not an ordinary file", f"Give the name of {what}")
        if found.st_size > largest:
            wrong = f"the file has {found.st_size / 1e6:.0f} MB; at most {largest / 1e6:.0f} MB are read"
            raise too_large(name, wrong)
        return disk.read(path)
    except FileNotFoundError:
        raise refuse("file", name, "there is no such file", "Check the name and the folder") from None
    except PermissionError:
        raise refuse("file", name, "you have no permission to read it", "Change its permissions or copy it") from None
    except OSError as error:
        raise refuse("file", name, f"it cannot be read ({error.strerror})", "Check the disk or copy the file") from None


def require_free(target: Path) -> None:
    """Raises WorkbookError for a file that is open elsewhere, read-only, or no file at all."""
    name = target.name
    lock = open_elsewhere(target) or open_elsewhere(real_path(target))
    if lock is not None:
        wrong = f"it is open in a spreadsheet program (if it is not, delete the lock file {lock.name})"
        raise refuse("file", name, wrong, "Close it and run it again; nothing was written")
    if not target.parent.is_dir():
        raise refuse("file", name, "its folder is not there", "Check the name of the folder")
    try:
        mode = target.stat().st_mode
    except FileNotFoundError:
        return
    except OSError as error:
        raise explain(error, target) from None
    if not stat.S_ISREG(mode):
        raise refuse("file", name, "this is not an ordinary file", "Give the name of a file")
    if not mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH):
        raise refuse("file", name, "it is read-only", "Change that or give another name; nothing was written")


def open_elsewhere(target: Path) -> Path | None:
    """The lock file that LibreOffice or Excel puts beside a workbook that is open."""
    locks = (target.with_name(f".~lock.{target.name}#"), target.with_name(f"~${target.name}"))
    return next((lock for lock in locks if is_there(lock)), None)


def hard_link_note(target: Path) -> str:
    """One line where a file has further names (hard links), which keep the old content when it is replaced; else ""."""
    try:
        others = disk.status(target).st_nlink - 1
    except OSError:
        return ""
    if others < 1:
        return ""
    names = (
        "another name (a hard link), which keeps" if others == 1 else f"{others} other names (hard links), which keep"
    )
    return f"{target.name} has {names} the old content"


def content_of(target: Path) -> bytes | None:
    """What a file holds, None where none is there. Raises WorkbookError."""
    try:
        return disk.read(target)
    except FileNotFoundError:
        return None
    except OSError as error:
        raise explain(error, target) from None


def explain(error: OSError, target: Path) -> WorkbookError:
    """One line for what the disk or the system said."""
    name, unchanged = target.name, "what was there is as it was"
    if error.errno in FULL:
        return refuse("file", name, "the disk is full", f"Free some space and run it again; {unchanged}")
    if error.errno in FORBIDDEN:
        wrong = "you have no permission to write here"
        return refuse("file", name, wrong, f"Copy the workbook to a folder of yours; {unchanged}")
    if error.errno in (errno.ENOENT, errno.ENOTDIR):
        return refuse("file", name, "its folder is not there", "Check the name of the folder")
    if error.errno == errno.ENAMETOOLONG:
        return refuse("file", name, "its name is too long for this disk", f"Give it a shorter one; {unchanged}")
    if error.errno == errno.ELOOP:
        return refuse("file", name, "it is a link that leads back to itself", "Give the name of the file itself")
    wrong = f"it could not be written ({error.strerror or error})"
    return refuse("file", name, wrong, f"Check the disk and run it again; {unchanged}")
