"""Which stacks serve several moved checks at once, in many lanes."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from math import inf

import numpy as np

from bomcheck.model.box import TINY, can_all_hold
from bomcheck.screen.gaps import Gaps
from bomcheck.screen.lanes import Array, Index, distinct, in_some
from bomcheck.screen.rows_over_box import Row, can_both, trades
from bomcheck.screen.stacks import nearest


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
