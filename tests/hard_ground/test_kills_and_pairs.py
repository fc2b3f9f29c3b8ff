"""Commands that are killed at any moment, and two of them at once: nothing is lost, and the loser is told in one line.

BOMCHECK_KILLS and BOMCHECK_PAIRS say how many of each; the ordinary run has a few.
"""

import itertools
import os
import random
import signal
import subprocess
import time
from pathlib import Path

import pytest

from bomcheck.io.package import open_package
from tests.export.shop_books import shop_book
from tests.hard_ground.running import command, demo, environment, job_with, run, slip

KILLS, PAIRS = int(os.environ.get("BOMCHECK_KILLS", "12")), int(os.environ.get("BOMCHECK_PAIRS", "5"))
COMMANDS = (
    ("check", "job.xlsx", "--backup"), ("check", "job.xlsx", "--out", "out.xlsx"), ("order", "job.xlsx", "--into", "o.csv"),
    ("order", "job.xlsx", "--into", "shop.xlsx", "--yes"), ("receive", "job.xlsx", "slip.csv"), ("new", "n.xlsx"), ("new", "k.csv", "--kits"),
)  # fmt: skip


def prepared(folder: Path) -> Path:
    """A job, a slip and an ordering spreadsheet."""
    folder.mkdir(exist_ok=True)
    demo(folder / "job.xlsx")
    slip(folder / "slip.csv")
    shop_book(folder / "shop.xlsx")
    return folder


def require_whole(folder: Path) -> None:
    """Every file there can be read to its end, and none is empty."""
    for one in folder.iterdir():
        if not one.name.startswith(".bomcheck"):
            assert one.stat().st_size
            if one.suffix == ".xlsx":
                assert open_package(one).sheet_names


@pytest.mark.skipif(os.name == "nt", reason="there is no kill -9 on Windows")
def test_killed_at_any_moment(tmp_path: Path) -> None:
    """Files are as they were or whole; the next run of the same command does its work and leaves no litter."""
    moments = random.Random(11)
    for number, words in zip(range(KILLS), itertools.cycle(COMMANDS), strict=False):
        folder = prepared(tmp_path / str(number))
        child = subprocess.Popen(
            command(*words), cwd=folder, env=environment(), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        time.sleep(moments.uniform(0.05, 1.2))
        child.send_signal(signal.SIGKILL)
        child.wait()
        require_whole(folder)
        made = (folder / words[1]).exists() and words[0] == "new"
        done = run(*words, cwd=folder)
        assert done.returncode in ((2,) if made else (0, 1)), done.stderr
        require_whole(folder)
        assert [one.name for one in folder.iterdir() if one.name.startswith(".bomcheck")] == []


def both(folder: Path, *pair: tuple[object, ...]) -> list[tuple[int, str]]:
    """(exit status, standard error) of commands that run at once."""
    runs = [
        subprocess.Popen(
            command(*words), cwd=folder, env=environment(), stdout=subprocess.DEVNULL, stderr=subprocess.PIPE
        )
        for words in pair
    ]
    said = [one.communicate()[1].decode() for one in runs]
    return [(one.returncode, text) for one, text in zip(runs, said, strict=True)]


def require_told(ends: list[tuple[int, str]]) -> list[bool]:
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
    for number in range(PAIRS):
        folder = prepared(tmp_path / str(number))
        job_with(folder / "a.xlsx", job_number="J-AAA")
        job_with(folder / "b.xlsx", job_number="J-BBB")
        did = require_told(
            both(folder, ("order", "a.xlsx", "--into", into, "--yes"), ("order", "b.xlsx", "--into", into, "--yes"))
        )
        if into.endswith(".csv"):
            text = (folder / into).read_text("utf-8")
        else:
            package = open_package(folder / into)
            text = " ".join(cell.text for cell in package.cells("Orders").values())
        for done, job in zip(did, ("J-AAA", "J-BBB"), strict=True):
            assert (job in text) == done


def test_two_receive_check_and_new_at_once(tmp_path: Path) -> None:
    """Two slips, a slip and a check, two checks, two blanks of one name: what succeeded is there."""
    for number in range(PAIRS):
        folder = prepared(tmp_path / str(number))
        slip(folder / "b.csv", "AT-18-3,adapter,2,\n")
        did = require_told(both(folder, ("receive", "job.xlsx", "slip.csv"), ("receive", "job.xlsx", "b.csv")))
        text = " ".join(cell.text for cell in open_package(folder / "job.xlsx").cells("Receiving").values())
        assert [name in text for name in ("slip.csv", "b.csv")] == did
        require_told(both(folder, ("check", "job.xlsx"), ("check", "job.xlsx")))
        ends = both(folder, ("new", "n.xlsx"), ("new", "n.xlsx", "--inch"))
        assert sorted(status for status, _ in ends)[0] == 0
        assert all(status in (0, 2, 4) for status, _ in ends)
        require_whole(folder)
        after = " ".join(cell.text for cell in open_package(folder / "job.xlsx").cells("Receiving").values())
        assert [name in after for name in ("slip.csv", "b.csv")] == did
