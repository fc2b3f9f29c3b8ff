"""Whether a fixed body stands clear of all that turns past it: pure arithmetic on the edges of their boxes.

Two boxes are clear where they are apart along the axle or away from it by the air asked for. Each of the four ways to be
apart is a straight line in the sizes, so its range over the ± is exact. A pair is clear where one way holds for every true
size, and never clear where no way holds for any; between the two it is not known. (That one way serves some true sizes and
another the rest counts as not known: never a false verdict.)

Shims are laid after the true size is seen. A pair that is clear only with the caliper in one part of where it may stand asks
for a window; where a stack is sure to bring it there, and all else that the stack moves along, the pair is clear.

The same code serves one job and many pairs of cars and kits at once: a `Sight` answers with numbers, or with arrays that
have one entry for each pair. Every number below may be such an array.
"""

from collections.abc import Iterable, Iterator, Mapping
from math import inf
from typing import Protocol

from bomcheck.model.affine import NOISE, Affine
from bomcheck.model.body import Pair, Part, Space
from bomcheck.model.box import Range
from bomcheck.model.numbers import Number, Truth, greater, isnt, least_of, lesser, pick, some
from bomcheck.model.records import dataclass, replace

FAR = 10.0  # mm beyond the air: as far as this no closer look is taken
PLACED = {"axial": "axial_off", "radial": "flush_off"}
"""What each shim stack leaves to chance: where the caliper comes to stand, inside what its leading check allows."""


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


@dataclass(frozen=True)
class Window:
    """Where the check that a stack is there for must come to [mm], so that bodies stand clear. asked: where they need that."""

    floor: Number = -inf
    ceiling: Number = inf
    asked: Truth = False

    def narrowed(self, mine: Truth, floor: Number, ceiling: Number) -> "Window":
        """Both together, where it is mine."""
        floor, ceiling = greater(self.floor, floor), lesser(self.ceiling, ceiling)
        return Window(pick(mine, floor, self.floor), pick(mine, ceiling, self.ceiling), self.asked | mine)

    def where(self, truth: Truth) -> "Window":
        """The same, asked for only where it is true."""
        return Window(self.floor, self.ceiling, self.asked & truth)


ANYWHERE = Window()
Windows = Mapping[str, Window]
"""By stack."""


def windows_of(looked: Iterable[Look], sight: Sight) -> dict[str, Window]:
    """Of all pairs that are clear or not according to where the shims leave the caliper: the windows that serve them at once.

    A pair asks for the one of its ways that leaves the shims most room; it is then clear for every true size in the window.
    Where windows exclude one another nothing is asked for.
    """
    found = {stack: Window() for stack in PLACED}
    for look in looked:
        for stack, window in _window(look, sight):
            found[stack] = found[stack].narrowed(window.asked, window.floor, window.ceiling)
    return {stack: one.where(one.floor <= one.ceiling) for stack, one in found.items()}


def _window(look: Look, sight: Sight) -> Iterator[tuple[str, Window]]:
    unsure = look.there & isnt(look.clear) & isnt(look.never)
    if not some(unsure):
        return
    may = [one for way in look.ways for stack, key in PLACED.items() for one in _serving(way, stack, key, look, sight)]
    most = -least_of([-room for _, room, _, _ in may]) if may else 0.0
    for stack, room, floor, ceiling in may:
        yield stack, Window(floor, ceiling, unsure & (room >= most) & (room > 0))


def _serving(
    way: Affine, stack: str, key: str, look: Look, sight: Sight
) -> Iterator[tuple[str, Number, Number, Number]]:
    """(stack, how much of what is allowed is left, least, greatest) for one way to be apart."""
    rest, slope = way.split(key)
    moves = slope != 0
    if some(moves):
        allowed = sight.ends(Affine(0.0, {key: 1.0}))
        bound = (look.air - sight.ends(rest).low) / pick(moves, slope, 1.0)
        up = slope > 0
        room = pick(up, allowed.high - bound, bound - allowed.low)
        yield stack, pick(moves, room, -inf), pick(up, bound, -inf), pick(up, inf, bound)


