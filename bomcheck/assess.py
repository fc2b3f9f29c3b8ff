"""The one pipeline: a Job in, a Report out. No files, no printing; every user of the verdicts passes through here."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from typing import Any

from bomcheck.car.assess import assess_system, of_both
from bomcheck.car.checks import counts
from bomcheck.engine.adjust import Adjusting
from bomcheck.engine.clearance import JobSight, judge_space
from bomcheck.engine.inputs import Inputs
from bomcheck.engine.judge import judge_match, judge_range, prepare
from bomcheck.engine.makers_word import with_makers_word
from bomcheck.engine.questions import questions_of
from bomcheck.engine.readings import with_readings
from bomcheck.engine.settle import settle
from bomcheck.model.demand import Demand
from bomcheck.model.errors import Fault
from bomcheck.model.finding import Finding, Reason, said_in
from bomcheck.model.job import Job, Value
from bomcheck.model.line import Line
from bomcheck.model.report import Report, for_axle
from bomcheck.model.rule import STACKS, Check, Cure
from bomcheck.model.stack import StackPlan
from bomcheck.model.verdict import Verdict, worst
from bomcheck.rules import all_checks
from bomcheck.rules.derived import DERIVATIONS
from bomcheck.supply.balance import parts_complete
from bomcheck.supply.buying import Buying
from bomcheck.supply.every_need import all_demands
from bomcheck.supply.for_car import of_car
from bomcheck.supply.judged import Bench, judged_list
from bomcheck.supply.line_arrangement import brake_line
from bomcheck.supply.needs import Assembly, gather

MOST_PASSES = 5
Cures = dict[str, Cure]


class Round:
    """All checks on one state of the job; what touches no size that changed since `before` is taken over from there."""

    def __init__(self, job: Job, before: "Round | None" = None) -> None:
        self.job, self.before = job, before
        self.sizes = Inputs(job, DERIVATIONS)
        self.sight = JobSight(self.sizes)
        self.findings: dict[str, Finding] = {}
        self.cures: Cures = {}
        self.plans: dict[str, StackPlan] = {}
        self.adjusted: dict[str, Adjusting] = {}
        self.touched: dict[str, frozenset[str]] = {}
        self.named: dict[str, list[str]] = {}
        self.changed = _differ(before.job, job) if before else frozenset()
        checks = list(all_checks().values())
        for name in STACKS:
            self._run(name, partial(self._adjust, name, [check for check in checks if check.stack == name]))
        for check in checks:
            if not check.stack:
                self._run(check.name, partial(self._judge, check))

    def _run(self, name: str, judge: Callable[[], None]) -> None:
        """Judge one check, or the checks of one shim stack, unless the round before holds for it still."""
        if self.before is not None and not self.before.touched[name] & self.changed:
            self._take_over(name, self.before)
            return
        self.sizes.touched, so_far = set(), set(self.findings)
        judge()
        self.touched[name] = frozenset(self.sizes.touched)
        self.named[name] = [found for found in self.findings if found not in so_far]

    def _take_over(self, name: str, before: "Round") -> None:
        self.touched[name], self.named[name] = before.touched[name], before.named[name]
        for found in before.named[name]:
            self._take(before.findings[found], before.cures.get(found))
        if name in before.plans:
            self.plans[name], self.adjusted[name] = before.plans[name], before.adjusted[name]
        if name in STACKS:
            self.sight.windows[name] = before.sight.windows[name]

    def _judge(self, check: Check) -> None:
        self.sizes.touched |= set(check.requires)
        if check.kind == "space":
            self._take(*judge_space(check, self.sight))
            if self.sight.leans_on_shims(check):
                self.sizes.touched.update(*(self.touched[name] for name in STACKS))
            return
        ready = prepare(check, self.sizes)
        if ready.settled is not None:
            self._take(ready.settled, None)
        elif check.kind == "match":
            self._take(*judge_match(ready, self.sizes))
        else:
            self._take(*judge_range(ready, self.sizes, {}))

    def _adjust(self, name: str, checks: list[Check]) -> None:
        self.sizes.touched |= {key for check in checks for key in check.requires}
        ready = [prepare(check, self.sizes) for check in checks]
        for one in ready:
            if one.settled is not None:
                self._take(one.settled, None)
        wanted = self.sight.wanted()[name]
        adjusting = Adjusting(name, ready, self.sizes, wanted)
        self.sight.windows[name] = wanted.where(adjusting.laid.served)
        for finding, cure in adjusting.judge():
            self._take(finding, cure)
        if adjusting.plan is not None:
            self.plans[name], self.adjusted[name] = adjusting.plan, adjusting

    def _take(self, finding: Finding, cure: Cure | None) -> None:
        self.findings[finding.check] = finding
        if cure is not None:
            self.cures[finding.check] = cure


def _differ(one: Job, other: Job) -> frozenset[str]:
    """Keys whose value is not the same in both."""
    keys = one.values.keys() | other.values.keys()
    return frozenset(key for key in keys if one.values.get(key) != other.values.get(key))


def assess(job: Job, today: date | None = None) -> Report:
    """Everything that is known of a job. today: for the needed-by date; without it lead times do not rule out a part."""
    with said_in(job.get("units", "metric")):
        told = _past_day_said(job, today)
        report = _car(told, today) if job.axles else _one_axle(told, today)
        return replace(report, kits=tuple(assess(one, today) for one in job.kits)) if job.kits else report


@dataclass(frozen=True)
class Judged:
    """One axle: its job, and the rounds of its fit checks. findings: of the fit."""

    job: Job
    cascade: "Cascade"
    findings: tuple[Finding, ...]
    assembly: Assembly

    @property
    def settled(self) -> tuple[Job, Inputs]:
        """The job with all remedies, and its sizes."""
        return self.cascade.last.job, self.cascade.last.sizes

    def demands(self, system: Iterable[Finding]) -> list[Demand]:
        """All that the axle needs. system: findings of the brakes as a whole, with the parts that they ask for."""
        ordered = frozenset(demand.role for finding in system for demand in finding.demands)
        return _demands(self.cascade.in_force(), replace(self.assembly, ordered=ordered))

    @property
    def bench(self) -> Bench:
        """To judge again with the parts that are bought."""
        last = self.cascade.last
        return Bench(self.assembly.get, last.sizes.half, lambda changes: _again(last, changes).findings)

    def report(
        self,
        system: tuple[Finding, ...],
        parts: tuple[Line, ...],
        bought: Buying,
        counted: Iterable[Finding],
        shared: bool,
    ) -> Report:
        """The report. counted: findings that the verdict takes in beside those of the fit. shared: with another axle, whose
        kit counts too: parts for the whole car are then not this axle's."""
        last, axle = self.cascade.last, self.job.get("axle")
        if self.job.side:
            parts = tuple(line for line in parts if line.side in ("either", self.job.side))
        if shared:
            parts = tuple(line for line in parts if line.axle in ("", axle))
        own = [line for line in parts if line.axle] if shared else parts
        findings = (*self.findings, parts_complete(self.job, own))
        verdict, deciding = _ruling((*findings, *counted))
        return Report(
            self.job, last.job, verdict, deciding, findings, last.plans, self.assembly.line, parts,
            questions_of(findings, self.job), system, self.cascade.passes, self.cascade.steady, bought,
        )  # fmt: skip


