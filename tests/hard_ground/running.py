"""The commands as processes of their own, and jobs to run them on."""

import multiprocessing
import os
import subprocess
import sys
import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path

from bomcheck.commands.cli import main
from bomcheck.model.shipped import folder

ROOT = Path(__file__).parents[2]
HEAD = "Part no,Description,Qty,Side\n"


def environment(**more: str) -> dict[str, str]:
    """This process's environment with the source in the path, and what is given; "" takes a name out."""
    found = {**os.environ, "PYTHONPATH": str(ROOT), **more}
    return {name: value for name, value in found.items() if value != "" or name not in more}


def command(*words: object) -> list[str]:
    """What starts a command of ours."""
    return [sys.executable, "-m", "bomcheck", *map(str, words)]


def run(*words: object, env: Mapping[str, str] | None = None, **more: object) -> subprocess.CompletedProcess[bytes]:
    """One command to its end, its output as bytes."""
    given = dict(env) if env is not None else environment()
    return subprocess.run(command(*words), capture_output=True, env=given, check=False, **more)  # type: ignore[call-overload]


def at_once(folder: Path, *pair: Sequence[object]) -> list[tuple[int | None, str]]:
    """(exit status, standard error) of commands that run at once, each in a process of its own that has all loaded already, so
    that they meet."""
    context = multiprocessing.get_context("fork" if hasattr(os, "fork") else "spawn")
    with tempfile.TemporaryDirectory() as name:
        said = [Path(name, str(number)) for number in range(len(pair))]
        runs = [context.Process(target=_one, args=(folder, *each)) for each in zip(said, pair, strict=True)]
        for one in runs:
            one.start()
        for one in runs:
            one.join()
        return [(one.exitcode, text.read_text("utf-8")) for one, text in zip(runs, said, strict=True)]


def _one(folder: Path, said: Path, words: Sequence[object]) -> None:
    """The command in this process; it ends it."""
    os.chdir(folder)
    with said.open("w", encoding="utf-8") as sys.stderr, open(os.devnull, "w", encoding="utf-8") as sys.stdout:
        main([str(word) for word in words], prog_name="bomcheck")


def demo(where: Path, name: str = "hill_climb_two_seater") -> Path:
    """A demo job, copied to a path."""
    where.write_bytes((folder("demo_workbooks") / f"{name}.xlsx").read_bytes())
    return where


def job_with(where: Path, **cells: object) -> Path:
    """A job with these fields of the Job sheet filled in, and the kit and corner of a demo."""
    from bomcheck.demos import demo as demo_of
    from bomcheck.io.blank.template import build_job_workbook

    base = demo_of("hill_climb_two_seater").filled
    build_job_workbook("metric", {**base, "job": {**base.get("job", {}), **cells}}, where)
    return where


def slip(where: Path, lines: str = "LC-1,clips,4,\n") -> Path:
    """A packing slip."""
    where.write_text(HEAD + lines, "utf-8")
    return where
