"""Both tables of a screening, and the price list of a job workbook beside them."""

import gc
import os
from collections.abc import Iterator
from contextlib import contextmanager
from multiprocessing import get_context
from pathlib import Path

from bomcheck.model.errors import Fault, WorkbookError
from bomcheck.model.job import Part
from bomcheck.screen.asked import Asked
from bomcheck.screen.table_kinds import Table
from bomcheck.screen.tables import read_rows

LARGE_FILE = 1_000_000  # bytes


def read_both(asked: Asked, processes: int) -> tuple[Table, Table]:
    """Corners and kits. Raises WorkbookError."""
    with no_looking_for_garbage():
        large = all(path.is_file() and path.stat().st_size > LARGE_FILE for path in (asked.corners, asked.kits))
        if large and processes > 1 and hasattr(os, "fork"):
            corners, kits = _side_by_side(asked)
        else:
            corners, kits = read_rows(asked.corners, "corners"), read_rows(asked.kits, "kits")
        if asked.prices is not None:
            corners.rows.prices = (*corners.rows.prices, *_prices(asked.prices))
    return corners, kits


@contextmanager
def no_looking_for_garbage() -> Iterator[None]:
    """What is read stays to the end, so Python need not look through it again and again."""
    looks = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if looks:
            gc.freeze()
            gc.enable()


def _side_by_side(asked: Asked) -> tuple[Table, Table]:
    """The corners in a process of their own meanwhile."""
    with get_context("fork").Pool(1) as pool:
        waiting = pool.apply_async(read_or_fault, (asked.corners, "corners"))
        kits = read_or_fault(asked.kits, "kits")
        corners = waiting.get()
    return _sound(corners), _sound(kits)


def read_or_fault(path: Path, kind: str) -> Table | Fault:
    """A table, or what is wrong with it; an exception with parts does not pass from one process to another."""
    try:
        return read_rows(path, kind)
    except WorkbookError as error:
        return error.fault


def _sound(read: Table | Fault) -> Table:
    if isinstance(read, Fault):
        raise WorkbookError(read)
    return read


def _prices(path: Path) -> tuple[Part, ...]:
    from bomcheck.io.read.job import read_job

    job, _ = read_job(path)
    return job.prices
