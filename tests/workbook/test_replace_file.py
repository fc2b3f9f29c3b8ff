"""Whatever fails, and whenever the process dies: the source is as it was, or the new workbook is complete; no litter."""

import contextlib
import errno
import os
import random
import signal
import stat
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from bomcheck.io import disk as files
from bomcheck.io.mark import marked_sheets
from bomcheck.io.package import open_package
from bomcheck.io.splice import write_back
from bomcheck.model.errors import WorkbookError
from tests.workbook.our_sheets import KINDS, our_sheets
from tests.workbook.packages import minimal, zipped

PLAIN = zipped(minimal())
OURS = our_sheets()
OPERATIONS = (
    "create",
    "write",
    "flush",
    "close",
    "take_over",
    "read",
    "status",
    "replace",
    "link",
    "remove",
    "flush_folder",
)
LEFTOVER = ".bomcheck-*.part"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "job.xlsx"
    path.write_bytes(PLAIN)
    return path


def check(path: Path, *, backup: bool = False) -> None:
    write_back(open_package(path), OURS, KINDS, path, backup)


class Fails:
    """Makes the N-th operation on the disk fail with an error; `calls` counts them all."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, nth: int, error: int) -> None:
        self.nth, self.error, self.calls, self.failed = nth, error, 0, ""
        for name in OPERATIONS:
            monkeypatch.setattr(files, name, self._wrapped(name, getattr(files, name)))

    def _wrapped(self, name: str, real: Callable[..., object]) -> Callable[..., object]:
        def operation(*given: object) -> object:
            self.calls += 1
            if self.calls == self.nth:
                self.failed = name
                if name == "close":
                    real(*given)
                raise OSError(self.error, os.strerror(self.error))
            return real(*given)

        return operation


def count_operations(path: Path, *, backup: bool) -> int:
    with pytest.MonkeyPatch.context() as patch:
        counter = Fails(patch, 0, 0)
        check(path, backup=backup)
    return counter.calls


@pytest.mark.parametrize("error", [errno.ENOSPC, errno.EIO, errno.EACCES])
@pytest.mark.parametrize("backup", [False, True])
def test_each_operation_fails_once(path: Path, backup: bool, error: int) -> None:
    """For every N the N-th operation fails: as SQLite tests its files. Then the next run succeeds."""
    total = count_operations(path, backup=backup)
    assert total > 20
    seen = set()
    for nth in range(1, total + 1):
        for one in path.parent.iterdir():
            one.unlink()
        path.write_bytes(PLAIN)
        with pytest.MonkeyPatch.context() as patch:
            fails = Fails(patch, nth, error)
            with contextlib.suppress(WorkbookError):
                check(path, backup=backup)
        seen.add(fails.failed)
        require_whole(path, backup=backup, may_litter=fails.failed == "remove")
        check(path, backup=backup)
        assert marked_sheets(open_package(path))
        assert not list(path.parent.glob(LEFTOVER))
    assert seen >= {"create", "write", "flush", "close", "read", "status", "replace", "flush_folder"}


def require_whole(path: Path, *, backup: bool = False, may_litter: bool = False) -> None:
    """The source as it was with nothing beside it, or the result with its backup."""
    others = {one.name for one in path.parent.iterdir()} - {path.name}
    leftovers = {name for name in others if name.startswith(".bomcheck-")}
    assert may_litter or not leftovers
    if path.read_bytes() == PLAIN:
        assert others == leftovers or may_litter
        return
    assert marked_sheets(open_package(path)).keys() == {"compatibility", "parts list"}
    assert others - leftovers == ({"job.backup.xlsx"} if backup else set())


@pytest.mark.parametrize(
    ("error", "words"),
    [
        (errno.ENOSPC, "the disk is full. Free some space and run it again; what was there is as it was."),
        (errno.EROFS, "you have no permission to write here"),
        (errno.EIO, "it could not be written"),
    ],
)
def test_what_the_line_says(path: Path, monkeypatch: pytest.MonkeyPatch, error: int, words: str) -> None:
    def fail(*_: object) -> None:
        raise OSError(error, os.strerror(error))

    monkeypatch.setattr(files, "write", fail)
    with pytest.raises(WorkbookError) as caught:
        check(path)
    assert f"job.xlsx: {words}" in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_short_write_is_continued(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The system may take only a part of what is given to it."""
    real = os.write
    monkeypatch.setattr(os, "write", lambda descriptor, data: real(descriptor, bytes(data)[:1000]))
    check(path)
    assert marked_sheets(open_package(path))


