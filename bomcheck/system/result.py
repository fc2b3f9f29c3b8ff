"""What the system checks found. Pure data; it stands beside the fit verdict and never changes it."""

from dataclasses import dataclass

from bomcheck.parts.demand import Demand
from bomcheck.verdict.box import Range
from bomcheck.verdict.limits import Limit

GOOD, LOOK, BAD, UNKNOWN = "good", "look at it", "not good", "not known"
VERDICTS = (BAD, LOOK, UNKNOWN, GOOD)
"""Worst first."""

DIGITS = {"N": 0, "N·m": 0, "°C": 0, "K": 0, "mL": 1, "mm": 1, "MPa": 1, "m/s²": 1, "m": 0}


@dataclass(frozen=True, slots=True)
class SystemFinding:
    """Answer of one system check.

    key, title: which. verdict: one of VERDICTS. unit: of all figures. before: as the car is; None where it cannot be told
    or makes no sense. after: with the kit, None where not known. limit: what it is held against, None where it is only
    stated. said: what was found. do: what to do, "" where nothing. formula: the arithmetic in words. asks: fields to fill
    in. demands: parts that put it right. source: of the rule.
    """

    key: str
    title: str
    verdict: str
    unit: str = "-"
    before: Range | None = None
    after: Range | None = None
    limit: Limit | None = None
    said: str = ""
    do: str = ""
    formula: str = ""
    asks: tuple[str, ...] = ()
    demands: tuple[Demand, ...] = ()
    source: str = ""


def shown(value: Range, unit: str) -> str:
    """A figure with its range: "412 N (380 to 447)".

    >>> shown(Range(380.2, 411.7, 447.4), "N"), shown(Range(0.72, 0.72, 0.72), "-")
    ('412 N (380 to 447)', '0.72')
    """
    digits = DIGITS.get(unit, 2)
    low, middle, high = (f"{figure:.{digits}f}" for figure in (value.low, value.middle, value.high))
    named = middle if unit == "-" else f"{middle} {unit}"
    return named if low == high else f"{named} ({low} to {high})"


def limit_shown(limit: Limit) -> str:
    """A limit in the same digits: "at most 500 N"."""
    digits = DIGITS.get(limit.unit, 2)
    unit = "" if limit.unit == "-" else f" {limit.unit}"
    low, high = ("" if bound is None else f"{bound:.{digits}f}" for bound in (limit.low, limit.high))
    if low and high:
        return f"{low} to {high}{unit}"
    return f"at least {low}{unit}" if low else f"at most {high}{unit}"


def worst(findings: tuple[SystemFinding, ...]) -> str:
    """The verdict that rules them all; "good" for none."""
    found = {finding.verdict for finding in findings}
    return next((verdict for verdict in VERDICTS if verdict in found), GOOD)
