"""A job workbook into a Job: every value with its ± and cell, and every trouble as a fault that names its cell."""

from dataclasses import dataclass, field
from pathlib import Path

from bomcheck.errors import Fault
from bomcheck.job import Job, Part, TypedLimit, Value
from bomcheck.workbook import layout
from bomcheck.workbook.box_against_kit import drop_prices_that_disagree, hold_what_box_denies
from bomcheck.workbook.contradictions import find_contradictions
from bomcheck.workbook.found import Context, Found
from bomcheck.workbook.our_sheets import find_sheets
from bomcheck.workbook.package import Package, open_package
from bomcheck.workbook.read_fields import read_fields
from bomcheck.workbook.read_limits import read_limits
from bomcheck.workbook.read_tables import PartLine, read_table
from bomcheck.workbook.refusal import refuse
from bomcheck.workbook.two_sides import both_sides, unused_side

FILLED_BEFOREHAND = {"units"}


@dataclass
class Sheets:
    """All sheets of a workbook as they were read, before they are put together. forms, tables: by our sheet names."""

    file: str
    context: Context
    faults: list[Fault]
    forms: dict[str, Found] = field(default_factory=dict)
    tables: dict[str, tuple[Found, list[PartLine]]] = field(default_factory=dict)
    limits: tuple[Found, dict[str, TypedLimit]] | None = None

    @property
    def sides(self) -> dict[str, Found]:
        """The corner's own sheet of a side, by "left" and "right"."""
        return {side: self.forms[name] for side, name in layout.SIDE_SHEETS.items() if name in self.forms}


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
    sheets = _read_sheets(package)
    return _assemble(sheets, side or _stated_side(sheets))


def jobs_of(package: Package) -> list[tuple[str, Job]]:
    """The jobs of an opened workbook; see `read_jobs`."""
    sheets = _read_sheets(package)
    stated = _stated_side(sheets)
    if stated or not sheets.sides:
        return [(stated or "both", _assemble(sheets, stated))]
    return [(side, _assemble(sheets, side)) for side in layout.SIDE_SHEETS]


def _read_sheets(package: Package) -> Sheets:
    tabs, faults = find_sheets(package)
    sheets = Sheets(package.file, Context(package.file), faults)
    forms = {**layout.FIELD_SHEETS, **dict.fromkeys(layout.SIDE_SHEETS.values(), "corner")}
    for ours, section in forms.items():
        if ours in tabs:
            found = sheets.forms[ours] = Found(package.file, tabs[ours])
            read_fields(found, sheets.context, section, package.cells(tabs[ours]))
        if ours == layout.JOB:
            sheets.context = _context(package.file, sheets.forms.get(ours))
    for ours in layout.TABLES:
        if ours in tabs:
            found = Found(package.file, tabs[ours])
            sheets.tables[ours] = found, read_table(found, sheets.context, ours, package.cells(tabs[ours]))
    if layout.PRICES in sheets.tables:
        drop_prices_that_disagree(*sheets.tables[layout.PRICES])
    if layout.LIMITS in tabs:
        found = Found(package.file, tabs[layout.LIMITS])
        sheets.limits = found, read_limits(found, package.cells(tabs[layout.LIMITS]))
    return sheets


def _context(file: str, job: Found | None) -> Context:
    """What the Job sheet says of all others."""
    if job is None:
        return Context(file)
    said = {key: str(job.values[key].value) for key in ("units", "currency") if key in job.values}
    return Context(file, said.get("units", ""), said.get("currency", ""))


def _stated_side(sheets: Sheets) -> str | None:
    job = sheets.forms.get(layout.JOB)
    stated = job.values.get("corner_side") if job else None
    return str(stated.value) if stated is not None and stated.value in layout.SIDE_SHEETS else None


def _assemble(sheets: Sheets, side: str | None) -> Job:
    """One job out of the sheets. side: whose corner; None: both at once."""
    whole = Found(sheets.file, "")
    whole.faults.extend(sheets.faults)
    for ours in (layout.JOB, layout.CORNER):
        if ours in sheets.forms:
            whole.over(sheets.forms[ours])
    _take_sides(whole, sheets, side)
    for ours in (layout.KIT, layout.SYSTEM):
        if ours in sheets.forms:
            whole.over(sheets.forms[ours])
    for found, _ in [*sheets.tables.values(), *([sheets.limits] if sheets.limits else [])]:
        whole.faults.extend(found.faults)
    _require_something(sheets, whole)
    box = sheets.tables[layout.BOX][1] if layout.BOX in sheets.tables else []
    find_contradictions(whole, sheets.context.system)
    hold_what_box_denies(whole, box, sheets.context.system)
    return _job(sheets, whole)


def _take_sides(whole: Found, sheets: Sheets, side: str | None) -> None:
    sides = sheets.sides
    if side is None and sides:
        both_sides(whole, sides)
    for name, found in sides.items():
        if name == side:
            whole.over(found)
        elif side is not None and _stated_side(sheets):
            unused_side(whole, found, name)


def _require_something(sheets: Sheets, whole: Found) -> None:
    """Raises WorkbookError for a template that nobody has filled in."""
    filled = {*whole.values, *whole.held} - FILLED_BEFOREHAND
    lines = [line for _, table in sheets.tables.values() for line in table]
    limits = sheets.limits[1] if sheets.limits else {}
    if not filled and not lines and not limits and not any(fault.stops for fault in whole.faults):
        instead = f"Start with the sheets {layout.JOB}, {layout.CORNER} and {layout.KIT}"
        raise refuse("nothing filled in", sheets.file, "nothing is filled in yet", instead)


def _job(sheets: Sheets, whole: Found) -> Job:
    return Job(
        values=_in_order(whole.values),
        box=_parts(sheets, layout.BOX),
        prices=_parts(sheets, layout.PRICES),
        shelf=_parts(sheets, layout.SHELF),
        limits=dict(sheets.limits[1]) if sheets.limits else {},
        held=dict(whole.held),
        faults=tuple(whole.faults),
        source=sheets.file,
    )


def _in_order(values: dict[str, Value]) -> dict[str, Value]:
    """In the order of the sheets."""
    from bomcheck.fields import fields

    return {key: values[key] for key in fields() if key in values}


def _parts(sheets: Sheets, table: str) -> tuple[Part, ...]:
    return tuple(line.part for line in sheets.tables[table][1]) if table in sheets.tables else ()
