"""Whether a fixed body stands clear of all that turns past it: pure arithmetic on the edges of their boxes.

Two boxes are clear where they are apart along the axle or away from it by the air asked for. Each of the four ways to be
apart is a straight line in the sizes, so its range over the ± is exact. A pair is clear where one way holds for every true
size, and never clear where no way holds for any; between the two it is not known. (That one way serves some true sizes and
another the rest counts as not known: never a false verdict.)

The same code serves one job and many pairs of cars and kits at once: a `Sight` answers with numbers, or with arrays that
have one entry for each pair. Every number below may be such an array.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Protocol

from bomcheck.model.affine import NOISE, Affine
from bomcheck.model.body import Pair, Part, Space
from bomcheck.model.box import Range

FAR = 10.0  # mm beyond the air: as far as this no closer look is taken


class Sight(Protocol):
    """The sizes of one job, or of many pairs at once."""

    def edge(self, text: str) -> Affine:
        """An edge as it is written in a row."""

    def ends(self, value: Affine) -> Range:
        """Its range over the ±."""

    def edge_ends(self, text: str) -> Range:
        """The range of an edge, found once."""

    def holds(self, when: Mapping[str, tuple[str, ...]]) -> tuple[bool, bool]:
        """(surely, maybe): whether an arrangement is there."""

    def air(self, limit: str) -> float:
        """The least air [mm] of a row of the limits."""

    def some(self, found: bool) -> bool:
        """Whether something holds in the job, or in any of the pairs."""

    def greatest(self, values: list[float]) -> float:
        """The greatest of some numbers."""

    def chosen(self, mask: bool, one: Range, other: Range) -> Range:
        """`one` where the mask holds, else `other`."""


@dataclass(frozen=True)
class Look:
    """One pair, box by box. value: distance over the ± [mm], its low end never above the true one. air: asked for [mm].
    clear, never: for every true size, for none. there: whether both boxes may be there. ways: straight lines that keep
    them apart, the greatest counts."""

    pair: Pair
    air: float
    value: Range
    clear: bool
    never: bool
    there: bool
    ways: tuple[Affine, ...] = ()
    parts: tuple[Part, ...] = ()


def looks(space: Space, sight: Sight) -> Iterator[Look]:
    """All pairs of a fixed body."""
    body = space.body
    sure, maybe = sight.holds(body.when)
    boxes = [(part, *sight.holds(part.when)) for part in space.parts]
    for pair in body.pairs:
        if pair.gap:
            way = sight.edge(pair.gap)
            yield _look(pair, sight, sight.ends(way), (way,), sure, maybe)
            continue
        for other in (part for part in space.turning if part.body == pair.turning):
            sure_too, maybe_too = sight.holds(other.when)
            for part, here, may in boxes:
                if sight.some(may & maybe_too):
                    value, ways = _apart(pair, sight, part, other)
                    yield _look(
                        pair, sight, value, ways, here & sure_too & sure, may & maybe_too & maybe, (part, other)
                    )


def _look(
    pair: Pair, sight: Sight, value: Range, ways: tuple[Affine, ...], sure: bool, maybe: bool,
    parts: tuple[Part, ...] = (),
) -> Look:  # fmt: skip
    """A box that may or may not be there is never surely in the way."""
    air = sight.air(pair.limit)
    return Look(pair, air, value, value.low >= air - NOISE, (value.high < air - NOISE) & sure, maybe, ways, parts)


def _apart(pair: Pair, sight: Sight, fixed: Part, turning: Part) -> tuple[Range, tuple[Affine, ...]]:
    """The four ways in which two boxes can be apart: inboard, outboard, outside, inside; the greatest counts.

    A first look goes by each edge's own range; only where that is not far enough the difference of both is taken, in which
    sizes that both edges share cancel.
    """
    edges = ((fixed.x0, turning.x1), (turning.x0, fixed.x1), (fixed.r0, turning.r1), (turning.r0, fixed.r1))
    ends = [(sight.edge_ends(far), sight.edge_ends(near)) for far, near in edges]
    low = sight.greatest([a.low - b.high for a, b in ends])
    middle = sight.greatest([a.middle - b.middle for a, b in ends])
    high = sight.greatest([a.high - b.low for a, b in ends])
    rough, near = Range(low, middle, high), low < sight.air(pair.limit) + FAR
    if not sight.some(near):
        return rough, ()
    ways = tuple(sight.edge(one) - sight.edge(other) for one, other in edges)
    exact = [sight.ends(way) for way in ways]
    low, high = sight.greatest([one.low for one in exact]), sight.greatest([one.high for one in exact])
    return sight.chosen(near, Range(low, middle, high), rough), ways