def with_shims(look: Look, sight: Sight, windows: Windows) -> Look:
    """The same pair, clear also where the shims see to it. windows: those that the stacks are known to serve."""
    moved = [
        stack
        for stack, key in PLACED.items()
        if some(windows[stack].asked) and any(key in way.slopes for way in look.ways)
    ]
    unsure = look.there & isnt(look.clear) & isnt(look.never)
    if not moved or not some(unsure):
        return look
    ends = [_within(way, sight, {stack: windows[stack] for stack in moved}) for way in look.ways]
    low, middle, high = (-least_of([-getattr(one, end) for one in ends]) for end in ("low", "middle", "high"))
    clear = unsure & (low >= look.air - NOISE)
    value = sight.chosen(clear, Range(low, middle, high), look.value)
    return replace(look, value=value, clear=look.clear | clear)


def _within(way: Affine, sight: Sight, windows: Windows) -> Range:
    """A way's range with the shims laid as the windows ask."""
    low = middle = high = 0.0
    for stack, window in windows.items():
        way, slope = way.split(PLACED[stack])
        allowed = sight.ends(Affine(0.0, {PLACED[stack]: 1.0}))
        least = pick(window.asked, greater(window.floor, allowed.low), allowed.low)
        most = pick(window.asked, lesser(window.ceiling, allowed.high), allowed.high)
        low = low + lesser(slope * least, slope * most)
        high = high + greater(slope * least, slope * most)
        middle = middle + slope * greater(least, lesser(most, allowed.middle))
    rest = sight.ends(way)
    return Range(rest.low + low, rest.middle + middle, rest.high + high)


def _look(
    pair: Pair, sight: Sight, value: Range, ways: tuple[Affine, ...], sure: bool, maybe: bool,
    parts: tuple[Part, ...] = (),
) -> Look:  # fmt: skip
    """A box that may or may not be there is never surely in the way."""
    air = sight.air(pair.limit)
    return Look(pair, air, value, value.low >= air - NOISE, (value.high < air - NOISE) & sure, maybe, ways, parts)


def edges_of(fixed: Part, turning: Part) -> list[list[tuple[str, str]]]:
    """Of two boxes the edges between which they are apart, inboard, outboard, outside and inside, each as it is known."""
    return [[(x0, turning.x1) for x0, _ in fixed.along], [(turning.x0, x1) for _, x1 in fixed.along],
            [(fixed.r0, turning.r1)], [(turning.r0, fixed.r1)]]  # fmt: skip


def _apart(pair: Pair, sight: Sight, fixed: Part, turning: Part) -> tuple[Range, tuple[Affine, ...]]:
    """The four ways in which two boxes can be apart: inboard, outboard, outside, inside; the greatest counts.

    A first look goes by each edge's own range; only where that is not far enough the difference of both is taken, in which
    sizes that both edges share cancel.
    """
    texts = edges_of(fixed, turning)
    first = [[_between(sight.edge_ends(far), sight.edge_ends(near)) for far, near in same] for same in texts]
    rough = _greatest(first, sight)
    close = rough.low < sight.air(pair.limit) + FAR
    if not sight.some(close):
        return rough, ()
    exact = [[_exact(far, near, sight) for far, near in same] for same in texts]
    value = _greatest([[found for _, found in same] for same in exact], sight)
    return sight.chosen(close, value, rough), tuple(way for same in exact for way, _ in same)


def _exact(far: str, near: str, sight: Sight) -> tuple[Affine, Range]:
    """The difference of two edges; its range is that of the two where they share no size."""
    one, other = sight.edge(far), sight.edge(near)
    way = one - other
    shared = one.slopes.keys() & other.slopes.keys()
    return way, sight.ends(way) if shared else _between(sight.edge_ends(far), sight.edge_ends(near))


def _between(far: Range, near: Range) -> Range:
    return Range(far.low - near.high, far.middle - near.middle, far.high - near.low)


def _greatest(ways: list[list[Range]], sight: Sight) -> Range:
    """The greatest of the ways to be apart; of boxes along the same way all must be."""
    low = sight.greatest([one.low for same in ways for one in same])
    middle = sight.greatest([same[0].middle for same in ways])
    return Range(low, middle, sight.greatest([least_of([one.high for one in same]) for same in ways]))
