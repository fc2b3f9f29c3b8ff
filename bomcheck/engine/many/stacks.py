"""Shim stacks of many lanes: `bomcheck.engine.stacks` and `verdict.adjust` on arrays.

Lanes of one arrangement, that is with the same checks moved the same way, are taken together. The stacks to choose from
depend on the kit alone; they stand in a table, padded with infinity.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import inf
from typing import Any

import numpy as np

from bomcheck.engine.adjust import Choice, choices
from bomcheck.engine.many.demands import Demand, Row, can_both, trades, turned
from bomcheck.engine.many.lanes import Array, Index, distinct, in_some
from bomcheck.engine.many.reach import stack_keys
from bomcheck.engine.many.sizes import Sizes
from bomcheck.engine.many.ways import as_inputs
from bomcheck.engine.stacks import STEP
from bomcheck.model.box import TINY, can_all_hold
from bomcheck.model.job import Job
from bomcheck.model.stack import Stack


@dataclass
class Stacks:
    """Stacks to choose from, per lane. steps: thicknesses (choice, place), thinnest first, padded with infinity.
    counts: pieces of each. code: which choice a lane has; -1 where the pieces are not known.
    """

    steps: Array
    counts: Array
    code: Array

    @property
    def known(self) -> Array:
        """Lanes whose pieces are known."""
        return self.code >= 0

    def of(self, lanes: Index) -> Array:
        """Thicknesses of some lanes (lane, place)."""
        found: Array = self.steps[self.code[lanes]]
        return found


def stacks_of(name: str, sizes: Sizes, memo: dict[Any, Choice]) -> tuple[Stacks, Stacks]:
    """(out of the kit's box, with more pieces bought) of every lane."""
    box: list[list[Stack]] = []
    trade: list[list[Stack]] = []
    box_code, trade_code = (np.full(sizes.shape, -1, dtype=np.int64) for _ in range(2))
    patterns, lanes_by = _patterns(stack_keys(name), sizes)
    for values, lanes in zip(patterns, lanes_by, strict=True):
        mark = (name, *((v.value if v else None) for v in values))
        if mark not in memo:
            memo[mark] = choices(name, as_inputs(_Chooser(values, sizes.job)))
        choice = memo[mark]
        trade_code[lanes] = len(trade)
        trade.append(choice.trade)
        if choice.box is not None:
            box_code[lanes] = len(box)
            box.append(choice.box)
    return Stacks(*_padded(box), box_code), Stacks(*_padded(trade), trade_code)


class _Chooser:
    """The sizes that a choice of stacks looks at."""

    def __init__(self, values: tuple[Any, ...], job: Job) -> None:
        given = {value.key: value for value in values if value is not None}
        self.job = Job(given, prices=job.prices, shelf=job.shelf, limits=job.limits)


def _patterns(keys: tuple[str, ...], sizes: Sizes) -> tuple[list[tuple[Any, ...]], list[Index]]:
    """Different values of typed keys, and the lanes that have each."""
    marks: Any = np.zeros(sizes.shape, dtype=np.int64)
    for key in keys:
        column = sizes.typed(key)
        if column is None:
            continue
        own = column.codes
        if own is None:
            own = np.unique(np.asarray(column.values), return_inverse=True)[1]
        own = np.where(column.known, own + 1, 0)
        marks = marks * (int(own.max()) + 1) + own
    _, first, inverse = np.unique(marks, return_index=True, return_inverse=True)
    order = np.argsort(inverse, kind="stable")
    lanes = np.split(order, np.cumsum(np.bincount(inverse))[:-1])
    return [tuple(_typed(key, sizes, at) for key in keys) for at in first.tolist()], lanes


def _typed(key: str, sizes: Sizes, lane: int) -> Any:
    from bomcheck.model.job import Value

    column = sizes.typed(key)
    return None if column is None or not column.known[lane] else Value(key, column.at(lane))


def _padded(lists: list[list[Stack]]) -> tuple[Array, Array]:
    width = max((len(one) for one in lists), default=0)
    steps, counts = np.full((max(len(lists), 1), width), inf), np.zeros((max(len(lists), 1), width))
    for place, one in enumerate(lists):
        steps[place, : len(one)] = [stack.thickness for stack in one]
        counts[place, : len(one)] = [stack.count for stack in one]
    return steps, counts


def nearest(steps: Array, counts: Array, serving: Array, thickness: Array) -> Array:
    """Thickness closest to the one wanted, of two equally close the one with fewer pieces; of all where none serves."""
    usable = np.where(in_some(serving, 1)[:, None], serving, np.isfinite(steps))
    with np.errstate(invalid="ignore"):
        away = np.where(usable, np.round(np.abs(steps - thickness[:, None]), 6) + counts * 1e-9, inf)
    return np.take_along_axis(steps, np.argmin(away, axis=1)[:, None], 1)[:, 0]


class Gaps:
    """Several moved checks, and the stacks that each lane may choose from (lane, place)."""

    def __init__(self, demands: Sequence[Demand], steps: Array) -> None:
        self.demands, self.steps = demands, steps
        self.count = len(steps)
        self._bad: dict[int, Array] = {}
        self._gaps: dict[tuple[int, int], Array | None] = {}

    def _of(self, names: Iterable[str]) -> list[int]:
        wanted = set(names)
        return [number for number, one in enumerate(self.demands) if one.check in wanted]

    def always(self, names: Iterable[str], where: Mapping[str, Array] | None = None) -> Array:
        """Lanes where every true size finds a stack that serves all checks named; `where`: lanes in which a check counts."""
        good = np.ones(self.count, dtype=bool)
        mine = self._of(names)
        for one in mine:
            good &= ~self._counted(self._alone(one), where, one)
        for floor in (one for one in mine if self._floors[one]):
            for ceiling in (one for one in mine if self._ceilings[one]):
                bad = self._in_a_gap(floor, ceiling)
                if bad is not None:
                    good &= ~self._counted(bad, where, floor, ceiling)
        return good

    def _counted(self, bad: Array, where: Mapping[str, Array] | None, *numbers: int) -> Array:
        for number in numbers if where is not None else ():
            assert where is not None
            bad = bad & where[self.demands[number].check]
        return bad

    @cached_property
    def _floors(self) -> list[bool]:
        """Which demands are a floor somewhere; where there is but one stack, no size lies between two."""
        return [self.steps.shape[1] > 1 and bool(one.floor.any()) for one in self.demands]

    @cached_property
    def _ceilings(self) -> list[bool]:
        return [bool(one.ceiling.any()) for one in self.demands]

    @cached_property
    def _last(self) -> Array:
        return np.asarray(np.where(np.isfinite(self.steps), self.steps, -inf).max(axis=1, initial=-inf))

    @cached_property
    def _first(self) -> Array:
        return self.steps[:, 0] if self.steps.shape[1] else np.full(self.count, inf)

    def _alone(self, number: int) -> Array:
        """Some true size asks for more than the thickest stack, for less than the thinnest, or fails with any."""
        if number not in self._bad:
            one, row = self.demands[number], self.demands[number].row
            over = one.floor & (row.greatest > self._last + STEP)
            under = one.ceiling & (row.least < self._first - STEP)
            self._bad[number] = over | under | (one.unmoved & (-row.least - STEP >= -TINY))
        return self._bad[number]

    def _in_a_gap(self, floor: int, ceiling: int) -> Array | None:
        """Some true size has its floor above one stack and its ceiling below the next; None where that is so in no lane."""
        if (floor, ceiling) not in self._gaps:
            lanes = np.flatnonzero(self.demands[floor].floor & self.demands[ceiling].ceiling)
            bad = self._find_gap(self.demands[floor].row, self.demands[ceiling].row, lanes) if len(lanes) else None
            self._gaps[floor, ceiling] = bad if bad is not None and bad.any() else None
        return self._gaps[floor, ceiling]

    def _find_gap(self, low: Row, high: Row, lanes: Index) -> Array:
        bad = np.zeros(self.count, dtype=bool)
        below, above = self.steps[lanes, :-1], self.steps[lanes, 1:]
        may = np.isfinite(above) & (low.greatest[lanes, None] > below + STEP) & (high.least[lanes, None] < above - STEP)
        at, gaps = np.nonzero(may)
        if len(at):
            low, down = low.take(lanes), turned(high.take(lanes))
            hit = can_both(trades(low, down), low, down, at, -below[at, gaps] - STEP, above[at, gaps] - STEP)
            bad[lanes[at[hit]]] = True
        return bad


class Together(Gaps):
    """Several moved checks, and the stacks that each lane may choose from (lane, place)."""

    def as_stated(self, names: Iterable[str], lanes: Index, where: Mapping[str, Array] | None = None) -> Array:
        """Stacks (lane, place) that serve the sizes as stated, in some lanes."""
        return self._between(names, lanes, where, 1e-9, lambda row: (row.constant, row.constant))

    def may_single(self, names: Iterable[str], lanes: Index, where: Mapping[str, Array] | None = None) -> Array:
        """Stacks (lane, place) that no demand by itself rules out, in some lanes."""
        return self._between(names, lanes, where, TINY, lambda row: (row.least, row.greatest))

    def _between(
        self, names: Iterable[str], lanes: Index, where: Mapping[str, Array] | None, slack: float,
        ends: Callable[[Row], tuple[Array, Array]],
    ) -> Array:  # fmt: skip
        """Stacks between the highest floor and the lowest ceiling; `ends`: a row's value as a floor, and otherwise."""
        low, high = np.full(len(lanes), -inf), np.full(len(lanes), np.finfo(float).max)
        for number in self._of(names):
            one = self.demands[number]
            floor, other = (value[lanes] for value in ends(one.row))
            counts = True if where is None else where[one.check][lanes]
            low = np.where(one.floor[lanes] & counts, np.maximum(low, floor), low)
            high = np.where(one.ceiling[lanes] & counts, np.minimum(high, other), high)
            low = np.where(one.unmoved[lanes] & counts & (other < -slack), inf, low)
        steps = self.steps[lanes]
        return (steps >= (low - slack)[:, None]) & (steps <= (high + slack)[:, None])

    def nearest_serving(
        self,
        names: Iterable[str],
        lanes: Index,
        counts: Array,
        surely: Array,
        thickness: Array,
        where: Mapping[str, Array],
    ) -> Array:
        """Of the stacks that serve some true size the one nearest to a thickness; of all where none does."""
        may, steps = self.may_single(names, lanes, where), self.steps[lanes]
        found = nearest(steps, counts, may, thickness)
        left = np.arange(len(lanes))
        while len(left):
            places = np.argmax(steps[left] == found[left, None], axis=1)
            doubtful = []
            for lane, place in zip(left.tolist(), places.tolist(), strict=True):
                if may[lane].any() and not surely[lane, place]:
                    mine = [n for n in self._of(names) if where[self.demands[n].check][lanes[lane]]]
                    if not self._some_serves(mine, int(lanes[lane]), steps[lane, place : place + 1]):
                        may[lane, place] = False
                        doubtful.append(lane)
            left = np.array(doubtful, dtype=np.intp)
            if len(left):
                found[left] = nearest(steps[left], counts[left], may[left], thickness[left])
        return found

    def never(self, names: Iterable[str], lanes: Index) -> Array:
        """Whether no true size finds any of the stacks, in some lanes."""
        names = list(names)
        may = self.may_single(names, lanes)
        never = ~in_some(may, 1)
        rest = np.flatnonzero(~never)
        rest = rest[~in_some(self.as_stated(names, lanes[rest]), 1)]
        if len(rest):
            never[rest] = self._never_together(self._of(names), lanes[rest], may[rest])
        return never

    def _never_together(self, mine: Sequence[int], lanes: Index, may: Array) -> Array:
        """The same where each demand alone is no hindrance: two demands at a time, and by the simplex where more bind."""
        at, places = np.nonzero(may)
        thickness = self.steps[lanes[at], places]
        sides = [self._side(number, lanes, at, thickness) for number in mine]
        serves = np.ones(len(at), dtype=bool)
        binding = np.sum([binds for _, _, binds in sides], axis=0)
        for one, (row, by, binds) in enumerate(sides):
            for other, other_by, other_binds in sides[:one]:
                both = np.flatnonzero(binds & other_binds & serves)
                if len(both):
                    serves[both] = can_both(trades(row, other), row, other, at[both], by[both], other_by[both])
        surely = np.zeros(len(lanes), dtype=bool)
        surely[at[serves & (binding <= 2)]] = True
        perhaps = np.flatnonzero(serves & ~surely[at])
        for lane in distinct(at[perhaps]).tolist():
            surely[lane] = self._some_serves(mine, int(lanes[lane]), thickness[perhaps[at[perhaps] == lane]])
        return ~surely

    def _side(self, number: int, lanes: Index, at: Index, thickness: Array) -> tuple[Row, Array, Array]:
        """(a demand as a row of `lanes` that must be at least zero, what each (lane, stack) adds to it, where it binds)."""
        one = self.demands[number]
        row, floor, ceiling = one.row.take(lanes), one.floor[lanes], one.ceiling[lanes]
        sign = np.where(floor, -1.0, 1.0)
        row = Row(row.constant * sign, {key: reach * sign for key, reach in row.reach.items()}, row.total)
        by = np.where(floor[at], thickness, np.where(ceiling[at], -thickness, 0.0))
        here = (floor | ceiling | one.unmoved[lanes])[at]
        return row, by, here & (row.least[at] + by < -TINY)

    def _some_serves(self, mine: Sequence[int], lane: int, thicknesses: Array) -> bool:
        for thickness in thicknesses.tolist():
            rows = [self.demands[number].single(lane, thickness) for number in mine]
            if can_all_hold([row for row in rows if row is not None]):
                return True
        return False
