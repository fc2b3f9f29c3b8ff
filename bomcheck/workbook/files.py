"""The few things that are done to the disk, each in one place, so that tests can make any of them fail."""

import os
from contextlib import suppress
from pathlib import Path


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
