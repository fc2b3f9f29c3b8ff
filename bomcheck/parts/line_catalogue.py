"""The catalogue of brake-line parts, indexed once by what its ends join, so that a search only meets what fits.

Items between the same two kinds of end form a group, cheapest first; a search outward from an end meets the groups that
join it and nothing else. A kind of end is a small number.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property

from bomcheck.notation.types import LineEnd
from bomcheck.parts.ends import Joint, joins
from bomcheck.parts.line_complete import completions, part_asks
from bomcheck.parts.line_question import called
from bomcheck.parts.line_stock import LINKS, Item, Row, Supply, count

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
