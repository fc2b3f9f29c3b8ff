"""All corners and all kits of a screening, ready to be paired: rows, what is found once for each row, and single pairs."""

from collections.abc import Callable, Hashable, Iterable, Iterator
from dataclasses import field
from datetime import date
from functools import cache
from typing import Any, cast

import numpy as np

from bomcheck.engine.inputs import Inputs
from bomcheck.engine.many.columns import Column, Rows, is_size
from bomcheck.engine.many.lanes import Index, Memo
from bomcheck.engine.many.reach import decide_keys, reach_of
from bomcheck.engine.many.settled import Alike, Kinds, boxes_of, settle_rows
from bomcheck.engine.many.sizes import PairSizes, Sizes
from bomcheck.model.job import Job, Value
from bomcheck.model.records import dataclass
from bomcheck.model.rule import Check
from bomcheck.rules.derived import DERIVATIONS

MOST_KEPT = 50_000


@dataclass
class World:
    """corners, kits: the rows. corner, kit: their sizes, found once for each row. job: what every pair's job has."""

    corners: Rows
    kits: Rows
    today: date | None = None
    memo: Memo = field(default_factory=dict)
    answers: dict[Hashable, tuple[float, float] | None] = field(default_factory=dict)

    def __post_init__(self) -> None:
        limits = {**self.kits.limits, **self.corners.limits}
        for rows in (self.corners, self.kits):
            settle_rows(rows, limits)
        self.prices = (*self.corners.prices, *self.kits.prices)
        self.shelf = (*self.corners.shelf, *self.kits.shelf)
        self.job = Job({}, prices=self.prices, shelf=self.shelf, limits=limits)
        self.corner = Sizes({**self.corners.columns, **self.corners.extra}, self.job, (len(self.corners),))
        self.kit = Sizes({**self.kits.columns, **self.kits.extra}, self.job, (len(self.kits),))

    def forget(self) -> None:
        """Drop what was found for other pairs, so that memory does not grow with the tables."""
        self.answers.clear()
        if len(self.memo) > MOST_KEPT:
            self.memo.clear()

    def pairs(self, corner: Index, kit: Index, changed: dict[str, Column] | None = None) -> PairSizes:
        """Sizes of pairs, one lane each; of corners (n, 1) with kits (1, m) every corner with every kit."""
        ways = (self.corner, _picks(corner, len(self.corners))), (self.kit, _picks(kit, len(self.kits)))
        sizes = PairSizes(*ways, np.broadcast_shapes(corner.shape, kit.shape), changed)
        sizes.pairing = Pairing(self, corner, kit, sizes.changed)
        if len(sizes.shape) == 1:
            sizes.answers = self.answers
        return sizes

    def block(self, corners: slice, kits: slice) -> PairSizes:
        """Sizes of every corner of one run with every kit of another, shape (corners, kits)."""
        return self.pairs(np.arange(corners.start, corners.stop)[:, None], np.arange(kits.start, kits.stop)[None, :])

    def single(self, corner: int, kit: int, changed: dict[str, Value] | None = None) -> Job:
        """One pair's job, read only where it is asked; settled as `assess` settles it."""
        return Job(
            Pair(self, corner, kit, changed or {}), box=self.kits.boxes.get(kit, ()), prices=self.prices,
            shelf=self.shelf, limits=self.job.limits,
        )  # fmt: skip

    def alike(self, corner: Index, kit: Index, keys: frozenset[str], whole: frozenset[str] | None) -> Index:
        """A number for each pair, the same only for pairs that are alike in some keys and in their boxes. whole: of `Alike`."""
        sides = []
        for rows, sizes in ((self.corners, self.corner), (self.kits, self.kit)):
            mark = ("alike", keys, whole, rows is self.kits)
            if mark not in self.memo:
                self.memo[mark] = Alike(sizes.columns.get, len(rows), whole).kinds(keys, boxes_of(rows))
            sides.append(cast(Kinds, self.memo[mark]))
        found: Index = sides[0].code[corner] * len(sides[1]) + sides[1].code[kit]
        return found

    def solve_line(self, job: Job) -> None:
        """Add the solution of the brake line to a single pair's job: only a screening knows the parts of lines."""

    def inputs(self, job: Job) -> Inputs:
        """The sizes of one pair's job."""
        return Inputs(job, DERIVATIONS)


