"""Several kits of one job side by side: what each comes to, and which to sell for the stated duty. Pure data."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from functools import cached_property
from math import ceil
from typing import Any

from bomcheck.car.checks import BAD, GOOD, UNKNOWN, word
from bomcheck.car.figures import shown
from bomcheck.model.finding import Finding, Reason, Weight, mm
from bomcheck.model.job import Job
from bomcheck.model.line import ASK, NO_SOURCE, TO_ORDER, amount, cents, same_name
from bomcheck.model.records import dataclass
from bomcheck.model.report import Report
from bomcheck.model.verdict import Verdict
from bomcheck.notation import show_number
from bomcheck.paper import quote
from bomcheck.paper.awaited import Delivery, delivery
from bomcheck.supply import balance

GOES_ON = (Verdict.FITS, Verdict.FITS_WITH_PARTS)
IN_WHEEL = "caliper_in_wheel"
MOST_NAMED = 2


@dataclass(frozen=True, slots=True)
class Money:
    """What one kit comes to without tax [currency]. kit: None where it has no price. labour: with machining. lacking: what
    has no price, in words; the total is without it."""

    kit: float | None
    parts: float
    labour: float
    total: float
    lacking: tuple[str, ...]


@dataclass(frozen=True)
class Kit:
    """One of the compared kits. chosen: whether the lists follow it."""

    report: Report
    chosen: bool
    today: date | None = None

    @property
    def letter(self) -> str:
        """Of its sheets."""
        return self.report.job.kit

    @property
    def name(self) -> str:
        """ "kit B (RK-280 280 mm four-piston kit)"."""
        number = quote.kit_name(self.report.job, ("kit_number",))
        return f"kit {self.letter}{f' ({number})' if number else ''}"

    @cached_property
    def axles(self) -> tuple[Report, ...]:
        """The report on each axle or corner, of a car with one kit the only one."""
        return self.report.axles or (self.report,)

    @property
    def because(self) -> tuple[Finding, ...]:
        """What decides, worst first; that one stack must serve all is said only where no single check says it."""
        single = tuple(one for one in self.report.deciding if not one.check.endswith("_together"))
        return single or self.report.deciding

    @cached_property
    def bad(self) -> tuple[str, ...]:
        """What is not good of the brakes as a whole and no part on the list cures."""
        found = (one.title for one in self.report.system if word(one) == BAD and not one.demands)
        return tuple(dict.fromkeys(found))

    @property
    def air(self) -> float | None:
        """Least air between caliper and wheel over every true size [mm]; None where it is not known."""
        found = [one for axle in self.axles for one in axle.findings if one.check == IN_WHEEL]
        known = [one.value.low for one in found if one.value is not None]
        return min(known) if known and len(known) == len(self.axles) else None

    @property
    def to_add(self) -> tuple[str, ...]:
        """Parts that must be bought beside the kit and what is used up."""
        lines = (one for one in self.report.parts if one.to_order > 0 and one.status in (TO_ORDER, NO_SOURCE, ASK))
        named = [one for one in lines if one.role not in balance.CONSUMABLES and not one.rest_of]
        return tuple(f"{one.to_order:g} x {one.description or one.role}" for one in named)

    @property
    def work(self) -> tuple[str, ...]:
        """Machining and extra labour."""
        return tuple(one.description or one.role for one in quote.extra_work(self.report))

    @cached_property
    def money(self) -> Money:
        """As the Quote sums it up."""
        return _money(self.report)

    @cached_property
    def delivery(self) -> Delivery:
        """When all of it can be here."""
        return delivery(self.report, self.today)

    @property
    def days(self) -> float:
        """Days until all of which the delivery is known can be here."""
        return self.delivery.last or 0.0

    @property
    def late(self) -> int:
        """Days that it comes after the day on which it is needed."""
        left = self.report.buying.days if self.report.buying else None
        return 0 if left is None else max(0, ceil(self.days) - int(left))

    @property
    def mass(self) -> str:
        """What a friction ring weighs, and the one that is on the car."""
        return "; ".join(filter(None, map(_mass, self.report.job.each_axle)))

    @property
    def balance(self) -> str:
        """The front axle's share, and which wheels lock first."""
        by_name = {one.check: one for one in self.report.system}
        share, order = by_name.get("front_share"), by_name.get("lock_order")
        if share is None or share.value is None:
            return "not known"
        system = "inch" if self.report.job.get("units") == "inch" else "metric"
        front = f"{shown(share.value, share.unit, system, share.check)} at the front"
        return f"{front}; {_lock(order)}" if order is not None and order.value is not None else front