def _judge_axle(job: Job, today: date | None) -> Judged:
    first = Round(settle(_with_line(job, today)))
    cascade = Cascade(first)
    last = cascade.last
    last.plans = {name: replace(plan, pieces=last.adjusted[name].pieces) for name, plan in last.plans.items()}
    changed = frozenset(key for cure in cascade.in_force().values() for key in cure.changes)
    read = with_readings((*_told(first, cascade), *_unrest(cascade)), job, changed)
    findings = with_makers_word(read, job)
    return Judged(job, cascade, findings, Assembly(last.job, last.sizes, last.plans, last.job.get("brake_line")))


def _ruling(findings: Iterable[Finding]) -> tuple[Verdict, tuple[Finding, ...]]:
    """The worst verdict, and the findings that make it so."""
    found = tuple(findings)
    verdict = worst([finding.verdict for finding in found])
    return verdict, tuple(one for one in found if one.verdict is verdict and verdict is not Verdict.FITS)


def _one_axle(job: Job, today: date | None) -> Report:
    axle = _judge_axle(job, today)
    system = assess_system(*axle.settled)
    of_system = [demand for finding in system for demand in finding.demands]
    parts = judged_list(job, [*axle.demands(system), *of_system], {"": axle.bench}, _days_left(job, today))
    report = axle.report(system, parts.lines, parts.bought, filter(counts, system), False)
    return replace(report, job=replace(job, own=parts.job.own))


