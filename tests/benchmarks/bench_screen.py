"""How long a screening takes, whole process, medians; run by hand: `python -m tests.benchmarks.bench_screen [runs]`.

Compared in the same run: a hand-written NumPy kernel of the same checks (`screen_kernel`: no remedies, no result file), and the
same 200 x 200 screening as spreadsheet formulas recalculated by LibreOffice (`screen_formulas`).
"""

import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path

from tests.benchmarks.screen_formulas import recalculated, write_formulas
from tests.helpers import tables

BOMCHECK = "from bomcheck.cli import main; main()"


def tables_of(folder: Path, corners: int, kits: int) -> tuple[Path, Path]:
    """Invented tables; one family of cars for every five corners, as in a large catalogue."""
    families = max(120, max(corners, kits) // 5)
    found = folder / f"corners_{corners}_{families}.csv", folder / f"kits_{kits}_{families}.csv"
    for path, make, count in zip(found, (tables.corners, tables.kits), (corners, kits), strict=True):
        if not path.exists():
            tables.write_csv(path, make(count, families))
    return found


def timed(command: Sequence[str]) -> tuple[float, float, float]:
    """(seconds, processor seconds, greatest memory of one process [MB]) of a command."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.perf_counter()
    with subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as process:
        _, _, usage = os.wait4(process.pid, 0)
        process.returncode = 0
    taken = time.perf_counter() - start
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return taken, used, usage.ru_maxrss / 1024


def median(command: Sequence[str], runs: int) -> tuple[float, float, float]:
    """Medians of several runs."""
    found = [timed(command) for _ in range(runs)]
    return tuple(statistics.median(one[place] for one in found) for place in range(3))  # type: ignore[return-value]


def screen(folder: Path, corners: int, kits: int, *options: str) -> list[str]:
    """The command that screens invented tables."""
    left, right = tables_of(folder, corners, kits)
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
            whole = f"{median(screen(folder, corners, kits), runs)[0]:.1f} s" if full else "-"
            few = median(screen(folder, corners, kits, "--passers"), runs)
            print(
                f"| {corners * kits:,} | {corners:,} x {kits:,} | {whole} | {few[0]:.1f} s, {few[1]:.1f} s of processor, {few[2]:.0f} MB |",
                flush=True,
            )
        one = median(screen(folder, 1, 5000), runs)
        print(f"\none corner, 5,000 kits: {one[0]:.2f} s")
        _against_kernel(folder, runs)
        _against_formulas(folder, runs)


def _against_kernel(folder: Path, runs: int) -> None:
    left, right = tables_of(folder, 1000, 1000)
    ours = median(screen(folder, 1000, 1000), runs)
    kernel = median(
        [sys.executable, "-W", "ignore", "-m", "tests.benchmarks.screen_kernel", str(left), str(right)], runs
    )
    print(
        f"1,000,000 pairs: bomcheck {ours[0]:.1f} s ({ours[1]:.1f} s of processor, {ours[2]:.0f} MB), NumPy kernel {kernel[0]:.1f} s "
        f"({kernel[1]:.1f} s of processor): {ours[0] / kernel[0]:.1f} times, {ours[1] / kernel[1]:.1f} times the processor",
        flush=True,
    )


def _against_formulas(folder: Path, runs: int) -> None:
    left, right = tables_of(folder, 200, 200)
    ours = median(screen(folder, 200, 200), runs)[0]
    book = folder / "formulas.xlsx"
    write_formulas(book, left, right)
    taken = recalculated(book)
    print(f"200 x 200: bomcheck {ours:.1f} s, LibreOffice {taken:.0f} s: {taken / ours:.0f} times faster")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 3)