def _mass(job: Job) -> str:
    new, axle = job.get("rotor_mass"), job.get("axle")
    if new is None:
        return ""
    old, system = job.get(f"present_{axle}_rotor_mass"), job.get("units", "metric")
    now = f", now {show_number(old, 'kg', system)}" if old is not None else ""
    return f"{axle or 'rotor'} {show_number(new, 'kg', system)}{now}"


def _lock(order: Finding) -> str:
    if order.verdict is Verdict.FITS_WITH_PARTS:
        return "a valve in the rear line is needed"
    said = {GOOD: "the front wheels lock first", BAD: "the rear wheels lock first"}
    return said.get(word(order), "the rear wheels may lock first")


def _money(report: Report) -> Money:
    own = report.job.own
    more = 1 + (_figure(own, quote.MARK_UP, 0.0) or 0.0) / 100
    lacking: list[str] = []

    def of(name: str, value: float | None, factor: float = 1.0) -> float:
        if value is None:
            lacking.append(name)
        return cents((value or 0.0) * factor)

    kit = _figure(own, quote.KIT, quote.kit_price(report.job))
    for_kit = of("the kit", kit)
    parts = sum(of(one.description or one.role, one.line_total, more) for one in quote.bought(report))
    for line, cost in quote.from_shelf(report):
        parts += of(line.description or line.role, _figure(own, f"{quote.SHELF_KEY}{line.key}", cost), more)
    parts += _freight(report)
    labour = sum(of(one.description or one.role, one.line_total) for one in quote.extra_work(report))
    rate = _figure(own, quote.RATE, report.job.get("labour_rate"))
    if rate is None:
        lacking.append("the labour")
    else:
        hours = ((_figure(own, quote.labour_key(one), one.hours), one) for one in quote.operations(report))
        labour += sum(of(one.name, None if each is None else each * one.times * rate) for each, one in hours)
    rags = cents((for_kit + parts + labour) * (_figure(own, quote.CONSUMABLES, 0.0) or 0.0) / 100)
    total = cents(for_kit + parts + labour + rags)
    return Money(None if kit is None else for_kit, cents(parts), cents(labour), total, tuple(dict.fromkeys(lacking)))


def _figure(own: Mapping[str, Mapping[str, Any]], key: str, usual: float | None) -> float | None:
    """What the shop typed on the Quote, else the usual figure; None where a word stands there."""
    kept = own.get(f"{quote.QUOTE_PREFIX}{key}", {})
    typed = amount(kept, "figure")
    return typed if typed is not None or kept.get("figure") is not None else usual


def _freight(report: Report) -> float:
    """Freight, and what is added up to least orders [currency]."""
    total = 0.0
    for terms in report.job.terms:
        lines = [one for one in quote.bought(report) if same_name(one.own.supplier or one.supplier, terms.supplier)]
        if any(one.to_order > 0 for one in lines):
            total += terms.freight + max(0.0, terms.minimum - sum(one.line_total or 0.0 for one in lines))
    return cents(total)


def kits_of(report: Report, today: date | None = None) -> list[Kit]:
    """The compared kits by their letters; none where the job has one kit."""
    found = [Kit(report, True, today), *(Kit(one, False, today) for one in report.kits)] if report.kits else []
    return sorted(found, key=lambda one: one.letter)


@dataclass(frozen=True, slots=True)
class Advice:
    """kit: the letter of the one to sell, "" where that cannot be said. said: a sentence with the reason."""

    kit: str
    said: str