def _car(job: Job, today: date | None) -> Report:
    """Both axles: each with its own checks, the brakes as they will be with both kits, and one list of parts."""
    judged = [_judge_axle(axle, today) for axle in job.axles]
    axles = [one for one in judged if one.job.side != "right"]
    systems = [assess_system(*one.settled, [it.settled for it in axles if it is not one]) for one in axles]
    system = of_both(*systems) if len(systems) == 2 else systems[0]
    of_axle = {one.job.get("axle"): own for one, own in zip(axles, systems, strict=True)}
    several = len(axles) > 1
    demands = of_car([(one.job, one.demands(system)) for one in judged], system)
    benches: dict[str, Bench] = {}
    for one in judged:
        axle = str(one.job.get("axle")) if several else ""
        benches[axle] = benches[axle].beside(one.bench) if axle in benches else one.bench
    parts, bought, job, _ = judged_list(job, demands, benches, _days_left(job, today))
    reports = tuple(one.report(of_axle[one.job.get("axle")], parts, bought, (), several) for one in judged)
    findings = tuple(_of_axle(one) for one in reports)
    counted = [one for one in system if counts(one)]
    verdict, _ = _ruling((*findings, *counted))
    deciding = [for_axle(found, one) for one in reports for found in one.deciding if found.verdict is verdict]
    deciding += [one for one in counted if one.verdict is verdict]
    questions = tuple(dict.fromkeys(question for one in reports for question in one.questions))
    steady = all(one.settled for one in reports)
    passes = max(one.passes for one in reports)
    return Report(
        job, job, verdict, tuple(deciding), findings, {}, None, parts, questions, system, passes, steady, bought, reports,
    )  # fmt: skip


def _of_axle(axle: Report) -> Finding:
    """One finding that stands for all of an axle's."""
    name = axle.job.where
    worst_of = axle.deciding[0] if axle.deciding else None
    said = f"{worst_of.title}: {worst_of.said or worst_of.do}" if worst_of else "Every check holds for every true size"
    return Finding(
        name.replace(" ", "_"), name.capitalize(), "axles", axle.verdict, said=said.rstrip("."), unit="",
        do=worst_of.do if worst_of else "", reason=worst_of.reason if worst_of else Reason.NONE,
        source="the worst of its checks",
    )  # fmt: skip


def _days_left(job: Job, today: date | None) -> float | None:
    """Until everything must be there; None where no date is stated."""
    needed_by = job.get("needed_by")
    return float((needed_by - today).days) if needed_by and today and needed_by >= today else None


def _past_day_said(job: Job, today: date | None) -> Job:
    """A needed-by day that is past rules out nothing, and is named."""
    value = job.values.get("needed_by")
    if value is None or today is None or value.value >= today:
        return job
    wrong = f"the day by which everything is needed is past; today is {today}, and the parts list counts with no day"
    fault = Fault("out of range", value.place, value.typed, wrong, "Type the new day", "needed_by", stops=False)
    return job if fault in job.faults else replace(job, faults=(*job.faults, fault))


def _with_line(job: Job, today: date | None) -> Job:
    line = brake_line(job, today)
    if line is None:
        return job
    return replace(job, values={**job.values, "brake_line": Value("line_end", line)})


class Cascade:
    """Every remedy that changes a size is applied and what it touches is checked again, until nothing changes.

    last: the last round. cures, found: by check the remedy, and the finding that called for it, of the round in which it
    was last needed. passes: rounds; steady: False when five were not enough.
    """

    def __init__(self, first: Round) -> None:
        self.last, self.cures, self.found = first, dict(first.cures), dict(first.findings)
        self.passes, changes = 1, _changes(first)
        while changes and self.passes < MOST_PASSES:
            self.last = Round(_changed(self.last.job, changes), self.last)
            self.passes += 1
            for name, cure in self.last.cures.items():
                self.cures[name] = _joined(self.cures.get(name), cure)
                self.found[name] = self.last.findings[name]
            changes = _changes(self.last)
        self.steady = not changes

    def abandoned(self, name: str) -> bool:
        """Whether a remedy that changes no size is not needed any more: what another one changed lets its check pass."""
        better = self.last.findings[name].verdict.severity < self.found[name].verdict.severity
        return better and not self.cures[name].changes

    def in_force(self) -> Cures:
        """The remedies that are needed in the end: not the abandoned ones, nor those whose sizes others have set anew."""
        now = self.last.job.values
        return {
            name: cure
            for name, cure in self.cures.items()
            if name in self.last.cures or not (self.abandoned(name) or _overruled(cure, now))
        }


