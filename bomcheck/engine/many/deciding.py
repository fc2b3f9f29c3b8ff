"""What decides a pair: one finding, its margin, and what to measure where it is not known.

Of the findings with the pair's verdict those come first that no remedy and no shim can touch, then those that no shims can touch
(`turn_of`); among equals the order of the report counts. A pair that fits in everything is named by the check with the least room.
"""

from functools import cache
from math import isfinite

import numpy as np

from bomcheck.engine.many.lanes import Array
from bomcheck.engine.many.reach import turn_of
from bomcheck.engine.many.rounds import order
from bomcheck.model.finding import Finding
from bomcheck.model.records import dataclass
from bomcheck.model.report import Report
from bomcheck.model.verdict import FITS, Verdict

BY_SEVERITY = {verdict.severity: verdict for verdict in Verdict}


@dataclass(frozen=True)
class Decision:
    """verdict. check: name of the finding that decides, "" where nothing was to be checked. margin: in its unit, None for
    none. measure: the field to measure or look up first, "" where the verdict does not hang on one."""

    verdict: Verdict
    check: str
    margin: float | None
    measure: str


def decision(report: Report) -> Decision:
    """What decides a report."""
    if report.verdict is Verdict.FITS:
        fitting = [
            f for f in report.findings if f.verdict is Verdict.FITS and f.margin is not None and isfinite(f.margin)
        ]
        if not fitting:
            return Decision(report.verdict, "", None, "")
        return _of(min(fitting, key=lambda f: f.margin if f.margin is not None else 0.0), report.verdict)
    return _of(min(report.deciding, key=lambda f: turn_of(f.check)), report.verdict)


def _of(found: Finding, verdict: Verdict) -> Decision:
    measure = found.asks[0] if verdict is Verdict.NOT_KNOWN and found.asks else ""
    return Decision(verdict, found.check, found.margin, measure)


@cache
def ranks() -> tuple[list[str], Array]:
    """(names of all findings as told, their places in the order in which they decide)."""
    names = order()
    return names, np.array(sorted(range(len(names)), key=lambda place: turn_of(names[place])))


def decide(severity: Array, margin: Array) -> tuple[Array, Array, Array]:
    """(severity of the verdict, place of the deciding finding or -1, margin) of every lane.

    severity, margin: (finding, lane), findings as in `ranks`.
    """
    _, ranked = ranks()
    worst = np.maximum(severity.max(axis=0), FITS)
    place = ranked[np.argmax(severity[ranked] == worst, axis=0)]
    room = np.where((severity == FITS) & np.isfinite(margin), margin, np.inf)
    least = np.argmin(room, axis=0)
    lanes = np.arange(severity.shape[1])
    fits = worst == FITS
    place = np.where(fits, np.where(np.isfinite(room[least, lanes]), least, -1), place)
    return worst, place, np.where(place >= 0, margin[place, lanes], np.nan)