def advice(kits: Sequence[Kit]) -> Advice:
    """Which kit to sell for the stated duty, and why; or what is missing to say so."""
    duty = kits[0].report.job.get("duty")
    if duty is None:
        return Advice("", "It cannot be said which kit to sell: the car's duty is missing on the Job sheet.")
    going = [one for one in kits if one.report.verdict in GOES_ON]
    others = [_why_not(one) for one in kits if one not in going]
    if not going:
        return Advice("", _none_goes(kits, others))
    best, *rest = sorted(going, key=_rank)
    level = [one for one in rest if _rank(one)[:2] == _rank(best)[:2]]
    if any(one.money.kit is None or set(one.money.lacking) != set(best.money.lacking) for one in level):
        lacking = _prices_missing([best, *level])
        named = _joined([one.name for one in [best, *level]])
        why = f"{named} both go on" if len(level) == 1 else f"{named} all go on"
        return Advice("", _sentence(f"It cannot be said yet which kit to sell: {why}, but {lacking}", others))
    reasons = [_why(best, rest, str(duty)), *(_behind(one, best) for one in rest), *others]
    return Advice(best.letter, _sentence(f"Sell {best.name}", [], reasons))


def _rank(kit: Kit) -> tuple[int, int, float, float, float]:
    """Best first: what is not good of the whole car, lateness, price, day, air at the wheel."""
    return len(kit.bad), kit.late, kit.money.total, kit.days, -(kit.air or 0.0)


def _why(best: Kit, rest: Sequence[Kit], duty: str) -> str:
    why = f"for {duty} use it {best.report.verdict}, for {_priced(best)}"
    if not rest:
        why += ", the only one that goes on as things are known"
    if best.bad:
        why += f"; but look at: {_joined([_low(one) for one in best.bad[:MOST_NAMED]])}"
    doubt = [one.title for one in best.report.system if one.reason is Reason.STRADDLES and one.weight is Weight.COUNTS]
    if doubt:
        why += f"; not sure as the sizes are typed: {_joined([_low(one) for one in doubt[:MOST_NAMED]])}"
    if not best.delivery.open:
        why += f", and all is there {f'on {best.delivery.day}' if best.delivery.day else f'in {best.days:g} days'}"
    if best.delivery.open and best.report.job.get("needed_by"):
        why += f", but no delivery is known for {_joined(best.delivery.open[:MOST_NAMED])}"
    return f"{why}, {best.late} days too late" if best.late else why


def _priced(kit: Kit) -> str:
    currency = str(kit.report.job.get("currency") or "")
    more = " or more" if kit.money.lacking else ""
    return f"{kit.money.total:,.2f} {currency}".rstrip() + more


def _behind(kit: Kit, best: Kit) -> str:
    """Why one that goes on, too, is not the one to sell."""
    if len(kit.bad) > len(best.bad):
        return f"{kit.name} is not good for the whole car ({_joined([_low(one) for one in kit.bad[:MOST_NAMED]])})"
    if kit.late > best.late:
        return f"{kit.name} comes {kit.late} days too late"
    more = kit.money.total - best.money.total
    return f"{kit.name} costs {more:,.2f} more" if more >= 0.01 else f"{kit.name} is no better at the same price"


def _why_not(kit: Kit) -> str:
    said = {Verdict.NOT_KNOWN: "is not known yet", Verdict.NEEDS_MACHINING: "needs machining"}
    titles = _joined([_low(one.title) for one in kit.because[:MOST_NAMED]])
    return f"{kit.name} {said.get(kit.report.verdict, 'does not fit')} ({titles})"


def _low(title: str) -> str:
    return title[:1].lower() + title[1:]


def _none_goes(kits: Sequence[Kit], why: Sequence[str]) -> str:
    if any(one.report.verdict is Verdict.NOT_KNOWN for one in kits):
        return _sentence("It cannot be said yet which kit to sell: measure first what Measure next asks", why)
    return _sentence("None of these kits can be sold for this car as it is", why)


