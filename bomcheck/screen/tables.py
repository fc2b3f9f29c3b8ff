"""Tables of corners and kits, read into rows: a column is a field, by its key or its label; a ± has a column of its own.

Units stand in the second row, in the heading's brackets or with the figure. A row that cannot be read is named with its column
and left out; the rest goes on.
"""

import gc
import os
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from functools import cache
from multiprocessing import get_context
from pathlib import Path

import numpy as np

from bomcheck.engine.many.columns import Column, Rows, rows_of
from bomcheck.io.package import open_package
from bomcheck.io.read.field_cells import takes_plus_minus
from bomcheck.model.errors import Fault, WorkbookError
from bomcheck.model.job import Job, Part
from bomcheck.rules import all_checks
from bomcheck.screen.books import from_book, from_package, is_job_workbook, may_be_job
from bomcheck.screen.entries import ByEntry, plain_figures
from bomcheck.screen.grids import BOOKS, PARQUET, TEXTS, WAYS, Grid, from_parquet, from_text, refuse, seen
from bomcheck.screen.headings import (
    NAMES,
    OWN_NAME,
    SECTIONS,
    TELLS_APART,
    Heading,
    Table,
    Troubles,
    read_headings,
    take_units,
)
from bomcheck.tables.fields import fields


def row_of_job(path: Path, kind: str) -> Table:
    """The corner of a job workbook with its limits, price list and shelf; or its kit with the box. Raises WorkbookError
    where a cell of it must be corrected first."""
    from bomcheck.io.read.job import read_job

    job, _ = read_job(path)
    return Table(rows_of_job(job, path, kind), [fault for fault in job.faults if not fault.stops])


def rows_of_job(job: Job, path: Path, kind: str) -> Rows:
    """One row of a job that was read."""
    known = fields()
    stopping = next(
        (one for one in job.faults if one.stops and (not one.key or known[one.key].section in SECTIONS[kind])), None
    )
    if stopping is not None:
        raise refuse(
            stopping.kind,
            path.name,
            stopping.wrong,
            stopping.instead,
            str(stopping.place).partition(": ")[2],
            stopping.typed,
        )
    mine = [key for key in job.values if key in known and known[key].section in SECTIONS[kind] and not known[key].reads]
    values = {key: job.values[key] for key in mine}
    name = next((str(values[key].value) for key in NAMES[kind] if key in values), path.stem)
    if kind == "kits":
        return rows_of([name], [values], boxes={0: job.box} if job.box else {}, source=path.name)
    return rows_of([name], [values], prices=job.prices, shelf=job.shelf, limits=job.limits, source=path.name)


FORMS = {".csv": "csv", ".jsonl": "json", ".xlsx": "block", ".parquet": "block"}


@dataclass
class Asked:
    """What the command was told. out: a file, or None for standard output. parts: None: where the pairs are few."""

    corners: Path
    kits: Path
    out: Path | None = None
    as_json: bool = False
    passers: bool = False
    parts: bool | None = None
    prices: Path | None = None
    scheduler: str = ""
    processes: int | None = None
    today: date | None = None

    @property
    def form(self) -> str:
        """The form in which answers are wanted: "csv", "json" or "block". Raises WorkbookError for a file of no such form."""
        if self.out is None:
            return "json" if self.as_json else "csv"
        form = FORMS.get(self.out.suffix.lower())
        if form is None:
            wrong = "the result cannot be written in this form"
            raise refuse("file", self.out.name, wrong, "Name it .xlsx, .csv, .jsonl or .parquet")
        return form


SHOWN = 8  # missing columns that one line names


def read_rows(path: Path, kind: str) -> Table:
    """Corners or kits from a table, or from a job workbook as one of them. kind: "corners" or "kits"."""
    if not may_be_job(path):
        return Reader(read_grid(path), kind).table()
    package = open_package(path)
    if not is_job_workbook(package):
        return Reader(from_package(package, kind), kind).table()

    return row_of_job(path, kind)


def read_grid(path: Path) -> Grid:
    """The table in a file, or in a folder of Parquet files. Raises WorkbookError."""
    if not path.exists():
        raise refuse("file", path.name, "there is no such file", "Check the name and the folder")
    return _reader(path)(path)


def _reader(path: Path) -> Callable[[Path], Grid]:
    kind = path.suffix.lower()
    if path.is_dir() or kind in PARQUET:
        return from_parquet
    if kind in TEXTS:
        return from_text
    if kind in BOOKS:
        return from_book
    raise refuse("file", path.name, "this kind of file is not read", WAYS)


