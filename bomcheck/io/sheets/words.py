"""Words and figures of the result's sheets: sizes in the job's units, places as links, titles of the groups."""

from collections.abc import Iterable

from bomcheck.model.box import Range
from bomcheck.model.finding import Finding, with_unit
from bomcheck.model.job import Job
from bomcheck.model.limits import HOUSE, Limit
from bomcheck.notation import units
from bomcheck.notation.quantity import INCH_UNITS, show_number
from bomcheck.tables import sections
from bomcheck.tables.fields import fields

INTERFACES = sections("interfaces")["sheets"]
NO_LIMIT = "none, for information"


def interface_title(name: str) -> str:
    """Heading of a group of checks."""
    return INTERFACES.get(name, name.replace("_", " ").capitalize())


def sentence(words: str) -> str:
    """The text with a capital first letter."""
    return words[:1].upper() + words[1:]


def lower(words: str) -> str:
    """The text with a small first letter, for the middle of a sentence."""
    return words[:1].lower() + words[1:]


def figure(value: float, unit: str, system: str) -> str:
    """One figure with its unit, "0.10 mm" or "0.004 in"."""
    return with_unit(value, unit) if system == "metric" else show_number(value, unit, "inch")


def in_unit(value: float, unit: str, system: str, difference: bool = False) -> float:
    """A figure in the unit that the sheet shows; a difference (a margin, a ±) takes no offset."""
    here, there = units.named(unit), units.named(shown_unit(unit, system))
    if here is None or there is None or here == there:
        return value
    return units.convert(value, here, there, difference)


def shown_unit(unit: str, system: str) -> str:
    """Name of the unit that the sheet shows, "" for a plain number."""
    name, _ = INCH_UNITS.get(unit, (unit, 2)) if system == "inch" else (unit, 2)
    return "" if name == "-" else name


def number_format(unit: str, system: str) -> str:
    """Number format of a figure: hundredths of a millimetre or thousandths of an inch."""
    _, digits = INCH_UNITS.get(unit, (unit, 2)) if system == "inch" else (unit, 2)
    return f"0.{'0' * digits}" if digits else "0"


def found_lines(finding: Finding, system: str) -> tuple[str, list[str]]:
    """What was found: the value, and what belongs to it, line by line."""
    if finding.value is None:
        return sentence(finding.said), []
    lines = [_spread(finding.value, finding.unit, system)]
    if finding.with_stack:
        lines.append(f"with {figure(finding.with_stack, 'mm', system)} of shims")
    return figure(finding.value.middle, finding.unit, system), [line for line in lines if line]


def _spread(value: Range, unit: str, system: str) -> str:
    low, high = figure(value.low, unit, system), figure(value.high, unit, system)
    return "" if low == high else f"{_bare(low)} to {high} inside the ±"


def _bare(text: str) -> str:
    return text.split(" ")[0]


def limit_words(limit: Limit, system: str) -> str:
    """ "0.02 to 0.20 mm", "at least 0.118 in"."""
    low = None if limit.low is None else figure(limit.low, limit.unit, system)
    high = None if limit.high is None else figure(limit.high, limit.unit, system)
    if low is not None and high is not None:
        return f"exactly {high}" if low == high else f"{_bare(low)} to {high}"
    return f"at least {low}" if low is not None else f"at most {high}" if high is not None else NO_LIMIT


def set_by(limit: Limit) -> str:
    """Who set the figure."""
    return HOUSE if limit.ruled_by == HOUSE else f"set by the {limit.ruled_by}"


def places(keys: Iterable[str], job: Job) -> list[tuple[str, str]]:
    """(sheet, cell) of every value that was read; blank and derived ones have none."""
    found = []
    for key in keys:
        value, fault = job.values.get(key), job.rejected.get(key)
        place = value.place if value is not None else fault.place if fault is not None else None
        if place is not None and place.sheet and place.cell:
            found.append((place.sheet, place.cell))
    return list(dict.fromkeys(found))


def places_text(found: list[tuple[str, str]]) -> str:
    """ "Corner B12, B14" and "Kit B20" on lines of their own."""
    by_sheet: dict[str, list[str]] = {}
    for sheet, cell in found:
        by_sheet.setdefault(sheet, []).append(cell)
    ordered = {sheet: sorted(cells, key=lambda cell: (len(cell), cell)) for sheet, cells in by_sheet.items()}
    return "\n".join(f"{sheet} {', '.join(cells)}" for sheet, cells in ordered.items())


def jump(sheet: str, cell: str = "A1") -> str:
    """Where a link leads, the tab's name in quotes."""
    doubled = sheet.replace("'", "''")
    return f"'{doubled}'!{cell}"


def label(key: str) -> str:
    """A field's label."""
    known = fields().get(key)
    return known.label if known is not None else sentence(key.replace("_", " "))


def quantity(amount: float, unit: str) -> str:
    """ "4" or "1.3 L"."""
    return f"{amount:g}" if unit in ("each", "") else f"{amount:g} {unit}"
