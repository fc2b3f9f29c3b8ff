"""Which tabs of a workbook are which sheets of a job, and tabs whose names are nearly right."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
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
from bomcheck.tables.fields import fields, part_fields, plain

NEEDED = (layout.CORNER, layout.KIT)
ADDED = (*layout.SIDE_SHEETS.values(), *(name for names in layout.AXLE_SHEETS.values() for name in names))
"""Sheets that a workbook may have beside those of the template."""
READ = (*layout.FIELD_SHEETS, *layout.TABLES, layout.TERMS, layout.LIMITS, *ADDED)
SET_ASIDE = (layout.START, layout.LISTS)
NEAR_ENOUGH = 0.75
LIKE_A_TABLE = 5  # headings by which a table is known whatever its tab is called


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
    return tabs, [
        *_nearly(package.file, tabs, others),
        *_like_a_table(package, tabs, others),
        *_of_no_axle(package.file, tabs),
    ]


def axles_of(tabs: Collection[str]) -> tuple[str, ...]:
    """The axles that have a kit of their own by the names of their sheets; none where the car has one kit."""
    return tuple(axle for axle in layout.AXLES if layout.axle_sheet(layout.KIT, axle) in tabs)


def _of_no_axle(file: str, tabs: dict[str, str]) -> Iterable[Fault]:
    """Sheets that say nothing of any axle that gets a kit, where others name theirs; those that are there are dropped."""
    axles = axles_of(tabs)
    if not axles:
        return
    for name in layout.OF_AXLE:
        if name in tabs:
            wrong = f'this sheet was not read; "{layout.axle_sheet(name, axles[0])}" says which axle it is of'
            instead = f'Rename it to "{layout.axle_sheet(name, "front")}" or "{layout.axle_sheet(name, "rear")}", or take it out'
            yield Fault("not allowed here", Place(file, tabs.pop(name)), name, wrong, instead)
    for axle in (one for one in layout.AXLES if one not in axles):
        for name in (one for one in layout.AXLE_SHEETS[axle] if one in tabs):
            wrong = f'this sheet was not used; there is no "{layout.axle_sheet(layout.KIT, axle)}": the {axle} axle stays as it is'
            instead = "Nothing to do if that axle gets no kit; what is on it now goes on the System sheet"
            yield Fault("not allowed here", Place(file, tabs.pop(name)), name, wrong, instead, "", False)


def _like_a_table(package: Package, tabs: dict[str, str], others: list[str]) -> Iterable[Fault]:
    """Tabs with the headings of a table that is missing under its own name, such as a renamed box."""
    labels = {ours: {plain(part_fields()[key].label) for key in keys} for ours, keys in layout.TABLES.items()}
    role, missing = plain(part_fields()["role"].label), [ours for ours in labels if ours not in tabs]
    for name in others if missing else ():
        rows: dict[int, set[str]] = {}
        for cell in package.cells(name).values():
            words = plain(layout.split_heading(cell.text)[0]) if cell.kind == "text" else ""
            rows.setdefault(cell.row, set()).add(words)
        top = next((row for row, texts in sorted(rows.items()) if role in texts and len(texts) >= LIKE_A_TABLE), None)
        if top is None or _near(name, missing) is not None:
            continue
        ours = max(missing, key=lambda one: len(labels[one] & rows[top]) - len(rows[top] - labels[one]))
        count = sum(row > top for row in rows)
        wrong = f'it has the headings of "{ours}", of which there is none, so its {count} lines were not read'
        yield Fault("sheet missing", Place(package.file, name), name, wrong, f'Rename the sheet to "{ours}"')


def _require(file: str, tabs: dict[str, str], others: list[str]) -> None:
    for axle in axles_of(tabs):
        corner = layout.axle_sheet(layout.CORNER, axle)
        if not any(one in tabs for one in layout.AXLE_SHEETS[axle] if one.startswith(corner)):
            raise _missing(file, corner, next((name for name in others if _near(name, [corner])), None))
    if axles_of(tabs):
        return
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
        missing = _near(
            name, [ours for ours in READ if ours not in tabs and ours not in ADDED and not _is_split(ours, tabs)]
        )
        side = _near(name, [one for one in ADDED if one not in tabs], 0.85)
        meant = missing or side
        there = _near(name, list(tabs), 0.85)
        place = Place(file, name)
        if meant:
            wrong = f'this is not the name of a sheet that is read; there is no "{meant}"'
            yield Fault("sheet missing", place, name, wrong, f'Did you mean "{meant}"? Rename the sheet')
        elif there:
            wrong = f'this sheet was not read; "{tabs[there]}" was'
            yield Fault("not allowed here", place, name, wrong, "Nothing to do if it is a copy of your own", "", False)


def _is_split(ours: str, tabs: Collection[str]) -> bool:
    """Whether sheets of the axles stand in its place."""
    return ours in layout.OF_AXLE and bool(axles_of(tabs))


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
    measured: dict[str, Found | None] = field(default_factory=dict)

    @property
    def axles(self) -> tuple[str, ...]:
        """The axles that have sheets of their own; none where the car has one kit."""
        return axles_of(self.forms)

    def sides(self, axle: str = "") -> dict[str, Found]:
        """The corner's own sheet of a side, by "left" and "right"."""
        names = {side: layout.axle_sheet(name, axle) for side, name in layout.SIDE_SHEETS.items()}
        return {side: self.forms[name] for side, name in names.items() if name in self.forms}

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
    sheets.measured = {axle: read_measured(package, sheets.context, axle) for axle in sheets.axles or ("",)}
    boxes = {layout.axle_sheet(layout.BOX, axle): layout.BOX for axle in layout.AXLES}
    for ours, table in {**dict(zip(layout.TABLES, layout.TABLES, strict=True)), **boxes}.items():
        if ours in tabs:
            found = Found(package.file, tabs[ours])
            sheets.tables[ours] = found, read_table(found, sheets.context, table, package.cells(tabs[ours]))
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
    for axle, names in layout.AXLE_SHEETS.items():
        boxed = layout.axle_sheet(layout.BOX, axle)
        forms |= {name: "kit" if name.startswith(layout.KIT) else "corner" for name in names if name != boxed}
    for ours, section in forms.items():
        if ours in tabs:
            found = sheets.forms[ours] = Found(package.file, tabs[ours])
            read_fields(found, sheets.context, section, package.cells(tabs[ours]))
        if ours == layout.JOB:
            sheets.context = _context(package.file, sheets.forms.get(ours))


