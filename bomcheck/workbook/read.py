"""A job workbook into a Job: every value with its ± and cell, and every trouble as a fault that names its cell."""

from pathlib import Path

from bomcheck.fields import fields
from bomcheck.job import Job, Value
from bomcheck.workbook import layout
from bomcheck.workbook.box_against_kit import hold_what_box_denies
from bomcheck.workbook.contradictions import find_contradictions
from bomcheck.workbook.found import Found
from bomcheck.workbook.job_sheets import Sheets, read_sheets
from bomcheck.workbook.package import Package, open_package
from bomcheck.workbook.refusal import refuse
from bomcheck.workbook.two_sides import both_sides, unused_side

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
    filled = {*whole.values, *whole.held} - FILLED_BEFOREHAND
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
        held=dict(whole.held),
        faults=tuple(whole.faults),
        source=sheets.file,
        terms=sheets.terms[1] if sheets.terms else (),
        own=sheets.own,
    )


def _in_order(values: dict[str, Value]) -> dict[str, Value]:
    """In the order of the sheets."""
    return {key: values[key] for key in fields() if key in values}