def _overruled(cure: Cure, now: Mapping[str, Value]) -> bool:
    """Whether none of the sizes that a remedy wanted is what it wanted."""
    return bool(cure.changes) and not any(
        key in now and now[key].value == value for key, (value, _) in cure.changes.items()
    )


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
    return bool(abs(value - typed.value) > abs(other - typed.value))


def _changed(job: Job, changes: dict[str, tuple[Any, float]]) -> Job:
    values = dict(job.values)
    for key, (value, half) in changes.items():
        values[key] = replace(values[key], value=value, plus_minus=half) if key in values else Value(key, value, half)
    return settle(replace(job, values=values))


def _again(last: Round, changes: dict[str, tuple[Any, float]]) -> Round:
    """The round with other sizes."""
    return Round(_changed(last.job, changes), last) if changes else last


def _told(first: Round, cascade: Cascade) -> Iterator[Finding]:
    """Each check's finding: the one that called for a remedy where that worked, else the last; with what follows."""
    order = [*all_checks(), *(f"{name}_stack_together" for name in STACKS)]
    for name in sorted(cascade.last.findings, key=order.index):
        last = cascade.last.findings[name]
        cure = cascade.cures.get(name)
        if cure is None:
            yield last
            continue
        found = cascade.found[name]
        worked = last.verdict.severity <= found.verdict.severity and not cascade.abandoned(name)
        yield replace(found if worked else last, chain=_follows(name, cascade, first))


def _unrest(cascade: Cascade) -> Iterator[Finding]:
    """A finding for remedies that keep changing one another."""
    if cascade.steady:
        return
    turning = [cascade.found[name].title for name in cascade.last.cures if cascade.last.cures[name].changes]
    yield Finding(
        "remedies_come_to_rest", "Remedies that change one another", "all", Verdict.NOT_KNOWN,
        said=f"After {MOST_PASSES} rounds these still call for a remedy: {', '.join(turning)}",
        do="Ask the kit maker: what cures one of them upsets another", source="rule of this program", reason=Reason.NO_REST,
    )  # fmt: skip


def _follows(name: str, cascade: Cascade, first: Round) -> tuple[str, ...]:
    """What becomes worse, or needs a remedy of its own, because this remedy changes a size."""
    touched = set(cascade.cures[name].changes)
    told = []
    for other, finding in cascade.last.findings.items():
        before = first.findings.get(other)
        if (
            other == name
            or before is None
            or not touched & set(cascade.found[other].reads if other in cascade.cures else finding.reads)
        ):
            continue
        if other in cascade.cures and other not in first.cures:
            told.append(f"{finding.title}: {cascade.cures[other].do}")
        elif (
            finding.verdict.severity > max(before.verdict.severity, Verdict.FITS.severity)
            and other not in cascade.cures
        ):
            told.append(f"{finding.title}: {finding.verdict}, {finding.said}")
    return tuple(told)


def _demands(cured: Cures, assembly: Assembly) -> list[Demand]:
    """Everything that is needed, each once: a remedy's part takes the place of what the step would use by itself."""
    cures = [demand for name, cure in cured.items() for demand in (*cure.demands, *_machining(name, cure))]
    return list({repr(demand): demand for demand in gather(all_demands(assembly), cures)}.values())


def _machining(name: str, cure: Cure) -> list[Demand]:
    """The work on metal that the remedy of a check asks for, as a line of the list."""
    if cure.verdict is not Verdict.NEEDS_MACHINING:
        return []
    title = all_checks()[name].title
    reason = f"without it this fails: {title[:1].lower()}{title[1:]}"
    return [Demand("machining", 1, reason=reason, used_at="machine shop", said=cure.do)]
