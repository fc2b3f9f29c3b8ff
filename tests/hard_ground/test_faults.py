"""Every call to the disk of every command fails once; whatever fails, nothing is lost, and what is said is one line."""

import builtins
import errno
import io
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from bomcheck.commands.cli import main
from bomcheck.io.package import open_package
from tests.export.shop_books import shop_book
from tests.hard_ground.running import demo, slip
from tests.helpers import tables

CALLS = ("open", "write", "fsync", "replace", "link", "chmod", "unlink", "fchmod", "stat", "truncate", "listdir")
SOME = 5
ERRORS = (errno.ENOSPC, errno.EIO, errno.EACCES)
NOT_OFFERED: dict[str, dict[str, int]] = {
    "a stick": {"link": errno.EPERM, "chmod": errno.EPERM, "fchmod": errno.EPERM, "fsync": errno.EINVAL},
    "a share": {"link": errno.EOPNOTSUPP, "fsync": errno.ENOSYS},
}


class Failing:
    """Counts the calls that touch files below a folder, and lets the n-th one, or all of one name, fail."""

    def __init__(self, folder: Path, nth: int, error: int, always: dict[str, int]) -> None:
        self.folder, self.nth, self.error, self.always = str(folder), nth, error, always
        self.calls, self.failed = 0, ""
        self.ours: set[int] = set()

    def wrapped(self, name: str, real: Callable[..., object]) -> Callable[..., object]:
        def call(*given: object, **named: object) -> object:
            if not self._concerns(given):
                return real(*given, **named)
            self.calls += 1
            error = self.always.get(name, self.error if self.calls == self.nth else 0)
            if error:
                self.failed = name
                raise OSError(error, os.strerror(error))
            found = real(*given, **named)
            if name == "open" and isinstance(found, int):
                self.ours.add(found)
            return found

        return call

    def _concerns(self, given: tuple[object, ...]) -> bool:
        first = given[0] if given else ""
        if isinstance(first, int):
            return first in self.ours
        return str(first).startswith(self.folder)


@contextmanager
def failing(folder: Path, nth: int, error: int, always: dict[str, int] | None = None) -> Iterator[Failing]:
    """While it lasts."""
    fails = Failing(folder, nth, error, always or {})
    with pytest.MonkeyPatch.context() as patch:
        for name in CALLS:
            patch.setattr(os, name, fails.wrapped(name, getattr(os, name)))
        opens = fails.wrapped("open to read", io.open)
        patch.setattr(io, "open", opens)
        patch.setattr(builtins, "open", opens)
        yield fails


def prepared(folder: Path) -> Path:
    """A folder with a job, a slip, an ordering spreadsheet and a CSV that holds the order of another job."""
    folder.mkdir()
    demo(folder / "job.xlsx")
    slip(folder / "slip.csv")
    shop_book(folder / "shop.xlsx")
    (folder / "shop.csv").write_text("Part no;Qty;Net\nA-1;2;3,50\n")
    (folder / "prices.csv").write_text("Role,Part number,Supplier,Price of one\nadapter,AT-18-3,North,12.50\n")
    tables.write_csv(folder / "corners.csv", tables.corners(2, 1))
    tables.write_csv(folder / "kits.csv", tables.kits(2, 1))
    return folder


COMMANDS = {
    "check": ("check", "job.xlsx"),
    "check --backup": ("check", "job.xlsx", "--backup"),
    "check --out": ("check", "job.xlsx", "--out", "out.xlsx"),
    "order csv": ("order", "job.xlsx", "--into", "o.csv"),
    "order new": ("order", "job.xlsx", "--into", "o.xlsx"),
    "order into": ("order", "job.xlsx", "--into", "shop.xlsx", "--yes"),
    "order shop csv": ("order", "job.xlsx", "--into", "shop.csv", "--yes"),
    "receive": ("receive", "job.xlsx", "slip.csv"),
    "receive jobs": ("receive", "slip.csv", "--jobs", "."),
    "check --prices-from": ("check", "job.xlsx", "--prices-from", "prices.csv"),
    "new": ("new", "n.xlsx"),
    "new csv": ("new", "n.csv", "--kits"),
    "new table": ("new", "k.xlsx", "--corners"),
    "keep": ("keep", "job.xlsx", "--in", "records.xlsx"),
    "screen": ("screen", "corners.csv", "kits.csv", "--out", "s.csv", "--processes", "1", "--no-parts"),
}  # fmt: skip


