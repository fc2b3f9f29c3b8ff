"""The one pipeline: a Job in, a Report out. No files, no printing; every user of the verdicts passes through here."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from functools import cache

from bomcheck.car.assess import assess_axles, of_both
from bomcheck.car.checks import counts
from bomcheck.car.hydraulics import OF_BOUGHT_PADS, friction_of
from bomcheck.car.states import Beside
from bomcheck.engine.inputs import Inputs
from bomcheck.engine.makers_word import with_makers_word
from bomcheck.engine.questions import IN_THE_BOX, KIT_MAKER, questions_of
from bomcheck.engine.readings import shims_as_fitted, with_readings
from bomcheck.engine.rounds import Cascade, Cures, Round, again, told, unrest
from bomcheck.engine.settle import settle
from bomcheck.model.box import Range
from bomcheck.model.demand import MASTER, Demand
from bomcheck.model.errors import Fault
from bomcheck.model.finding import Finding, Reason, said_in
from bomcheck.model.job import Job, Part, Value
from bomcheck.model.line import Line
from bomcheck.model.records import dataclass, replace
from bomcheck.model.report import Question, Report, told_by
from bomcheck.model.rule import Cure
from bomcheck.model.verdict import Verdict, worst
from bomcheck.rules import all_checks
from bomcheck.rules.derived import DERIVATIONS
from bomcheck.supply.balance import parts_complete
from bomcheck.supply.buying import Buying
from bomcheck.supply.every_need import all_demands
from bomcheck.supply.for_car import of_car
from bomcheck.supply.judged import CAR, Bench, Given, judged_list
from bomcheck.supply.line_arrangement import brake_line
from bomcheck.supply.needs import Assembly, gather

EDGE_CODE = re.compile(r"\b(?:class|edge[- ]?codes?):? ([c-h][c-h])\b", re.IGNORECASE)


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

    def with_pads(self, named: Iterable[tuple[Demand, Part]]) -> tuple[Job, Inputs]:
        """The same with the friction of the pads that are bought, as their edge code states it; not known where none does."""
        (job, sizes), axle = self.settled, self.job.get("axle")
        pads = next((part for asked, part in named if asked.role == "pad set" and asked.axle in ("", axle)), None)
        code = EDGE_CODE.search(f"class {pads.strength_class}, {pads.description}") if pads else None
        friction = friction_of(code[1]) if code else None
        others = pads not in job.box if pads else job.get("pad_duty") != self.job.get("pad_duty")
        if friction is None and (not others or job.values.keys().isdisjoint(("pad_friction", "pad_friction_code"))):
            return job, sizes
        typed = f"{OF_BOUGHT_PADS} {code[1]}" if code and friction else OF_BOUGHT_PADS
        friction = friction or Range(0.0, 0.0, 0.0)
        half = friction.high - friction.middle
        kept = {key: value for key, value in job.values.items() if not key.startswith("pad_temperature")}
        fitted = replace(job, values={**kept, "pad_friction": Value("pad_friction", friction.middle, half, typed)})
        return fitted, Inputs(fitted, DERIVATIONS)

    def demands(self, system: Iterable[Finding]) -> list[Demand]:
        """All that the axle needs. system: findings of the brakes as a whole, with the parts that they ask for."""
        ordered = frozenset(demand.role for finding in system for demand in finding.demands)
        return _demands(self.cascade.in_force(), replace(self.assembly, ordered=ordered))

    @property
    def bench(self) -> Bench:
        """To judge again with the parts that are bought."""
        last = self.cascade.last

        @cache
        def judge(changes: Given) -> Mapping[str, Finding]:
            with_it = again(last, dict(changes))
            asked = with_it.cures.keys() - last.cures.keys()
            found = Cascade(with_it).last.findings  # with another remedy than before, which may move more
            return {**found, **{f"{name}, another part": found[name] for name in asked}}

        return Bench(self.assembly.get, last.sizes.half, judge)

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


def _whole(system: Iterable[Finding], axles: Beside) -> Bench:
    """To judge the brakes as a whole again with the master cylinder that is bought; as they are: with the one that is asked for."""
    wanted = max(
        (dict(one.puts)["master_bore"] for found in system for one in found.demands if one.role == MASTER), default=None
    )

    @cache
    def judge(changes: Given) -> Mapping[str, Finding]:
        bore, half = dict(changes).get("master_bore", (wanted, 0.0))
        tried = None if bore is None else Range(bore - half, bore, bore + half)
        told = enumerate(assess_axles(axles, tried))
        return {f"{found.check} {number}": found for number, axle in told for found in axle}

    return Bench(lambda key: wanted if key == "master_bore" else None, lambda _: 0.0, judge)


def _judge_axle(job: Job, today: date | None, without: frozenset[Part] = frozenset()) -> Judged:
    first = Round(settle(_with_line(job, today, without)))
    cascade = Cascade(first)
    last = cascade.last
    last.plans = {name: replace(plan, pieces=last.adjusted[name].pieces) for name, plan in last.plans.items()}
    changed = frozenset(key for cure in cascade.in_force().values() for key in cure.changes)
    read = with_readings((*told(first, cascade), *unrest(cascade)), job, changed)
    findings = (*with_makers_word(read, job), *shims_as_fitted(last.adjusted, job))
    return Judged(job, cascade, findings, Assembly(last.job, last.sizes, last.plans, last.job.get("brake_line")))


def _ruling(findings: Iterable[Finding]) -> tuple[Verdict, tuple[Finding, ...]]:
    """The worst verdict, and the findings that make it so."""
    found = tuple(findings)
    verdict = worst([finding.verdict for finding in found])
    return verdict, tuple(one for one in found if one.verdict is verdict and verdict is not Verdict.FITS)


def _planned(judged: Sequence[Judged]) -> frozenset[Part]:
    """The parts of which the lines are planned."""
    answers = [answer for one in judged for answer in getattr(one.assembly.line, "answers", ())]
    return frozenset(link.part for answer in answers for link in getattr(getattr(answer, "chain", None), "links", ()))


def _one_axle(job: Job, today: date | None, without: frozenset[Part] = frozenset()) -> Report:
    """without: parts that the list has refused, of which no line is planned again."""
    axle = _judge_axle(job, today, without)
    settled, bench = axle.settled, axle.bench
    for _ in range(2):  # the second time with the pads that are bought
        (system,) = assess_axles([settled])
        of_system = [demand for finding in system for demand in finding.demands]
        benches = {"": bench, CAR: _whole(system, [settled])}
        parts = judged_list(job, [*axle.demands(system), *of_system], benches, job.days_left(today))
        if refused := _planned([axle]) & parts.refused - without:
            return _one_axle(job, today, without | refused)
        before, settled = settled, axle.with_pads(parts.named)
        if settled[0] == before[0]:
            break
    report = axle.report(system, parts.lines, parts.bought, filter(counts, system), False)
    return replace(report, job=replace(job, own=parts.job.own), cured=before[0])


def _car(job: Job, today: date | None, without: frozenset[Part] = frozenset()) -> Report:
    """Both axles: each with its own checks, the brakes as they will be with both kits, and one list of parts. without: as above."""
    judged = [_judge_axle(axle, today, without) for axle in job.axles]
    axles = [one for one in judged if one.job.side != "right"]
    settled, several, own_benches = [one.settled for one in axles], len(axles) > 1, dict[str, Bench]()
    for one in judged:
        axle = str(one.job.get("axle")) if several else ""
        own_benches[axle] = own_benches[axle].beside(one.bench) if axle in own_benches else one.bench
    for _ in range(2):  # the second time with the pads that are bought
        systems = assess_axles(settled)
        system = of_both(*systems) if len(systems) == 2 else systems[0]
        of_axle = {one.job.get("axle"): own for one, own in zip(axles, systems, strict=True)}
        demands = of_car([(one.job, one.demands(system)) for one in judged], system)
        benches = {CAR: _whole(system, settled), **own_benches}
        found = judged_list(job, demands, benches, job.days_left(today))
        if refused := _planned(judged) & found.refused - without:
            return _car(job, today, without | refused)
        before, settled = settled, [one.with_pads(found.named) for one in axles]
        if [its[0] for its in before] == [its[0] for its in settled]:
            break
    parts, bought, job = found[:3]
    own = ((one, of_axle[one.job.get("axle")], one.with_pads(found.named)[0]) for one in judged)
    reports = tuple(replace(one.report(its, parts, bought, (), several), cured=job) for one, its, job in own)
    findings = tuple(_of_axle(one) for one in reports)
    counted = [one for one in system if counts(one)]
    verdict, _ = _ruling((*findings, *counted))
    deciding = list(told_by(reports, lambda one: (found for found in one.deciding if found.verdict is verdict)))
    deciding += [one for one in counted if one.verdict is verdict]
    questions = tuple(dict.fromkeys(_asked(reports)))
    steady = all(one.settled for one in reports)
    passes = max(one.passes for one in reports)
    return Report(
        job, job, verdict, tuple(deciding), findings, {}, None, parts, questions, system, passes, steady, bought, reports,
    )  # fmt: skip


def _asked(reports: Sequence[Report]) -> Iterator[Question]:
    """The questions of all axles and corners, each with its place; what all ask, and what is of the kit, without one."""
    several = len({one.job.get("axle") for one in reports}) > 1
    for one in reports:
        for question in one.questions:
            if question.whom in (KIT_MAKER, IN_THE_BOX):
                where = f"{one.job.get('axle')} axle" if several else ""
            else:
                where = "" if all(question in it.questions for it in reports) else one.job.where
            ask = f"{where[:1].upper()}{where[1:]}: {question.ask}" if where else question.ask
            yield replace(question, ask=ask)


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


def _past_day_said(job: Job, today: date | None) -> Job:
    """A day of order that is still to come, and a needed-by day that is past, rule out nothing and are named."""
    ordered, value = job.values.get("ordered_on"), job.values.get("needed_by")
    wrong = f"the day by which everything is needed is past; today is {today}, and the parts list counts with no day"
    do = "Type the new day"
    if today is not None and ordered is not None and ordered.value > today:
        value, wrong, do = ordered, f"it is still to come; today is {today}", "Type the day, or clear the cell"
    elif value is None or today is None or job.days_left(today) is not None:
        return job
    fault = Fault("out of range", value.place, value.typed, wrong, do, value.key, stops=False)
    return job if fault in job.faults else replace(job, faults=(*job.faults, fault))


def _with_line(job: Job, today: date | None, without: frozenset[Part]) -> Job:
    line = brake_line(job, today, without)
    if line is None:
        return job
    return replace(job, values={**job.values, "brake_line": Value("line_end", line)})


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
