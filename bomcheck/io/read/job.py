"""Which tabs of a workbook are which sheets of a job, and tabs whose names are nearly right."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from bomcheck.io import layout
from bomcheck.io.mark import own_sheets
from bomcheck.io.package import Package, open_package
from bomcheck.io.read.contradictions import both_sides, find_contradictions, hold_what_box_denies, unused_side
from bomcheck.io.read.field_cells import read_fields
from bomcheck.io.read.found import Context, Found
from bomcheck.io.read.limits_and_terms import read_limits, read_terms
from bomcheck.io.read.measured import read_measured, take_measured
from bomcheck.io.read.own import kept_from
from bomcheck.io.read.tables import PartLine, drop_prices_that_disagree, one_spelling, read_table
from bomcheck.io.refusal import refuse
from bomcheck.model.errors import Fault, Place, WorkbookError
from bomcheck.model.job import Job, Part, Terms, TypedLimit, Value
from bomcheck.tables.fields import fields, plain

NEEDED = (layout.CORNER, layout.KIT)
READ = (*layout.FIELD_SHEETS, *layout.TABLES, layout.TERMS, layout.LIMITS, *layout.SIDE_SHEETS.values())
SET_ASIDE = (layout.START, layout.LISTS)
NEAR_ENOUGH = 0.75


def find_sheets(package: Package) -> tuple[dict[str, str], list[Fault]]:
    """(name of the tab by our name, faults). Raises WorkbookError where the corner or the kit is missing."""
    names = [sheet.name for sheet in package.sheets if sheet.kind == "worksheet"]
    tabs: dict[str, str] = {}
    for name in names:
        ours = next((one for one in READ if plain(one) == plain(name)), None)
        if ours and (ours not in tabs or name == ours):
            tabs[ours] = name
    written = {sheet.name for sheet in own_sheets(package).values()}
    others = [name for name in names if name not in tabs.values() and name not in written]
    others = [name for name in others if plain(name) not in [plain(one) for one in SET_ASIDE]]
    _require(package.file, tabs, others)
    return tabs, list(_nearly(package.file, tabs, others))


def _require(file: str, tabs: dict[str, str], others: list[str]) -> None:
    for ours in NEEDED:
        if ours in tabs or (ours == layout.CORNER and any(side in tabs for side in layout.SIDE_SHEETS.values())):
            continue
        raise _missing(file, ours, next((name for name in others if _near(name, [ours])), None))


def _missing(file: str, ours: str, near: str | None) -> WorkbookError:
    wrong = f'there is no sheet named "{ours}"'
    if near:
        instead = f'Did you mean this one? Rename it to "{ours}"'
        return refuse("sheet missing", file, wrong, instead, typed=near, sheet=near)
    return refuse("sheet missing", file, wrong, "Copy it from a new template, or start from one with: bomcheck new")


def _nearly(file: str, tabs: dict[str, str], others: list[str]) -> Iterable[Fault]:
    """Tabs that are probably meant to be read: a missing sheet misspelt, or the copy of one that is there."""
    for name in others:
        missing = _near(name, [ours for ours in READ if ours not in tabs and ours not in layout.SIDE_SHEETS.values()])
        side = _near(name, [one for one in layout.SIDE_SHEETS.values() if one not in tabs], 0.85)
        meant = missing or side
        there = _near(name, list(tabs), 0.85)
        place = Place(file, name)
        if meant:
            wrong = f'this is not the name of a sheet that is read; there is no "{meant}"'
            yield Fault("sheet missing", place, name, wrong, f'Did you mean "{meant}"? Rename the sheet')
        elif there:
            wrong = f'this sheet was not read; "{tabs[there]}" was'
            yield Fault("not allowed here", place, name, wrong, "Nothing to do if it is a copy of your own", "", False)


def _near(name: str, ours: list[str], enough: float = NEAR_ENOUGH) -> str | None:
    by_plain = {plain(one): one for one in ours}
    near = get_close_matches(plain(name), by_plain, 1, enough)
    if near:
        return by_plain[near[0]]
    return next(
        (one for short, one in by_plain.items() if enough == NEAR_ENOUGH and plain(name).startswith(short)), None
    )


@dataclass
class Sheets:
    """All sheets of a workbook as they were read, before they are put together. forms, tables: by our sheet names. own:
    what was typed in our own lists."""

    file: str
    context: Context
    faults: list[Fault]
    forms: dict[str, Found] = field(default_factory=dict)
    tables: dict[str, tuple[Found, list[PartLine]]] = field(default_factory=dict)
    limits: tuple[Found, dict[str, TypedLimit]] | None = None
    terms: tuple[Found, tuple[Terms, ...]] | None = None
    own: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    measured: Found | None = None

    @property
    def sides(self) -> dict[str, Found]:
        """The corner's own sheet of a side, by "left" and "right"."""
        return {side: self.forms[name] for side, name in layout.SIDE_SHEETS.items() if name in self.forms}

    @property
    def stated_side(self) -> str | None:
        """The one side that the Job sheet names, None for both or where it names none."""
        job = self.forms.get(layout.JOB)
        stated = job.values.get("corner_side") if job else None
        return str(stated.value) if stated is not None and stated.value in layout.SIDE_SHEETS else None

    def lines(self, table: str) -> list[PartLine]:
        """The lines of a table by our sheet name; none where the sheet is missing."""
        return self.tables[table][1] if table in self.tables else []

    def parts(self, table: str) -> tuple[Part, ...]:
        """The parts of a table."""
        return tuple(line.part for line in self.lines(table))