def run(folder: Path, words: tuple[str, ...]) -> Result:
    """One command with its files in the folder."""
    full = [str(folder / word) if "." in word else word for word in words]
    return CliRunner().invoke(main, full)


def contents(folder: Path) -> dict[str, bytes]:
    """Every file that is no lock or part of a run."""
    return {one.name: one.read_bytes() for one in folder.iterdir() if not one.name.startswith(".bomcheck")}


def require_sound(before: dict[str, bytes], after: dict[str, bytes], done: Result, name: str) -> None:
    """Each file is as it was or whole; a command that says it succeeded has written."""
    assert before.keys() <= after.keys(), name
    assert done.exit_code in (0, 1, 3, 4), (name, done.output)
    assert "Traceback" not in done.output
    assert "fault of the program" not in done.output, (name, done.output)
    if done.exit_code == 4:
        assert len(done.stderr.strip().splitlines()) == 1, (name, done.stderr)
    for file, data in after.items():
        if data == before.get(file):
            continue
        assert data, (name, file)
        if file.endswith(".xlsx"):
            open_package_bytes(file, data)
    if done.exit_code == 4 and "written before it" not in done.stderr:
        changed = {file for file, data in after.items() if data != before.get(file)}
        assert not changed, (name, changed, done.stderr)


def open_package_bytes(file: str, data: bytes) -> None:
    """Raises where it is no sound workbook."""
    from bomcheck.io.package import Package

    assert Package(Path(file), data).sheet_names


