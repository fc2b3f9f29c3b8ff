"""What a quote says beside the parts: labour by operation, what is not included, what is still open. Pure data."""

import re
from collections import Counter
from collections.abc import Iterator, Sequence

from bomcheck.car.checks import BAD, word
from bomcheck.car.hydraulics import boiling_points
from bomcheck.model.demand import MASTER, Demand, scope_of
from bomcheck.model.finding import Finding
from bomcheck.model.job import Job, Part
from bomcheck.model.line import ASK, IN_KIT, NO_SOURCE, ON_CAR, ON_SHELF, SURPLUS, TO_ORDER, WORK, Line, cents
from bomcheck.model.records import dataclass, replace
from bomcheck.model.report import Report
from bomcheck.model.verdict import Verdict
from bomcheck.supply.counting import up
from bomcheck.supply.offers import Purchase, best_offer
from bomcheck.supply.part_words import DUTIES
from bomcheck.supply.spec import fit
from bomcheck.tables import texts

QUOTE_PREFIX = "quote "
"""Before the name of every yellow figure of the Quote."""
DAYS, MARK_UP, RATE, CONSUMABLES, TAX = ("days", "mark-up", "rate", "consumables", "tax")
KIT, SHELF_KEY = "kit", "shelf "
PARK_ROLES = ("park shoe set", "parking cable", "parking actuator", "parking caliper")
LINE_ROLES = ("hose", "adapter", "brake tube", "tube nut", "bulkhead nut", "banjo screw", "sealing washer")
VALID_DAYS = 30.0
FITTED = (TO_ORDER, NO_SOURCE, ON_SHELF, IN_KIT)
MOST_NAMED = 3  # deciding checks


def not_included(report: Report) -> tuple[str, ...]:
    """What the price does not hold; where both axles get a kit there is no other axle."""
    return tuple(
        "Wheels, tyres and wheel alignment" if len(report.each_axle) > 1 and "other axle" in one else one
        for one in texts("texts")["quote leaves out"]
    )


@dataclass(frozen=True, slots=True)
class Operation:
    """hours: usual for one time (common practice, no source). times: how often in this job. covers: what is done in it."""

    key: str
    name: str
    covers: str
    hours: float
    times: int


def operations(report: Report) -> list[Operation]:
    """The labour of the job by operation; extra work that a check asks for stands in the parts list."""
    if report.axles:
        return _of_car(report)
    job = report.job
    corners = scope_of(job).count
    found = [Operation("corner", "Convert a corner", "Old brake off, the new one on, runout", 2.0, corners)]
    if "yes" in (job.get("hub_removed"), job.get("hub_in_kit")):
        found.append(Operation("hub", "Hub off and on", "With new seals and locking parts, bearing set", 1.0, corners))
    if any(line.role in LINE_ROLES and line.status != SURPLUS for line in report.parts):
        covers = "Hose and fittings, routed at full lock and droop"
        found.append(Operation("line", "Brake line of a corner", covers, 0.5, corners))
    if any(line.role in PARK_ROLES and line.needed and line.status not in (SURPLUS, ON_CAR) for line in report.parts):
        found.append(
            Operation(
                "park",
                "Parking brake of a corner",
                "What carries it and what works it: in, set and tried",
                0.5,
                corners,
            )
        )
    if any(line.role == MASTER and line.status in FITTED for line in report.parts):
        found.append(Operation("master", "Master cylinder", "Off and on, bled on the bench", 1.0, 1))
    found.append(Operation("bleed", "Bleed the system", "All four corners, once for the car", 1.0, 1))
    found.append(Operation("test", "Test", "Pedal, leaks, free wheel, stops, torques", 0.5, 1))
    return found


def _of_car(report: Report) -> list[Operation]:
    """Each axle's corners; what is done once for the car is charged once. What was typed beside the first axle stays there."""
    found: list[Operation] = []
    for number, one in enumerate(report.each_axle):
        axle = one.job.get("axle")
        corners = [it for it in report.axles if it.job.get("axle") == axle]
        several = f", {axle}" if len(report.each_axle) > 1 else ""
        for done in (it for it in _once([operations(it) for it in corners]) if it.key in PER_AXLE):
            found.append(replace(done, key=f"{done.key} {axle}" if number else done.key, name=f"{done.name}{several}"))
    once = [done for done in operations(replace(report, axles=())) if done.key not in PER_AXLE]
    return [*found, *once]


