"""The box of true sizes: every input anywhere inside its ±; exact ranges, and whether straight-line demands can meet in it.

Written for the numbers of one job and of many at once (`bomcheck.model.numbers`).
"""

from collections.abc import Callable, Sequence
from dataclasses import field

from bomcheck.model.affine import Affine
from bomcheck.model.numbers import (
    Lanes,
    Number,
    Shape,
    Truth,
    isnt,
    lanes_in,
    least_of,
    lesser,
    pick,
    put,
    sign,
    some,
    taken,
    total,
)
from bomcheck.model.records import dataclass

TINY = 1e-9
FINE = 1e-7  # mm: how closely the top of a smallest is found; what is given is never below the true one


class Row:
    """constant + sum(reach[key] * y[key]), every y between -1 and 1. total: of the reaches."""

    __slots__ = ("constant", "reach", "total")

    def __init__(self, constant: Number, reach: dict[str, Number], whole: Number | None = None) -> None:
        self.constant, self.reach = constant, reach
        self.total = total([abs(one) for one in reach.values()]) if whole is None else whole

    @property
    def greatest(self) -> Number:
        """Greatest value over the box."""
        return self.constant + self.total

    @property
    def least(self) -> Number:
        """Least value over the box."""
        return self.constant - self.total

    def moved(self, by: Number) -> "Row":
        """row + by."""
        return Row(self.constant + by, self.reach, self.total)

    def turned(self) -> "Row":
        """minus row."""
        return Row(-self.constant, {key: -reach for key, reach in self.reach.items()}, self.total)

    def taken(self, lanes: Lanes, shape: Shape) -> "Row":
        """The row in some lanes."""
        if lanes is None:
            return self
        reach = {key: taken(value, lanes, shape) for key, value in self.reach.items()}
        return Row(taken(self.constant, lanes, shape), reach, taken(self.total, lanes, shape))

    def single(self, lane: int) -> "Row":
        """One lane's row, in floats."""
        reach = {key: _single(value, lane) for key, value in self.reach.items()}
        return Row(_single(self.constant, lane), {key: value for key, value in reach.items() if value})


def _single(value: Number, lane: int) -> float:
    return float(value) if isinstance(value, float | int) or value.ndim == 0 else float(value[lane])


class Mixtures:
    """Two rows over the same box. How high the smaller can stand is the least of their mixtures' greatest values (duality).

    A mixture's greatest value bends only where the reach of one key vanishes, so those mixtures are looked at.
    """

    def __init__(self, first: Row, second: Row) -> None:
        both = [(first.reach[key], second.reach[key]) for key in first.reach if key in second.reach]
        alone = first.total - total([abs(one) for one, _ in both])
        other = second.total - total([abs(two) for _, two in both])
        shares: list[Number] = [0.0, 1.0]
        for one, two in both:
            opposed = one * two < 0
            if some(opposed):
                shares.append(pick(opposed, two / pick(opposed, two - one, 1.0), 0.0))
        self.mixes = [
            (s, s * alone + (1 - s) * other + total([abs(s * one + (1 - s) * two) for one, two in both]))
            for s in shares
        ]

    def highest(self, first: Number, second: Number, lanes: Lanes = None, shape: Shape = ()) -> Number:
        """The same for rows with other constants, in some lanes."""
        mixes = [(taken(s, lanes, shape), taken(reach, lanes, shape)) for s, reach in self.mixes]
        return least_of([s * first + (1 - s) * second + reach for s, reach in mixes])


def highest_of_two(first: Row, second: Row) -> Number:
    """How high the smaller of two rows can stand, exact.

    >>> highest_of_two(Row(1.0, {"a": 2.0}), Row(0.0, {"a": -2.0}))
    0.5
    """
    return Mixtures(first, second).highest(first.constant, second.constant)


