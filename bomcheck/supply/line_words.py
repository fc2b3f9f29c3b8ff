"""What is said of a brake line: joint by joint, what is missing, which joint stays open."""

from collections import Counter
from collections.abc import Iterable, Iterator
from math import ceil, floor, inf, isfinite

from bomcheck.model.finding import mm
from bomcheck.model.job import Part
from bomcheck.model.records import dataclass, replace
from bomcheck.model.types import LineEnd
from bomcheck.supply.line_ends import PRICE_STEPS, Item, Joint, Need, Rank, joins, opposite
from bomcheck.supply.line_question import ROUNDING, LineQuestion, called, hose_window
from bomcheck.supply.line_search import Found, Search


@dataclass(frozen=True, slots=True)
class Link:
    """A part of the chain. source: "box", "shelf" or "order". toward_car, toward_caliper: its ends as they are turned."""

    part: Part
    source: str
    toward_car: LineEnd
    toward_caliper: LineEnd


@dataclass(frozen=True, slots=True)
class Step:
    """One joint, counted from the car: what meets what, and how it seals."""

    number: int
    before: str
    after: str
    end_before: LineEnd
    end_after: LineEnd
    joint: Joint


@dataclass(frozen=True, slots=True)
class Chain:
    """A closed line from the car's end to the caliper's inlet.

    price [currency]: of what must be ordered, None if a part has no price. lead_days: until all of it is there, 0 if all
    is there, None if a part does not state it. needs: washers, screws, sealant, nut and clip, added up.
    """

    links: tuple[Link, ...]
    steps: tuple[Step, ...]
    price: float | None
    lead_days: float | None
    needs: tuple[Need, ...]
    rows: tuple[int, ...] = ()

    @property
    def hose(self) -> Part:
        """The one flexible hose."""
        return next(link.part for link in self.links if link.part.role == "hose")

    @property
    def to_order(self) -> tuple[Part, ...]:
        """What is neither in the box nor on the shelf."""
        return tuple(link.part for link in self.links if link.source == "order")

    def __str__(self) -> str:
        return ", ".join(called(link.part) for link in self.links)


def chain_of(found: Found, question: LineQuestion) -> Chain:
    """The chain that the search found, joint by joint."""
    links = _turned(found.items, question)
    steps = _steps(links, question)
    needs = [need for step in steps for need in step.joint.needs] + _held(links, question)
    price = None if found.rank.unpriced else found.rank.price / PRICE_STEPS
    lead = None if found.rank.lead == inf else found.rank.lead
    rows = tuple(item.row for item in found.items)
    return Chain(links, steps, price, lead, added_up(needs), rows)


def _turned(items: tuple[Item, ...], question: LineQuestion) -> tuple[Link, ...]:
    """Each part the right way round; of two ways that both join, the one that leads on to the next part."""
    ways = _ways(items, question.car_end, question.caliper_inlet)
    assert ways is not None, "a found chain can always be laid out"
    return tuple(Link(item.part, item.source, near, far) for item, (near, far) in zip(items, ways, strict=True))


def _ways(items: tuple[Item, ...], before: LineEnd, inlet: LineEnd) -> list[tuple[LineEnd, LineEnd]] | None:
    if not items:
        return [] if isinstance(joins(before, inlet), Joint) else None
    first, rest = items[0], items[1:]
    for near, far in ((first.end_a, first.end_b), (first.end_b, first.end_a)):
        if isinstance(joins(before, near), Joint):
            onward = _ways(rest, far, inlet)
            if onward is not None:
                return [(near, far), *onward]
    return None


def _steps(links: tuple[Link, ...], question: LineQuestion) -> tuple[Step, ...]:
    names = ["car's line", *(called(link.part) for link in links), "caliper inlet"]
    befores = [question.car_end, *(link.toward_caliper for link in links)]
    afters = [*(link.toward_car for link in links), question.caliper_inlet]
    steps = []
    for number, (before, after) in enumerate(zip(befores, afters, strict=True)):
        joint = joins(before, after)
        assert isinstance(joint, Joint)
        steps.append(Step(number + 1, names[number], names[number + 1], before, after, joint))
    return tuple(steps)


def _held(links: tuple[Link, ...], question: LineQuestion) -> list[Need]:
    """What holds the joint at the car in its tab."""
    if not question.has_bracket:
        return []
    held = []
    if "bulkhead" in f"{links[0].part.description} {links[0].part.note}".lower():
        thread = links[0].toward_caliper.thread
        spec = f"{thread.name}, thin" if thread else "thin"
        held.append(Need("bulkhead nut", 1, spec, "holds the adapter in the tab", thread=thread, one_time=False))
    if not question.clip_on_car:
        held.append(Need("line clip", 1, "for the tab", "holds the line in the tab; none that is sound is on the car"))
    return held