def _once(corners: Sequence[Sequence[Operation]]) -> Iterator[Operation]:
    """The operations of an axle, those of both its corners counted together."""
    times = Counter[str]()
    for one in (one for done in corners for one in done):
        times[one.key] += one.times
    yield from (
        replace(one, times=times[one.key]) for one in {one.key: one for done in corners for one in done}.values()
    )


PER_AXLE = ("corner", "hub", "line", "park")


def bought(report: Report) -> list[Line]:
    """The lines of the parts list that cost the customer money, in their order."""
    lines = [line for line in report.parts if line.status in (TO_ORDER, NO_SOURCE) and not line.out_of]
    return [line for line in lines if line.status == TO_ORDER or line.role not in SUNDRIES]


SUNDRIES = ("line cap", "cable tie", "torque paint")
"""What a shop has lying about: without a price it is part of the consumables."""


def extra_work(report: Report) -> list[Line]:
    """Machining and further labour that a check asks for."""
    return [line for line in report.parts if line.status == WORK]


def kit_name(job: Job, keys: Sequence[str] = ("kit_number", "kit_label")) -> str:
    """What the kit is called, or the kits of both axles; "" if the job does not say."""
    named = (" ".join(str(one.get(key)) for key in keys if one.get(key)) for one in job.each_axle)
    return ", ".join(dict.fromkeys(filter(None, named)))


def kit_price(job: Job) -> float | None:
    """Of the kits of all axles [currency]; None where one has no price."""
    prices = [one.get("kit_price") for one in job.each_axle]
    return None if None in prices else float(sum(prices))


def labour_key(one: Operation) -> str:
    """Name of the figure in which its hours are typed."""
    return f"labour {one.key}"


def kit_contents(job: Job) -> str:
    """What is in the kit's box, in a customer's words: "2 rotors, 2 calipers, pads"; "" where it is not entered."""
    counts: dict[str, float] = {}
    for part in job.box:
        counts[part.role] = counts.get(part.role, 0.0) + (part.quantity or 1.0)
    shown = [f"{counts[role]:g} {role}{'' if counts[role] == 1 else 's'}" for role in SHOWN_IN_KIT if role in counts]
    rest = any(role not in SHOWN_IN_KIT for role in counts)
    return ", ".join([*shown, *(["screws and fittings"] if rest else [])])


SHOWN_IN_KIT = ("rotor", "hat", "caliper", "bracket", "pad set", "hose", "hub", "park shoe set")


MEASURED = ("mL", "g")
"""Units in which no customer is billed: bottles, tubes and cartridges count."""
POURED = "L"
"""What comes in bottles of a litre; one that is opened is used up."""


def from_shelf(report: Report) -> list[tuple[Line, float | None]]:
    """(line, its cost) of what is taken from the shop's own shelf, or typed as on hand; cost [currency]: None where no price
    is known.

    What is measured in millilitres and grams is part of the consumables.
    """
    found = []
    for line in report.parts:
        taken = own_stock(line)
        if taken <= 0 or line.unit in MEASURED or line.status == SURPLUS or line.role in SUNDRIES:
            continue
        listed = [part for part in (*report.job.shelf, *report.job.prices) if part.unit_price is not None]
        same = [part for part in listed if part.part_number and part.part_number == line.part_number]
        part = next(iter(same), None)
        price = None if part is None else part.unit_price
        found.append((line, None if price is None else cents(price * taken)))
    return found


def own_stock(line: Line) -> float:
    """What of it is the shop's own already [unit]; of what is poured whole bottles."""
    taken = round(line.on_shelf + line.at_hand, 6)
    return up(taken) if line.unit == POURED else taken


def open_points(report: Report) -> Iterator[str]:
    """What must be settled before the quote holds, a sentence each."""
    yield from _verdict_point(report)
    yield from (
        f"Whole car, {word(one)}. {one.title}: {one.said}{_put_right(one, report)}"
        for one in report.system
        if word(one) == BAD or one.verdict is Verdict.DOES_NOT_FIT
    )
    yield from (one.said for one in report.system if one.check == "system")
    asked = [line.description or line.role for line in report.parts if line.status == ASK]
    if asked:
        yield f"Not quoted yet, to be settled first: {', '.join(asked)}"
    count = len(report.questions)
    if count:
        verb = "1 thing is" if count == 1 else f"{count} things are"
        yield f"{verb} still to be measured or looked up (sheet Measure next)"


