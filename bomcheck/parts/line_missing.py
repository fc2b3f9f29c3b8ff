"""A line that lacks one part: what the box holds leads from the car and from the caliper up to it, and it closes the rest.

The kit's own hose and adapters stay in use: a box from which one adapter is missing lacks that adapter, not another hose.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from bomcheck.job import Part
from bomcheck.notation.types import LineEnd
from bomcheck.parts.ends import opposite
from bomcheck.parts.line_describe import Chain, chain_of
from bomcheck.parts.line_search import Found, Search
from bomcheck.parts.line_stock import Item

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
    behind = list(_ways(usable, question.caliper_inlet))
    chains = [
        (*ahead, _between(free, other, (*ahead, *after)), *reversed(after))
        for ahead, free in _ways(usable, question.car_end)
        for after, other in behind
        if (ahead or after) and _possible((*ahead, *after), usable, spare=1)
    ]
    if not chains:
        return None
    best = min(chains, key=lambda chain: _order(chain, usable))
    asks = _asks(best, usable)
    chain = chain_of(Found(True, len(best) + 1, _new(best).rank, best), question)
    return Missing(chain, asks)


def _ways(usable: Search, start: LineEnd) -> Iterator[Way]:
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