def can_all_hold(rows: Sequence[Row], shape: Shape = ()) -> Truth:
    """Where some y in [-1, 1] per key makes every row >= 0 (within 1e-9). Lanes, where there are any, lie flat.

    One row is settled by its corner, two by their mixtures, more by the simplex.

    >>> can_all_hold([Row(-1.0, {"a": 2.0}), Row(-1.0, {"a": -2.0})])
    False
    >>> can_all_hold([Row(-1.0, {"a": 2.0}), Row(-1.0, {"b": 2.0})])
    True
    """
    holds: Truth = True
    binding: list[tuple[Row, Truth]] = []
    for row in rows:
        binds = row.least < -TINY
        if some(binds):
            holds = holds & (row.greatest >= -TINY)
            binding.append((row, binds))
    for place, (row, binds) in enumerate(binding):
        for other, too in binding[:place]:
            if not some(holds):
                return holds
            asked = holds & binds & too
            if some(asked):
                holds = holds & (isnt(asked) | (highest_of_two(row, other) >= -TINY))
    if len(binding) > 2:
        crowded = holds & (total([binds * 1.0 for _, binds in binding]) > 2)
        if some(crowded):
            lanes = lanes_in(crowded, shape)
            met = each_lane([row.taken(lanes, shape) for row, _ in binding], lanes, _simplex) > 0.5
            holds = put(holds, lanes, met, shape)
    return holds


def each_lane(rows: Sequence[Row], lanes: Lanes, ask: Callable[[list[Row]], float]) -> Number:
    """What is found for the rows of each lane by itself."""
    if lanes is None:
        return ask(list(rows))
    import numpy as np

    found = np.array([ask([row.single(lane) for row in rows]) for lane in range(len(lanes))], dtype=float)
    each: Number = found  # type: ignore[assignment]
    return each


def _simplex(rows: Sequence[Row]) -> bool:
    """Phase one with Bland's rule: z = y + 1 in [0, 2]; find z with all rows >= 0. Floats only."""
    keys = sorted({key for row in rows for key in row.reach})
    table: list[list[float]] = []
    for row in rows:  # -reach.z <= constant - sum(reach)
        reach = {key: _single(value, 0) for key, value in row.reach.items()}
        table.append([-reach.get(key, 0.0) for key in keys] + [_single(row.constant, 0) - sum(reach.values())])
    for index in range(len(keys)):
        table.append([1.0 if i == index else 0.0 for i in range(len(keys))] + [2.0])
    return _feasible(table, len(keys))


def _feasible(rows: list[list[float]], count: int) -> bool:
    """Is there z >= 0 with every row's sum(a*z) <= b? An artificial column t takes up the worst excess and is driven out."""
    height = len(rows)
    # columns: z..., slack..., t, right side
    width = count + height + 2
    tableau = []
    for index, row in enumerate(rows):
        line = [0.0] * width
        line[:count] = row[:count]
        line[count + index] = 1.0
        line[-2] = -1.0
        line[-1] = row[-1]
        tableau.append(line)
    basis = [count + index for index in range(height)]
    worst = min(range(height), key=lambda index: tableau[index][-1])
    if tableau[worst][-1] >= -TINY:
        return True
    goal = [0.0] * width
    goal[-2] = 1.0
    _pivot(tableau, goal, basis, worst, width - 2)
    while True:
        enter = next((j for j in range(width - 1) if goal[j] < -TINY), None)
        if enter is None:
            return goal[-1] >= -1e-8
        leave = _leaving(tableau, basis, enter)
        if leave is None:
            return True
        _pivot(tableau, goal, basis, leave, enter)


def _leaving(tableau: list[list[float]], basis: list[int], enter: int) -> int | None:
    best: tuple[float, int, int] | None = None
    for index, line in enumerate(tableau):
        if line[enter] > TINY:
            ratio = line[-1] / line[enter]
            if best is None or ratio < best[0] - TINY or (ratio < best[0] + TINY and basis[index] < best[1]):
                best = (ratio, basis[index], index)
    return None if best is None else best[2]


def _pivot(tableau: list[list[float]], goal: list[float], basis: list[int], row: int, column: int) -> None:
    scale = tableau[row][column]
    tableau[row] = [value / scale for value in tableau[row]]
    for line in [*(other for index, other in enumerate(tableau) if index != row), goal]:
        factor = line[column]
        if factor:
            for index, value in enumerate(tableau[row]):
                line[index] -= factor * value
    basis[row] = column


