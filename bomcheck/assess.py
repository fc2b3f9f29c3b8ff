"""The one pipeline: a Job in, a Report out. No files, no printing; every user of the verdicts passes through here."""

from dataclasses import replace
from datetime import date
from typing import Any

from bomcheck.brake_line import brake_line
from bomcheck.derived import DERIVATIONS
from bomcheck.job import Job, Value
from bomcheck.measure import questions_of
from bomcheck.parts.balance import balance
from bomcheck.parts.demand import Demand
from bomcheck.parts.needs import Assembly, all_demands
from bomcheck.report import Report
from bomcheck.settle import settle
from bomcheck.verdict.adjust import Adjusting, StackPlan
from bomcheck.verdict.check import STACKS, all_checks
from bomcheck.verdict.cure import Cure
from bomcheck.verdict.finding import Finding
from bomcheck.verdict.inputs import Inputs
from bomcheck.verdict.judge import judge_match, judge_range, prepare
from bomcheck.verdict.verdict import Verdict, worst

MOST_PASSES = 5
Cures = dict[str, Cure]


class Round:
    """All checks on one state of the job."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.sizes = Inputs(job, DERIVATIONS)
        self.findings: dict[str, Finding] = {}
        self.cures: Cures = {}
        self.plans: dict[str, StackPlan] = {}
        ready = [prepare(check, self.sizes) for check in all_checks().values()]
        for name in STACKS:
            self._adjust(name, [one for one in ready if one.check.stack == name])
        for one in ready:
            if one.settled is not None:
                self._take(one.settled, None)
            elif not one.check.stack:
                judge = judge_match if one.check.kind == "match" else judge_range
                self._take(*(judge(one, self.sizes) if judge is judge_match else judge_range(one, self.sizes, {})))

    def _adjust(self, name: str, ready: list[Any]) -> None:
        adjusting = Adjusting(name, ready, self.sizes)
        for finding, cure in adjusting.judge():
            self._take(finding, cure)
        if adjusting.plan is not None:
            self.plans[name] = adjusting.plan

    def _take(self, finding: Finding, cure: Cure | None) -> None:
        self.findings[finding.check] = finding
        if cure is not None:
            self.cures[finding.check] = cure


def assess(job: Job, today: date | None = None) -> Report:
    """Everything that is known of a job. today: for the needed-by date; without it lead times do not rule out a part."""
    start = settle(_with_line(job, today))
    first = Round(start)
    last, cured, passes, steady = _cascade(first)
    findings = _told(first, last, cured)
    assembly = Assembly(last.job, last.sizes, last.plans, last.job.get("brake_line"))
    parts = balance(job, _demands(cured, assembly))
    verdict = worst([finding.verdict for finding in findings])
    deciding = tuple(f for f in findings if f.verdict is verdict and verdict is not Verdict.FITS)
    return Report(
        job, last.job, verdict, deciding, findings, last.plans, assembly.line, parts, questions_of(findings), passes, steady
    )


def _with_line(job: Job, today: date | None) -> Job:
    line = brake_line(job, today)
    if line is None:
        return job
    return replace(job, values={**job.values, "brake_line": Value("line_end", line)})


def _cascade(now: Round) -> tuple[Round, Cures, int, bool]:
    """Apply every remedy that changes a size, until nothing changes or five rounds are done.

    Returns the last round, all remedies by check, the rounds, and whether it came to rest.
    """
    cured = dict(now.cures)
    for passes in range(1, MOST_PASSES + 1):
        changes = _changes(now)
        if not changes:
            return now, cured, passes, True
        now = Round(_changed(now.job, changes))
        for name, cure in now.cures.items():
            cured[name] = _joined(cured.get(name), cure)
    return now, cured, MOST_PASSES, not _changes(now)


def _joined(before: Cure | None, cure: Cure) -> Cure:
    """A remedy found in a later round replaces the first one of the same check."""
    return cure if before is None or cure.changes or not before.changes else before


def _changes(now: Round) -> dict[str, tuple[Any, float]]:
    """New values of all remedies of this round; of two for one size the one that goes further from what it was."""
    changes: dict[str, tuple[Any, float]] = {}
    for cure in now.cures.values():
        for key, (value, half) in cure.changes.items():
            typed = now.job.values.get(key)
            if typed is not None and typed.value == value and typed.plus_minus == half:
                continue
            if key not in changes or _further(value, changes[key][0], typed):
                changes[key] = (value, half)
    return changes


def _further(value: Any, other: Any, typed: Value | None) -> bool:
    if not isinstance(value, int | float) or typed is None:
        return False
    return abs(value - typed.value) > abs(other - typed.value)


def _changed(job: Job, changes: dict[str, tuple[Any, float]]) -> Job:
    values = dict(job.values)
    for key, (value, half) in changes.items():
        values[key] = replace(values[key], value=value, plus_minus=half) if key in values else Value(key, value, half)
    return settle(replace(job, values=values))


def _told(first: Round, last: Round, cured: Cures) -> tuple[Finding, ...]:
    """Each check's finding: as first found where its remedy worked, as last found otherwise, with what follows."""
    order = [*all_checks(), *(f"{name}_stack_together" for name in STACKS)]
    told = []
    for name in sorted(last.findings, key=order.index):
        before, after = first.findings.get(name, last.findings[name]), last.findings[name]
        worked = name in first.cures and first.cures[name].changes and after.verdict.severity <= before.verdict.severity
        finding = before if worked or (name in first.cures and not first.cures[name].changes) else after
        chain = _follows(name, cured, first, last) if name in cured else ()
        told.append(replace(finding, chain=chain))
    return tuple(told)


def _follows(name: str, cured: Cures, first: Round, last: Round) -> tuple[str, ...]:
    """What becomes worse, or needs a remedy of its own, because this remedy changes a size."""
    touched = set(cured[name].changes)
    told = []
    for other, finding in last.findings.items():
        before = first.findings.get(other)
        if other == name or before is None or not touched & set(finding.reads):
            continue
        if other in cured and other not in first.cures:
            told.append(f"{finding.title}: {cured[other].do}")
        elif finding.verdict.severity > before.verdict.severity:
            told.append(f"{finding.title}: {finding.verdict}, {finding.said}")
    return tuple(told)


def _demands(cured: Cures, assembly: Assembly) -> list[Demand]:
    """Everything that is needed, each once: a remedy's part takes the place of what the step would use by itself."""
    cures = [demand for cure in cured.values() for demand in cure.demands]
    replaced = {demand.role for demand in cures}
    steps = [demand for demand in all_demands(assembly) if demand.role not in replaced]
    return list({repr(demand): demand for demand in [*cures, *steps]}.values())