def _verdict_point(report: Report) -> Iterator[str]:
    """On what the quote depends as long as the kit cannot go on."""
    work = ", ".join(line.description or line.role for line in extra_work(report))
    deciding = ", ".join(finding.title for finding in report.deciding[:MOST_NAMED])
    if report.verdict is Verdict.DOES_NOT_FIT:
        yield f"The kit does not fit as it is ({deciding}). This quote only holds once another way is agreed"
    elif report.verdict is Verdict.NOT_KNOWN:
        yield "It is not known yet whether the kit fits. This quote only holds once it is known"
    elif report.verdict is Verdict.NEEDS_MACHINING:
        yield f"The kit only goes on after this work: {work or deciding}"


def _put_right(finding: Finding, report: Report) -> str:
    """Whether the parts that are quoted cure it."""
    roles = {line.role for line in bought(report)}
    cures = list(dict.fromkeys(demand.role for demand in finding.demands))
    return f". Put right by the quoted {' and '.join(cures)}" if cures and roles.issuperset(cures) else ""


GOOD, BETTER = "good", "better"
FLUID_NEED = 1.3  # L: one axle with new calipers
_CLASS = re.compile(r"dot ?(5\.1|[345])(?![\d.])", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Option:
    """what: "pads" or "fluid". grade: "good" or "better". why: what it is good for, in words."""

    what: str
    grade: str
    purchase: Purchase
    why: str


def options(report: Report) -> list[Option]:
    """The options, cheapest first of each kind; "better" only where the price list has one."""
    return [*_pads(report.job), *_fluids(report)]


def _pads(job: Job) -> Iterator[Option]:
    """Good: the cheapest for the duty. Better: one for the duty that stands the hardest use as well."""
    shape, duty = job.get("caliper_pad_shape") or job.get("pad_shape"), job.get("duty")
    if not shape or duty not in DUTIES:
        return
    serving = [part for part in job.prices if _serves(part, shape, duty)]
    good = best_offer(1.0, _pad_demand(shape, duty), serving)
    if good is None:
        return
    yield Option("pads", GOOD, good, f"for {duty} use")
    top = _hardest(good.part, shape)
    harder = [part for part in serving if _hardest(part, shape) > top]
    better = best_offer(1.0, _pad_demand(shape, duty), harder)
    if better is not None:
        yield Option("pads", BETTER, better, f"for {duty} use, and stands {DUTIES[_hardest(better.part, shape)]} use")


def _pad_demand(shape: str, duty: str) -> Demand:
    return Demand("pad set", 1, unit="set", spec={"shape": shape, "duty": duty})


def _serves(part: Part, shape: str, duty: str) -> bool:
    return part.role == "pad set" and fit(part, _pad_demand(shape, duty)).surely


def _hardest(part: Part, shape: str) -> int:
    """Place in DUTIES of the hardest use that the pad says it is for."""
    return max((place for place, duty in enumerate(DUTIES) if _serves(part, shape, duty)), default=-1)


def _fluids(report: Report) -> Iterator[Option]:
    """Good: the cheapest of the right base. Better: one that boils later once it has taken up water."""
    line = next((one for one in report.parts if one.role == "fluid" and one.needed), None)
    need = line.needed if line and line.unit == "L" else FLUID_NEED
    silicone = line is not None and "silicone" in line.spec
    demand = Demand("fluid", need, "car", unit="L", spec={"fluid": "silicone" if silicone else "glycol"})
    known = [
        part for part in report.job.prices if part.role == "fluid" and fit(part, demand).surely and fluid_class(part)
    ]
    good = best_offer(need, demand, known)
    if good is None:
        return
    yield Option("fluid", GOOD, good, _boils(good.part))
    better = best_offer(need, demand, _later(known, good.part))
    if better is not None:
        yield Option("fluid", BETTER, better, _boils(better.part))


def fluid_class(part: Part) -> str:
    """ "DOT 4" and so on, "" where the part does not say."""
    found = _CLASS.search(f"{part.strength_class} {part.description}")
    return f"DOT {found[1]}" if found else ""


def _later(parts: Sequence[Part], than: Part) -> list[Part]:
    wet = boiling_points()[fluid_class(than)][1]
    return [part for part in parts if boiling_points()[fluid_class(part)][1] > wet]


def _boils(part: Part) -> str:
    dry, wet = boiling_points()[fluid_class(part)]
    return f"{fluid_class(part)}: boils at {dry:g} °C or above when fresh, {wet:g} °C with water taken up"