@dataclass(frozen=True, slots=True)
class Range:
    """Least, middle and greatest value over the box; middle is the value at the sizes as stated."""

    low: Number
    middle: Number
    high: Number


@dataclass(frozen=True)
class Box:
    """middle: stated size of each input; half: its half width. Same units as the sizes. shape: of the lanes."""

    middle: dict[str, Number] = field(default_factory=dict)
    half: dict[str, Number] = field(default_factory=dict)
    shape: Shape = ()

    def range(self, pieces: Sequence[Affine], where: Truth = True) -> Range:
        """Exact range of the smallest of `pieces`; the high end of several may be only a bound where nobody asks."""
        middles = [piece.at(self.middle) for piece in pieces]
        spreads = [piece.spread(self.half) for piece in pieces]
        tops = [middle + spread for middle, spread in zip(middles, spreads, strict=True)]
        bottoms = [middle - spread for middle, spread in zip(middles, spreads, strict=True)]
        low, middle, high = least_of(bottoms), least_of(middles), least_of(tops)
        if len(pieces) > 1:
            high = self._together(pieces, middles, tops, high, where)
        return Range(low, middle, high)

    def range_of_most(self, pieces: Sequence[Affine], where: Truth = True) -> Range:
        """Exact range of the greatest of `pieces`."""
        turned = self.range([-piece for piece in pieces], where)
        return Range(-turned.high, -turned.middle, -turned.low)

    def row(self, piece: Affine) -> Row:
        """The piece as a row over the box."""
        reach = {key: slope * self.half[key] for key, slope in piece.slopes.items() if key in self.half}
        return Row(piece.at(self.middle), {key: value for key, value in reach.items() if some(value != 0)})

    def _together(
        self, pieces: Sequence[Affine], middles: list[Number], tops: list[Number], bound: Number, where: Truth
    ) -> Number:
        """How high all pieces can stand at once, where that is not surely the lowest of their tops."""
        if not self._opposed(pieces):
            return bound
        loose = where & self._loose(pieces, middles, tops, bound)
        if not some(loose):
            return bound
        lanes = lanes_in(loose, self.shape)
        rows = [self.row(piece).taken(lanes, self.shape) for piece in pieces]
        found = highest_of_two(*rows) if len(rows) == 2 else each_lane(rows, lanes, _highest)
        return put(bound, lanes, lesser(found, taken(bound, lanes, self.shape)), self.shape)

    def _opposed(self, pieces: Sequence[Affine]) -> bool:
        """Whether two pieces pull on one size in opposite ways."""
        keys = {key for piece in pieces for key in piece.slopes}
        for key in keys:
            slopes = [piece.slopes.get(key, 0.0) for piece in pieces]
            if any(some(slope > 0) for slope in slopes) and any(some(slope < 0) for slope in slopes):
                return True
        return False

    def _loose(self, pieces: Sequence[Affine], middles: list[Number], tops: list[Number], high: Number) -> Truth:
        """Where the piece that is lowest at its best does not surely leave the others above it there."""
        loose: Truth = True
        for one, best in enumerate(pieces):
            clear: Truth = tops[one] <= high + TINY
            for other, piece in enumerate(pieces):
                if other != one and some(clear):
                    clear = clear & (middles[other] + self._at_best(best, piece) >= high - TINY)
            loose = loose & isnt(clear)
        return loose

    def _at_best(self, best: Affine, other: Affine) -> Number:
        """What `other` gains over its middle where `best` is greatest; sizes that `best` leaves free stay in the middle."""
        return total(
            [slope * self.half.get(key, 0.0) * sign(best.slopes.get(key, 0.0)) for key, slope in other.slopes.items()]
        )


def _highest(rows: list[Row]) -> float:
    """How high all rows can stand at once, from above to within FINE. Floats only."""
    bound = min(_single(row.greatest, 0) for row in rows)
    reached = min(_single(row.constant, 0) for row in rows)
    if can_all_hold([row.moved(-bound) for row in rows]):
        return bound
    while bound - reached > FINE:
        middle = (bound + reached) / 2
        if can_all_hold([row.moved(-middle) for row in rows]):
            reached = middle
        else:
            bound = middle
    return bound
