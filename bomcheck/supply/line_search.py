"""The catalogue of brake-line parts, indexed once by what its ends join, so that a search only meets what fits.

Items between the same two kinds of end form a group, cheapest first; a search outward from an end meets the groups that
join it and nothing else. A kind of end is a small number.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import field
from functools import cached_property
from typing import NamedTuple

from bomcheck.model.records import dataclass
from bomcheck.model.types import LineEnd
from bomcheck.supply.line_ends import LINKS, Item, Joint, Rank, Row, Supply, completions, count, joins, part_asks
from bomcheck.supply.line_question import LineQuestion, Use, called, may_serve

Identity = tuple[str | None, str | None, str | None, float | None]


@dataclass(slots=True)
class Group:
    """Everything with the same two kinds of end; rows are only made into items once a search comes by."""

    kinds: tuple[int, int]
    rows: list[tuple[Row, LineEnd, LineEnd, str]] = field(default_factory=list)
    _items: list[Item] = field(default_factory=list)

    @property
    def items(self) -> list[Item]:
        """What there is at least one of, best rank first."""
        if self.rows:
            made = [Item(*row) for row in self.rows]
            self._items = sorted((item for item in made if item.left >= 1), key=lambda item: item.rank)
            self.rows = []
        return self._items

    def beyond(self, kind: int) -> int:
        """The kind at the far side of whoever comes from `kind`."""
        first, second = self.kinds
        return second if kind == first else first


class Catalogue:
    """Groups of hoses and of adapters by the kind of end that they turn to whoever comes along.

    unclear: parts that could be links if their ends were fully known.
    """

    def __init__(self, supply: Supply, ends: Iterable[LineEnd] = ()) -> None:
        """ends: the car's and the caliper's, so that parts with an end not fully known are tried against them too."""
        self.supply = supply
        self.ends: list[LineEnd] = []
        self.hoses: dict[int, list[Group]] = {}
        self.adapters: dict[int, list[Group]] = {}
        self.unclear: list[Row] = []
        self._kinds: dict[Identity, int] = {}
        self._facing: dict[tuple[str | None, str | None], list[int]] = {}
        self._mates: dict[int, tuple[int, ...]] = {}
        self._written: dict[tuple[str, float | None], int | None] = {}
        self._groups: dict[tuple[bool, int, int], Group] = {}
        self._fill([end for end in ends if not end.unknown])

    def kind(self, end: LineEnd) -> int:
        """The number of this kind of end; new kinds, of the car and the caliper, may be added at any time."""
        thread = end.thread
        identity = (thread.name if thread else None, end.seat, end.gender, end.tube)
        kind = self._kinds.get(identity)
        if kind is None:
            kind = self._kinds[identity] = len(self.ends)
            self.ends.append(end)
        return kind

    @cached_property
    def pieces(self) -> dict[int, int]:
        """Pieces of every row that is not simply ordered."""
        return {number: int(count(part, source)) for number, part, source in self.supply.rows() if source != "order"}

    def mates(self, kind: int) -> tuple[int, ...]:
        """The kinds of end in the catalogue that join this kind."""
        found = self._mates.get(kind)
        if found is None:
            end = self.ends[kind]
            near = self._facing.get((end.thread.name if end.thread else None, end.seat), [])
            found = tuple(other for other in near if isinstance(joins(end, self.ends[other]), Joint))
            self._mates[kind] = found
        return found

    def _fill(self, outside: list[LineEnd]) -> None:
        turned, add = self._turned, self._add
        for row in self.supply.rows():
            part = row[1]
            end_a, end_b = part.end_a, part.end_b
            if part.role not in LINKS or end_a is None or end_b is None:
                continue
            low, high = turned(end_a), turned(end_b)
            if low is None or high is None:
                self.unclear.append(row)
            else:
                add((row, end_a, end_b, ""), low, high)
        self._fill_unclear(outside + self.ends)

    def _fill_unclear(self, known: list[LineEnd]) -> None:
        """A part whose end is not fully known enters once for every end that it may turn out to have."""
        for _number, part, _source in self.unclear:
            known += completions(part.end_a, ()) + completions(part.end_b, ())
        for row in self.unclear:
            part = row[1]
            ask = part_asks(part, called(part))
            for end_a in completions(part.end_a, known):
                for end_b in completions(part.end_b, known):
                    self._add((row, end_a, end_b, ask), self._complete(end_a), self._complete(end_b))

    def _add(self, entry: tuple[Row, LineEnd, LineEnd, str], low: int, high: int) -> None:
        if high < low:
            low, high = high, low
        is_hose = entry[0][1].role == "hose"
        group = self._groups.get((is_hose, low, high))
        if group is None:
            group = self._groups[is_hose, low, high] = Group((low, high))
            index = self.hoses if is_hose else self.adapters
            for kind in {low, high}:
                index.setdefault(kind, []).append(group)
        group.rows.append(entry)

    def _turned(self, end: LineEnd) -> int | None:
        """The kind of a part's end, None if it is not fully known; asked once for each way of writing it."""
        written = (end.name, end.tube)
        try:
            return self._written[written]
        except KeyError:
            kind = self._written[written] = None if end.unknown else self._complete(end)
            return kind

    def _complete(self, end: LineEnd) -> int:
        before = len(self.ends)
        kind = self.kind(end)
        if kind == before:
            self._facing.setdefault((end.thread.name if end.thread else None, end.seat), []).append(kind)
        return kind


