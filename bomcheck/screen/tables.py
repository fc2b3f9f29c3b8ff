"""Tables of corners and kits, read into rows: a column is a field, by its key or its label; a ± has a column of its own.

Units stand in the second row, in the heading's brackets or with the figure. A row that cannot be read is named with its column
and left out; the rest goes on.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from bomcheck import notation, units
from bomcheck.errors import Fault, Unreadable
from bomcheck.fields import Field, fields, find_label, nearest_label
from bomcheck.screen.columns import Column, Rows, coded
from bomcheck.screen.faults import fault, refuse
from bomcheck.screen.grids import Grid, is_job_workbook, read_grid
from bomcheck.screen.lanes import Array
from bomcheck.verdict.check import all_checks
from bomcheck.workbook import layout
from bomcheck.workbook.cells import Cell
from bomcheck.workbook.plausible import refuse_implausible
from bomcheck.workbook.read_plus_minus import read_plus_minus, takes_plus_minus
from bomcheck.workbook.read_value import (
    WITH_UNIT,
    own_unit,
    read_value,
    refuse_bare,
    says_nothing,
    text_of,
    unit_beside,
)

SECTIONS = {"corners": ("corner", "job", "system"), "kits": ("kit",)}
NAMES = {"corners": ("vehicle_label", "job_number", "customer_reference"), "kits": ("kit_number", "kit_label")}
OWN_NAME = {"corners": ("corner", "cornerid", "id", "name"), "kits": ("kit", "kitid", "id", "name")}
PLAIN_FIGURES = re.compile(r"[\d.\-\n]*")
PLUS_MINUS = re.compile(r"^(.*?)\s*(?:±|\+/-|\+-)\s*$")


@dataclass
class Heading:
    """One column of the table. half: whether it holds a field's ±. unit: in the heading's brackets, "" for none."""

    place: int
    text: str
    field: Field
    half: bool
    unit: str


@dataclass
class Table:
    """What was read: the rows, and every trouble on the way."""

    rows: Rows
    faults: list[Fault] = field(default_factory=list)


def read_rows(path: Path, kind: str) -> Table:
    """Corners or kits from a table, or from a job workbook as one of them. kind: "corners" or "kits"."""
    if is_job_workbook(path):
        from bomcheck.screen.one_job import row_of_job

        return row_of_job(path, kind)
    return Reader(read_grid(path), kind).table()


class Reader:
    """One table being read."""

    def __init__(self, grid: Grid, kind: str) -> None:
        self.grid, self.kind = grid, kind
        self.faults: list[Fault] = []
        self.meant: set[str] = set()
        self.headings = self._headings()
        self.units = self._unit_row()
        if not self.grid.rows:
            raise refuse("nothing filled in", grid.file, f"the table holds no {kind}", "Fill in a row for each")
        self.bad = np.zeros(len(self.grid.rows), dtype=bool)

    # headings and units -----------------------------------------------------------------------------------------

    def _headings(self) -> list[Heading]:
        found, seen = [], dict[str, str]()
        self.own: int | None = None
        for place, text in enumerate(self.grid.headings):
            if not text:
                self._blank_heading(place)
                continue
            if notation.plain(text).lower().replace("_", "").replace(" ", "") in OWN_NAME[self.kind]:
                self.own = place if self.own is None else self.own
                continue
            one = self._heading(place, text)
            if one is None:
                continue
            mark = f"{one.field.key}{'±' if one.half else ''}"
            if mark in seen:
                wrong = f"two columns are called {one.field.label}{' ±' if one.half else ''}"
                raise refuse(
                    "label used twice", self.grid.file, wrong, "Keep one of them", f"columns {seen[mark]} and {text}"
                )
            seen[mark] = text
            found.append(one)
        if not found:
            instead = f"Begin with `bomcheck new --{self.kind}`; the first row holds the headings"
            raise refuse(
                "heading missing", self.grid.file, f"no heading of this table is a field of {self.kind}", instead
            )
        return found

    def _blank_heading(self, place: int) -> None:
        column = self.grid.columns[place]
        if any(isinstance(cell, Cell) or cell for cell in column):
            self.faults.append(
                fault(
                    "heading missing",
                    self.grid.file,
                    f"column {place + 1}",
                    "",
                    "this column has no heading, so it is not used",
                    "Write the field's name above it",
                    stops=False,
                )
            )

    def _heading(self, place: int, text: str) -> Heading | None:
        halved = PLUS_MINUS.match(text)
        label, unit = layout.split_heading(halved[1] if halved else text)
        if not halved and (inner := PLUS_MINUS.match(label)):
            halved, label = inner, inner[1]
        for section in SECTIONS[self.kind]:
            known = find_label(label, section)
            if known is not None:
                return Heading(place, text, known, bool(halved), unit)
        self.faults.append(self._unknown(text, label))
        return None

    def _unknown(self, text: str, label: str) -> Fault:
        other = "kits" if self.kind == "corners" else "corners"
        for section in SECTIONS[other]:
            if find_label(label, section):
                wrong = f"this is a field of {other}, not of {self.kind}; the column is not used"
                return fault(
                    "not allowed here",
                    self.grid.file,
                    f"column {text}",
                    "",
                    wrong,
                    f"Move it to the table of {other}",
                    stops=False,
                )
        near = next((n for section in SECTIONS[self.kind] if (n := nearest_label(label, section))), None)
        if near:
            self.meant.add(near.key)
        instead = f'Did you mean "{near.label}"?' if near else f"`bomcheck new --{self.kind}` gives all headings"
        return fault(
            "unknown label",
            self.grid.file,
            f"column {text}",
            "",
            "no field has this name; the column is not used",
            instead.rstrip("?"),
            stops=False,
        )

    def _unit_row(self) -> dict[int, str]:
        """Units of the second row by column; the row is then no row of the table."""
        grid = self.grid
        if grid.typed or not grid.rows:
            return {}
        sized = [h for h in self.headings if h.field.notation in WITH_UNIT]
        texts = {h.place: _seen(grid.columns[h.place][0]) for h in sized}
        given = [text for text in texts.values() if text]
        names = [_seen(grid.columns[place][0]) for place in self._name_places()]
        if (
            not given
            or any(sign in "0123456789" for text in given for sign in text)
            or (any(names) and not _is_word_for_units(names))
        ):
            return {}
        for heading in sized:
            text = texts[heading.place]
            if text and unit_beside(heading.field.unit, text) is None:
                wrong = f'"{text}" is no unit of {heading.field.label}'
                instead = f"Write {heading.field.metric_unit} or {heading.field.inch_unit}"
                raise refuse("unknown unit", grid.file, wrong, instead, f"row {grid.rows[0]}, column {heading.text}")
        grid.columns = [column[1:] for column in grid.columns]
        grid.rows = grid.rows[1:]
        return texts

    def _name_places(self) -> list[int]:
        keys = NAMES[self.kind]
        places = {h.field.key: h.place for h in self.headings if not h.half and h.field.key in keys}
        return [*([self.own] if self.own is not None else []), *(places[key] for key in keys if key in places)]

    def _beside(self, heading: Heading) -> str | None:
        """The unit of bare figures of a column; None where nothing tells it."""
        one = heading.field
        if one.notation not in WITH_UNIT:
            return None
        typed = heading.unit or self.units.get(heading.place, "")
        if typed:
            name = unit_beside(one.unit, typed)
            if name is None:
                instead = f"Write {one.label} [{one.metric_unit}] or {one.label} [{one.inch_unit}]"
                raise refuse(
                    "unknown unit",
                    self.grid.file,
                    f'"{typed}" is no unit of {one.label}',
                    instead,
                    f"column {heading.text}",
                )
            return name
        if self.grid.typed:
            return one.unit
        return (one.metric_unit or None) if one.metric_unit == one.inch_unit else None

    # the rows -------------------------------------------------------------------------------------------------------

    def table(self) -> Table:
        """The rows that can be read, and what is wrong with the others."""
        columns: dict[str, Column] = {}
        halves = {h.field.key: h for h in self.headings if h.half}
        for heading in self.headings:
            if not heading.half:
                columns[heading.field.key] = self._column(heading, halves.pop(heading.field.key, None))
        for heading in halves.values():
            wrong = f"this ± stands beside no column {heading.field.label}; it is not used"
            self.faults.append(
                fault(
                    "part of it missing",
                    self.grid.file,
                    f"column {heading.text}",
                    "",
                    wrong,
                    "Add the column of the size",
                    stops=False,
                )
            )
        names = self._names()
        rows = Rows(names, columns, source=self.grid.file)
        kept = rows.take(np.flatnonzero(~self.bad))
        if not len(kept):
            raise refuse(
                "nothing filled in", self.grid.file, f"none of the {len(self.bad)} rows can be read", self._first_line()
            )
        kept.columns = {key: column for key, column in kept.columns.items() if column.known.any()}
        self._missing(kept)
        self.faults.sort(key=lambda one: (one.stops, _row_of(one)))
        return Table(kept, self.faults)

    def _first_line(self) -> str:
        first = next((one for one in self.faults if one.stops), None)
        return f"The first trouble: {first}".rstrip(".") if first else "Correct them"

    def _names(self) -> list[str]:
        places = self._name_places()
        if not places:
            wanted = fields()[NAMES[self.kind][0]].label
            wrong = f"no column names the {self.kind}"
            raise refuse(
                "heading missing", self.grid.file, wrong, f'Add a column "{wanted}" or "{OWN_NAME[self.kind][0]}"'
            )
        names, seen = [], dict[str, int]()
        for row, number in enumerate(self.grid.rows):
            name = next((text for place in places if (text := _seen(self.grid.columns[place][row]))), f"row {number}")
            if name in seen:
                self._refuse_row(
                    row,
                    self.grid.headings[places[0]],
                    name,
                    "label used twice",
                    f"row {seen[name]} has the same name",
                    "Give each its own name",
                )
            seen.setdefault(name, number)
            names.append(name)
        return names

    def _refuse_row(
        self, row: int, column: str, typed: str, kind: str, wrong: str, instead: str, key: str = ""
    ) -> None:
        self.bad[row] = True
        where = f"row {self.grid.rows[row]}, column {column}"
        self.faults.append(fault(kind, self.grid.file, where, typed, f"{wrong}; the row is left out", instead, key))

    def _column(self, heading: Heading, half: Heading | None) -> Column:
        beside = self._beside(heading)
        cells = self.grid.columns[heading.place]
        half_cells = None if half is None else self.grid.columns[half.place]
        if half is not None and not takes_plus_minus(heading.field):
            wrong = f"{heading.field.label} takes no ±; the column is not used"
            self.faults.append(
                fault("not allowed here", self.grid.file, f"column {half.text}", "", wrong, "Leave it out", stops=False)
            )
            half_cells = None
        half_unit = None if half is None else self._beside(half) or beside
        quick = self._quick(heading, cells, half_cells, beside, half_unit)
        return quick if quick is not None else self._careful(heading, cells, half_cells, beside, half_unit)

    def _quick(
        self, heading: Heading, cells: Any, halves: Any, beside: str | None, half_unit: str | None
    ) -> Column | None:
        """A column of nothing but plain figures of one unit, all plausible; None where it is not."""
        one = heading.field
        if one.notation not in ("number", "count") or (
            one.notation == "number" and beside is None and one.unit not in ("", "-")
        ):
            return None
        values = _figures(cells)
        spans = None if halves is None else _figures(halves)
        if values is None or (halves is not None and spans is None):
            return None
        values = _converted(values, beside, one.unit)
        known = ~np.isnan(values)
        plus_minus = np.where(known, one.plus_minus, 0.0)
        if spans is not None:
            spans = _converted(spans, half_unit, one.unit)
            if np.any(spans < 0) or np.any(~np.isnan(spans) & ~known) or _too_wide(one, spans):
                return None
            plus_minus = np.where(np.isnan(spans), plus_minus, spans)
        if not _plausible(one, values[known]):
            return None
        return Column(known, plus_minus, np.where(known, values, 0.0), whole=one.notation == "count")

    def _careful(self, heading: Heading, cells: Any, halves: Any, beside: str | None, half_unit: str | None) -> Column:
        """A column cell by cell; what is written alike is read once."""
        if halves is None and isinstance(cells, list) and all(type(cell) is str for cell in cells):
            return self._texts(heading, cells, beside, half_unit)
        count = len(self.grid.rows)
        known, plus_minus = np.zeros(count, dtype=bool), np.zeros(count)
        values: list[Any] = [None] * count
        memo: dict[Any, Any] = {}
        for row in range(count):
            cell, half = _as_cell(cells[row]), None if halves is None else _as_cell(halves[row])
            if cell is None:
                if half is not None and not says_nothing(half):
                    self._refuse_row(
                        row,
                        f"{heading.text} ±",
                        half.text,
                        "part of it missing",
                        "this ± stands beside no size",
                        "Type the size, or clear the ±",
                    )
                continue
            mark = (cell.kind, cell.text, None if half is None else (half.kind, half.text))
            if mark not in memo:
                memo[mark] = _read(heading.field, cell, half, beside, half_unit)
            found = memo[mark]
            if isinstance(found, Unreadable):
                self._refuse_row(
                    row, heading.text, cell.text, found.kind, found.wrong, found.instead, heading.field.key
                )
            elif found is not None:
                known[row], (values[row], plus_minus[row]) = True, found
        return _packed(heading.field, known, plus_minus, values)

    def _texts(self, heading: Heading, cells: list[str], beside: str | None, half_unit: str | None) -> Column:
        """A column of texts: each different one is read once."""
        different = list(dict.fromkeys(cells))
        which = np.array(
            list(map({text: place for place, text in enumerate(different)}.__getitem__, cells)), dtype=np.intp
        )
        typed = [_as_cell(text) for text in different]
        found = [None if cell is None else _read(heading.field, cell, None, beside, half_unit) for cell in typed]
        for place, one in enumerate(found):
            if isinstance(one, Unreadable):
                for row in np.flatnonzero(which == place).tolist():
                    self._refuse_row(
                        row, heading.text, cells[row].strip(), one.kind, one.wrong, one.instead, heading.field.key
                    )
        sound = [None if isinstance(one, Unreadable) else one for one in found]
        known = np.array([one is not None for one in sound], dtype=bool)
        plus_minus = np.array([0.0 if one is None else one[1] for one in sound])
        column = _packed(heading.field, known, plus_minus, [None if one is None else one[0] for one in sound])
        return column.take(which)

    def _missing(self, rows: Rows) -> None:
        """Columns without which every pair stays not known."""
        needed = [key for key in always_needed() if fields()[key].section in SECTIONS[self.kind]]
        lacking = [fields()[key].label for key in needed if key not in rows.columns and key not in self.meant]
        if lacking:
            wrong = f"missing or empty: {', '.join(lacking[:8])}{f' and {len(lacking) - 8} more' if len(lacking) > 8 else ''}; without them nothing can be said to fit"
            self.faults.append(
                fault(
                    "heading missing",
                    self.grid.file,
                    "columns",
                    "",
                    wrong,
                    f"Add them; `bomcheck new --{self.kind}` gives all headings",
                    stops=False,
                )
            )


@cache
def always_needed() -> tuple[str, ...]:
    """Typed fields that checks need whatever the arrangement."""
    known = fields()
    checks = [check for check in all_checks().values() if not check.when and not check.given]
    names = [name for check in checks for name in check.parameters if name not in check.defaults]
    return tuple(dict.fromkeys(name for name in names if name in known))


def _read(one: Field, cell: Cell, half: Cell | None, beside: str | None, half_unit: str | None) -> Any:
    """(value, ±) of one cell; None for a blank; the trouble itself where it cannot be read."""
    try:
        if says_nothing(cell):
            return None
        if one.notation == "text" and cell.kind == "text":
            return text_of(one, cell), 0.0
        unit = beside
        if one.notation in WITH_UNIT:
            refuse_bare(one, cell, beside)
            unit = own_unit(cell, one.unit) or beside
        value = read_value(one, cell, beside)
        if value is None:
            return None
        refuse_implausible(one, value, cell.text, unit, "")
        return value, read_plus_minus(one, value, cell, half, half_unit)[0]
    except Unreadable as bad:
        return bad


def _packed(one: Field, known: Array, plus_minus: Array, values: list[Any]) -> Column:
    if one.notation in ("number", "count"):
        return Column(
            known, plus_minus, np.array([0.0 if v is None else float(v) for v in values]), whole=one.notation == "count"
        )
    codes, objects = coded(values, known)
    return Column(known, plus_minus, codes=codes, objects=objects)


def _figures(cells: Any) -> Array | None:
    """Plain decimal figures, NaN for blanks; None where something else stands among them."""
    if isinstance(cells, np.ndarray):
        return cells
    texts = [cell if isinstance(cell, str) else cell.text if cell.kind == "number" else "x" for cell in cells]
    if not PLAIN_FIGURES.fullmatch("\n".join(texts)):
        return None
    try:
        return np.array([text or "nan" for text in texts], dtype=float)
    except ValueError:
        return None


def _converted(values: Array, beside: str | None, unit: str) -> Array:
    inside = units.named(unit)
    typed = units.find(beside, inside.quantity) if beside and inside else None
    if typed is None or inside is None or typed == inside:
        return values
    different, which = np.unique(values, return_inverse=True)
    table = np.array(
        [value if np.isnan(value) else units.convert(value, typed, inside) for value in different.tolist()]
    )
    found: Array = table[which.reshape(values.shape)]
    return found


def _plausible(one: Field, values: Array) -> bool:
    if one.notation == "count" and (np.any(values < 0) or np.any(values != np.floor(values))):
        return False
    if one.low is None or one.high is None or not len(values):
        return one.unit != "%"
    return bool(values.min() >= one.low and values.max() <= one.high)


def _too_wide(one: Field, spans: Array) -> bool:
    if one.low is None or one.high is None:
        return False
    return bool(np.any(spans > (one.high - one.low) / 2))


def _as_cell(cell: Any) -> Cell | None:
    if isinstance(cell, Cell):
        return cell
    if isinstance(cell, float):
        return None if np.isnan(cell) else Cell("", 0, 0, "number", cell, f"{cell:.15g}")
    text = cell.strip()
    return Cell("", 0, 0, "text", text, text) if text else None


def _seen(cell: Any) -> str:
    if isinstance(cell, Cell):
        return cell.text.strip()
    return cell.strip() if isinstance(cell, str) else "" if np.isnan(cell) else f"{cell:.15g}"


def _is_word_for_units(names: list[str]) -> bool:
    return all(text.lower() in ("", "unit", "units", "-") for text in names)


def _row_of(one: Fault) -> int:
    found = re.match(r"row (\d+)", one.place.cell)
    return int(found[1]) if found else 0


Convert = Callable[[float], float]
