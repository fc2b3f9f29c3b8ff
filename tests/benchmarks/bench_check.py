"""Whole processes beside the bare library: `bomcheck --help` against an empty Click program, `bomcheck check` against
openpyxl loading and saving the same workbook. Run by hand: python -m tests.benchmarks.bench_check [rounds]
"""

import os
import resource
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

from bomcheck.model.shipped import folder

EMPTY = "import click\n@click.command()\ndef main(): pass\nmain()"
LOAD_SAVE = "import openpyxl, sys; openpyxl.load_workbook(sys.argv[1]).save(sys.argv[2])"
CHECK = "from bomcheck.commands.cli import run; run()"


def seconds(words: list[str]) -> float:
    """Processor time of one whole process [s]."""
    if "--out" in words:
        Path(words[words.index("--out") + 1]).unlink(missing_ok=True)
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run([sys.executable, "-c", *words], capture_output=True, env=_cached(), check=False)
    if done.returncode in (2, 4):
        raise SystemExit(f"{words} failed: {done.stderr.decode()}")
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def _cached() -> dict[str, str]:
    """Installed programs have their byte code cached; a setting that forbids it would time the compiler."""
    return {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}


def compare(title: str, ours: list[str], theirs: list[str], rounds: int) -> None:
    """One line: medians and the median of the ratios, pair by pair."""
    seconds(ours), seconds(theirs)
    pairs = [(seconds(ours), seconds(theirs)) for _ in range(rounds)]
    a, b = (statistics.median(column) for column in zip(*pairs, strict=True))
    ratio = statistics.median(one / other for one, other in pairs)
    print(f"{title:44} {a * 1000:6.0f} ms {b * 1000:6.0f} ms   ratio {ratio:.2f}")


def main(rounds: int) -> None:
    """Every demo once as it is, and one that was checked before."""
    compare("--help / empty Click program", [CHECK, "--help"], [EMPTY, "--help"], rounds)
    with tempfile.TemporaryDirectory() as place:
        out, saved = str(Path(place) / "out.xlsx"), str(Path(place) / "saved.xlsx")
        for demo in sorted(folder("demo_workbooks").glob("*.xlsx")):
            ours, theirs = [CHECK, "check", str(demo), "--out", out], [LOAD_SAVE, str(demo), saved]
            compare(f"check / load and save: {demo.stem}", ours, theirs, rounds)
        again = str(Path(place) / "again.xlsx")
        seconds([CHECK, "check", str(demo), "--out", again])
        compare("check again / load and save", [CHECK, "check", again, "--out", out], [LOAD_SAVE, again, saved], rounds)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 5)
