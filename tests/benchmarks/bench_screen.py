"""How long a screening takes, whole process, median and best; run by hand: `python -m tests.benchmarks.bench_screen [runs]`.

Compared in the same run: a hand-written NumPy kernel of the same checks (`screen_kernel`: no remedies, no result file), and the
same 200 x 200 screening as spreadsheet formulas recalculated by LibreOffice (`screen_formulas`).
"""

import csv
import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from xlsxwriter import Workbook

from tests.benchmarks.screen_formulas import recalculated, write_formulas
from tests.helpers import tables

BOMCHECK = "from bomcheck.commands.cli import main; main()"


def tables_of(folder: Path, corners: int, kits: int) -> tuple[Path, Path]:
    """Invented tables; one family of cars for every five corners, as in a large catalogue."""
    families = max(120, max(corners, kits) // 5)
    found = folder / f"corners_{corners}_{families}.csv", folder / f"kits_{kits}_{families}.csv"
    for path, make, count in zip(found, (tables.corners, tables.kits), (corners, kits), strict=True):
        if not path.exists():
            tables.write_csv(path, make(count, families))
    return found


class Taken(NamedTuple):
    """Of a command: seconds, processor seconds, greatest memory of one process [MB]."""

    wall: float
    processor: float
    memory: float


def timed(command: Sequence[str]) -> Taken:
    """One run of a command; compiled modules may be kept, as they are where the program is installed."""
    environment = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.perf_counter()
    nowhere = subprocess.DEVNULL
    with subprocess.Popen(command, stdout=nowhere, stderr=nowhere, env=environment) as process:
        _, _, usage = os.wait4(process.pid, 0)
        process.returncode = 0
    taken = time.perf_counter() - start
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return Taken(taken, used, usage.ru_maxrss / 1024)


def several(command: Sequence[str], runs: int) -> tuple[Taken, Taken]:
    """(medians, bests) of several runs after one that is not counted; on a machine with other work the best tells more."""
    timed(command)
    found = list(zip(*(timed(command) for _ in range(runs)), strict=True))
    return Taken(*map(statistics.median, found)), Taken(*map(min, found))


def said(command: Sequence[str], runs: int) -> str:
    """How long, for a line of the table."""
    median, best = several(command, runs)
    return f"{median.wall:.2f} s (best {best.wall:.2f} s, {best.processor:.1f} s of processor, {median.memory:.0f} MB)"


def screen(folder: Path, corners: int, kits: int, *options: str, book: bool = False) -> list[str]:
    """The command that screens invented tables. book: the kits in a workbook."""
    left, right = tables_of(folder, corners, kits)
    right = as_workbook(right) if book else right
    return [
        sys.executable,
        "-c",
        BOMCHECK,
        "screen",
        str(left),
        str(right),
        "--no-parts",
        "--out",
        str(folder / "out.csv"),
        *options,
    ]


def as_workbook(path: Path) -> Path:
    """The same table as a workbook."""
    found = path.with_suffix(".xlsx")
    if not found.exists():
        sheet = (book := Workbook(str(found), {"strings_to_numbers": True})).add_worksheet()
        with path.open(encoding="utf-8-sig", newline="") as file:
            for row, line in enumerate(csv.reader(file)):
                sheet.write_row(row, 0, [text or None for text in line])
        book.close()
    return found


def main(runs: int) -> None:
    """Prints the tables."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        print("| pairs | corners x kits | full verdicts | only what fits |\n|---|---|---|---|")
        for corners, kits, full in (
            (100, 100, True),
            (316, 316, True),
            (1000, 1000, True),
            (3162, 3162, False),
            (10000, 10000, False),
        ):
            whole = said(screen(folder, corners, kits), runs) if full else "-"
            few = said(screen(folder, corners, kits, "--passers"), runs)
            print(f"| {corners * kits:,} | {corners:,} x {kits:,} | {whole} | {few} |", flush=True)
        print(f"\none corner, 5,000 kits: {said(screen(folder, 1, 5000), runs)}")
        print(f"one corner, 5,000 kits of a workbook: {said(screen(folder, 1, 5000, book=True), runs)}", flush=True)
        _against_kernel(folder, runs)
        _against_formulas(folder, runs)


def _against_kernel(folder: Path, runs: int) -> None:
    left, right = tables_of(folder, 1000, 1000)
    by_hand = [sys.executable, "-W", "ignore", "-m", "tests.benchmarks.screen_kernel", str(left), str(right)]
    for word, ours, kernel in zip(
        ("median", "best"), several(screen(folder, 1000, 1000), runs), several(by_hand, runs), strict=True
    ):
        print(
            f"1,000,000 pairs, {word}: bomcheck {ours.wall:.1f} s ({ours.processor:.1f} s of processor), NumPy kernel "
            f"{kernel.wall:.1f} s ({kernel.processor:.1f} s of processor): {ours.wall / kernel.wall:.1f} times, "
            f"{ours.processor / kernel.processor:.1f} times the processor",
            flush=True,
        )


def _against_formulas(folder: Path, runs: int) -> None:
    left, right = tables_of(folder, 200, 200)
    ours = several(screen(folder, 200, 200), runs)[0].wall
    book = folder / "formulas.xlsx"
    write_formulas(book, left, right)
    taken = recalculated(book)
    print(f"200 x 200: bomcheck {ours:.1f} s, LibreOffice {taken:.0f} s: {taken / ours:.0f} times faster")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 3)
