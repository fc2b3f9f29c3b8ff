"""Tables of corners and kits, read into rows: a column is a field, by its key or its label; a ± has a column of its own.

Units stand in the second row, in the heading's brackets or with the figure. A row that cannot be read is named with its column
and left out; the rest goes on.
"""

import gc
import os
import re
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from datetime import date
from functools import cache
from multiprocessing import get_context
from pathlib import Path

import numpy as np

from bomcheck.engine.many.columns import Column, Rows, rows_of
from bomcheck.io.package import Package, open_package
from bomcheck.io.read.field_cells import takes_plus_minus
from bomcheck.model.errors import Fault, WorkbookError
from bomcheck.model.job import Job, Part, Value
from bomcheck.model.records import dataclass
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
from bomcheck.tables.fields import fields, find_label, plain


def rows_of_job(path: Path, kind: str) -> Table:
    """The corners of a job workbook with its limits, price list and shelf; or its kits, each with its box. Raises WorkbookError
    where a cell of it must be corrected first."""
    from bomcheck.io.read.job import read_job

    job, _ = read_job(path)
    known, jobs = fields(), [*(job.axles or (job,))]
    if kind == "kits":
        jobs = [one for it in sorted((job, *job.kits), key=lambda it: it.kit) for one in it.each_axle]
        jobs = list({(str(one.get("kit_number")), one.box): one for one in jobs}.values())
    for bad in (one for one in job.faults if one.stops and (not one.key or known[one.key].section in SECTIONS[kind])):
        raise refuse(bad.kind, path.name, bad.wrong, bad.instead, str(bad.place).partition(": ")[2], bad.typed)
    mine = {key for key, one in known.items() if one.section in SECTIONS[kind] and not one.reads}
    values = [{key: value for key, value in one.values.items() if key in mine} for one in jobs]
    names = [_name(one, own, kind, path.stem) for one, own in zip(jobs, values, strict=True)]
    faults = [fault for fault in job.faults if not fault.stops]
    if kind == "kits":
        boxes = {place: one.box for place, one in enumerate(jobs) if one.box}
        return Table(rows_of(names, values, boxes=boxes, source=path.name), faults)
    return Table(
        rows_of(names, values, prices=job.prices, shelf=job.shelf, limits=job.limits, source=path.name), faults
    )


def _name(job: Job, values: Mapping[str, Value], kind: str, otherwise: str) -> str:
    """What a row is called; corners of one car with their place, kits without a number with their letter."""
    name = next((str(values[key].value) for key in NAMES[kind] if key in values), "")
    if kind == "corners":
        return ", ".join(filter(None, (name or otherwise, job.place)))
    return name or f"{otherwise} {job.kit}".strip()


def with_boxes(table: Table, package: Package) -> Table:
    """The kits with what a sheet Box contents beside their table says: each line begins with the number of its kit, and its
    revision where the table tells kits apart by it."""
    from bomcheck.io import layout
    from bomcheck.io.read.found import Context, Found
    from bomcheck.io.read.tables import read_table

    sheet = next((name for name in package.sheet_names if plain(name) == plain(layout.BOX)), "")
    cells = package.cells(sheet) if sheet else {}
    heads = {cell.column: layout.split_heading(cell.text)[0] for cell in cells.values() if cell.row == 1}
    owner: dict[int, dict[str, str]] = {}
    for cell in (one for one in cells.values() if one.row > 1):
        for key in (key for key in OWNER if plain(heads.get(cell.column, "")) == plain(fields()[key].label)):
            owner.setdefault(cell.row, {})[key] = plain(cell.text)
    units = {cell.row for cell in cells.values() if cell.row == 2} - owner.keys()
    ours = {
        at: one for at, one in cells.items() if find_label(heads.get(one.column, ""), "part") and one.row not in units
    }
    rows, found = table.rows, Found(package.file, sheet)
    kits = [{key: plain(_said(rows, key, row)) for key in OWNER} for row in range(len(rows))]
    for line in read_table(found, Context(package.file, "metric"), layout.BOX, ours) if ours else ():
        where = line.part.place.cell
        of = owner.get(int(re.sub(r"\D", "", where)), {})
        mine = [row for row, kit in enumerate(kits) if of and all(kit[key] == text for key, text in of.items())]
        for row in mine:
            rows.boxes[row] = (*rows.boxes.get(row, ()), line.part)
        if not mine:
            wrong = "no kit of the table has this number" if of else "this line has no kit number"
            instead = "Type the number of its kit in the first column"
            found.remark("unknown label", where, line.part.role, f"{wrong}; it is not used", instead)
    return Table(rows, [*table.faults, *found.faults])


OWNER = ("kit_number", "kit_revision")


def _said(rows: Rows, key: str, row: int) -> str:
    value = rows.value(key, row)
    return str(value.value) if value else rows.names[row] if key == "kit_number" else ""


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
    if is_job_workbook(package):
        return rows_of_job(path, kind)
    table = Reader(from_package(package, kind), kind).table()
    return with_boxes(table, package) if kind == "kits" else table


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