class Reader:
    """One table being read."""

    def __init__(self, grid: Grid, kind: str) -> None:
        self.grid, self.kind = grid, kind
        self.troubles = Troubles(grid.file)
        self.headings = read_headings(grid, kind, self.troubles)
        self.name_places = self.headings.name_places(kind)
        self.units = take_units(grid, self.headings.columns, self.name_places)
        if not grid.rows:
            raise refuse("nothing filled in", grid.file, f"the table holds no {kind}", "Fill in a row for each")
        self.troubles.begin(grid.rows)

    def table(self) -> Table:
        """The rows that can be read, and what is wrong with the others."""
        rows = Rows(columns=self._columns(), names=self._names(), source=self.grid.file)
        kept = rows.take(np.flatnonzero(~self.troubles.bad))
        if not len(kept):
            wrong = f"none of the {len(self.grid.rows)} rows can be read"
            raise refuse("nothing filled in", self.grid.file, wrong, self.troubles.first())
        kept.columns = {key: column for key, column in kept.columns.items() if column.known.any()}
        self._name_missing(kept)
        return Table(kept, self.troubles.in_order())

    def _columns(self) -> dict[str, Column]:
        halves = {one.field.key: one for one in self.headings.columns if one.half}
        sizes = [one for one in self.headings.columns if not one.half]
        columns = {one.field.key: self._column(one, halves.pop(one.field.key, None)) for one in sizes}
        for one in halves.values():
            wrong = f"this ± stands beside no column {one.field.label}; it is not used"
            self.troubles.column("part of it missing", f"column {one.text}", wrong, "Add the column of the size")
        return columns

    def _column(self, heading: Heading, half: Heading | None) -> Column:
        beside = self.units.beside(heading)
        half_unit = (self.units.beside(half) or beside) if half else None
        if half and not takes_plus_minus(heading.field):
            wrong = f"{heading.field.label} takes no ±; the column is not used"
            self.troubles.column("not allowed here", f"column {half.text}", wrong, "Leave it out")
            half = None
        entries = self.grid.columns[heading.place]
        halves = self.grid.columns[half.place] if half else None
        quick = plain_figures(heading.field, entries, halves, beside, half_unit)
        return quick or ByEntry(heading, self.troubles, beside, half_unit, half.text if half else "").column(
            entries, halves
        )

    def _names(self) -> list[str]:
        places = self.name_places
        if not places:
            wanted = fields()[NAMES[self.kind][0]].label
            instead = f'Add a column "{wanted}" or "{OWN_NAME[self.kind][0]}"'
            raise refuse("heading missing", self.grid.file, f"no column names the {self.kind}", instead)
        names, rows = [], dict[str, int]()
        for place, (number, name) in enumerate(zip(self.grid.rows, self._told_apart(places), strict=True)):
            if name in rows:
                wrong, heading = f"row {rows[name]} has the same name", self.grid.headings[places[0]]
                self.troubles.row(place, heading, name, "label used twice", wrong, "Give each its own name")
            rows.setdefault(name, number)
            names.append(name)
        return names

    def _told_apart(self, places: list[int]) -> list[str]:
        """A name for each row; where two rows have one, with the axle of the car or the kit's revision behind it."""
        texts = [[seen(self.grid.columns[column][at]) for column in places] for at in range(len(self.grid.rows))]
        names = [next(filter(None, row), f"row {n}") for row, n in zip(texts, self.grid.rows, strict=True)]
        second = next((one.place for one in self.headings.columns if one.field.key == TELLS_APART[self.kind]), None)
        if second is None or len(set(names)) == len(names):
            return names
        count = Counter(names)
        more = [seen(entry) for entry in self.grid.columns[second]]
        return [f"{n}, {m}" if count[n] > 1 and m else n for n, m in zip(names, more, strict=True)]

    def _name_missing(self, rows: Rows) -> None:
        """Columns without which every pair stays not known."""
        needed = [key for key in always_needed() if fields()[key].section in SECTIONS[self.kind]]
        given = rows.columns.keys() | self.headings.meant
        lacking = [fields()[key].label for key in needed if key not in given]
        if lacking:
            more = f" and {len(lacking) - SHOWN} more" if len(lacking) > SHOWN else ""
            wrong = f"missing or empty: {', '.join(lacking[:SHOWN])}{more}; without them nothing can be said to fit"
            instead = f"Add them; `bomcheck new --{self.kind}` gives all headings"
            self.troubles.column("heading missing", "columns", wrong, instead)


@cache
def always_needed() -> tuple[str, ...]:
    """Typed fields that checks need whatever the arrangement."""
    known = fields()
    checks = [check for check in all_checks().values() if not check.when and not check.requires]
    names = [name for check in checks for name in check.parameters if name not in check.defaults]
    return tuple(dict.fromkeys(name for name in names if name in known))


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