def test_a_disk_that_gives_back_something_else(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """One byte of a copied part is wrong on the disk: the result is thrown away."""
    real = files.read

    def lie(asked: Path) -> bytes:
        data = bytearray(real(asked))
        if asked.suffix == ".part":
            data[data.index(b"xl/worksheets/sheet1.xml") + 40] ^= 1
        return bytes(data)

    monkeypatch.setattr(files, "read", lie)
    with pytest.raises(WorkbookError, match="not what the disk gives back"):
        check(path)
    require_whole(path)


def test_changed_meanwhile(path: Path) -> None:
    package = open_package(path)
    other = zipped(minimal(), {"a.txt": "saved by someone else"})
    path.write_bytes(other)
    with pytest.raises(WorkbookError, match="was changed meanwhile"):
        write_back(package, OURS, KINDS, path)
    assert path.read_bytes() == other
    assert os.listdir(path.parent) == ["job.xlsx"]


def test_changed_without_a_trace_in_its_time(path: Path) -> None:
    """Same size and time, other bytes: the contents are compared too."""
    package, status = open_package(path), path.stat()
    other = bytearray(PLAIN)
    other[12] ^= 1
    with path.open("r+b") as stream:
        stream.write(other)
    os.utime(path, ns=(status.st_atime_ns, status.st_mtime_ns))
    with pytest.raises(WorkbookError, match="was changed meanwhile"):
        write_back(package, OURS, KINDS, path)
    assert path.read_bytes() == other


def test_removed_meanwhile(path: Path) -> None:
    """It does not come back by itself."""
    package = open_package(path)
    path.unlink()
    with pytest.raises(WorkbookError, match="was removed meanwhile"):
        write_back(package, OURS, KINDS, path)
    assert os.listdir(path.parent) == []


def test_no_such_folder(path: Path) -> None:
    with pytest.raises(WorkbookError, match="its folder is not there"):
        write_back(open_package(path), OURS, KINDS, path.parent / "none" / "out.xlsx")


@contextlib.contextmanager
def without_rights() -> Iterator[None]:
    """Root may write everywhere, so such a test runs as nobody."""
    if os.geteuid():
        yield
        return
    os.seteuid(65_534)
    try:
        yield
    finally:
        os.seteuid(0)


@pytest.mark.skipif(os.name == "nt", reason="permissions are different on Windows")
@pytest.mark.parametrize(("folder", "file"), [(0o555, 0o644), (0o777, 0o444), (0o777, 0o000)])
def test_no_permission(path: Path, folder: int, file: int) -> None:
    """A folder or a file that may not be written to, or not be read: one line, nothing changed."""
    for parent in path.parents[:3]:
        parent.chmod(0o755)
    path.chmod(file)
    path.parent.chmod(folder)
    with without_rights(), pytest.raises(WorkbookError, match="you have no permission to"):
        check(path)
    path.parent.chmod(0o755)
    assert path.read_bytes() == PLAIN
    assert os.listdir(path.parent) == ["job.xlsx"]


@pytest.mark.skipif(os.name == "nt", reason="permissions are different on Windows")
@pytest.mark.parametrize("mode", [0o640, 0o600, 0o664])
def test_permissions_are_kept(path: Path, mode: int) -> None:
    path.chmod(mode)
    check(path)
    assert stat.S_IMODE(path.stat().st_mode) == mode


def test_leftovers_of_killed_runs_are_swept(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Those of a dead process for this workbook; not those of a living one, of another workbook or another computer."""
    child = subprocess.Popen([sys.executable, "-c", ""])
    child.wait()
    from bomcheck.io.disk import part_beside

    mine = part_beside(path).name
    dead = mine.replace(f"-{os.getpid()}-", f"-{child.pid}-")
    alive = mine.replace(f"-{os.getpid()}-", f"-{os.getppid()}-")
    other_book = dead.replace(dead.split("-")[1], "0" * 8)
    other_computer = dead.replace(dead.split("-")[2], "0" * 8)
    for name in (mine, dead, alive, other_book, other_computer):
        (path.parent / name).write_text("half a workbook")
    check(path)
    left = {one.name for one in path.parent.glob(LEFTOVER)}
    assert left == {alive, other_book, other_computer}


RUN = """
import sys
from pathlib import Path
from bomcheck.io.package import open_package
from bomcheck.io.splice import write_back
from tests.workbook.our_sheets import KINDS, our_sheets
path, ours = Path(sys.argv[1]), our_sheets()
package = open_package(path)
print("go", flush=True)
while True:
    write_back(package, ours, KINDS, path, backup=False)
    package = open_package(path)
"""


@pytest.mark.skipif(os.name == "nt", reason="there is no kill -9 on Windows")
def test_killed_at_random_moments(path: Path) -> None:
    """A process that writes again and again is killed; the workbook is always whole, the next run sweeps what it left."""
    moments = random.Random(7)
    times = int(os.environ.get("BOMCHECK_KILLS", "15"))
    litter = 0
    for number in range(10 * times):  # a slow machine needs longer, and more of them, until a kill hits a write
        if number >= times and litter:
            break
        path.write_bytes(PLAIN)
        command = [sys.executable, "-c", RUN, str(path)]
        child = subprocess.Popen(command, stdout=subprocess.PIPE, cwd=Path(__file__).parents[2])
        assert child.stdout
        assert child.stdout.readline() == b"go\n"
        time.sleep(moments.uniform(0, 0.06 * (1 + number // times)))
        child.send_signal(signal.SIGKILL)
        child.wait()
        child.stdout.close()
        litter += len(list(path.parent.glob(LEFTOVER)))
        require_whole(path, may_litter=True)
        check(path)
        require_whole(path)
        assert marked_sheets(open_package(path))
    assert litter > 0, "no kill hit a write; the test proves nothing"


def test_two_runs_at_once(path: Path) -> None:
    """Several processes write the same workbook: each succeeds or says that it changed; it is always whole."""
    once = RUN.split("while True")[0] + "write_back(package, ours, KINDS, path)\n"
    command = [sys.executable, "-c", once, str(path)]
    root = Path(__file__).parents[2]
    runs = [subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=root) for _ in range(4)]
    ends = [run.communicate()[1].decode() for run in runs]
    assert any(run.returncode == 0 for run in runs)
    assert all(
        run.returncode == 0 or "meanwhile" in end or "just now" in end for run, end in zip(runs, ends, strict=True)
    )
    require_whole(path)
    assert marked_sheets(open_package(path))
