"""The Report: everything that is known of a job after it was assessed. Pure data; sheets, JSON and terminal read it."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import field
from typing import Any

from bomcheck.model.finding import Finding
from bomcheck.model.job import Job
from bomcheck.model.line import Line
from bomcheck.model.records import dataclass, replace
from bomcheck.model.stack import StackPlan
from bomcheck.model.verdict import Verdict


@dataclass(frozen=True, slots=True)
class Question:
    """One thing to measure or look up, asked once.

    key: the field. ask: what to measure, where. instrument: with what. how_well: the ± in words that settles, "" for a
    value that is blank. settles: how many verdicts it may settle. checks: their titles. effort: 1 (look) to 4 (strip).
    whom: of whom or where it is asked, one of `bomcheck.engine.questions.WHOM`.
    """

    key: str
    ask: str
    instrument: str
    how_well: str
    settles: int
    checks: tuple[str, ...]
    effort: int
    whom: str = ""


@dataclass(frozen=True)
class Report:
    """Answer to one job.

    job: as read. cured: the job with all remedies applied. verdict: the corner's. deciding: the findings that make it
    so, worst first. findings: all, in the order of the interfaces. plans: shim stacks by name. line: solution of the
    brake line. parts: lines of the parts list (`bomcheck.supply.balance.Line`). questions: best value for effort first.
    system: findings about the brakes as a whole; the verdict takes in those that count.
    passes: rounds until nothing changed; settled: False when five were not enough. buying: the purchase that the parts
    list shows (`bomcheck.supply.buying.Buying`). axles: of a car, the report on each axle that gets a kit; its own findings
    then are one for each of them. Parts, purchase and system are the car's, those of an axle's report its share. kits: where several are compared, the reports on those that are not chosen.
    """

    job: Job
    cured: Job
    verdict: Verdict
    deciding: tuple[Finding, ...]
    findings: tuple[Finding, ...]
    plans: Mapping[str, StackPlan] = field(default_factory=dict)
    line: Any = None
    parts: tuple[Line, ...] = ()
    questions: tuple[Question, ...] = ()
    system: tuple[Finding, ...] = ()
    passes: int = 1
    settled: bool = True
    buying: Any = None
    axles: tuple["Report", ...] = ()
    kits: tuple["Report", ...] = ()

    @property
    def each_axle(self) -> tuple["Report", ...]:
        """The report on each axle, of one whose corners differ that of the left one; itself where the car has one kit."""
        return tuple(one for one in self.axles if one.job.side != "right") or (self,)

    @property
    def told(self) -> tuple[Finding, ...]:
        """All findings of the fit; of a car those of each axle, under its name."""
        if not self.axles:
            return self.findings
        return told_by(self.axles, lambda axle: axle.findings)

    def count(self, verdict: Verdict) -> int:
        """How many findings have this verdict."""
        return sum(finding.verdict is verdict for finding in self.findings)


def told_by(axles: Sequence[Report], of: Callable[[Report], Iterable[Finding]]) -> tuple[Finding, ...]:
    """The findings of each axle or corner under its name; one that is the same on both corners of an axle stands once."""
    by_place = {(one.job.get("axle"), one.job.side): list(of(one)) for one in axles}
    told = []
    for one in axles:
        axle, side = one.job.get("axle"), one.job.side
        others = by_place.get((axle, "left" if side == "right" else "right"), []) if side else []
        for finding in of(one):
            same = any((it.check, it.said, it.do) == (finding.check, finding.said, finding.do) for it in others)
            if not same or side == "left":
                where = f"{one.job.place.removesuffix(side).strip()} left and right".strip() if same else one.job.where
                title = f"{where}: {finding.title[:1].lower()}{finding.title[1:]}"
                told.append(replace(finding, title=title[:1].upper() + title[1:]))
    return tuple(told)
