"""A found chain put in order for a person: links and joints from the car to the caliper, and what they need besides."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import inf

from bomcheck.job import Part
from bomcheck.notation.types import LineEnd
from bomcheck.parts.ends import Joint, Need, joins
from bomcheck.parts.line_question import LineQuestion, called
from bomcheck.parts.line_search import Found
from bomcheck.parts.line_stock import PRICE_STEPS, Item


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
    return Chain(links, steps, price, lead, _added_up(needs), rows)


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


def _added_up(needs: Iterable[Need]) -> tuple[Need, ...]:
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
