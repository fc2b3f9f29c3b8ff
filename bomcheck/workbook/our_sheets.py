"""Which tabs of a workbook are which sheets of a job, and tabs whose names are nearly right."""

from collections.abc import Iterable
from difflib import get_close_matches

from bomcheck.errors import Fault, Place, WorkbookError
from bomcheck.fields import plain
from bomcheck.workbook import layout
from bomcheck.workbook.mark import own_sheets
from bomcheck.workbook.package import Package
from bomcheck.workbook.refusal import refuse

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
