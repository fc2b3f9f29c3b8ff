"""What the system checks found. Pure data; it stands beside the fit verdict and never changes it."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Any

from bomcheck.car.figures import now_and_then, one, shown
from bomcheck.car.spread import Formula, State, Unknown
from bomcheck.engine.inputs import Inputs
from bomcheck.model.box import Range
from bomcheck.model.demand import Demand
from bomcheck.model.job import Job
from bomcheck.model.limits import Limit, limit_for
from bomcheck.model.verdict import inside
from bomcheck.tables.fields import fields

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


PRACTICE = "common practice, no source"


@dataclass(frozen=True)
class Scene:
    """job, sizes: with all remedies of the fit checks applied. axle: of the kit. present, kit: the car in both states."""

    job: Job
    sizes: Inputs
    axle: str
    present: State
    kit: State

    def before(self, formula: Formula) -> Range | None:
        """The present car's value, None where it is not known."""
        try:
            return self.present.over(formula)
        except Unknown:
            return None

    def limit(self, name: str) -> Limit:
        """A row of the Limits sheet."""
        return limit_for(name, self.job)

    @property
    def system(self) -> str:
        """Units of the job's sentences: "metric" or "inch"."""
        return "inch" if self.job.get("units") == "inch" else "metric"

    def shown(self, value: Range, unit: str, key: str = "") -> str:
        """A figure with its range in the job's units; key: of the finding that it belongs to."""
        return shown(value, unit, self.system, key)

    def one(self, value: float, unit: str, key: str = "") -> str:
        """A single figure in the job's units."""
        return one(value, unit, self.system, key)


Step = Callable[[Scene], Iterator[SystemFinding]]


def compared(
    scene: Scene, key: str, title: str, unit: str, value: Formula, limit: str = "", warn: bool = False, **rest: Any
) -> SystemFinding:
    """The value before and after, held against a limit of the Limits sheet ("": only stated).

    warn: a failure is only something to look at. rest: further fields of the finding; `do` stands only where the verdict
    is not good.
    """
    return judged(scene, key, title, unit, lambda: scene.kit.over(value), scene.before(value), limit, warn, **rest)


def judged(
    scene: Scene, key: str, title: str, unit: str, after: Callable[[], Range], before: Range | None, limit: str = "",
    warn: bool = False, do: str = "", **rest: Any,
) -> SystemFinding:  # fmt: skip
    """The same for values that are found in another way; `after` may raise Unknown."""
    rest.setdefault("source", PRACTICE)
    try:
        value = after()
    except Unknown as unknown:
        return not_known(key, title, unknown, unit=unit, before=before, source=rest["source"])
    row = scene.limit(limit) if limit else None
    verdict = verdict_of(value, row, warn)
    said = now_and_then(before, value, row, unit, scene.system, key)
    return SystemFinding(key, title, verdict, unit, before, value, row, said, do if verdict != GOOD else "", **rest)


def verdict_of(value: Range, limit: Limit | None, warn: bool = False) -> str:
    """Good for every true size, not good for none, or to be looked at."""
    holds = True if limit is None else inside(value, limit)
    return {True: GOOD, False: LOOK if warn else BAD, None: LOOK}[holds]


def not_known(key: str, title: str, unknown: Unknown, **rest: Any) -> SystemFinding:
    """A finding that only asks."""
    known = fields()
    names = [known[name].label for name in unknown.keys if name in known]
    said = unknown.said or f"Blank: {', '.join(names)}"
    do = " ".join(known[name].question for name in unknown.keys if name in known)
    return replace(SystemFinding(key, title, UNKNOWN, **rest), said=said, do=do, asks=unknown.keys)
