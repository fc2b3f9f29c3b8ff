"""The rounds of one axle: all checks on one state of the job, and again with every remedy that changes a size, to the end."""

from collections.abc import Callable, Iterator, Mapping
from functools import partial

from bomcheck.engine.adjust import Adjusting
from bomcheck.engine.clearance import judge_space
from bomcheck.engine.inputs import Inputs
from bomcheck.engine.judge import judge_match, judge_range, prepare
from bomcheck.engine.settle import settle
from bomcheck.engine.sight import JobSight
from bomcheck.engine.space import PLACED
from bomcheck.engine.whatever import whatever
from bomcheck.model.finding import Finding, Reason
from bomcheck.model.job import Job, Value
from bomcheck.model.records import replace
from bomcheck.model.rule import STACKS, Check, Cure
from bomcheck.model.stack import StackPlan
from bomcheck.model.verdict import Verdict
from bomcheck.rules import all_checks
from bomcheck.rules.derived import DERIVATIONS

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
            self.sight.laid({name: before.plans[name]})
        if name in STACKS:
            self.sight.windows[name] = before.sight.windows[name]

    def _judge(self, check: Check) -> None:
        self.sizes.touched |= set(check.requires)
        if check.kind == "space":
            self._take(*judge_space(check, self.sight))
            if not self.sizes.touched.isdisjoint(PLACED.values()):
                self.sizes.touched.update(*(self.touched[name] for name in STACKS))
            return
        ready = prepare(check, self.sizes)
        if ready.settled is not None:
            self._take(whatever(ready, self.sizes, 0.0), None)
        elif check.kind == "match":
            self._take(*judge_match(ready, self.sizes))
        else:
            self._take(*judge_range(ready, self.sizes, {}))

    def _adjust(self, name: str, checks: list[Check]) -> None:
        self.sizes.touched |= {key for check in checks for key in check.requires}
        ready = [prepare(check, self.sizes) for check in checks]
        wanted = self.sight.wanted()[name]
        adjusting = Adjusting(name, ready, self.sizes, wanted)
        for one in ready:
            if one.settled is not None:
                most = max(stack.thickness for stack in adjusting.choice.trade)
                self._take(whatever(one, self.sizes, most), None)
        self.sight.windows[name] = wanted.where(adjusting.laid.served)
        for finding, cure in adjusting.judge():
            self._take(finding, cure)
        if adjusting.plan is not None:
            self.plans[name], self.adjusted[name] = adjusting.plan, adjusting
            self.sight.laid({name: adjusting.plan})

    def _take(self, finding: Finding, cure: Cure | None) -> None:
        self.findings[finding.check] = finding
        if cure is not None:
            self.cures[finding.check] = cure


def _differ(one: Job, other: Job) -> frozenset[str]:
    """Keys whose value is not the same in both."""
    keys = one.values.keys() | other.values.keys()
    return frozenset(key for key in keys if one.values.get(key) != other.values.get(key))


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
                before = self.cures.get(name)
                self.cures[name] = cure if before is None or cure.changes or not before.changes else before
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


def _changes(now: Round) -> dict[str, tuple[object, float]]:
    """New values of all remedies of this round; of two for one size the one that goes further from what it was."""
    changes: dict[str, tuple[object, float]] = {}
    for cure in now.cures.values():
        for key, (value, half) in cure.changes.items():
            typed = now.job.values.get(key)
            if typed is not None and typed.value == value and typed.plus_minus == half:
                continue
            if key not in changes or _further(value, changes[key][0], typed):
                changes[key] = (value, half)
    return changes


def _further(value: object, other: object, typed: Value | None) -> bool:
    if not isinstance(value, int | float) or not isinstance(other, int | float) or typed is None:
        return False
    return bool(abs(value - typed.value) > abs(other - typed.value))


def _changed(job: Job, changes: dict[str, tuple[object, float]]) -> Job:
    values = dict(job.values)
    for key, (value, half) in changes.items():
        values[key] = replace(values[key], value=value, plus_minus=half) if key in values else Value(key, value, half)
    return settle(replace(job, values=values))


def again(last: Round, changes: dict[str, tuple[object, float]]) -> Round:
    """The round with other sizes."""
    return Round(_changed(last.job, changes), last) if changes else last


def told(first: Round, cascade: Cascade) -> Iterator[Finding]:
    """Each check's finding: the one that called for a remedy where that worked, else the last; with what follows. Where another
    check's remedy has set its size anew, that one is named."""
    order = [*all_checks(), *(f"{name}_stack_together" for name in STACKS)]
    needed = cascade.in_force()
    for name in sorted(cascade.last.findings, key=order.index):
        last = cascade.last.findings[name]
        cure = cascade.cures.get(name)
        if cure is None:
            yield last
            continue
        found = cascade.found[name]
        if name not in needed:
            instead = (other.do for other in needed.values() if other.changes.keys() & cure.changes.keys())
            found = replace(found, do=next(instead, found.do))
        worked = last.verdict.severity <= found.verdict.severity and not cascade.abandoned(name)
        yield replace(found if worked else last, chain=_follows(name, cascade, first))


def unrest(cascade: Cascade) -> Iterator[Finding]:
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