@pytest.mark.parametrize("name", COMMANDS)
def test_each_call_of_each_command_fails_once(tmp_path: Path, name: str) -> None:
    """By the number of the call. BOMCHECK_FAULTS=1: every call with every error; else some of them, evenly."""
    words = COMMANDS[name]
    run(prepared(tmp_path / "warm"), words)
    counting = prepared(tmp_path / "count")
    with failing(counting, 0, 0) as counter:
        assert run(counting, words).exit_code in (0, 1, 3)
    assert counter.calls > 8
    every = os.environ.get("BOMCHECK_FAULTS") == "1"
    step = 1 if every else max(counter.calls // SOME, 1)
    for nth in range(1, counter.calls + 1, step):
        for error in ERRORS if every else (ERRORS[nth % len(ERRORS)],):
            folder = prepared(tmp_path / f"f{nth}_{error}")
            before = contents(folder)
            with failing(folder, nth, error) as fails:
                done = run(folder, words)
            require_sound(before, contents(folder), done, f"{name}, call {nth} ({fails.failed}), error {error}")


@pytest.mark.parametrize("disk", NOT_OFFERED)
@pytest.mark.parametrize("name", COMMANDS)
def test_a_disk_that_does_not_offer_a_call(tmp_path: Path, name: str, disk: str) -> None:
    """No hard links, no permissions, no flushing: every command does its work all the same, its backup too."""
    folder = prepared(tmp_path / "f")
    before = contents(folder)
    with failing(folder, 0, 0, NOT_OFFERED[disk]) as fails:
        done = run(folder, COMMANDS[name])
    assert done.exit_code in (0, 1, 3), done.output
    assert fails.failed
    assert contents(folder) != before
    if name == "check --backup":
        assert (folder / "job.backup.xlsx").read_bytes() == before["job.xlsx"]


@pytest.mark.skipif(not hasattr(os, "setxattr"), reason="this system has no extended attributes")
def test_attributes_are_kept(tmp_path: Path) -> None:
    """Extended attributes and permissions of a file that is replaced."""
    folder = prepared(tmp_path / "f")
    for file in ("job.xlsx", "shop.xlsx"):
        os.setxattr(folder / file, "user.origin", b"bench 2")
        (folder / file).chmod(0o640)
    assert run(folder, COMMANDS["check"]).exit_code == 0
    assert run(folder, COMMANDS["order into"]).exit_code == 0
    for file in ("job.xlsx", "shop.xlsx"):
        assert os.getxattr(folder / file, "user.origin") == b"bench 2"
        assert (folder / file).stat().st_mode & 0o777 == 0o640


@pytest.mark.parametrize("when", ["before the spreadsheet", "before the list"])
def test_a_save_that_comes_in_between_is_never_undone(
    tmp_path: Path, when: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A colleague saves while an order is being written: the colleague's file stays, the order is refused in one line."""
    from bomcheck.io import disk

    folder = prepared(tmp_path / "f")
    real, theirs, count = disk.flush, shop_book(tmp_path / "theirs.xlsx", table=True).read_bytes(), [0]

    def flush(descriptor: int) -> None:
        real(descriptor)
        count[0] += 1
        if count[0] == (2 if when == "before the spreadsheet" else 1):
            (folder / "new").write_bytes(theirs)
            (folder / "new").replace(folder / "shop.xlsx")

    monkeypatch.setattr(disk, "flush", flush)
    done = run(folder, COMMANDS["order into"])
    assert done.exit_code == 4
    assert "changed meanwhile" in done.stderr
    assert (folder / "shop.xlsx").read_bytes() == theirs
    assert not (folder / "shop.xlsx.columns.json").exists()


def test_a_run_that_was_broken_off_between_its_two_files(tmp_path: Path) -> None:
    """The list of columns was written, the spreadsheet not: the next run adds the lines; none is taken for ordered."""
    folder = prepared(tmp_path / "f")
    before = (folder / "shop.xlsx").read_bytes()
    assert run(folder, COMMANDS["order into"]).exit_code == 0
    after = (folder / "shop.xlsx").read_bytes()
    (folder / "shop.xlsx").write_bytes(before)
    again = run(folder, COMMANDS["order into"])
    assert "lines added" in again.stdout
    assert len((folder / "shop.xlsx").read_bytes()) == len(after)


@pytest.mark.parametrize("lock", [".~lock.job.xlsx#", "~$job.xlsx"])
def test_receiving_into_an_open_workbook_is_refused(tmp_path: Path, lock: str) -> None:
    """Two slips, the workbook open: nothing is booked beside, where the second would wipe out the first."""
    folder = prepared(tmp_path / "f")
    (folder / lock).write_text("somebody")
    before = contents(folder)
    for lines in ("LC-1,clips,2,\n", "LC-1,clips,1,\n"):
        slip(folder / "slip.csv", lines)
        done = run(folder, COMMANDS["receive"])
        assert done.exit_code == 4
        assert len(done.stderr.splitlines()) == 1
    after = contents(folder)
    assert {name: data for name, data in after.items() if name != "slip.csv"} == {
        name: data for name, data in before.items() if name != "slip.csv"
    }


def test_a_checked_copy_with_a_booked_slip_is_never_written_over(tmp_path: Path) -> None:
    """A slip was received into "job - checked"; a check of the open job takes another name."""
    folder = prepared(tmp_path / "f")
    (folder / "~$job.xlsx").write_text("somebody")
    assert run(folder, COMMANDS["check"]).exit_code == 0
    copy = folder / "job - checked.xlsx"
    assert CliRunner().invoke(main, ["receive", str(copy), str(folder / "slip.csv")]).exit_code in (0, 1)
    booked = copy.read_bytes()
    assert run(folder, COMMANDS["check"]).exit_code == 0
    assert copy.read_bytes() == booked
    assert open_package(folder / "job - checked 2.xlsx").sheet_names
