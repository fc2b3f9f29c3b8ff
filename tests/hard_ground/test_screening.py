"""A screening whose processes are killed, that is stopped, or that is not the only one with its result's name."""

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.hard_ground.running import at_once, command, environment
from tests.helpers import tables

KILLED = """
import os, signal, sys
from pathlib import Path
import bomcheck.screen.tasks as tasks
from bomcheck.screen.command import screen_command
from bomcheck.screen.tables import Asked
parent, real = os.getpid(), tasks.do_task
flag = Path(sys.argv[4])
def dies(world, wanted, task):
    if os.getpid() != parent and not flag.exists():
        flag.write_text("died")
        os.kill(os.getpid(), signal.SIGKILL)
    return real(world, wanted, task)
if sys.argv[5] == "kill":
    tasks.do_task = dies
tasks.PAIRS = 200
done = screen_command(Asked(Path(sys.argv[1]), Path(sys.argv[2]), Path(sys.argv[3]), parts=False, processes=2))
print(done.pairs, sum(done.counts))
"""


@pytest.fixture
def inputs(tmp_path: Path) -> tuple[Path, Path]:
    """Forty corners, forty kits."""
    corners = tables.write_csv(tmp_path / "corners.csv", tables.corners(40, 1))
    return corners, tables.write_csv(tmp_path / "kits.csv", tables.kits(40, 1))


def test_a_killed_process_loses_nothing(inputs: tuple[Path, Path], tmp_path: Path) -> None:
    """The result is the same as without, and it ends."""
    for how in ("kill", "none"):
        words = [*map(str, inputs), str(tmp_path / f"{how}.csv"), str(tmp_path / f"flag_{how}"), how]
        done = subprocess.run(
            [sys.executable, "-c", KILLED, *words], capture_output=True, env=environment(), check=False
        )
        assert done.stdout.split() == [b"1600", b"1600"], done.stderr
    assert (tmp_path / "flag_kill").exists()
    assert (tmp_path / "kill.csv").read_bytes() == (tmp_path / "none.csv").read_bytes()


def test_two_with_one_result_name(inputs: tuple[Path, Path], tmp_path: Path) -> None:
    """Each ends with a whole result, or in one line that names who writes; the file is whole."""
    out = tmp_path / "out.csv"
    for _ in range(int(os.environ.get("BOMCHECK_PAIRS", "3"))):
        words = ("screen", *inputs, "--out", out, "--no-parts")
        codes, said = zip(*at_once(tmp_path, words, words), strict=True)
        assert set(codes) <= {0, 1, 3, 4}
        assert min(codes) < 4, said
        for code, text in zip(codes, said, strict=True):
            if code == 4:
                assert len(text.splitlines()) == 1
                assert "just now" in text or "meanwhile" in text
        assert len(out.read_text("utf-8").splitlines()) == 1601
        assert [one.name for one in tmp_path.iterdir() if one.name.startswith(".bomcheck")] == []


@pytest.mark.skipif(os.name == "nt", reason="Windows does not tell the memory of a process that has ended")
def test_tables_that_are_mostly_not_known(tmp_path: Path) -> None:
    """Half of the cells blank: no process takes more than 600 MB. BOMCHECK_SIDE says how many corners and kits; with 300 of
    each it is done in 10 s on a machine that has nothing else to do."""
    side, draw, found = int(os.environ.get("BOMCHECK_SIDE", "110")), random.Random(5), []
    for name, rows in (("corners", tables.corners(side, 1)), ("kits", tables.kits(side, 1))):
        blanked = [{k: v for k, v in row.items() if k in tables.KEPT or draw.random() < 0.5} for row in rows]
        found.append(tables.write_csv(tmp_path / f"{name}.csv", blanked))
    words = command("screen", *found, "--out", tmp_path / "out.csv", "--no-parts")
    began = time.monotonic()
    with subprocess.Popen(words, stderr=subprocess.DEVNULL, env=environment()) as run:
        _, status, usage = os.wait4(run.pid, 0)
        run.returncode = os.waitstatus_to_exitcode(status)
    assert run.returncode == 3
    assert (tmp_path / "out.csv").read_text("utf-8").count(",not known,") > side * side / 2
    assert usage.ru_maxrss < 600_000
    assert side < 300 or time.monotonic() - began < 10


def test_progress_counts_pairs_and_only_on_a_terminal(inputs: tuple[Path, Path], tmp_path: Path) -> None:
    """The numbers of pairs and a time left; nothing of it where the output is no terminal."""
    from datetime import date

    from bomcheck.screen.command import screen_command
    from bomcheck.screen.tables import Asked, read_both
    from bomcheck.screen.tasks import Wanted, run
    from bomcheck.screen.world import World

    asked = Asked(*inputs, tmp_path / "o.csv", parts=False, processes=1)
    corners, kits = read_both(asked, 1)
    seen: list[tuple[int, int]] = []
    world = World(corners.rows, kits.rows, date.today())
    list(run(world, Wanted(False, "csv", False), 1, "", lambda done, pairs: seen.append((done, pairs))))
    assert seen[-1] == (1600, 1600)
    assert screen_command(asked).pairs == 1600
    done = subprocess.run(command("screen", *inputs, "--no-parts"), capture_output=True, env=environment(), check=False)
    assert b"left" not in done.stderr


@pytest.mark.skipif(os.name == "nt", reason="there is no such signal on Windows")
def test_ctrl_c_is_130_without_tracebacks_of_the_processes(inputs: tuple[Path, Path], tmp_path: Path) -> None:
    """The whole group gets the signal, as from a keyboard, when the processes are at work."""
    code = (
        KILLED.replace("print(done", "0 and print(done")
        .replace(
            "def dies",
            "def slow(world, wanted, task):\n    print('go', flush=True)\n    import time\n    time.sleep(1)\n    return real(world, wanted, task)\ndef dies",
        )
        .replace('if sys.argv[5] == "kill":\n    tasks.do_task = dies', "tasks.do_task = slow")
    )
    code = code.replace(
        "done = screen_command(Asked(Path(sys.argv[1]), Path(sys.argv[2]), Path(sys.argv[3]), parts=False, processes=2))",
        "sys.argv = ['bomcheck', 'screen', *sys.argv[1:3], '--out', sys.argv[3], '--processes', '2', '--no-parts']\nfrom bomcheck.__main__ import run\nrun()",
    )
    words = [*map(str, inputs), str(tmp_path / "o.csv"), str(tmp_path / "flag"), ""]
    run = subprocess.Popen(
        [sys.executable, "-c", code, *words],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env=environment(),
        start_new_session=True,
    )
    assert run.stdout is not None
    run.stdout.readline()
    os.killpg(run.pid, signal.SIGINT)
    said = run.communicate()[1].decode()
    assert run.returncode == 130
    assert said == "bomcheck: stopped; nothing was written.\n"
    assert not (tmp_path / "o.csv").exists()
