"""Which tabs of a workbook are which sheets of a job, and tabs whose names are nearly right."""

from collections.abc import Collection, Iterable
from difflib import get_close_matches
from functools import cache

from bomcheck.io import layout
from bomcheck.io.mark import own_sheets
from bomcheck.io.package import Package
from bomcheck.io.read.kits import further_kit, stray_sheets
from bomcheck.io.refusal import refuse
from bomcheck.model.errors import Fault, Place, WorkbookError
from bomcheck.tables.fields import part_fields, plain, section_fields

NEEDED = (layout.CORNER, layout.KIT)
ADDED = (
    *layout.SIDE_SHEETS.values(),
    *(name for names in layout.AXLE_SHEETS.values() for name in names),
    *layout.KIT_SHEETS,
)
"""Sheets that a workbook may have beside those of the template."""
READ = (*layout.FIELD_SHEETS, *layout.TABLES, layout.TERMS, layout.LIMITS, *ADDED)
SET_ASIDE = (layout.START, layout.LISTS)
NEAR_ENOUGH = 0.75
LIKE = 5  # labels by which a sheet is known whatever its tab is called


def find_sheets(package: Package) -> tuple[dict[str, str], list[Fault]]:
    """(name of the tab by our name, faults). Raises WorkbookError where the corner or the kit is missing."""
    names = [sheet.name for sheet in package.sheets if sheet.kind == "worksheet"]
    tabs: dict[str, str] = {}
    for name in names:
        ours = next((one for one in READ if plain(one) == plain(name)), None) or _of_first_kit(name)
        if ours and (ours not in tabs or name == ours):
            tabs[ours] = name
    written = {sheet.name for sheet in own_sheets(package).values()}
    others = [name for name in names if name not in tabs.values() and name not in written]
    others = [name for name in others if plain(name) not in [plain(one) for one in SET_ASIDE]]
    _require(package.file, tabs, others)
    return tabs, [
        *_nearly(package.file, tabs, others),
        *_like_another(package, tabs, others),
        *_of_no_axle(package.file, tabs),
        *stray_sheets(package.file, tabs, axles_of(tabs)),
    ]


def is_job(package: Package) -> bool:
    """Whether it has a sheet of a corner or a kit, of one axle or of a car's two."""
    names = {plain(one) for one in (*NEEDED, *ADDED)}
    return any(plain(sheet.name) in names for sheet in package.sheets)


def _of_first_kit(name: str) -> str | None:
    """The sheet of the first kit where it is called "Kit A"."""
    named = (layout.axle_sheet(one, axle) for one in layout.OF_KIT for axle in ("", *layout.AXLES))
    return next((one for one in named if plain(f"{one} {layout.KITS[0]}") == plain(name)), None)


def axles_of(tabs: Collection[str]) -> tuple[str, ...]:
    """The axles that have a kit of their own by the names of their sheets; none where the car has one kit."""
    return tuple(axle for axle in layout.AXLES if layout.axle_sheet(layout.KIT, axle) in tabs)


def _of_no_axle(file: str, tabs: dict[str, str]) -> Iterable[Fault]:
    """Sheets that say nothing of any axle that gets a kit, where others name theirs; those that are there are dropped."""
    axles = axles_of(tabs)
    for name in layout.OF_AXLE if axles else ():
        if name in tabs:
            wrong = f'this sheet was not read; "{layout.axle_sheet(name, axles[0])}" says which axle it is of'
            instead = f'Rename it to "{layout.axle_sheet(name, "front")}" or "{layout.axle_sheet(name, "rear")}", or take it out'
            yield Fault("not allowed here", Place(file, tabs.pop(name)), name, wrong, instead)
    for axle in (one for one in layout.AXLES if one not in axles):
        for name in (one for one in layout.AXLE_SHEETS[axle] if one in tabs):
            wrong = f'this sheet was not used; there is no "{layout.axle_sheet(layout.KIT, axle)}": the {axle} axle stays as it is'
            instead = "Nothing to do if that axle gets no kit; what is on it now goes on the System sheet"
            yield Fault("not allowed here", Place(file, tabs.pop(name)), name, wrong, instead, "", False)


@cache
def _labels() -> dict[str, set[str]]:
    """The labels and headings of each sheet that may be missing, by its name."""
    forms = {
        ours: [field.label for field in section_fields(layout.FIELD_SHEETS[ours])]
        for ours in (layout.JOB, layout.SYSTEM)
    }
    tables = {ours: [part_fields()[key].label for key in keys] for ours, keys in layout.TABLES.items()}
    terms = [field.label for field in section_fields("supplier")]
    every = {**forms, **tables, layout.TERMS: terms, layout.LIMITS: layout.LIMIT_HEADINGS}
    return {ours: {plain(text) for text in texts} for ours, texts in every.items()}


def _like_another(package: Package, tabs: dict[str, str], others: list[str]) -> Iterable[Fault]:
    """Tabs with the labels or headings of a sheet that is missing under its own name, such as a renamed box."""
    role = plain(part_fields()["role"].label)
    missing = [one for one in _labels() if one not in tabs and not _is_split(one, tabs)]
    for name in others if missing else ():
        if _near(name, missing) is not None:
            continue
        cells = package.cells(name).values()
        texts = {plain(layout.split_heading(cell.text)[0]) for cell in cells if cell.kind == "text"}
        ours = max(missing, key=lambda one: len(_labels()[one] & texts) - len(_labels()[one] - texts))
        same = _labels()[ours] & texts
        if len(same) >= min(LIKE, len(_labels()[ours])) and (role in same or ours not in layout.TABLES):
            wrong = f'it has the labels of "{ours}", of which there is none, so nothing on it was read'
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
    instead = (
        f'If it was renamed, call it "{ours}" again; else copy it from a new template, or start one with: bomcheck new'
    )
    return refuse("sheet missing", file, wrong, instead)


def _nearly(file: str, tabs: dict[str, str], others: list[str]) -> Iterable[Fault]:
    """Tabs that are probably meant to be read: a missing sheet misspelt, or the copy of one that is there."""
    for name in others:
        missing = _near(
            name, [ours for ours in READ if ours not in tabs and ours not in ADDED and not _is_split(ours, tabs)]
        )
        side = _near(name, [one for one in ADDED if one not in tabs and one not in layout.KIT_SHEETS], 0.85)
        meant = missing or side
        there = _near(name, list(tabs), 0.85)
        place = Place(file, name)
        if meant:
            wrong = f'this is not the name of a sheet that is read; there is no "{meant}"'
            yield Fault("sheet missing", place, name, wrong, f'Did you mean "{meant}"? Rename the sheet')
        elif there:
            wrong = f'this sheet was not read; "{tabs[there]}" was'
            yield Fault("not allowed here", place, name, wrong, further_kit(there), "", False)


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