def added_up(needs: Iterable[Need]) -> tuple[Need, ...]:
    """Equal needs as one line, with all their reasons."""
    lines: dict[tuple[object, ...], Need] = {}
    for need in needs:
        key = (need.role, need.spec, need.unit, need.one_time)
        there = lines.get(key)
        if there is None:
            lines[key] = need
            continue
        reason = there.reason if need.reason in there.reason else f"{there.reason}; {need.reason}"
        lines[key] = replace(there, quantity=there.quantity + need.quantity, reason=reason)
    return tuple(lines.values())


Way = tuple[tuple[Item, ...], LineEnd]
"""Parts of the box screwed on from one end of the line, outermost first, and the end that is then free."""


@dataclass(frozen=True, slots=True)
class Missing:
    """chain: of the box's own parts and one that is nowhere to be had, "order" its source. asks: what is open about them."""

    chain: Chain
    asks: tuple[str, ...] = ()

    @property
    def said(self) -> str:
        """The missing part in words: "adapter, -3 37 male to 1/8-27 NPT male, with braided hose of the box"."""
        (gap,) = [link for link in self.chain.links if link.source == "order"]
        others = [link.part.description or link.part.role for link in self.chain.links if link is not gap]
        ends = f"{gap.toward_car.name} to {gap.toward_caliper.name}"
        return f"{gap.part.role}, {ends}, with {' and '.join(others)} of the box"


def missing_part(usable: Search) -> Missing | None:
    """What one part would close the line; None where no part of the box would be in it.

    usable: a search of what may serve, if only perhaps, which closed nothing. Of several chains the one with the most parts
    of the box; then the one in which the hose is there; then the one with the least to ask; then the one with its adapters
    at both ends of the hose.
    """
    question = usable.question
    behind = list(_line_missing_ways(usable, question.caliper_inlet))
    chains = [
        (*ahead, _between(free, other, (*ahead, *after)), *reversed(after))
        for ahead, free in _line_missing_ways(usable, question.car_end)
        for after, other in behind
        if (ahead or after) and _possible((*ahead, *after), usable, spare=1)
    ]
    if not chains:
        return None
    best = min(chains, key=lambda chain: _order(chain, usable))
    asks = _asks(best, usable)
    chain = chain_of(Found(True, len(best) + 1, _new(best).rank, best), question)
    return Missing(chain, asks)


def _line_missing_ways(usable: Search, start: LineEnd) -> Iterator[Way]:
    """Every way to go on from an end with parts of the box, none at all first."""
    ways: list[Way] = [((), start)]
    for items, free in ways:
        yield items, free
        for item, beyond in _on(usable, free):
            if _possible((*items, item), usable, spare=0):
                ways.append(((*items, item), beyond))


def _on(usable: Search, end: LineEnd) -> Iterator[tuple[Item, LineEnd]]:
    """Parts of the box that join this end, each with its far end."""
    catalogue, kind = usable.catalogue, usable.catalogue.kind(end)
    for index in (catalogue.hoses, catalogue.adapters):
        for beyond, group in usable.facing(kind, index):
            items = usable.usable(group, len(group.items))
            yield from ((item, catalogue.ends[beyond]) for item in items if item.source == "box")


def _possible(items: tuple[Item, ...], usable: Search, spare: int) -> bool:
    """Whether a chain may have these parts and `spare` more: one hose, no more adapters than allowed, pieces enough."""
    hoses = sum(item.part.role == "hose" for item in items)
    adapters = len(items) - hoses + (spare if hoses else 0)
    rows = Counter(item.row for item in items)
    enough = all(usable.left(item) >= rows[item.row] for item in items)
    return hoses <= 1 and adapters <= usable.question.limits.adapters and enough


def _between(free: LineEnd, other: LineEnd, there: tuple[Item, ...]) -> Item:
    """The part that joins both free ends: an adapter where the hose is there, else the hose."""
    near, far = opposite(free), opposite(other)
    role = "adapter" if any(item.part.role == "hose" for item in there) else "hose"
    return Item((-1, Part(role, end_a=near, end_b=far), "order"), near, far)


def _new(chain: tuple[Item, ...]) -> Item:
    return next(item for item in chain if item.row < 0)


def _asks(chain: tuple[Item, ...], usable: Search) -> tuple[str, ...]:
    asks = (usable.use(item).ask for item in chain if item.row >= 0)
    return tuple(dict.fromkeys(text for text in asks if text))


def _order(chain: tuple[Item, ...], usable: Search) -> tuple[object, ...]:
    new, hose = _new(chain), [item.part.role for item in chain].index("hose")
    uneven = abs(2 * hose + 1 - len(chain))
    rows = tuple(item.row for item in chain)
    return -len(chain), new.part.role != "adapter", len(_asks(chain, usable)), uneven, rows, new.rank.names


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
    return f", at least {mm(low)}" + (f" and at most {mm(high)}" if high >= low else "")


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
