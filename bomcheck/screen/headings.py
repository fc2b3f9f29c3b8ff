"""The first row of a table: which field each column is, its key or label, a ± of its own, a unit in brackets."""

import re
from dataclasses import field

import numpy as np

from bomcheck import notation
from bomcheck.engine.many.columns import Rows
from bomcheck.engine.many.lanes import Array
from bomcheck.io import layout
from bomcheck.io.read.value import WITH_UNIT, unit_beside
from bomcheck.model.errors import Fault
from bomcheck.model.records import dataclass
from bomcheck.screen.grids import Grid, fault, holds_something, refuse, seen
from bomcheck.tables.fields import Field, find_label, nearest_label

SECTIONS = {"corners": ("corner", "job", "system"), "kits": ("kit",)}
NAMES = {"corners": ("vehicle_label", "job_number", "customer_reference"), "kits": ("kit_number", "kit_label")}
OWN_NAME = {"corners": ("corner", "cornerid", "id", "name"), "kits": ("kit", "kitid", "id", "name")}
TELLS_APART = {"corners": "axle", "kits": "kit_revision"}
OF_RECORDS = ("Not agreed", "Kept on", "From job")
"""Columns of the shop's records that say how a row came there."""
OTHER = {"corners": "kits", "kits": "corners"}


@dataclass
class Table:
    """What was read: the rows, and every trouble on the way."""

    rows: Rows
    faults: list[Fault] = field(default_factory=list)


MOST_TROUBLES = 100_000  # entries that cannot be read; with more it is the wrong table


