"""The few things that are done to the disk, each in one place, so that tests can make any of them fail."""

import errno
import itertools
import os
import platform
import re
import zlib
from collections.abc import Callable, Iterable
from contextlib import suppress
from pathlib import Path

from bomcheck.io import replace_file as files
from bomcheck.io.refusal import refuse
from bomcheck.model.errors import WorkbookError


def create(path: Path) -> int:
    """Descriptor of a new file; it must not be there yet."""
    return os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o600)


def write(descriptor: int, data: bytes | memoryview) -> None:
    """Write all of it."""
    rest = memoryview(data)
    while rest:
        rest = rest[os.write(descriptor, rest) :]


def flush(descriptor: int) -> None:
    """Wait until the file is on the disk."""
    os.fsync(descriptor)


def close(descriptor: int) -> None:
    """Close the file."""
    os.close(descriptor)


def take_over(path: Path, like: os.stat_result) -> None:
    """Give a file the permissions, and where that is allowed the owner, of another."""
    if hasattr(os, "chown") and (like.st_uid, like.st_gid) != (os.geteuid(), os.getegid()):
        with suppress(OSError):
            os.chown(path, like.st_uid, like.st_gid)
    os.chmod(path, like.st_mode & 0o7777)


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


_LEFTOVER = re.compile(r"\.bomcheck-([0-9a-f]{8})-([0-9a-f]{8})-(\d+)-(\d+)\.part")
_COUNTER = itertools.count()
_IN_USE: set[str] = set()
FULL = (errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC))
FORBIDDEN = (errno.EACCES, errno.EPERM, errno.EROFS)

Pieces = Iterable[bytes | memoryview]


def _short_hash(text: str) -> str:
    return f"{zlib.crc32(text.encode()):08x}"


def _temporary(target: Path) -> Path:
    """Name of a temporary file beside the target, which tells whose it is: target, computer, process."""
    owner = f"{_short_hash(target.name)}-{_short_hash(platform.node())}-{os.getpid()}"
    return target.with_name(f".bomcheck-{owner}-{next(_COUNTER)}.part")


def sweep(target: Path) -> None:
    """Delete what killed runs on this computer left beside the target; what a living process writes is left alone."""
    with suppress(OSError):
        for name in os.listdir(target.parent):
            if _is_leftover(name, target):
                files.remove(target.with_name(name))


def _is_leftover(name: str, target: Path) -> bool:
    found = _LEFTOVER.fullmatch(name)
    if found is None or (found[1], found[2]) != (_short_hash(target.name), _short_hash(platform.node())):
        return False
    return not _is_alive(int(found[3]), name)


def _is_alive(process: int, name: str) -> bool:
    if process == os.getpid():
        return name in _IN_USE
    if os.name == "nt":
        return True
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except OSError:
        return True
    return True


def replace_file(
    target: Path,
    pieces: Pieces,
    *,
    like: os.stat_result | None,
    verify: Callable[[bytes], None],
    last_look: Callable[[], None],
    backup: tuple[Path, bytes] | None = None,
) -> None:
    """Write `pieces` to a temporary file, check it, then let it take the target's place.

    like: status of the file whose permissions the new one gets. verify: gets the bytes that the disk holds. last_look:
    raises if the target changed meanwhile. backup: (name, contents) of a copy to put beside, never over another file.
    Raises WorkbookError; the target is then as it was, and nothing is left beside it.
    """
    sweep(target)
    temporary = _temporary(target)
    saved: Path | None = None
    try:
        with _claimed(temporary, target):
            _write(temporary, pieces, like)
            verify(files.read(temporary))
            last_look()
            saved = _save_backup(target, *backup, like) if backup else None
            files.replace(temporary, target)
            saved = None
    finally:
        if saved:
            with suppress(OSError):
                files.remove(saved)
    with suppress(OSError):
        files.flush_folder(target.parent)


def write_whole(target: Path, data: bytes) -> None:
    """A whole file or none: written beside, read again, then put in the target's place. Raises WorkbookError."""

    def same(written: bytes) -> None:
        if written != data:
            raise OSError("the disk gave back something else than was written")

    real = target.resolve()
    like = real.stat() if real.exists() else None
    replace_file(real, [data], like=like, verify=same, last_look=lambda: None)


class _claimed:  # noqa: N801 - used as a function
    """While a temporary file is in use: whatever happens, it is gone afterwards, and OSErrors become one line."""

    def __init__(self, temporary: Path, target: Path) -> None:
        self.temporary, self.target = temporary, target

    def __enter__(self) -> None:
        _IN_USE.add(self.temporary.name)

    def __exit__(self, _: object, error: BaseException | None, __: object) -> None:
        if error is not None:
            with suppress(OSError):
                files.remove(self.temporary)
        _IN_USE.discard(self.temporary.name)
        if isinstance(error, OSError):
            raise explain(error, self.target) from None


def _write(path: Path, pieces: Pieces, like: os.stat_result | None) -> None:
    descriptor = files.create(path)
    try:
        for piece in pieces:
            files.write(descriptor, piece)
        files.flush(descriptor)
    finally:
        files.close(descriptor)
    if like:
        files.take_over(path, like)
    else:
        os.chmod(path, 0o666 & ~_umask())


def _umask() -> int:
    current = os.umask(0)
    os.umask(current)
    return current


def _save_backup(target: Path, name: Path, content: bytes, like: os.stat_result | None) -> Path:
    """Put the copy under the first free name: a whole file or none."""
    temporary = _temporary(target)
    with _claimed(temporary, name):
        _write(temporary, [content], like)
        saved = _link_to_free_name(temporary, name)
        files.remove(temporary)
    return saved


def _link_to_free_name(temporary: Path, name: Path) -> Path:
    for number in itertools.count(1):
        free = name if number == 1 else name.with_name(f"{name.stem} {number}{name.suffix}")
        try:
            files.link(temporary, free)
        except FileExistsError:
            continue
        return free
    raise AssertionError


def hard_link_note(target: Path) -> str:
    """One line where a file has further names (hard links), which keep the old content when it is replaced; else ""."""
    try:
        others = files.status(target).st_nlink - 1
    except OSError:
        return ""
    if others < 1:
        return ""
    names = (
        "another name (a hard link), which keeps" if others == 1 else f"{others} other names (hard links), which keep"
    )
    return f"{target.name} has {names} the old content"


def explain(error: OSError, target: Path) -> WorkbookError:
    """One line for what the disk or the system said."""
    unchanged = "the workbook is as it was"
    if error.errno in FULL:
        return refuse("file", target.name, "the disk is full", f"Free some space and run it again; {unchanged}")
    if error.errno in FORBIDDEN:
        wrong = "you have no permission to write here"
        return refuse("file", target.name, wrong, f"Copy the workbook to a folder of yours; {unchanged}")
    if error.errno == errno.ENOENT:
        return refuse("file", target.name, "its folder is not there", "Check the name of the folder")
    wrong = f"it could not be written ({error.strerror or error})"
    return refuse("file", target.name, wrong, f"Check the disk and run it again; {unchanged}")
