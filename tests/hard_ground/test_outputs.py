"""What a terminal, a pipe or a file gets, and how each command ends, where the output is not the usual one."""

import io
import json
import os
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from bomcheck.commands.cli import main
from tests.hard_ground.running import ROOT, command, demo, environment, job_with, run, slip

NOT_UTF8 = ("ascii", "latin-1", "cp1252", "cp850", "koi8-r")
DEMOS = sorted(path.stem for path in (ROOT / "demo_workbooks").glob("*.xlsx"))


@pytest.mark.parametrize("name", DEMOS)
def test_json_where_the_output_is_not_utf8(tmp_path: Path, name: str) -> None:
    """The report is the same as under UTF-8, with the same exit status, and is ASCII."""
    job = demo(tmp_path / "job.xlsx", name)
    plain = run("check", job, "--json")
    other = run("check", job, "--json", env=environment(PYTHONIOENCODING="ascii"))
    assert other.returncode == plain.returncode in (0, 1, 3)
    assert other.stdout.isascii()
    assert json.loads(other.stdout) == json.loads(plain.stdout)


@pytest.mark.parametrize("encoding", NOT_UTF8)
def test_the_verdict_is_shown_whatever_the_output_holds(tmp_path: Path, encoding: str) -> None:
    """A label with signs that the output lacks: the verdict stands there, the workbook is written, nothing else is said."""
    job = job_with(tmp_path / "job.xlsx", vehicle_label="Łódź 車 é")
    done = run("check", job, env=environment(PYTHONIOENCODING=encoding))
    assert done.returncode == 0, done.stderr
    text = done.stdout.decode(encoding)
    assert text.startswith("FITS")
    assert "Result in" in text
    assert b"fault of the program" not in done.stderr


OUTCOMES = (
    (("check", "job.xlsx"), 0), (("check", "job.xlsx", "--json"), 0), (("measure", "job.xlsx"), 0), (("fields", "ear"), 0),
    (("explain", "pilot_fit"), 0), (("new", "a.xlsx"), 0), (("new", "b.csv", "--kits"), 0), (("--help",), 0),
    (("order", "job.xlsx", "--into", "o.csv"), 0), (("order", "job.xlsx", "--into", "o.xlsx"), 0), (("ask", "job.xlsx"), 0),
    (("keep", "job.xlsx", "--in", "records.xlsx"), 0), (("ready", "job.xlsx"), 1), (("receive", "job.xlsx", "slip.csv"), 1),
    (("check", "none.xlsx"), 4), (("explain", "zzzz"), 2),
)  # fmt: skip
"""Every command, and the exit status with which it ends anywhere."""


