"""Shim stacks of many lanes: `bomcheck.verdict.stacks` and `verdict.adjust` on arrays.

Lanes of one arrangement, that is with the same checks moved the same way, are taken together. The stacks to choose from
depend on the kit alone; they stand in a table, padded with infinity.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import inf
from typing import Any

import numpy as np

from bomcheck.job import Job
from bomcheck.screen.lanes import Array, Index
from bomcheck.screen.rows_over_box import Row, can_both, trades, turned
from bomcheck.screen.sizes import Sizes
from bomcheck.verdict.adjust import Choice, choices
from bomcheck.verdict.affine import Affine
from bomcheck.verdict.meet import TINY, can_all_hold
from bomcheck.verdict.stacks import STEP, Stack


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
    keys = (f"shim_sizes_{name}", f"shim_stack_max_{name}", "caliper_mount")
    patterns, lanes_by = _patterns(keys, sizes)
    for values, lanes in zip(patterns, lanes_by, strict=True):
        mark = (name, *((v.value if v else None) for v in values))
        if mark not in memo:
            memo[mark] = choices(name, _Chooser(values, sizes.job))  # type: ignore[arg-type]
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
        own = column.codes if column.codes is not None else np.unique(column.values, return_inverse=True)[1]  # type: ignore[call-overload]
        own = np.where(column.known, own + 1, 0)
        marks = marks * (int(own.max()) + 1) + own
    _, first, inverse = np.unique(marks, return_index=True, return_inverse=True)
    order = np.argsort(inverse, kind="stable")
    lanes = np.split(order, np.cumsum(np.bincount(inverse))[:-1])
    return [tuple(_typed(key, sizes, at) for key in keys) for at in first.tolist()], lanes


def _typed(key: str, sizes: Sizes, lane: int) -> Any:
    from bomcheck.job import Value

    column = sizes.typed(key)
    return None if column is None or not column.known[lane] else Value(key, column.at(lane))


def _padded(lists: list[list[Stack]]) -> tuple[Array, Array]:
    width = max((len(one) for one in lists), default=0)
    steps, counts = np.full((max(len(lists), 1), width), inf), np.zeros((max(len(lists), 1), width))
    for place, one in enumerate(lists):
        steps[place, : len(one)] = [stack.thickness for stack in one]
        counts[place, : len(one)] = [stack.count for stack in one]
    return steps, counts


@dataclass
class Demand:
    """One side of one check: a floor under the stack, a ceiling over it, or a row that no stack moves."""

    check: str
    kind: str
    row: Row


def demands_of(
    check: str, pieces: Sequence[Affine], key: str, low: Array, high: Array, sizes: Sizes, lanes: Index
) -> list[Demand]:
    """The demands of one check in lanes of one arrangement."""
    made = []
    for piece in pieces:
        rest, slope = piece.split(key)
        pull_of = np.asarray(sizes.flat(slope, lanes), dtype=float)
        for bound, sign in ((sizes.flat(low, lanes), 1.0), (sizes.flat(high, lanes), -1.0)):
            if not np.isfinite(bound[0]):
                continue
            pull = sign * pull_of
            factor = np.ones_like(pull) if pull[0] == 0 else -1.0 / pull
            row = _row(rest, -bound, factor * sign, sizes, lanes)
            made.append(Demand(check, "unmoved" if pull[0] == 0 else "floor" if pull[0] > 0 else "ceiling", row))
    return made


def _row(rest: Affine, shift: Array, factor: Array, sizes: Sizes, lanes: Index) -> Row:
    reach = {key: sizes.flat(slope * sizes.half[key], lanes) * factor for key, slope in rest.slopes.items()}
    constant = (sizes.flat(sizes.at(rest), lanes) + shift) * factor
    reach = {key: value for key, value in reach.items() if value.any()}
    return Row(constant, reach, sum((np.abs(value) for value in reach.values()), np.zeros_like(constant)))


class Together:
    """Several moved checks in lanes of one arrangement, and the stacks that those lanes may choose from."""

    def __init__(self, demands: Sequence[Demand], steps: Array) -> None:
        self.demands, self.steps = demands, steps
        self.count = len(steps)
        self._bad: dict[tuple[int, ...], Array] = {}
        self._trades: dict[tuple[int, int], Any] = {}

    def _of(self, kind: str, names: frozenset[str]) -> list[int]:
        return [n for n, one in enumerate(self.demands) if one.kind == kind and one.check in names]

    def always(self, names: frozenset[str]) -> Array:
        """Lanes where every true size finds a stack that serves all checks named."""
        good = np.ones(self.count, dtype=bool)
        for one in self._of("unmoved", names):
            good &= ~(-self.demands[one].row.least - STEP >= -TINY)
        for floor in self._of("floor", names):
            good &= ~self._kept((floor,), self._over_all)
        for ceiling in self._of("ceiling", names):
            good &= ~self._kept((ceiling,), self._under_all)
        for floor in self._of("floor", names):
            for ceiling in self._of("ceiling", names):
                good &= ~self._kept((floor, ceiling), self._in_a_gap)
        return good

    def _kept(self, mark: tuple[int, ...], find: Any) -> Array:
        if mark not in self._bad:
            self._bad[mark] = find(*mark)
        return self._bad[mark]

    @cached_property
    def _last(self) -> Array:
        return np.max(np.where(np.isfinite(self.steps), self.steps, -inf), axis=1, initial=-inf)

    def _over_all(self, floor: int) -> Array:
        return self.demands[floor].row.greatest > self._last + STEP

    def _under_all(self, ceiling: int) -> Array:
        first = self.steps[:, 0] if self.steps.shape[1] else np.full(self.count, inf)
        return self.demands[ceiling].row.least < first - STEP

    def _in_a_gap(self, floor: int, ceiling: int) -> Array:
        """Some true size has its floor above one stack and its ceiling below the next."""
        bad = np.zeros(self.count, dtype=bool)
        if self.steps.shape[1] < 2:
            return bad
        low, high = self.demands[floor].row, self.demands[ceiling].row
        below, above = self.steps[:, :-1], self.steps[:, 1:]
        real = np.isfinite(above)
        may = real & (low.greatest[:, None] > below + STEP) & (high.least[:, None] < above - STEP)
        lanes, gaps = np.nonzero(may)
        if len(lanes):
            down = turned(high)
            exchange = self._exchange(floor, ceiling)
            hit = can_both(exchange, low, down, lanes, -below[lanes, gaps] - STEP, above[lanes, gaps] - STEP)
            bad[lanes[hit]] = True
        return bad

    def _exchange(self, floor: int, ceiling: int) -> Any:
        mark = (floor, ceiling)
        if mark not in self._trades:
            self._trades[mark] = trades(self.demands[floor].row, turned(self.demands[ceiling].row))
        return self._trades[mark]

    def as_stated(self, names: frozenset[str], lanes: Index) -> Array:
        """Stacks (lane, place) that serve the sizes as stated, in some lanes."""
        steps = self.steps[lanes]
        serves = np.isfinite(steps)
        for one in self.demands:
            if one.check in names:
                serves &= _room(one, steps, one.row.constant[lanes, None]) >= -1e-9
        return serves

    def may_single(self, mine: list[Demand], lanes: Index) -> Array:
        """Stacks (lane, place) that no demand by itself rules out, in some lanes."""
        steps = self.steps[lanes]
        may = np.isfinite(steps)
        for one in mine:
            best = (one.row.least if one.kind == "floor" else one.row.greatest)[lanes, None]
            may &= _room(one, steps, best) >= -TINY
        return may

    def nearest_serving(
        self, names: frozenset[str], lanes: Index, counts: Array, surely: Array, thickness: Array
    ) -> Array:
        """Of the stacks that serve some true size the one nearest to a thickness; of all where none does."""
        mine = [one for one in self.demands if one.check in names]
        may, steps = self.may_single(mine, lanes), self.steps[lanes]
        open_lanes = np.arange(len(lanes))
        found = nearest(steps, counts, may, thickness)
        while len(open_lanes):
            places = np.argmax(steps[open_lanes] == found[open_lanes, None], axis=1)
            doubtful = [
                lane for lane, place in zip(open_lanes.tolist(), places.tolist(), strict=True)
                if may[lane].any() and not surely[lane, place]
                and not self._some_serves(mine, int(lanes[lane]), steps[lane, place : place + 1])
            ]  # fmt: skip
            for lane in doubtful:
                may[lane, np.argmax(steps[lane] == found[lane])] = False
            open_lanes = np.array(doubtful, dtype=np.intp)
            if len(open_lanes):
                found[open_lanes] = nearest(
                    steps[open_lanes], counts[open_lanes], may[open_lanes], thickness[open_lanes]
                )
        return found

    def never(self, names: frozenset[str], lanes: Index) -> Array:
        """Whether no true size finds any of the stacks, in some lanes."""
        mine = [one for one in self.demands if one.check in names]
        may = self.may_single(mine, lanes)
        never = ~may.any(axis=1)
        rest = np.flatnonzero(~never)
        rest = rest[~self.as_stated(names, lanes[rest]).any(axis=1)]
        for lane in rest.tolist():
            places = np.flatnonzero(may[lane])
            never[lane] = not self._some_serves(mine, int(lanes[lane]), self.steps[lanes[lane], places])
        return never

    def _some_serves(self, mine: list[Demand], lane: int, thicknesses: Array) -> bool:
        rows = [(one.kind, one.row.single(lane)) for one in mine]
        return any(can_all_hold([_at(kind, row, t) for kind, row in rows]) for t in thicknesses.tolist())


def _at(kind: str, row: Any, thickness: float) -> Any:
    """A demand as a row that must be at least zero with a stack of this thickness."""
    if kind == "floor":
        return thickness - row[0], {key: -reach for key, reach in row[1].items()}
    return (row[0] - thickness, row[1]) if kind == "ceiling" else row


def _room(one: Demand, steps: Array, value: Array) -> Array:
    """Room to the demand with every stack, for a value of its row."""
    if one.kind == "unmoved":
        return np.broadcast_to(value, steps.shape)
    with np.errstate(invalid="ignore"):
        return steps - value if one.kind == "floor" else value - steps


def nearest(steps: Array, counts: Array, serving: Array, thickness: Array) -> Array:
    """Thickness closest to the one wanted, of two equally close the one with fewer pieces; of all where none serves."""
    usable = np.where(serving.any(axis=1)[:, None], serving, np.isfinite(steps))
    with np.errstate(invalid="ignore"):
        away = np.where(usable, np.round(np.abs(steps - thickness[:, None]), 6) + counts * 1e-9, inf)
    return np.take_along_axis(steps, np.argmin(away, axis=1)[:, None], 1)[:, 0]
