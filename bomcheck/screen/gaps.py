"""Whether every true size finds a stack: a size that falls between two neighbouring stacks is two half-spaces in a box."""

from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from math import inf

import numpy as np

from bomcheck.engine.stacks import STEP
from bomcheck.model.box import TINY
from bomcheck.screen.demands import Demand
from bomcheck.screen.lanes import Array, Index
from bomcheck.screen.rows_over_box import Row, can_both, trades, turned


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
