"""Tables of corners and kits, read into rows: a column is a field, by its key or its label; a ± has a column of its own.

Units stand in the second row, in the heading's brackets or with the figure. A row that cannot be read is named with its column
and left out; the rest goes on.
"""

from functools import cache
from pathlib import Path

import numpy as np

from bomcheck.io.package import open_package
from bomcheck.io.read.field_cells import takes_plus_minus
from bomcheck.rules import all_checks
from bomcheck.screen.columns import Column, Rows
from bomcheck.screen.entries import seen
from bomcheck.screen.entry_columns import ByEntry
from bomcheck.screen.faults import refuse
from bomcheck.screen.grid_book import from_package, is_job_workbook, may_be_job
from bomcheck.screen.grids import Grid, read_grid
from bomcheck.screen.headings import Heading, read_headings
from bomcheck.screen.plain_figures import plain_figures
from bomcheck.screen.table_kinds import NAMES, OWN_NAME, SECTIONS, Table
from bomcheck.screen.troubles import Troubles
from bomcheck.screen.unit_row import take_units
from bomcheck.tables.fields import fields

SHOWN = 8  # missing columns that one line names


def read_rows(path: Path, kind: str) -> Table:
    """Corners or kits from a table, or from a job workbook as one of them. kind: "corners" or "kits"."""
    if not may_be_job(path):
        return Reader(read_grid(path), kind).table()
    package = open_package(path)
    if not is_job_workbook(package):
        return Reader(from_package(package), kind).table()
    from bomcheck.screen.one_job import row_of_job

    return row_of_job(path, kind)


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
        for place, number in enumerate(self.grid.rows):
            texts = (seen(self.grid.columns[column][place]) for column in places)
            name = next(filter(None, texts), f"row {number}")
            if name in rows:
                wrong, heading = f"row {rows[name]} has the same name", self.grid.headings[places[0]]
                self.troubles.row(place, heading, name, "label used twice", wrong, "Give each its own name")
            rows.setdefault(name, number)
            names.append(name)
        return names

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
