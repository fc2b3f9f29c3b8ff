"""A job workbook as a job: its sheets read, and put together for each axle, corner and kit."""

from collections.abc import Iterator, Mapping
from dataclasses import field
from pathlib import Path
from typing import Any

from bomcheck.io import layout
from bomcheck.io.package import Package, open_package
from bomcheck.io.read.contradictions import find_contradictions, hold_what_box_denies, sides_differ, unused_side
from bomcheck.io.read.field_cells import read_fields
from bomcheck.io.read.found import Context, Found
from bomcheck.io.read.kits import half_filled, letters_of, with_choice, with_earlier, written_for
from bomcheck.io.read.limits_and_terms import read_limits, read_terms
from bomcheck.io.read.measured import read_measured, take_measured
from bomcheck.io.read.own import as_ordered, kept_from
from bomcheck.io.read.tables import PartLine, doubt_pack_prices, drop_prices_that_disagree, one_spelling, read_table
from bomcheck.io.read.tabs import axles_of, find_sheets
from bomcheck.io.refusal import refuse
from bomcheck.model.errors import Fault, Place
from bomcheck.model.job import Job, Part, Terms, TypedLimit, Value
from bomcheck.model.records import dataclass, replace
from bomcheck.tables.fields import fields


@dataclass
class Sheets:
    """All sheets of a workbook as they were read, before they are put together. forms, tables: by our sheet names. own:
    what was typed in our own lists; written: the letter of the kit for which they were. measured: by place and kit."""

    file: str
    context: Context
    faults: list[Fault]
    forms: dict[str, Found] = field(default_factory=dict)
    tables: dict[str, tuple[Found, list[PartLine]]] = field(default_factory=dict)
    limits: tuple[Found, dict[str, TypedLimit]] | None = None
    terms: tuple[Found, tuple[Terms, ...]] | None = None
    own: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    measured: dict[tuple[str, str], list[Found]] = field(default_factory=dict)
    written: str = layout.KITS[0]

    @property
    def axles(self) -> tuple[str, ...]:
        """The axles that have sheets of their own; none where the car has one kit."""
        return axles_of(self.forms)

    @property
    def kits(self) -> tuple[str, ...]:
        """The letters of the kits that are compared; none where the job has one."""
        return letters_of(self.forms)

    def of_kit(self, name: str, axle: str, letter: str) -> str:
        """The sheet of a kit for an axle: its own, or where it says nothing of that axle the first kit's."""
        own = layout.kit_sheet(layout.axle_sheet(layout.KIT, axle), letter)
        return layout.kit_sheet(layout.axle_sheet(name, axle), letter if own in self.forms else "")

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


def read_sheets(package: Package, earlier: Package | None = None) -> Sheets:
    """Reads every sheet of a job; Measure next of an earlier result too. Raises WorkbookError where the corner or the kit is missing."""
    tabs, faults = find_sheets(package)
    sheets = Sheets(package.file, Context(package.file), faults, own=kept_from(package), written=written_for(package))
    _read_forms(sheets, package, tabs)
    boxes = {layout.axle_sheet(layout.BOX, axle): layout.BOX for axle in layout.AXLES}
    boxes |= {name: layout.BOX for name, (base, _, _) in layout.KIT_SHEETS.items() if base == layout.BOX}
    for ours, table in {**dict(zip(layout.TABLES, layout.TABLES, strict=True)), **boxes}.items():
        if ours in tabs:
            found = Found(package.file, tabs[ours])
            sheets.tables[ours] = found, read_table(found, sheets.context, table, package.table(tabs[ours]))
    sheets.faults.extend(half_filled(sheets.forms, sheets.tables, sheets.axles))
    if layout.PRICES in sheets.tables:
        found, lines = sheets.tables[layout.PRICES]
        sheets.tables[layout.PRICES] = found, one_spelling(drop_prices_that_disagree(found, lines))
        doubt_pack_prices(found, lines)
    several = len(sheets.axles) > 1
    for place in (
        f"{axle} {side}".strip() for axle in (sheets.axles if several else ("",)) for side in ("", *layout.SIDE_SHEETS)
    ):
        for letter in sheets.kits or layout.KITS[:1]:
            there = [(one, written_for(one)) for one in (package, earlier) if one is not None]
            read = [read_measured(one, sheets.context, place, (letter, written)) for one, written in there]
            sheets.measured[place, letter] = [found for found in read if found is not None]
    if layout.TERMS in tabs:
        found = Found(package.file, tabs[layout.TERMS])
        cells = package.table(tabs[layout.TERMS])
        sheets.terms = found, read_terms(found, sheets.context, cells, sheets.parts(layout.PRICES))
    if layout.LIMITS in tabs:
        found = Found(package.file, tabs[layout.LIMITS])
        sheets.limits = found, read_limits(found, package.table(tabs[layout.LIMITS]))
    return sheets