@pytest.mark.parametrize(("words", "status"), OUTCOMES)
def test_c_locale_and_no_home(tmp_path: Path, words: tuple[str, ...], status: int) -> None:
    """Every command ends as it does anywhere, without a traceback."""
    env = {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0", "HOME": "", "USER": ""}
    demo(tmp_path / "job.xlsx")
    slip(tmp_path / "slip.csv")
    done = run(*words, env=environment(**env), cwd=tmp_path)
    assert done.returncode == status, done.stderr
    assert b"Traceback" not in done.stderr
    assert b"fault of the program" not in done.stderr


def test_an_install_that_nobody_may_write_to(tmp_path: Path) -> None:
    """All commands from a copy of the package whose folders are closed: they end alike, and not a file of it is new or changed.
    Root may write everywhere, so the copy is looked over too."""
    home, work = tmp_path / "install", tmp_path / "work"
    home.mkdir()
    work.mkdir()
    for name in ("bomcheck", "schemas", "templates_xlsx", "demo_workbooks"):
        shutil.copytree(ROOT / name, home / name, ignore=shutil.ignore_patterns("__pycache__"))
    demo(work / "job.xlsx")
    slip(work / "slip.csv")
    every = [home, *home.rglob("*")]
    before = {path: path.stat().st_mtime_ns for path in every}
    for path in every:
        path.chmod(0o555 if path.is_dir() else 0o444)
    env = environment(LC_ALL="C", HOME="", PYTHONPATH=str(home), PYTHONDONTWRITEBYTECODE="1")
    try:
        for words, status in OUTCOMES:
            done = run(*words, env=env, cwd=work)
            assert done.returncode == status, (words, done.stderr)
            assert b"Traceback" not in done.stderr
        assert {path: path.stat().st_mtime_ns for path in [home, *home.rglob("*")]} == before
    finally:
        for path in every:
            path.chmod(0o755 if path.is_dir() else 0o644)


def test_control_and_direction_characters_never_reach_the_output(tmp_path: Path) -> None:
    """From job and slip: no escape, no bell, no turned writing; they are shown as their numbers."""
    evil = "car\x1b[2J\x07\u202egnp\u2066\x9b31m"
    job = job_with(tmp_path / "job.xlsx", vehicle_label=evil, note=evil, job_number="J\u202e7")
    packed = slip(tmp_path / "slip.csv", "QQ\x1b[5m,poster\u202e \x07,1,\n,,\x1b[1m2,\n")
    for words in (
        ("check", job),
        ("check", job, "--json"),
        ("receive", job, packed),
        ("order", job, "--into", tmp_path / "o.csv"),
    ):
        done = run(*words)
        for said in (done.stdout.decode(), done.stderr.decode()):
            assert not set(said) & set("\x1b\x07\u202e\u2066\x9b\r")
        assert done.returncode in (0, 1, 3), done.stderr


def test_an_output_that_is_full_or_closed(tmp_path: Path) -> None:
    """The workbook is written and the line says so; a reader that goes away is no error."""
    job = demo(tmp_path / "job.xlsx")
    with open("/dev/full", "wb") as full:
        done = subprocess.run(
            command("check", job), stdout=full, stderr=subprocess.PIPE, env=environment(), check=False
        )
    assert done.returncode == 4
    assert done.stderr.decode().splitlines() == [
        "bomcheck: the output could not be printed (no space left on device); written before it: job.xlsx."
    ]
    read, write = os.pipe()
    os.close(read)
    gone = subprocess.run(command("check", job), stdout=write, stderr=subprocess.PIPE, env=environment(), check=False)
    os.close(write)
    assert (gone.returncode, gone.stderr) == (0, b"")
    shell = f"{' '.join(command('check', job))} >&- 2>&-"
    assert subprocess.run(shell, shell=True, env=environment(), check=False).returncode == 0


STOPS = """
import os, signal, sys
import bomcheck.commands.check as place
def stop(*_, **__):
    os.kill(os.getpid(), signal.SIGINT)
    import time
    time.sleep(60)
place.assess = stop
sys.argv = ["bomcheck", "check", sys.argv[1]]
from bomcheck.__main__ import run
run()
"""


def test_ctrl_c_is_130_and_one_line(tmp_path: Path) -> None:
    """1 would mean "does not fit"."""
    job = demo(tmp_path / "job.xlsx")
    before = job.read_bytes()
    done = subprocess.run([sys.executable, "-c", STOPS, str(job)], capture_output=True, env=environment(), check=False)
    assert done.returncode == 130
    assert done.stderr == b"bomcheck: stopped; nothing was written.\n"
    assert job.read_bytes() == before
    assert os.listdir(tmp_path) == ["job.xlsx"]


def test_ctrl_c_while_it_is_still_loaded() -> None:
    """Quiet, 130."""
    code = (
        "import sys, types, signal, os\n"
        "class Finder:\n"
        "    def find_spec(self, name, *_):\n"
        "        if name == 'click': os.kill(os.getpid(), signal.SIGINT)\n"
        "sys.meta_path.insert(0, Finder())\n"
        "from bomcheck.__main__ import run\nrun()\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, env=environment(), check=False)
    assert (done.returncode, done.stderr) == (130, b"")


@pytest.mark.parametrize("verb", ["check", "measure", "order", "receive job", "receive slip", "screen"])
def test_a_file_that_may_not_be_read_is_4_and_one_line(
    tmp_path: Path, verb: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Not wrong use, which is 2. Root may read everything, so the system's answer is put in its place."""
    secret, job = demo(tmp_path / "secret.xlsx"), demo(tmp_path / "job.xlsx")
    packed = slip(tmp_path / "slip.csv")
    words = {
        "check": ("check", secret), "measure": ("measure", secret), "order": ("order", secret, "--into", tmp_path / "o.csv"),
        "receive job": ("receive", secret, packed), "receive slip": ("receive", job, secret), "screen": ("screen", secret, job),
    }[verb]  # fmt: skip
    real = io.open

    def refuses(path: object, *more: object, **named: object) -> object:
        if str(path) == str(secret):
            raise PermissionError(13, "Permission denied", str(secret))
        return real(path, *more, **named)

    monkeypatch.setattr(os, "access", lambda path, *_, **__: str(path) != str(secret))
    monkeypatch.setattr(io, "open", refuses)
    done = CliRunner().invoke(main, [str(word) for word in words])
    assert done.exit_code == 4, done.stderr
    assert len(done.stderr.splitlines()) == 1
    assert "secret.xlsx" in done.stderr


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="there are no pipes with a name")
@pytest.mark.parametrize("verb", ["check", "order into", "receive job", "receive slip", "into columns", "package"])
def test_a_pipe_or_a_circle_of_links_is_refused_at_once(tmp_path: Path, verb: str) -> None:
    """A pipe would be read for ever; a circle of links is no fault of the program."""
    job, packed = demo(tmp_path / "job.xlsx"), slip(tmp_path / "slip.csv")
    (tmp_path / "a.csv").symlink_to(tmp_path / "b.csv")
    (tmp_path / "b.csv").symlink_to(tmp_path / "a.csv")
    for kind in ("pipe", "circle"):
        bad = tmp_path / ("pipe.csv" if kind == "pipe" else "a.csv")
        if kind == "pipe":
            os.mkfifo(bad)
        at = {"into columns": "o.xlsx.columns.json", "package": "datapackage.json"}.get(verb)
        if at:
            (tmp_path / at).unlink(missing_ok=True)
            bad.rename(tmp_path / at) if kind == "pipe" else (tmp_path / at).symlink_to(bad)
            run("order", job, "--into", tmp_path / "o.xlsx") if verb == "into columns" else None
        words = {
            "check": ("check", bad), "order into": ("order", job, "--into", bad), "receive job": ("receive", bad, packed),
            "receive slip": ("receive", job, bad), "into columns": ("order", job, "--into", tmp_path / "o.xlsx"),
            "package": ("order", job, "--into", tmp_path / "o.csv"),
        }[verb]  # fmt: skip
        done = run(*words)
        assert done.returncode == 4, (done.stdout, done.stderr)
        assert len(done.stderr.splitlines()) == 1, done.stderr
        assert b"fault of the program" not in done.stderr


def test_signal_is_still_there() -> None:
    """Ctrl-C reaches a run that was started by a shell in the usual way."""
    assert signal.getsignal(signal.SIGINT) is not signal.SIG_IGN
