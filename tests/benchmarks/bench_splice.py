"""Reading and splicing beside openpyxl's load and save, each as a whole process: time and peak memory.

Run: python -m tests.benchmarks.bench_splice
"""

import json
import subprocess
import sys
import tempfile
from pathlib import Path

import xlsxwriter

from tests.workbook.kitchen_sink import photo
from tests.workbook.our_sheets import our_sheets

HEAD = "import json, resource, sys, time; start = time.perf_counter(); from pathlib import Path; path = Path(sys.argv[1])\n"
TAIL = "\nprint(json.dumps([time.perf_counter() - start, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000]))"
OURS = """
from bomcheck.io.package import open_package
from bomcheck.io.splice import write_back
package = open_package(path)
for name in package.sheet_names: package.cells(name)
ours = Path(sys.argv[2]).read_bytes()
write_back(package, ours, {"Compatibility": "compatibility", "Parts list": "parts list"}, path)
"""
OPENPYXL = "import openpyxl\nbook = openpyxl.load_workbook(path)\nbook.save(path)"


def ten_sheets(path: Path) -> Path:
    """Ten sheets of 400 rows and 10 columns."""
    with xlsxwriter.Workbook(path) as book:
        for tab in range(10):
            sheet = book.add_worksheet("Corner" if tab == 0 else f"Sheet {tab}")
            for row in range(400):
                sheet.write_row(row, 0, [f"label {tab} {row}", *(row * 1.37 + column for column in range(9))])
    return path


def photos_and_prices(path: Path) -> Path:
    """A price list of 5,000 rows and 10 columns, and ten photos of 2 MB."""
    with xlsxwriter.Workbook(path) as book:
        book.add_worksheet("Corner").write("B2", 64.1)
        prices, shots = book.add_worksheet("Price list"), book.add_worksheet("Photos")
        for row in range(5000):
            texts = [f"part {row}", f"a thing, number {row}", "each", "shop", f"note {row % 50}"]
            prices.write_row(row, 0, [*texts, row * 1.1, row % 7, 1, 14, row * 0.9])
        for number in range(10):
            (path.parent / f"{number}.png").write_bytes(photo(2_000_000, number + 1))
            shots.insert_image(number * 20, 0, str(path.parent / f"{number}.png"))
    return path


def measure(script: str, *given: Path, times: int = 5) -> tuple[float, float]:
    """(best time [s], peak memory [MB]) of a process."""
    command = [sys.executable, "-c", HEAD + script + TAIL, *map(str, given)]
    runs = [
        json.loads(subprocess.run(command, capture_output=True, text=True, check=True).stdout) for _ in range(times)
    ]
    return min(seconds for seconds, _ in runs), max(memory for _, memory in runs)


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        ours = Path(folder) / "ours.bin"
        ours.write_bytes(our_sheets())
        for build in (ten_sheets, photos_and_prices):
            path = build(Path(folder) / f"{build.__name__}.xlsx")
            size = path.stat().st_size / 1e6
            mine, theirs = measure(OURS, path, ours), measure(OPENPYXL, path)
            print(
                f"{build.__name__} ({size:.1f} MB): {mine[0] * 1000:.0f} ms, {mine[1]:.0f} MB; openpyxl {theirs[0] * 1000:.0f} ms, {theirs[1]:.0f} MB; ratio {mine[0] / theirs[0]:.2f}"
            )


if __name__ == "__main__":
    main()