NOTHING = Rank(0, 0, 0.0, 0, ())


class Path(NamedTuple):
    """A part of a chain: what it costs so far, its items from the outside inward, and the kinds of end they turn."""

    rank: Rank
    items: tuple[Item, ...]


Level = dict[int, list[Path]]
"""Kind of end -> the two best ways to it."""
Closing = tuple[Rank, tuple[Item, ...]]
"""Total rank and items of a closed chain."""


class Found(NamedTuple):
    """A closed chain: whether any of it must be bought, number of joints and total rank, then its items from the car to
    the caliper."""

    bought: bool
    joints: int
    rank: Rank
    items: tuple[Item, ...]


@dataclass(slots=True)
class Search:
    """One question put to a catalogue.

    allowed: whether an item of this use may serve. caps: pieces of a row that may be used here, where fewer than are
    there. without: an item that must not be used, nor anything of the same part number.
    """

    catalogue: Catalogue
    question: LineQuestion
    allowed: Callable[[Use], bool]
    caps: dict[int, int] = field(default_factory=dict)
    without: Item | None = None
    uses: dict[int, Use] = field(default_factory=dict)
    _best: dict[tuple[int, int], list[Item]] = field(default_factory=dict)
    _at_hand: bool = False

    def best(self) -> Found | None:
        """The chain that is all there in the box and on the shelf; else that of fewest joints, then lowest price, then
        shortest lead time; None if nothing closes."""
        return (self.catalogue.pieces and self._closing(at_hand=True)) or self._closing(at_hand=False)

    def _closing(self, at_hand: bool) -> Found | None:
        """The best chain; at_hand: without anything that must be bought."""
        if at_hand != self._at_hand:
            self._at_hand, self._best = at_hand, {}
        found = self._shortest()
        self._at_hand, self._best = False, {} if at_hand else self._best
        return found

    def _shortest(self) -> Found | None:
        from_car = self._levels(self.catalogue.kind(self.question.car_end))
        from_caliper = self._levels(self.catalogue.kind(self.question.caliper_inlet))
        ahead: list[Level] = []
        behind: list[Level] = []
        for adapters in range(self.question.limits.adapters + 1):
            ahead.append(next(from_car))
            behind.append(next(from_caliper))
            pairs = zip(ahead, reversed(behind), strict=True)
            found = [one for before, after in pairs for one in self._meet(before, after)]
            if found:
                rank, items = min(found, key=lambda one: one[0])
                return Found(any(item.source == "order" for item in items), adapters + 2, rank, items)
        return None

    def use(self, item: Item) -> Use:
        """Whether this item may serve here; worked out once a row."""
        use = self.uses.get(item.row)
        if use is None:
            use = may_serve(item.part, item.source, self.question)
            self.uses[item.row] = use
        if item.ask and not use.against:
            return Use(ask=f"{item.ask} {use.ask}".rstrip())
        return use

    def reached(self, end: LineEnd) -> list[list[int]]:
        """Kinds of end that can be reached from `end` with no adapter, with one, with two."""
        levels = self._levels(self.catalogue.kind(end))
        return [list(next(levels)) for _ in range(self.question.limits.adapters + 1)]

    def _levels(self, kind: int) -> Iterator[Level]:
        """For no adapter, one, two: the kinds of end reached from `kind`, with the two best ways to each."""
        level: Level = {kind: [Path(NOTHING, ())]}
        while True:
            yield level
            level = self._outward(level)

    def _outward(self, level: Level) -> Level:
        found: dict[int, dict[tuple[int, ...], Path]] = {}
        for kind, paths in level.items():
            for beyond, group in self.facing(kind, self.catalogue.adapters):
                for path in (longer for base in paths for longer in self._extended(base, group)):
                    ways, rows = found.setdefault(beyond, {}), tuple(item.row for item in path.items)
                    if rows not in ways or path.rank < ways[rows].rank:
                        ways[rows] = path
        return {kind: sorted(ways.values(), key=lambda path: path.rank)[:2] for kind, ways in found.items()}

    def facing(self, kind: int, index: dict[int, list[Group]]) -> Iterator[tuple[int, Group]]:
        """Groups that join this kind of end, each with the kind at its far side."""
        for mate in self.catalogue.mates(kind):
            for group in index.get(mate, ()):
                yield group.beyond(mate), group

    def _extended(self, base: Path, group: Group) -> Iterator[Path]:
        for item in self.usable(group, 2):
            items = (*base.items, item)
            if self._enough(items):
                yield Path(add(base.rank, item.rank), items)

    def _meet(self, ahead: Level, behind: Level) -> Iterator[Closing]:
        ready: dict[int, list[Path]] = {}
        for kind, paths in behind.items():
            for mate in self.catalogue.mates(kind):
                ready.setdefault(mate, []).extend(paths)
        for kind, paths in ahead.items():
            for beyond, group in self.facing(kind, self.catalogue.hoses):
                if beyond in ready:
                    yield from self._closed(paths, group, ready[beyond])

    def _closed(self, ahead: list[Path], group: Group, behind: list[Path]) -> Iterator[Closing]:
        for hose in self.usable(group, 1):
            for one in ahead:
                for other in behind:
                    items = (*one.items, hose, *reversed(other.items))
                    if self._enough(one.items + other.items):
                        yield add(add(one.rank, hose.rank), other.rank), items

    def usable(self, group: Group, most: int) -> list[Item]:
        """The best `most` items of a group that may serve here."""
        key = (id(group), most)
        found = self._best.get(key)
        if found is None:
            found = []
            for item in group.items:
                if self._free(item) and all(item.row != other.row for other in found):
                    found.append(item)
                    if len(found) == most:
                        break
            self._best[key] = found
        return found

    def _free(self, item: Item) -> bool:
        if self._at_hand and item.source == "order":
            return False
        return self.left(item) >= 1 and not self._barred(item) and self.allowed(self.use(item))

    def _barred(self, item: Item) -> bool:
        if self.without is None:
            return False
        number = item.part.part_number
        return item.row == self.without.row or (number != "" and number == self.without.part.part_number)

    def left(self, item: Item) -> float:
        """Pieces of this item's row that may be used here."""
        return self.caps.get(item.row, item.left)

    def _enough(self, items: tuple[Item, ...]) -> bool:
        """Whether there are pieces for every use of a row in these items."""
        if len(items) < 2 or items[0].row != items[1].row:
            return True
        return self.left(items[0]) >= 2


def add(one: Rank, other: Rank) -> Rank:
    """Both together: prices add, the longer lead time counts."""
    lead = max(one.lead, other.lead)
    unpriced, unsided = one.unpriced + other.unpriced, one.unsided + other.unsided
    return Rank(unpriced, one.price + other.price, lead, unsided, one.names + other.names)
