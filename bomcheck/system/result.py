"""What the system checks found. Pure data; it stands beside the fit verdict and never changes it."""

from dataclasses import dataclass

from bomcheck.parts.demand import Demand
from bomcheck.verdict.box import Range
from bomcheck.verdict.limits import Limit

GOOD, LOOK, BAD, UNKNOWN = "good", "look at it", "not good", "not known"
VERDICTS = (BAD, LOOK, UNKNOWN, GOOD)
"""Worst first."""


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


def worst(findings: tuple[SystemFinding, ...]) -> str:
    """The verdict that rules them all; "good" for none."""
    found = {finding.verdict for finding in findings}
    return next((verdict for verdict in VERDICTS if verdict in found), GOOD)
