"""Short ways to read a job workbook that exists only in memory."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from bomcheck.io.package import Package
from bomcheck.io.read.job import job_of
from bomcheck.model.errors import Fault
from bomcheck.model.job import Job
from tests.faulty.jobs import cell_of, sheet_of
from tests.faulty.making import Put, job_bytes, number, text, with_cells

NAME = Path("job.xlsx")


def read_bytes(data: bytes, side: str | None = None) -> Job:
    return job_of(Package(NAME, data), side)


def read(units: str = "metric", /, **changes: Any) -> Job:
    """The good job with changes, as the template's builder takes them."""
    return read_bytes(job_bytes(units, **changes))


def read_cells(cells: Mapping[str, Put]) -> Job:
    """The good job with cells replaced, by "Sheet!B12"."""
    return read_bytes(with_cells(cells))


def read_row(key: str, value: float | str | Put, unit: str | None = None, half: float | str | None = None) -> Job:
    """The good job with a field's row filled in: value, unit and ± as typed; None leaves the cell as it is."""
    cells = {"Value": value, "Unit": unit, "±": half}
    made = {
        f"{sheet_of(key)}!{cell_of(key, heading)}": _put(typed) for heading, typed in cells.items() if typed is not None
    }
    return read_cells(made)


def _put(typed: float | str | Put) -> Put:
    if isinstance(typed, Put):
        return typed
    return text(typed) if isinstance(typed, str) else number(typed)


def only_fault(job: Job) -> Fault:
    (fault,) = job.faults
    return fault