def read_sheets(package: Package) -> Sheets:
    """Reads every sheet of a job. Raises WorkbookError where the corner or the kit is missing."""
    tabs, faults = find_sheets(package)
    sheets = Sheets(package.file, Context(package.file), faults, own=kept_from(package))
    _read_forms(sheets, package, tabs)
    sheets.measured = read_measured(package, sheets.context)
    for ours in layout.TABLES:
        if ours in tabs:
            found = Found(package.file, tabs[ours])
            sheets.tables[ours] = found, read_table(found, sheets.context, ours, package.cells(tabs[ours]))
    if layout.PRICES in sheets.tables:
        found, lines = sheets.tables[layout.PRICES]
        sheets.tables[layout.PRICES] = found, one_spelling(drop_prices_that_disagree(found, lines))
    if layout.TERMS in tabs:
        found = Found(package.file, tabs[layout.TERMS])
        cells = package.cells(tabs[layout.TERMS])
        sheets.terms = found, read_terms(found, sheets.context, cells, sheets.parts(layout.PRICES))
    if layout.LIMITS in tabs:
        found = Found(package.file, tabs[layout.LIMITS])
        sheets.limits = found, read_limits(found, package.cells(tabs[layout.LIMITS]))
    return sheets


def _read_forms(sheets: Sheets, package: Package, tabs: dict[str, str]) -> None:
    """The sheets of fields, the Job sheet first: it says in which units the others are."""
    forms = {**layout.FIELD_SHEETS, **dict.fromkeys(layout.SIDE_SHEETS.values(), "corner")}
    for ours, section in forms.items():
        if ours in tabs:
            found = sheets.forms[ours] = Found(package.file, tabs[ours])
            read_fields(found, sheets.context, section, package.cells(tabs[ours]))
        if ours == layout.JOB:
            sheets.context = _context(package.file, sheets.forms.get(ours))


def _context(file: str, job: Found | None) -> Context:
    """What the Job sheet says of all others."""
    if job is None:
        return Context(file)
    said = {key: str(job.values[key].value) for key in ("units", "currency") if key in job.values}
    return Context(file, said.get("units", ""), said.get("currency", ""))


FILLED_BEFOREHAND = {"units"}


def read_job(path: Path, side: str | None = None) -> tuple[Job, Package]:
    """The job in a workbook, and the opened workbook. Raises WorkbookError where nothing of it can be read.

    side: "left" or "right"; None: the one that the Job sheet names, or what both sides have in common.
    """
    package = open_package(path)
    return job_of(package, side), package


def read_jobs(path: Path) -> list[tuple[str, Job]]:
    """One job for each side that has a sheet of its own; else one for the side or sides that the Job sheet names."""
    return jobs_of(open_package(path))


def job_of(package: Package, side: str | None = None) -> Job:
    """The job of an opened workbook; see `read_job`."""
    sheets = read_sheets(package)
    return _assemble(sheets, side or sheets.stated_side)


def jobs_of(package: Package) -> list[tuple[str, Job]]:
    """The jobs of an opened workbook; see `read_jobs`."""
    sheets = read_sheets(package)
    if sheets.stated_side or not sheets.sides:
        return [(sheets.stated_side or "both", _assemble(sheets, sheets.stated_side))]
    return [(side, _assemble(sheets, side)) for side in layout.SIDE_SHEETS]


def _assemble(sheets: Sheets, side: str | None) -> Job:
    """One job out of the sheets. side: whose corner; None: both at once."""
    whole = Found(sheets.file, "")
    whole.faults.extend(sheets.faults)
    _take(whole, sheets, layout.JOB, layout.CORNER)
    _take_sides(whole, sheets, side)
    _take(whole, sheets, layout.KIT, layout.SYSTEM)
    take_measured(whole, sheets.measured)
    for read in (*sheets.tables.values(), sheets.terms, sheets.limits):
        whole.faults.extend(read[0].faults if read else ())
    _require_something(sheets, whole)
    find_contradictions(whole, sheets.context.system)
    hold_what_box_denies(whole, sheets.lines(layout.BOX), sheets.context.system)
    return _job(sheets, whole)


def _take(whole: Found, sheets: Sheets, *names: str) -> None:
    for name in names:
        if name in sheets.forms:
            whole.over(sheets.forms[name])


def _take_sides(whole: Found, sheets: Sheets, side: str | None) -> None:
    if side is None and sheets.sides:
        both_sides(whole, sheets.sides)
    for name, found in sheets.sides.items():
        if name == side:
            whole.over(found)
        elif side is not None and sheets.stated_side:
            unused_side(whole, found, name)


def _require_something(sheets: Sheets, whole: Found) -> None:
    """Raises WorkbookError for a template that nobody has filled in."""
    filled = {*whole.values, *whole.rejected} - FILLED_BEFOREHAND
    lines = any(sheets.lines(table) for table in layout.TABLES)
    limits = sheets.limits is not None and sheets.limits[1]
    if not filled and not lines and not limits and not any(fault.stops for fault in whole.faults):
        instead = f"Start with the sheets {layout.JOB}, {layout.CORNER} and {layout.KIT}"
        raise refuse("nothing filled in", sheets.file, "nothing is filled in yet", instead)


def _job(sheets: Sheets, whole: Found) -> Job:
    return Job(
        values=_in_order(whole.values),
        box=sheets.parts(layout.BOX),
        prices=sheets.parts(layout.PRICES),
        shelf=sheets.parts(layout.SHELF),
        limits=dict(sheets.limits[1]) if sheets.limits else {},
        rejected=dict(whole.rejected),
        faults=tuple(whole.faults),
        source=sheets.file,
        terms=sheets.terms[1] if sheets.terms else (),
        own=sheets.own,
    )


def _in_order(values: dict[str, Value]) -> dict[str, Value]:
    """In the order of the sheets."""
    return {key: values[key] for key in fields() if key in values}
