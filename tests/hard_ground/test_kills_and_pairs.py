"""Commands that are killed at any moment, and two of them at once: nothing is lost, and the loser is told in one line.

BOMCHECK_KILLS and BOMCHECK_PAIRS say how many of each; the ordinary run has a few.
"""

import itertools
import json
import os
import random
import signal
import subprocess
import sys
import time
from contextlib import suppress
from pathlib import Path

import pytest

from bomcheck.io.package import open_package
from tests.export.shop_books import shop_book
from tests.hard_ground.running import at_once, command, demo, environment, job_with, run, slip
from tests.helpers import tables

KILLS, PAIRS = int(os.environ.get("BOMCHECK_KILLS", "12")), int(os.environ.get("BOMCHECK_PAIRS", "5"))
COMMANDS = (
    ("check", "job.xlsx", "--backup"), ("check", "job.xlsx", "--out", "out.xlsx"), ("order", "job.xlsx", "--into", "o.csv"),
    ("order", "job.xlsx", "--into", "shop.xlsx", "--yes"), ("order", "job.xlsx", "--into", "o.xlsx"), ("receive", "job.xlsx", "slip.csv"),
    ("new", "n.xlsx"), ("new", "k.csv", "--kits"), ("keep", "job.xlsx", "--in", "records.xlsx"), ("check", "job.xlsx"),
    ("screen", "corners.csv", "kits.csv", "--out", "s.csv", "--no-parts", "--processes", "2"),
)  # fmt: skip
MANY_TASKS = "import bomcheck.screen.tasks as t; t.PAIRS = 100; from bomcheck.__main__ import run; run()"
"""Starts a screening whose processes get many small tasks."""


def prepared(folder: Path) -> Path:
    """A job, a slip and an ordering spreadsheet."""
    folder.mkdir(exist_ok=True)
    demo(folder / "job.xlsx")
    slip(folder / "slip.csv")
    shop_book(folder / "shop.xlsx")
    tables.write_csv(folder / "corners.csv", tables.corners(20, 1))
    tables.write_csv(folder / "kits.csv", tables.kits(20, 1))
    return folder


def require_whole(folder: Path) -> None:
    """Every file there can be read to its end, and none is empty."""
    for one in folder.iterdir():
        if not one.name.startswith(".bomcheck"):
            assert one.stat().st_size
            if one.suffix == ".xlsx":
                assert open_package(one).sheet_names


def workers_of(process: int) -> list[int]:
    """The processes that a process has started."""
    try:
        return [int(one) for one in Path(f"/proc/{process}/task/{process}/children").read_text().split()]
    except OSError:
        return []


def kill(child: "subprocess.Popen[bytes]", moments: random.Random, a_worker: bool) -> bool:
    """At some moment, the command itself or one of its workers; whether it was the command."""
    time.sleep(moments.uniform(0.05, 1.2))
    for _ in range(500 if a_worker else 0):
        if workers := workers_of(child.pid):
            with suppress(ProcessLookupError):
                os.kill(moments.choice(workers), signal.SIGKILL)
            return False
        if child.poll() is not None:
            return False
        time.sleep(0.01)
    child.send_signal(signal.SIGKILL)
    return True


@pytest.mark.skipif(os.name == "nt", reason="there is no kill -9 on Windows")
def test_killed_at_any_moment(tmp_path: Path) -> None:
    """Files are as they were or whole; the next run of the same command does its work and leaves no litter. Where a worker is
    killed the command does its work all the same."""
    moments = random.Random(11)
    for number, words in zip(range(KILLS), itertools.cycle(COMMANDS), strict=False):
        folder = prepared(tmp_path / str(number))
        started = [sys.executable, "-c", MANY_TASKS, *words] if words[0] == "screen" else command(*words)
        child = subprocess.Popen(
            started, cwd=folder, env=environment(), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        whole = kill(child, moments, words[0] == "screen" and number % 20 >= 10)
        assert child.wait() in ((-signal.SIGKILL, 0, 1, 3) if whole else (0, 1, 3)), words
        require_whole(folder)
        assert whole or (folder / "s.csv").exists()
        made = (folder / words[1]).exists() and words[0] == "new"
        done = run(*words, cwd=folder)
        assert done.returncode in ((2,) if made else (0, 1, 3)), done.stderr
        require_whole(folder)
        assert [one.name for one in folder.iterdir() if one.name.startswith(".bomcheck")] == []


def require_told(ends: list[tuple[int | None, str]]) -> list[bool]:
    """Who did it; at least one, and who did not is told why in one line."""
    for status, said in ends:
        if status == 4:
            assert len(said.splitlines()) == 1, said
            assert any(words in said for words in ("just now", "meanwhile")), said
    did = [status in (0, 1, 3) for status, _ in ends]
    assert any(did), ends
    return did


@pytest.mark.parametrize("into", ["o.csv", "shop.xlsx"])
def test_two_orders_into_one_file(tmp_path: Path, into: str) -> None:
    """Each that says it succeeded stands there afterwards, with its lines; both files that go with it are whole."""
    jobs = [job_with(tmp_path / f"{one}.xlsx", job_number=f"J-{one.upper() * 3}") for one in "ab"]
    for number in range(PAIRS):
        folder = prepared(tmp_path / str(number))
        for job in jobs:
            (folder / job.name).write_bytes(job.read_bytes())
        did = require_told(
            at_once(folder, ("order", "a.xlsx", "--into", into, "--yes"), ("order", "b.xlsx", "--into", into, "--yes"))
        )
        if into.endswith(".csv"):
            text = (folder / into).read_text("utf-8")
        else:
            package = open_package(folder / into)
            text = " ".join(cell.text for cell in package.cells("Orders").values())
        assert [number in text for number in ("J-AAA", "J-BBB")] == did


def test_two_lists_in_one_folder(tmp_path: Path) -> None:
    """The description that they share names each list that was written."""
    jobs = [demo(tmp_path / f"{one}.xlsx") for one in "ab"]
    for number in range(PAIRS):
        (folder := tmp_path / str(number)).mkdir()
        did = require_told(at_once(folder, *(("order", job, "--into", f"{job.stem}.csv") for job in jobs)))
        named = {one["path"] for one in json.loads((folder / "datapackage.json").read_text("utf-8"))["resources"]}
        assert [f"{one}.csv" in named for one in "ab"] == [(folder / f"{one}.csv").exists() for one in "ab"] == did


def test_two_receive_check_and_new_at_once(tmp_path: Path) -> None:
    """Two slips, a slip and a check, two checks, two blanks of one name: what succeeded is there."""
    for number in range(PAIRS):
        folder = prepared(tmp_path / str(number))
        slip(folder / "b.csv", "AT-18-3,adapter,2,\n")
        did = require_told(at_once(folder, ("receive", "job.xlsx", "slip.csv"), ("receive", "job.xlsx", "b.csv")))
        text = " ".join(cell.text for cell in open_package(folder / "job.xlsx").cells("Receiving").values())
        assert [name in text for name in ("slip.csv", "b.csv")] == did
        require_told(at_once(folder, ("check", "job.xlsx"), ("check", "job.xlsx")))
        ends = at_once(folder, ("new", "n.xlsx"), ("new", "n.xlsx", "--inch"))
        assert sorted(status for status, _ in ends)[0] == 0
        assert all(status in (0, 2, 4) for status, _ in ends)
        require_whole(folder)
        after = " ".join(cell.text for cell in open_package(folder / "job.xlsx").cells("Receiving").values())
        assert [name in after for name in ("slip.csv", "b.csv")] == did