class Troubles:
    """file: for messages. faults: what was found. bad: rows that are left out, by their place; rows: their numbers."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.faults: list[Fault] = []
        self.rows: list[int] = []
        self.bad: Array = np.zeros(0, dtype=bool)

    def begin(self, rows: list[int]) -> None:
        """The rows that are going to be read."""
        self.rows, self.bad = rows, np.zeros(len(rows), dtype=bool)

    def column(self, kind: str, column: str, wrong: str, instead: str) -> None:
        """A column that is not used."""
        self.faults.append(fault(kind, self.file, column, "", wrong, instead, stops=False))

    def row(self, place: int, column: str, typed: str, kind: str, wrong: str, instead: str, key: str = "") -> None:
        """A row that is left out. Raises WorkbookError where they are too many to be named."""
        if len(self.faults) >= MOST_TROUBLES:
            raise refuse("too large", self.file, f"more than {MOST_TROUBLES:,} entries cannot be read", self.first())
        self.bad[place] = True
        where = f"row {self.rows[place]}, column {column}"
        self.faults.append(fault(kind, self.file, where, typed, f"{wrong}; the row is left out", instead, key))

    def in_order(self) -> list[Fault]:
        """What does not stop first, then row by row."""
        return sorted(self.faults, key=lambda one: (one.stops, _row_of(one)))

    def first(self) -> str:
        """The first trouble that left a row out, for a sentence."""
        first = next((one for one in self.faults if one.stops), None)
        return f"The first trouble: {first}".rstrip(".") if first else "Correct them"


def _row_of(one: Fault) -> int:
    found = re.match(r"row (\d+)", one.place.cell)
    return int(found[1]) if found else 0


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
class Headings:
    """columns: those that are fields. own: place of a column that only names the rows. meant: fields that a misspelled
    heading probably means."""

    columns: list[Heading] = field(default_factory=list)
    own: int | None = None
    meant: set[str] = field(default_factory=set)

    def name_places(self, kind: str) -> list[int]:
        """Places of the columns that may name a row, the first that is filled in counts."""
        places = {one.field.key: one.place for one in self.columns if not one.half}
        own = [] if self.own is None else [self.own]
        return [*own, *(places[key] for key in NAMES[kind] if key in places)]


def read_headings(grid: Grid, kind: str, troubles: Troubles) -> Headings:
    """All headings of a table. Raises WorkbookError where none is a field, or one stands twice."""
    found, texts = Headings(), dict[str, str]()
    for place, text in enumerate(grid.headings):
        if not text:
            _blank(grid, place, troubles)
        elif notation.plain(text).lower().replace("_", "").replace(" ", "") in OWN_NAME[kind]:
            found.own = place if found.own is None else found.own
        elif text in OF_RECORDS:
            continue
        elif (one := _heading(place, text, kind)) is None:
            _unknown(text, kind, found, troubles)
        elif one.field.reads:
            wrong = "this is read with one kit on the car and says nothing of another; the column is not used"
            troubles.column("not allowed here", f"column {text}", wrong, "Write it into the job workbook of that kit")
        else:
            _require_once(grid.file, one, texts)
            found.columns.append(one)
    if not found.columns:
        wrong = f"no heading of this table is a field of {kind}"
        instead = f"Begin with `bomcheck new --{kind}`; the first row holds the headings"
        raise refuse("heading missing", grid.file, wrong, instead)
    return found


def _blank(grid: Grid, place: int, troubles: Troubles) -> None:
    if holds_something(grid.columns[place]):
        wrong = "this column has no heading, so it is not used"
        troubles.column("heading missing", f"column {place + 1}", wrong, "Write the field's name above it")


def _require_once(file: str, one: Heading, texts: dict[str, str]) -> None:
    mark = f"{one.field.key}{'±' if one.half else ''}"
    if mark in texts:
        wrong = f"two columns are called {one.field.label}{' ±' if one.half else ''}"
        raise refuse("label used twice", file, wrong, "Keep one of them", f"columns {texts[mark]} and {one.text}")
    texts[mark] = one.text


def _parted(text: str) -> tuple[str, bool, str]:
    """(label, whether it is a ±, unit in brackets)."""
    halved = PLUS_MINUS.match(text)
    label, unit = layout.split_heading(halved[1] if halved else text)
    inner = None if halved else PLUS_MINUS.match(label)
    return (inner[1] if inner else label), bool(halved or inner), unit


def _heading(place: int, text: str, kind: str) -> Heading | None:
    label, half, unit = _parted(text)
    found = (find_label(label, section) for section in SECTIONS[kind])
    known = next((one for one in found if one is not None), None)
    return None if known is None else Heading(place, text, known, half, unit)


def _unknown(text: str, kind: str, found: Headings, troubles: Troubles) -> None:
    label, other = _parted(text)[0], OTHER[kind]
    if any(find_label(label, section) for section in SECTIONS[other]):
        wrong = f"this is a field of {other}, not of {kind}; the column is not used"
        troubles.column("not allowed here", f"column {text}", wrong, f"Move it to the table of {other}")
        return
    near = next((n for section in SECTIONS[kind] if (n := nearest_label(label, section))), None)
    if near:
        found.meant.add(near.key)
    instead = f'Did you mean "{near.label}"' if near else f"`bomcheck new --{kind}` gives all headings"
    troubles.column("unknown label", f"column {text}", "no field has this name; the column is not used", instead)


@dataclass
class Units:
    """file: for messages. typed: units of the second row by column. inside: whether figures are in internal units, as in
    Parquet without a row of units."""

    file: str
    typed: dict[int, str] = field(default_factory=dict)
    inside: bool = False

    def beside(self, heading: Heading) -> str | None:
        """The unit of bare figures of a column; None where nothing tells it. Raises WorkbookError for no such unit."""
        one = heading.field
        if one.notation not in WITH_UNIT:
            return None
        typed = heading.unit or self.typed.get(heading.place, "")
        if typed:
            name = unit_beside(one.unit, typed)
            if name is None:
                instead = f"Write {one.label} [{one.metric_unit}] or {one.label} [{one.inch_unit}]"
                wrong = f'"{typed}" is no unit of {one.label}'
                raise refuse("unknown unit", self.file, wrong, instead, f"column {heading.text}")
            return name
        if self.inside:
            return one.unit
        return (one.metric_unit or None) if one.metric_unit == one.inch_unit else None


def take_units(grid: Grid, headings: list[Heading], name_places: list[int]) -> Units:
    """The units of the second row, which is then no row of the table any more. Raises WorkbookError."""
    if not grid.rows:
        return Units(grid.file, inside=grid.typed)
    sized = [heading for heading in headings if heading.field.notation in WITH_UNIT]
    texts = {heading.place: seen(grid.columns[heading.place][0]) for heading in sized}
    names = [seen(grid.columns[place][0]) for place in name_places]
    if not _are_units([text for text in texts.values() if text], names):
        return Units(grid.file, inside=grid.typed)
    for heading in sized:
        _require_unit(grid, heading, texts[heading.place])
    grid.columns = [column[1:] for column in grid.columns]
    grid.rows = grid.rows[1:]
    return Units(grid.file, texts)


def _are_units(given: list[str], names: list[str]) -> bool:
    if not given or any(sign in "0123456789" for text in given for sign in text):
        return False
    return not any(names) or all(text.lower() in ("", "unit", "units", "-") for text in names)


def _require_unit(grid: Grid, heading: Heading, text: str) -> None:
    one = heading.field
    if text and unit_beside(one.unit, text) is None:
        instead = f"Write {one.metric_unit} or {one.inch_unit}"
        where = f"row {grid.rows[0]}, column {heading.text}"
        raise refuse("unknown unit", grid.file, f'"{text}" is no unit of {one.label}', instead, where)
