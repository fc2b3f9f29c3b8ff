"""The one way in which a file is written: whole or not at all, by one run at a time, never over what came meanwhile.

Every file is written beside under a name of this run's own, flushed, read back, and then takes its place in one step.
"""

import errno
import itertools
import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path

from bomcheck.io import disk
from bomcheck.io.disk import FULL, IN_USE, beside, explain, is_there, only_writer, part_beside, real_path, sweep
from bomcheck.io.refusal import refuse
from bomcheck.model.errors import WorkbookError
from bomcheck.model.records import dataclass

Pieces = Iterable[bytes | memoryview]
written: list[str] = []
"""Names of the files that this run has written, in order."""


@dataclass(frozen=True)
class Draft:
    """One file to be written. before: what it held when it was read, None where it was not there; the last look compares.

    pieces: what it shall hold. verify: gets the bytes that the disk gives back; None: they must be equal. stamp: status
    when it was read, of which number, size and time are compared too. like: whose permissions a new file gets. large: what
    it held and holds is not kept in memory to be compared; number, size and time alone tell.
    """

    target: Path
    pieces: Pieces
    before: bytes | None
    verify: Callable[[bytes], None] | None = None
    stamp: os.stat_result | None = None
    like: os.stat_result | None = None
    large: bool = False


@dataclass
class _Part:
    """A draft as it lies beside its target, and, once it took its place, that it did."""

    draft: Draft
    real: Path
    path: Path
    data: bytes = b""
    placed: bool = False


def write_files(*drafts: Draft, backup: Path | None = None) -> None:
    """Write all of them or none, the last one last. Raises WorkbookError; every file is then as it was.

    backup: name for a copy of what the last one held, never over another file.
    """
    parts = [_Part(one, real_path(one.target), part_beside(real_path(one.target))) for one in drafts]
    with only_writer(*(one.real for one in parts)):
        saved: list[Path] = []
        try:
            for part in parts:
                with _cleared(part):
                    sweep(part.real)
                    _fill(part)
            for part in parts:
                require_unchanged(part.draft, part.real)
            if backup is not None and parts[-1].draft.before is not None:
                saved.append(_save_copy(parts[-1], backup))
            for part in parts:
                with _cleared(part):
                    require_unchanged(part.draft, part.real, quick=True)
                    _place(part)
        except BaseException:
            _take_back(parts, saved)
            raise
        written.extend(part.draft.target.name for part in parts)
        for folder in {part.real.parent for part in parts}:
            with suppress(OSError):
                disk.flush_folder(folder)


def write_file(target: Path, data: bytes, before: bytes | None) -> None:
    """One small file, whole or not at all. before: as in `Draft`. Raises WorkbookError."""
    write_files(Draft(target, [data], before))


def write_new(target: Path, data: bytes) -> None:
    """A file that is not there yet; never over another. Raises WorkbookError."""
    write_files(Draft(target, [data], None))


@contextmanager
def _cleared(part: _Part) -> Iterator[None]:
    """OSErrors become one line, and whatever fails, the file beside is gone."""
    IN_USE.add(part.path.name)
    try:
        yield
    except BaseException as error:
        with suppress(OSError):
            disk.remove(part.path)
        if isinstance(error, OSError):
            raise explain(error, part.draft.target) from None
        raise
    finally:
        IN_USE.discard(part.path.name)


def _fill(part: _Part) -> None:
    draft = part.draft
    like = draft.like
    with suppress(FileNotFoundError):
        like = disk.status(part.real)
    _write(part.path, draft.pieces, like, part.real)
    if draft.large:
        return
    part.data = disk.read(part.path)
    if draft.verify is not None:
        draft.verify(part.data)
    elif part.data != b"".join(draft.pieces):
        wrong = "what was written is not what the disk gives back"
        raise refuse("file", draft.target.name, wrong, "Check the disk; the file is as it was")


def _write(path: Path, pieces: Pieces, like: os.stat_result | None, source: Path | None) -> None:
    descriptor = disk.create(path)
    try:
        for piece in pieces:
            disk.write(descriptor, piece)
        disk.flush(descriptor)
    finally:
        disk.close(descriptor)
    disk.take_over(path, like, source)


def require_unchanged(draft: Draft, real: Path, quick: bool = False) -> None:
    """The last look: the file is, byte for byte, what was read. quick: number, size and time only, where they are known."""
    name, stamp = draft.target.name, draft.stamp
    try:
        now = disk.status(real)
    except FileNotFoundError:
        if draft.before is None:
            return
        raise refuse("file", name, "it was removed meanwhile", "Put it back and run it again") from None
    except OSError as error:
        raise explain(error, draft.target) from None
    if draft.before is None:
        raise refuse("file", name, "a file of this name came meanwhile", "Run it again, or give another name")
    same = stamp is None or _stamp(now) == _stamp(stamp)
    if same and not (draft.large or (quick and stamp is not None)):
        try:
            same = disk.read(real) == draft.before
        except OSError as error:
            raise explain(error, draft.target) from None
    if not same:
        raise refuse(
            "file", name, "it was changed meanwhile", "Close it elsewhere and run it again; nothing was written"
        )


def _stamp(status: os.stat_result) -> tuple[int, int, int]:
    return status.st_ino, status.st_size, status.st_mtime_ns


def _place(part: _Part) -> None:
    """Into its place: over the file that was read, or, for a new one, never over another."""
    if part.draft.before is not None:
        disk.replace(part.path, part.real)
    elif not _move_to_free(part.path, part.real):
        raise refuse("file", part.real.name, "a file of this name came meanwhile", "Run it again, or give another name")
    part.placed = True


def _move_to_free(path: Path, free: Path) -> bool:
    """Give a file its final name; False where that is taken. Without hard links the name is looked at just before."""
    try:
        disk.link(path, free)
    except FileExistsError:
        return False
    except OSError as error:
        if error.errno in FULL or error.errno in (errno.EIO, errno.ENAMETOOLONG, errno.ENOENT, errno.EROFS):
            raise
        if is_there(free):
            return False
        disk.replace(path, free)
        return True
    with suppress(OSError):
        disk.remove(path)
    return True


def _save_copy(part: _Part, name: Path) -> Path:
    """A copy of what was there, under the first free name: a whole file or none."""
    copy = _Part(Draft(name, [part.draft.before or b""], None), name, part_beside(part.real))
    with _cleared(copy):
        _write(copy.path, copy.draft.pieces, disk.status(part.real), part.real)
        for number in itertools.count(1):
            free = name if number == 1 else beside(name.with_suffix(""), f" {number}{name.suffix}")
            if _move_to_free(copy.path, free):
                return free
    raise AssertionError


def _take_back(parts: Sequence[_Part], saved: Sequence[Path]) -> None:
    """What was placed already goes back to what it was, unless somebody wrote there since; parts and copies go."""
    for part in reversed(parts):
        with suppress(OSError, WorkbookError):
            if part.placed and disk.read(part.real) == part.data:
                _restore(part)
    for path in (*saved, *(part.path for part in parts if not part.placed)):
        with suppress(OSError):
            disk.remove(path)


def _restore(part: _Part) -> None:
    before = part.draft.before
    if before is None:
        disk.remove(part.real)
        return
    path = part_beside(part.real)
    try:
        _write(path, [before], disk.status(part.real), part.real)
        disk.replace(path, part.real)
    finally:
        with suppress(OSError):
            disk.remove(path)
