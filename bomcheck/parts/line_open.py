"""A line that nothing closes: which joint is open, what part would close it, and what was passed over and why."""

from collections.abc import Iterator
from math import ceil, floor, isfinite

from bomcheck.notation.types import LineEnd
from bomcheck.parts.ends import opposite
from bomcheck.parts.line_question import ROUNDING, LineQuestion, called, hose_window
from bomcheck.parts.line_search import Found, Search
from bomcheck.parts.line_stock import PRICE_STEPS, Item, Rank

MOST_REASONS = 8
MOST_ENDS = 3


def wanted_hose(question: LineQuestion) -> str:
    """The one hose that would close the line, described so that it can be bought anywhere."""
    near, far = opposite(question.car_end), opposite(question.caliper_inlet)
    mark = ", road-marked" if question.road_use is not False else ""
    return f"{near.name} to {far.name}{_wanted_length(question)}{mark}"


def wanted_adapter(usable: Search) -> str:
    """The one adapter that would close the line with the cheapest hose that joins one of its ends; "" without one."""
    question = usable.question
    offers = [
        (rank, near, far, hose)
        for near, far in ((question.car_end, question.caliper_inlet), (question.caliper_inlet, question.car_end))
        for rank, near, hose in _hoses_at(usable, near)
    ]
    if not offers or question.limits.adapters < 1:
        return ""
    _rank, free, other, hose = min(offers, key=lambda offer: offer[0])
    return f"{opposite(free).name} to {opposite(other).name}, with {called(hose.part)}"


def open_joint(usable: Search) -> str:
    """Where the line stays open: at the car, at the caliper, or between what can be reached from both."""
    car, inlet = usable.question.car_end, usable.question.caliper_inlet
    beyond_car, beyond_inlet = _one_part_on(usable, car), _one_part_on(usable, inlet)
    if not beyond_car and not beyond_inlet:
        return f"both ends: no usable part joins the car's {car.name}, and none joins the caliper's {inlet.name}"
    if not beyond_car:
        return f"at the car: no usable part joins {car.name}"
    if not beyond_inlet:
        return f"at the caliper: no usable part joins {inlet.name}"
    return (
        f"between the car's {car.name}, from which parts lead to {_some(beyond_car)}, "
        f"and the caliper's {inlet.name}, to which parts lead from {_some(beyond_inlet)}"
    )


def passed_over(relaxed: Search) -> tuple[str, ...]:
    """Why parts that would join both ways may not be used; relaxed: a search that allows every part."""
    found: list[tuple[int, Rank, str]] = []
    for joints, item in _closing_hoses(relaxed):
        against = relaxed.use(item).against
        if against:
            found.append((joints, item.rank, against))
    best = relaxed.best()
    others = [relaxed.use(item).against for item in best.items] if best else []
    reasons = [text for _, _, text in sorted(found)] + [text for text in others if text]
    return tuple(dict.fromkeys(reasons))[:MOST_REASONS]


def why_lost(best: Found, other: Found) -> str:
    """The first of what must be bought, joints, price and lead time on which the other chain is worse."""
    dearer = (other.rank.price - best.rank.price) / PRICE_STEPS
    if other.bought and not best.bought:
        priced = not other.rank.unpriced
        return f"it must be bought{f', for {other.rank.price / PRICE_STEPS:.2f}' if priced else ''}; the other is all there"
    joints = other.joints - best.joints
    if joints:
        cheaper = f", although {-dearer:.2f} less has to be spent" if dearer < 0 and not other.rank.unpriced else ""
        return f"{joints} joint{'s' if joints > 1 else ''} more{cheaper}"
    if other.rank.unpriced > best.rank.unpriced:
        return "a part of it has no price"
    if dearer:
        return f"{dearer:.2f} dearer"
    if other.rank.lead > best.rank.lead:
        known = isfinite(other.rank.lead)
        later = other.rank.lead - best.rank.lead
        return f"{later:g} day{'' if later == 1 else 's'} later" if known else "its lead time is not stated"
    return "as good: same joints, price and lead time"


def _wanted_length(question: LineQuestion) -> str:
    """Whole millimetres, rounded so that any hose inside them is right for every path inside the ±."""
    _, least, most, _ = hose_window(question)
    if not isfinite(least):
        return ""
    low, high = ceil(least - ROUNDING), floor(most + ROUNDING)
    return f", at least {low} mm" + (f" and at most {high} mm" if high >= low else "")


def _hoses_at(usable: Search, end: LineEnd) -> Iterator[tuple[Rank, LineEnd, Item]]:
    """The best usable hose of each kind on this end: its rank, its free end, itself."""
    catalogue = usable.catalogue
    for beyond, group in usable.facing(catalogue.kind(end), catalogue.hoses):
        for hose in usable.usable(group, 1):
            yield hose.rank, catalogue.ends[beyond], hose


def _one_part_on(usable: Search, end: LineEnd) -> list[str]:
    """Names of the ends that one usable hose or adapter leads to."""
    catalogue, kind = usable.catalogue, usable.catalogue.kind(end)
    steps = [step for index in (catalogue.hoses, catalogue.adapters) for step in usable.facing(kind, index)]
    return sorted({catalogue.ends[beyond].name for beyond, group in steps if usable.usable(group, 1)})


def _some(names: list[str]) -> str:
    more = " and others" if len(names) > MOST_ENDS else ""
    return ", ".join(names[:MOST_ENDS]) + more


def _closing_hoses(relaxed: Search) -> Iterator[tuple[int, Item]]:
    """Every hose that would close the line with at most two adapters, with the number of joints."""
    question, catalogue = relaxed.question, relaxed.catalogue
    ahead, behind = relaxed.reached(question.car_end), relaxed.reached(question.caliper_inlet)
    for before, kinds in enumerate(ahead):
        for after in range(question.limits.adapters + 1 - before):
            ready = {mate for kind in behind[after] for mate in catalogue.mates(kind)}
            steps = [step for kind in kinds for step in relaxed.facing(kind, catalogue.hoses)]
            for beyond, group in steps:
                if beyond in ready:
                    yield from ((before + after + 2, item) for item in group.items)
