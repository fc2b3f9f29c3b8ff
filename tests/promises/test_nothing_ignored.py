"""Nothing typed is ignored: every filled cell is used, or named in a fault with its address."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any, cast

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bomcheck import notation
from bomcheck.io.cells import Cell, shortest
from bomcheck.io.package import Package
from bomcheck.io.read.job import job_of
from bomcheck.io.xml import column_letters, column_number
from bomcheck.model.errors import Fault, Unreadable, WorkbookError
from bomcheck.model.job import Job
from bomcheck.notation.units import spelled
from bomcheck.tables.fields import fields
from tests.faulty.making import job_bytes
from tests.helpers.jobs import GOOD

FORMS = ("Job", "Corner", "Kit", "System")
TABLES = ("Box contents", "On hand", "Price list")
INPUT = {"Value", "Unit", "±", "Your low", "Your high"}
JUNK = ("as standard", "12 parsecs", "330x28x4", "M12x1.5 left", "five", "maybe 42")


def filled() -> dict[str, Any]:
    """A job with every kind of sheet filled in, as the template's builder takes it."""
    sheets: dict[str, Any] = {"job": {}, "corner": {}, "kit": {}, "system": {}, "plus_minus": {}}
    for key, typed in GOOD.items():
        value, half = typed if isinstance(typed, tuple) else (typed, None)
        sheets[fields()[key].section][key] = value
        if half is not None:
            sheets["plus_minus"][key] = half
    del sheets["job"]["units"]
    screw = {"role": "bracket screw", "part_number": "S-1", "description": "screw", "unit": "each", "side": "either",
             "thread": "M12x1.5", "length": 40, "class": "10.9", "note": "new"}  # fmt: skip
    hose = {"role": "hose", "end_a": "M10x1.0 bubble female", "end_b": "M10x1.0 banjo eye", "length": 430,
            "road_marked": "yes", "thickness": 3, "inner_diameter": 4, "outer_diameter": 10}  # fmt: skip
    bought = {"supplier": "A", "unit_price": 4.5, "pack_size": 2, "lead_days": 3}
    return {
        **sheets,
        "box": [{**screw, "quantity": 4}, {**hose, "quantity": 2}],
        "shelf": [{**screw, "on_hand": 4}, {**hose, "on_hand": 1}],
        "prices": [{**screw, **bought}, {**hose, **bought}],
        "limits": {"pilot_clearance": (0.01, 0.3)},
    }


class Altered:
    """An opened workbook with other cells than in its file."""

    def __init__(self, changes: Mapping[str, Mapping[str, Cell | None]]) -> None:
        self.changes = changes

    def __getattr__(self, name: str) -> Any:
        return getattr(opened(), name)

    def cells(self, sheet: str) -> dict[str, Cell]:
        merged = {**cells_of(sheet), **self.changes.get(sheet, {})}
        return {address: cell for address, cell in merged.items() if cell is not None}

    table = cells


@cache
def opened() -> Package:
    return Package(Path("job.xlsx"), job_bytes(**filled()))


@cache
def cells_of(sheet: str) -> dict[str, Cell]:
    return opened().cells(sheet)


def read(changes: Mapping[str, Mapping[str, Cell | None]]) -> tuple[Job | None, tuple[Fault, ...]]:
    """The job, None where nothing can be read, and its faults."""
    try:
        job = job_of(cast(Package, Altered(changes)))
    except WorkbookError as error:
        return None, (error.fault,)
    return job, job.faults


@cache
def before() -> Job:
    job, faults = read({})
    assert job is not None
    assert not faults
    return job


def cell(address: str, content: str | float | bool, kind: str = "") -> Cell:
    """A cell as the package gives it."""
    letters, row = re.findall(r"[A-Z]+|\d+", address)
    if isinstance(content, str):
        return Cell(address, int(row), column_number(letters), kind or "text", content, content)
    text = str(content).upper() if isinstance(content, bool) else shortest(content)
    kind = "bool" if isinstance(content, bool) else "number"
    return Cell(address, int(row), column_number(letters), kind, content, text)


@cache
def inputs() -> tuple[tuple[str, str, str], ...]:
    """(sheet, address, heading) of every cell that a person may fill in, two empty rows of each sheet included."""
    return tuple(_inputs())


def _inputs() -> Iterator[tuple[str, str, str]]:
    for sheet in (*FORMS, *TABLES, "Limits"):
        cells = cells_of(sheet)
        headings = {c.column: c.text for c in cells.values() if c.row == 2}
        rows = sorted({c.row for c in cells.values() if c.row > 2})
        for row in (*rows, rows[-1] + 1, rows[-1] + 2):
            for column, heading in headings.items():
                if sheet in TABLES or heading in INPUT:
                    yield sheet, f"{column_letters(column)}{row}", heading


def named(sheet: str, address: str, faults: tuple[Fault, ...]) -> bool:
    """Whether a fault names the cell, a range that holds it, or says that its whole line of a table is not used."""
    letters, row = re.findall(r"[A-Z]+|\d+", address)
    for fault in faults:
        if fault.place.sheet != sheet:
            continue
        ends = [re.findall(r"[A-Z]+|\d+", end) for end in fault.place.cell.split(":")]
        (first, top), (last, bottom) = ends[0], ends[-1]
        inside = column_number(first) <= column_number(letters) <= column_number(last) and int(top) <= int(row) <= int(
            bottom
        )
        mentioned = re.search(rf"\b{address}\b", fault.wrong)
        if inside or mentioned or (fault.key == "role" and top == row):
            return True
    return False


