"""How long reading a full job takes: 200 filled cells and a price list of 300 lines. python -m tests.benchmarks.bench_read

Processor time, the best of many runs; opening the package and parsing its cells are measured beside it.
"""

import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from bomcheck.io import layout
from bomcheck.io.blank.template import build_job_workbook
from bomcheck.io.package import open_package
from bomcheck.io.read.job import job_of
from bomcheck.tables.fields import fields
from tests.helpers.jobs import GOOD

RUNS = 15
LINES = 300
HOSE = {"role": "hose", "end_a": "M10x1.0 bubble female", "end_b": "M10x1.0 banjo eye", "road_marked": "yes"}
SCREW = {"role": "bracket screw", "thread": "M12x1.5", "class": "10.9"}


def filled() -> dict[str, Any]:
    """The good corner with each of its ± typed, and a long price list."""
    sections: dict[str, Any] = {}
    halves = {key: field.plus_minus for key, field in fields().items() if field.takes_plus_minus and key in GOOD}
    for key, typed in GOOD.items():
        if key != "units":
            sections.setdefault(fields()[key].section, {})[key] = typed[0] if isinstance(typed, tuple) else typed
    return {**sections, "plus_minus": halves, "prices": [_line(number) for number in range(LINES)]}


def _line(number: int) -> dict[str, Any]:
    common = {"part_number": f"P-{number}", "description": "part", "supplier": "A", "unit": "each", "pack_size": 1}
    sizes = {"unit_price": 10 + number, "lead_days": 3, "side": "either", "length": 40 + number, "note": "stock"}
    return {**(HOSE if number % 2 else SCREW), **common, **sizes}


def best(work: Callable[[], object]) -> float:
    """Milliseconds of processor time, the best of the runs."""
    times = []
    for _ in range(RUNS):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return 1000 * min(times)


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "job.xlsx"
        build_job_workbook("metric", filled(), path)
        package = open_package(path)
        sheets = [name for name in package.sheet_names if name not in (layout.START, layout.LISTS)]
        opening, cells = best(lambda: open_package(path)), best(lambda: [package.cells(name) for name in sheets])
        whole = best(lambda: job_of(package))
    print(
        f"open the package {opening:.1f} ms, parse its cells {cells:.1f} ms, read the job on top {whole - cells:.1f} ms"
    )


if __name__ == "__main__":
    main()
