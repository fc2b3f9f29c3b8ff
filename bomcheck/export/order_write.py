"""Order files on the disk: what may not be touched, and two files that change together or not at all."""

import stat
from collections.abc import Callable, Mapping
from contextlib import suppress
from pathlib import Path

from bomcheck.errors import WorkbookError
from bomcheck.workbook import files
from bomcheck.workbook.refusal import refuse
from bomcheck.workbook.replace_file import replace_file


def require_free(target: Path) -> None:
    """Raises WorkbookError for a file that is open elsewhere, read-only, or no file at all."""
    name = target.name
    for lock in (target.with_name(f".~lock.{name}#"), target.with_name(f"~${name}")):
        if lock.exists():
            wrong = f"it is open in a spreadsheet program (if it is not, delete the lock file {lock.name})"
            raise refuse("file", name, wrong, "Close it and run it again; nothing was written")
    if not target.parent.is_dir():
        raise refuse("file", name, "its folder is not there", "Check the name of the folder")
    if not target.exists():
        return
    if not target.is_file():
        raise refuse("file", name, "this is not an ordinary file", "Give the name of a file")
    if not target.stat().st_mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH):
        raise refuse("file", name, "it is read-only", "Change that or give another name; nothing was written")


def write_together(contents: Mapping[Path, bytes], last_look: Callable[[], None] = lambda: None) -> None:
    """All files or none: each is written beside first; if one cannot take its place, those before get their old content back.

    last_look: raises if something changed meanwhile. Raises WorkbookError.
    """
    before = {path: files.read(path) if path.exists() else None for path in contents}
    try:
        _write(list(contents.items()), last_look)
    except WorkbookError:
        for path, content in before.items():
            _restore(path, content)
        raise


def _write(left: list[tuple[Path, bytes]], last_look: Callable[[], None]) -> None:
    if not left:
        last_look()
        return
    path, content = left[-1]
    real = path.resolve()

    def same(written: bytes) -> None:
        if written != content:
            raise OSError("the disk gave back something else than was written")

    like = real.stat() if real.exists() else None
    replace_file(real, [content], like=like, verify=same, last_look=lambda: _write(left[:-1], last_look))


def _restore(path: Path, content: bytes | None) -> None:
    with suppress(OSError, WorkbookError):
        if content is None:
            path.unlink(missing_ok=True)
        elif files.read(path) != content:
            replace_file(path.resolve(), [content], like=path.stat(), verify=lambda _: None, last_look=lambda: None)
