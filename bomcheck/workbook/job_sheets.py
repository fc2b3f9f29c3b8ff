"""All sheets of a job workbook, each read by itself; putting them together is the next step."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from bomcheck.errors import Fault
from bomcheck.job import Part, Terms, TypedLimit
from bomcheck.workbook import layout
from bomcheck.workbook.found import Context, Found
from bomcheck.workbook.our_sheets import find_sheets
from bomcheck.workbook.package import Package
from bomcheck.workbook.read_fields import read_fields
from bomcheck.workbook.read_limits import read_limits
from bomcheck.workbook.read_tables import PartLine, read_table
from bomcheck.workbook.read_terms import read_terms
from bomcheck.workbook.supplier_names import one_spelling
from bomcheck.workbook.two_prices import drop_prices_that_disagree
from bomcheck.workbook.typed_before import kept_from


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