def context_of(package: Package) -> Context:
    """What the Job sheet of a workbook says of all its others; nothing where it has none."""
    tab = find_sheets(package)[0].get(layout.JOB)
    if tab is None:
        return Context(package.file)
    found = Found(package.file, tab)
    read_fields(found, Context(package.file), "job", package.cells(tab))
    return _context(package.file, found)


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
    jobs = tuple(_assemble(sheets, side or sheets.stated_side, axle) for axle in sheets.axles or ("",))
    return jobs[0] if len(jobs) == 1 else _car(sheets, jobs)


def jobs_of(package: Package) -> list[tuple[str, Job]]:
    """The jobs of an opened workbook; see `read_jobs`."""
    sheets = read_sheets(package)
    if sheets.axles:
        return [(axle, _assemble(sheets, sheets.stated_side, axle)) for axle in sheets.axles]
    if sheets.stated_side or not sheets.sides():
        return [(sheets.stated_side or "both", _assemble(sheets, sheets.stated_side))]
    return [(side, _assemble(sheets, side)) for side in layout.SIDE_SHEETS]


def _assemble(sheets: Sheets, side: str | None, axle: str = "") -> Job:
    """One job out of the sheets. side: whose corner; None: both at once. axle: "" where the car has one kit."""
    whole = Found(sheets.file, "")
    whole.faults.extend(sheets.faults)
    _take(whole, sheets, layout.JOB, layout.axle_sheet(layout.CORNER, axle))
    _take_sides(whole, sheets, side, axle)
    _take(whole, sheets, layout.axle_sheet(layout.KIT, axle), layout.SYSTEM)
    _take_axle(whole, sheets, axle)
    take_measured(whole, sheets.measured.get(axle))
    for read in (*sheets.tables.values(), sheets.terms, sheets.limits):
        whole.faults.extend(read[0].faults if read else ())
    _require_something(sheets, whole)
    find_contradictions(whole, sheets.context.system)
    hold_what_box_denies(whole, sheets.lines(layout.axle_sheet(layout.BOX, axle)), sheets.context.system)
    return _job(sheets, whole, axle)


def _take_axle(whole: Found, sheets: Sheets, axle: str) -> None:
    """The axle by the names of the sheets; one that the Job sheet names must be among them."""
    stated = whole.values.get("axle")
    if axle and stated is not None and stated.value not in sheets.axles:
        wrong = (
            f'the Job sheet says {stated.typed}, but there is no "{layout.axle_sheet(layout.KIT, str(stated.value))}"'
        )
        whole.faults.append(
            Fault("entries disagree", stated.place, stated.typed, wrong, "Correct it, or clear the cell", "axle")
        )
    if axle:
        whole.values["axle"] = Value(
            "axle", axle, typed=axle, place=Place(sheets.file, layout.axle_sheet(layout.KIT, axle))
        )


def _car(sheets: Sheets, jobs: tuple[Job, ...]) -> Job:
    """A car whose axles both get a kit: what they share, and the job of each."""
    shared = {key: value for key, value in jobs[0].values.items() if fields()[key].section in ("job", "system")}
    faults = [
        fault for number, job in enumerate(jobs) for fault in job.faults if number == 0 or fault not in jobs[0].faults
    ]
    return replace(
        jobs[0],
        values={**shared, "axle": Value("axle", " and ".join(sheets.axles))},
        box=tuple(part for job in jobs for part in job.box),
        rejected={key: fault for key, fault in jobs[0].rejected.items() if fields()[key].section in ("job", "system")},
        faults=tuple(faults),
        axles=jobs,
    )


def _take(whole: Found, sheets: Sheets, *names: str) -> None:
    for name in names:
        if name in sheets.forms:
            whole.over(sheets.forms[name])


def _take_sides(whole: Found, sheets: Sheets, side: str | None, axle: str) -> None:
    sides = sheets.sides(axle)
    if side is None and sides:
        both_sides(whole, sides)
    for name, found in sides.items():
        if name == side:
            whole.over(found)
        elif side is not None and sheets.stated_side:
            unused_side(whole, found, name)


def _require_something(sheets: Sheets, whole: Found) -> None:
    """Raises WorkbookError for a template that nobody has filled in."""
    filled = {*whole.values, *whole.rejected} - FILLED_BEFOREHAND
    lines = any(sheets.lines(table) for table in sheets.tables)
    limits = sheets.limits is not None and sheets.limits[1]
    if not filled and not lines and not limits and not any(fault.stops for fault in whole.faults):
        instead = f"Start with the sheets {layout.JOB}, {layout.CORNER} and {layout.KIT}"
        raise refuse("nothing filled in", sheets.file, "nothing is filled in yet", instead)


def _job(sheets: Sheets, whole: Found, axle: str) -> Job:
    box = sheets.parts(layout.axle_sheet(layout.BOX, axle))
    return Job(
        values=_in_order(whole.values),
        box=tuple(replace(part, axle=axle) for part in box) if len(sheets.axles) > 1 else box,
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