def _read_forms(sheets: Sheets, package: Package, tabs: dict[str, str]) -> None:
    """The sheets of fields, the Job sheet first: it says in which units the others are."""
    forms = {**layout.FIELD_SHEETS, **dict.fromkeys(layout.SIDE_SHEETS.values(), "corner")}
    for axle, names in layout.AXLE_SHEETS.items():
        boxed = layout.axle_sheet(layout.BOX, axle)
        forms |= {name: "kit" if name.startswith(layout.KIT) else "corner" for name in names if name != boxed}
    forms |= {name: "kit" for name, (base, _, _) in layout.KIT_SHEETS.items() if base == layout.KIT}
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


FILLED_BEFOREHAND = {"units", "axle"}


def read_job(path: Path, side: str | None = None, earlier: Package | None = None) -> tuple[Job, Package]:
    """The job in a workbook, and the opened workbook. Raises WorkbookError where nothing of it can be read.

    side: "left" or "right"; None: the one that the Job sheet names, or what both sides have in common. earlier: a result
    of this job that stands in another workbook; what was found and typed there counts.
    """
    package = open_package(path)
    return job_of(package, side, earlier), package


def job_of(package: Package, side: str | None = None, earlier: Package | None = None) -> Job:
    """The job of an opened workbook; see `read_job`."""
    sheets = read_sheets(package, earlier)
    side = side or sheets.stated_side
    kits = {letter or layout.KITS[0]: _whole(sheets, side, letter) for letter in sheets.kits or ("",)}
    job = with_choice(kits, sheets.written)
    if job.get("ordered_on"):
        job = ordered_as(job, as_ordered(earlier or package))
    return job if earlier is None else with_earlier(job, earlier)


def ordered_as(job: Job, ordered: Mapping[str, frozenset[tuple[str, str]]]) -> Job:
    """The job, and those of its axles, with what was ordered for each line."""
    return replace(job, ordered=ordered, axles=tuple(replace(one, ordered=ordered) for one in job.axles))


@dataclass(frozen=True, slots=True)
class Spot:
    """What one job is of. axle: "" where the car has one kit. letter: of the kit, "" where there is one. side: whose corner,
    None for both. apart: whether the other corner differs and is judged for itself. place: as in `Job.place`."""

    axle: str
    letter: str
    side: str | None
    apart: bool = False
    place: str = ""


def _whole(sheets: Sheets, side: str | None, letter: str) -> Job:
    """The car with one of the kits. letter: "" where there is one alone."""
    jobs = tuple(_assemble(sheets, spot) for spot in _spots(sheets, side, letter))
    return jobs[0] if len(jobs) == 1 else _car(sheets, jobs)


def _spots(sheets: Sheets, side: str | None, letter: str) -> Iterator[Spot]:
    """The axles of the car, or its corners where left and right differ and both are converted."""
    for axle in sheets.axles or ("",):
        name = axle if len(sheets.axles) > 1 else ""
        if side is None and sides_differ(sheets.forms.get(layout.axle_sheet(layout.CORNER, axle)), sheets.sides(axle)):
            for one in layout.SIDE_SHEETS:
                yield Spot(axle, letter, one, True, f"{name} {one}".strip())
        else:
            yield Spot(axle, letter, side, False, name)