@cache
def weighed() -> frozenset[str]:
    """Keys whose figures decide between ways to a derived size."""
    return frozenset(key for ways in DERIVATIONS.values() for way in ways for key in decide_keys(way))


@dataclass
class Pairing:
    """Which corner and kit stand behind each lane of some sizes, and what remedies have changed of them."""

    world: World
    corner: Index
    kit: Index
    changed: dict[str, Column]

    def rows(self, lanes: Index) -> tuple[Index, Index]:
        """(corners, kits) of some lanes."""
        shape = np.broadcast_shapes(self.corner.shape, self.kit.shape)
        at = np.unravel_index(lanes, shape)
        corner, kit = (np.broadcast_to(one, shape)[at] for one in (self.corner, self.kit))
        return corner, kit

    def again(self, lanes: Index, more: dict[str, Column]) -> PairSizes:
        """The sizes of some lanes, with some filled in beside."""
        return self.world.pairs(*self.rows(lanes), {key: one.take(lanes) for key, one in self.changed.items()} | more)

    def _changed(self, lane: int, keys: Iterable[str]) -> dict[str, Value]:
        known = ((key, self.changed[key]) for key in keys if self.changed[key].known[lane])
        return {key: Value(key, one.at(lane), float(one.halves[lane])) for key, one in known}

    def single(self, lane: int) -> Job:
        """The job of one lane."""
        corner, kit = self.rows(np.array([lane]))
        return self.world.single(int(corner[0]), int(kit[0]), self._changed(lane, self.changed))

    def kinds(self, check: Check, lanes: Index) -> Kinds:
        """Lanes in which the same is filled in of what a check needs, in the same words and with the same figures where those
        decide."""
        needs, whole = reach_of(check.name).needs, None if check.kind == "match" else weighed()
        taken = {key: one.take(lanes) for key, one in self.changed.items() if key in needs}
        code = self.world.alike(*self.rows(lanes), needs, whole)
        return Alike(taken.get, len(lanes), whole).kinds(taken, code)

    def marks(self, check: Check, lanes: Index) -> Iterator[tuple[object, ...]]:
        """For each of these lanes what all lanes of its kind have in common."""
        needs, whole = reach_of(check.name).needs, None if check.kind == "match" else weighed()
        changed = sorted(self.changed.keys() & needs)
        for lane, code in zip(lanes.tolist(), self.world.alike(*self.rows(lanes), needs, whole).tolist(), strict=True):
            figures = ((key, one.value) for key, one in self._changed(lane, changed).items()) if changed else ()
            yield (
                code,
                tuple((key, (is_size(it) and whole is not None and key not in whole) or it) for key, it in figures),
            )


class Pair(dict[str, Value]):
    """The values of one pair, read from the columns when they are asked for. asked: the keys that were."""

    def __init__(self, world: World, corner: int, kit: int, changed: dict[str, Value]) -> None:
        super().__init__(changed)
        self._world, self._corner, self._kit = world, corner, kit
        self.asked: set[str] = set()

    def get(self, key: str, default: Any = None) -> Any:
        self.asked.add(key)
        if not super().__contains__(key):
            found = self._read(key)
            if found is None:
                return default
            self[key] = found
        return super().__getitem__(key)

    def _read(self, key: str) -> Value | None:
        world = self._world
        for rows, row in ((world.corners, self._corner), (world.kits, self._kit)):
            for columns in (rows.extra, rows.columns):
                column = columns.get(key)
                if column is not None and column.known[row]:
                    return Value(column.source or key, column.at(row), float(column.halves[row]))
        return None

    def __contains__(self, key: object) -> bool:
        return isinstance(key, str) and self.get(key) is not None


def _picks(index: Index, count: int) -> Callable[[Any], Any]:
    """From a row's array to the lanes'; what is one for all stays as it is."""

    def take(array: Any) -> Any:
        one_for_all = np.ndim(array) == 0 or (len(array) == 1 and count != 1)
        return array if one_for_all else array[index]

    return take


def blocks(count: int, size: int) -> Iterator[slice]:
    """Runs of at most `size` rows."""
    for start in range(0, count, size):
        yield slice(start, min(start + size, count))