def without_faults(job: Job) -> Job:
    return replace(job, faults=(), rejected={})


def says_nothing(one: Cell) -> bool:
    """Blanks and the like; a text that cannot be read at all says something, and must be named."""
    try:
        return one.kind == "text" and notation.is_blank(notation.plain(one.text))
    except Unreadable:
        return False


CONTENTS = st.one_of(
    st.floats(-1e4, 1e4).map(lambda value: float(f"{value:.4g}")),
    st.sampled_from([0.0, 1.0, 2.0, 5.0, 45.0, 66.6, 330.0]),
    st.sampled_from(
        [*JUNK, "yes", "M12x1.5", "5x112", "-3 37 male", "0.8x8", "42+38", "0:208; 60:206", "2.62 in", "0.001 in", "€5"]
    ),
    st.text(st.characters(categories=["L", "N", "P", "S", "Zs"]), min_size=1, max_size=12),
    st.booleans(),
)


def test_the_job_that_is_altered_is_clean_and_full() -> None:
    """The starting point has no fault and uses every sheet, so a difference comes from the altered cell."""
    job = before()
    assert len(job.values) > 100
    assert [len(table) for table in (job.box, job.shelf, job.prices, job.limits)] == [2, 2, 2, 1]
    assert len(inputs()) > 500


@settings(max_examples=250, deadline=None)
@given(st.data(), CONTENTS)
def test_any_cell_with_anything_in_it(data: st.DataObject, content: str | float | bool) -> None:
    """Whatever is typed into whichever input cell changes what the job says, or is named with its address."""
    sheet, address, heading = data.draw(st.sampled_from(inputs()))
    _require_not_ignored(sheet, heading, cell(address, content))


@pytest.mark.parametrize(
    ("kind", "content"), [("error", "#REF!"), ("date", "2026-10-01"), ("formula without value", "")]
)
def test_what_nobody_typed(kind: str, content: str) -> None:
    """Error values, dates and formulas without a result are named wherever they stand, or used as a text or a day."""
    for sheet, address, heading in inputs()[::9]:
        _require_not_ignored(sheet, heading, cell(address, content, kind))


def _require_not_ignored(sheet: str, heading: str, typed: Cell) -> None:
    old = cells_of(sheet).get(typed.address)
    if (
        says_nothing(typed)
        or (old is not None and (old.text == typed.text or (typed.value is True and old.text == "yes")))
        or (heading == "Unit" and spelled(typed.text))
    ):
        return
    job, faults = read({sheet: {typed.address: typed}})
    used = job is not None and without_faults(job) != without_faults(before())
    assert used or named(sheet, typed.address, faults), (sheet, typed, faults)


@pytest.mark.parametrize("junk", ["²", "①", "mm²", "6\u0336"])
def test_a_unit_that_cannot_be_read_is_named(junk: str) -> None:
    """In the unit's column, beside a value and beside none: one fault with its cell, no fault of the program."""
    units = [(sheet, address) for sheet, address, heading in inputs() if heading == "Unit"]
    for sheet, address in units[::40]:
        _require_not_ignored(sheet, "Unit", cell(address, junk))


@pytest.mark.parametrize("junk", JUNK)
@pytest.mark.parametrize("heading", ["Value", "±", "Unit", "Your low", "Your high"])
def test_every_cell_of_a_column_at_once(heading: str, junk: str) -> None:
    """The same nonsense in every cell of a column: each is used as text, or named; none of them hides another."""
    changes: dict[str, dict[str, Cell | None]] = {}
    for sheet, address, under in inputs():
        if under == heading:
            changes.setdefault(sheet, {})[address] = cell(address, junk)
    job, faults = read(changes)
    assert job is not None
    used = {(value.place.sheet, value.place.cell) for value in job.values.values() if value.typed == junk}
    for sheet, cells in changes.items():
        for address in cells:
            assert (sheet, address) in used or named(sheet, address, faults), (sheet, address, junk)


@pytest.mark.parametrize("junk", JUNK)
@pytest.mark.parametrize("sheet", TABLES)
def test_every_cell_of_a_table_at_once(sheet: str, junk: str) -> None:
    """The same nonsense in a whole table but its roles: each cell is used as text, or named."""
    cells = {a: cell(a, junk) for name, a, heading in inputs() if name == sheet and heading != "Role"}
    job, faults = read({sheet: dict(cells)})
    assert job is not None
    parts = {"Box contents": job.box, "On hand": job.shelf, "Price list": job.prices}[sheet]
    texts = {heading for name, _, heading in inputs() if name == sheet} & {
        "Part number",
        "Description",
        "Supplier",
        "Class",
        "Remark",
    }
    assert [(p.part_number, p.description, p.strength_class, p.note) for p in parts] == [(junk,) * 4] * 2
    for name, address, heading in inputs():
        if name == sheet and heading != "Role" and heading not in texts:
            assert named(sheet, address, faults), (address, heading)


def test_cells_beside_the_columns_are_named() -> None:
    """Notes typed beside the columns of a sheet are named as not used, all of them."""
    for sheet in (*FORMS, *TABLES, "Limits"):
        stray = {address: cell(address, "ask") for address in ("Z3", "Z5", "AB4")}
        _, faults = read({sheet: dict(stray)})
        assert all(named(sheet, address, faults) for address in stray)
        assert not any(fault.stops for fault in faults)