def _assemble(sheets: Sheets, spot: Spot) -> Job:
    """The job of one axle or corner out of the sheets."""
    whole, axle = Found(sheets.file, ""), spot.axle
    whole.faults.extend(sheets.faults)
    _take(whole, sheets, layout.JOB, layout.axle_sheet(layout.CORNER, axle))
    _take_sides(whole, sheets, spot)
    _take(whole, sheets, sheets.of_kit(layout.KIT, axle, spot.letter), layout.SYSTEM)
    _take_axle(whole, sheets, axle)
    for measured in sheets.measured.get((spot.place, spot.letter or layout.KITS[0]), ()):
        take_measured(whole, measured)
    for read in (*sheets.tables.values(), sheets.terms, sheets.limits):
        whole.faults.extend(read[0].faults if read else ())
    _require_something(sheets, whole)
    find_contradictions(whole, sheets.context.system)
    hold_what_box_denies(whole, sheets.lines(sheets.of_kit(layout.BOX, axle, spot.letter)), sheets.context.system)
    if spot.apart:
        named = {"corner_side": spot.side, "corners": 2}
        whole.values |= {key: Value(key, value, typed=str(value)) for key, value in named.items()}
    return _job(sheets, whole, spot)


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
    """A car with the jobs of its axles or corners, and what they share."""
    stated = sheets.forms[layout.JOB].values if layout.JOB in sheets.forms else {}
    shared = {key: value for key, value in jobs[0].values.items() if fields()[key].section == "system"} | stated
    axles = {"axle": Value("axle", " and ".join(sheets.axles))} if len(sheets.axles) > 1 else {}
    car = replace(
        jobs[0],
        values={**shared, **axles},
        rejected={key: fault for key, fault in jobs[0].rejected.items() if fields()[key].section in ("job", "system")},
        faults=tuple(dict.fromkeys(fault for job in jobs for fault in job.faults)),
        axles=jobs,
        place="",
    )
    return replace(car, box=tuple(part for job in car.each_axle for part in job.box))


def _take(whole: Found, sheets: Sheets, *names: str) -> None:
    for name in names:
        if name in sheets.forms:
            whole.over(sheets.forms[name])


def _take_sides(whole: Found, sheets: Sheets, spot: Spot) -> None:
    """What the sheets of the sides say: of one corner its own, of both alike either's."""
    for name, found in sheets.sides(spot.axle).items():
        if spot.side in (name, None):
            whole.over(found)
        elif sheets.stated_side:
            unused_side(whole, found, name)


def _require_something(sheets: Sheets, whole: Found) -> None:
    """Raises WorkbookError for a template that nobody has filled in."""
    filled = {*whole.values, *whole.rejected} - FILLED_BEFOREHAND
    lines = any(sheets.lines(table) for table in sheets.tables)
    limits = sheets.limits is not None and sheets.limits[1]
    if not filled and not lines and not limits and not any(fault.stops for fault in whole.faults):
        instead = f"Start with the sheets {layout.JOB}, {layout.CORNER} and {layout.KIT}"
        raise refuse("nothing filled in", sheets.file, "nothing is filled in yet", instead)


def _job(sheets: Sheets, whole: Found, spot: Spot) -> Job:
    box = sheets.parts(sheets.of_kit(layout.BOX, spot.axle, spot.letter))
    return Job(
        values={key: whole.values[key] for key in fields() if key in whole.values},
        box=tuple(replace(part, axle=spot.axle) for part in box) if len(sheets.axles) > 1 else box,
        prices=sheets.parts(layout.PRICES),
        shelf=sheets.parts(layout.SHELF),
        limits=dict(sheets.limits[1]) if sheets.limits else {},
        rejected=dict(whole.rejected),
        faults=tuple(whole.faults),
        source=sheets.file,
        terms=sheets.terms[1] if sheets.terms else (),
        own=sheets.own,
        kit=spot.letter,
        place=spot.place,
        blank=whole.blank,
    )