def _prices_missing(kits: Iterable[Kit]) -> str:
    lacking = [f"{_joined(one.money.lacking[:MOST_NAMED])} of {one.name}" for one in kits if one.money.lacking]
    return f"no price is known for {_joined(lacking)}" if lacking else ""


def _sentence(first: str, others: Sequence[str], reasons: Sequence[str] = ()) -> str:
    head = f"{first}: {reasons[0]}" if reasons else first
    return "; ".join([head, *reasons[1:], *others]) + "."


def _joined(words: Sequence[str]) -> str:
    return " and ".join(filter(None, (", ".join(words[:-1]), words[-1] if words else "")))


def compared(report: Report, today: date | None = None) -> dict[str, Any]:
    """The comparison for other programs; empty where the job has one kit."""
    kits = kits_of(report, today)
    if not kits:
        return {"kits": [], "sell": None}
    told = advice(kits)
    return {"kits": [_row(one) for one in kits], "sell": {"kit": told.kit or None, "said": told.said}}


def _row(kit: Kit) -> dict[str, Any]:
    money = kit.money
    return {
        "kit": kit.letter, "number": quote.kit_name(kit.report.job, ("kit_number",)), "chosen": kit.chosen,
        "verdict": str(kit.report.verdict), "deciding": [one.check for one in kit.report.deciding],
        "not_good": list(kit.bad), "least_air_at_wheel": kit.air, "parts_to_add": list(kit.to_add), "work": list(kit.work),
        "kit_price": money.kit, "parts_cost": money.parts, "labour_cost": money.labour, "total": money.total,
        "no_price": list(money.lacking), "days": kit.days, "no_day": list(kit.delivery.open), "balance": kit.balance,
        "mass": kit.mass, "questions": len(kit.report.questions),
    }  # fmt: skip


Rows = Iterator[tuple[str, list[str]]]


def rows(kits: Sequence[Kit]) -> Rows:
    """What is set side by side below the verdicts: a heading, and a text for each kit."""
    yield "What decides", [_listed([one.title for one in kit.because], "nothing stands against it") for kit in kits]
    judged = [any(word(one) != UNKNOWN for one in kit.report.system) for kit in kits]
    bad = [_listed(kit.bad, "nothing" if known else "not judged") for kit, known in zip(kits, judged, strict=True)]
    yield "Not good for the whole car", bad
    yield "Least air at the wheel", [_air(kit) for kit in kits]
    yield "Parts to add", [_listed(kit.to_add, "none") for kit in kits]
    yield "Machining and extra work", [_listed(kit.work, "none") for kit in kits]
    yield "Still to measure or ask", [str(len(kit.report.questions) or "nothing") for kit in kits]
    yield "All can be here", [_day(kit) for kit in kits]
    yield "Friction ring, each", [kit.mass or "not known" for kit in kits]
    yield "Brake balance", [kit.balance for kit in kits]


def _air(kit: Kit) -> str:
    if kit.air is None:
        return "not known"
    meets = any(
        one.verdict is Verdict.DOES_NOT_FIT for axle in kit.axles for one in axle.findings if one.check == IN_WHEEL
    )
    return f"{mm(kit.air, 1)}{', does not clear it' if meets else ', may not clear it' if kit.air < 0 else ''}"


def _listed(words: Sequence[str], none: str = "") -> str:
    kept = list(words[:6]) + ([f"and {len(words) - 6} more"] if len(words) > 6 else [])
    return "\n".join(f"{one[:1].upper()}{one[1:]}" for one in kept) or none


def _day(kit: Kit) -> str:
    said = str(kit.delivery.day or f"in {kit.days:g} days")
    if kit.delivery.open:
        named = _joined(kit.delivery.open[:MOST_NAMED]) + (" and more" if len(kit.delivery.open) > MOST_NAMED else "")
        said = f"Not before {said}; no delivery known: {named}"
    return f"{said}; {kit.late} days too late" if kit.late else said
