"""The box of true sizes: every input anywhere inside its ±; exact ranges, and whether straight-line demands can meet in it."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from bomcheck.model.affine import Affine

Row = tuple[float, dict[str, float]]
TINY = 1e-9


def can_all_hold(rows: Sequence[Row]) -> bool:
    """True if some y in [-1, 1] per key makes every row >= 0 (within 1e-9).

    One row is settled by its corner, two by filling up the cheapest key first, more by the simplex.

    >>> can_all_hold([(-1.0, {"a": 2.0}), (-1.0, {"a": -2.0})])
    False
    >>> can_all_hold([(-1.0, {"a": 2.0}), (-1.0, {"b": 2.0})])
    True
    """
    rows = [row for row in rows if row[0] - sum(map(abs, row[1].values())) < -TINY]
    if any(constant + sum(map(abs, reach.values())) < -TINY for constant, reach in rows):
        return False
    if len(rows) < 2:
        return True
    if len(rows) == 2:
        return _two(*rows)
    if any(not _two(rows[i], rows[j]) for i in range(len(rows)) for j in range(i)):
        return False
    return _simplex(rows)


def _two(first: Row, second: Row) -> bool:
    """Raise `first` as far as `second` allows: start where `second` is largest, trade by the best exchange."""
    first_value, second_value, trades = first[0], second[0], []
    for key in first[1].keys() | second[1].keys():
        gain, price = first[1].get(key, 0.0), second[1].get(key, 0.0)
        second_value += abs(price)
        first_value += abs(gain) if price == 0 else gain * (1 if price > 0 else -1)
        if price and gain * price < 0:
            trades.append((abs(gain / price), 2 * abs(gain), 2 * abs(price)))
    for _, gained, paid in sorted(trades, reverse=True):
        share = min(1.0, max(0.0, second_value / paid))
        first_value += gained * share
        second_value -= paid * share
    return first_value >= -TINY


def highest_of_two(first: Row, second: Row) -> float:
    """How high the smaller of two rows can stand: the least of their mixtures' greatest values (duality), exact.

    A mixture's greatest value bends only where the reach of one key vanishes, so those mixtures are looked at.

    >>> highest_of_two((1.0, {"a": 2.0}), (0.0, {"a": -2.0}))
    0.5
    """
    keys = first[1].keys() | second[1].keys()
    both = [(first[1].get(key, 0.0), second[1].get(key, 0.0)) for key in keys]
    shares = [0.0, 1.0, *(two / (two - one) for one, two in both if one * two < 0)]
    return min(
        share * first[0] + (1 - share) * second[0] + sum(abs(share * one + (1 - share) * two) for one, two in both)
        for share in shares
    )


def _simplex(rows: Sequence[Row]) -> bool:
    """Phase one with Bland's rule: z = y + 1 in [0, 2]; find z with all rows >= 0."""
    keys = sorted({key for _, reach in rows for key in reach})
    table: list[list[float]] = []
    for constant, reach in rows:  # -reach.z <= constant - sum(reach)
        table.append([-reach.get(key, 0.0) for key in keys] + [constant - sum(reach.values())])
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


FINE = 1e-7  # mm: how closely the top of a smallest is found; what is given is never below the true one


@dataclass(frozen=True, slots=True)
class Range:
    """Least, middle and greatest value over the box; middle is the value at the sizes as stated."""

    low: float
    middle: float
    high: float


@dataclass(frozen=True)
class Box:
    """middle: stated size of each input; half: its ±. Same units as the sizes."""

    middle: dict[str, float] = field(default_factory=dict)
    half: dict[str, float] = field(default_factory=dict)

    def range(self, pieces: Sequence[Affine]) -> Range:
        """Exact range of the smallest of `pieces`.

        The low end is exact always; the high end is exact for one piece, and for several it is found by asking how
        high all of them can stand together.
        """
        middle = min(piece.at(self.middle) for piece in pieces)
        low = min(piece.at(self.middle) - piece.spread(self.half) for piece in pieces)
        high = min(piece.at(self.middle) + piece.spread(self.half) for piece in pieces)
        if len(pieces) > 1:
            high = self._highest_together(pieces, middle, high)
        return Range(low, middle, high)

    def range_of_most(self, pieces: Sequence[Affine]) -> Range:
        """Exact range of the greatest of `pieces`."""
        turned = self.range([-piece for piece in pieces])
        return Range(-turned.high, -turned.middle, -turned.low)

    def _highest_together(self, pieces: Sequence[Affine], reached: float, bound: float) -> float:
        rows = [row for row in map(self.row, pieces) if row[1]]
        if len(rows) <= 2:
            return min(bound, highest_of_two(*rows)) if len(rows) == 2 else bound
        if self.can_hold([piece - bound for piece in pieces]):
            return bound
        while bound - reached > FINE:
            middle = (bound + reached) / 2
            if self.can_hold([piece - middle for piece in pieces]):
                reached = middle
            else:
                bound = middle
        return bound

    def can_hold(self, wanted: Sequence[Affine]) -> bool:
        """Whether some true sizes inside the ± make every one of `wanted` at least zero."""
        return can_all_hold([self.row(piece) for piece in wanted])

    def row(self, piece: Affine) -> Row:
        """The piece as a row over the box, see `bomcheck.model.box`."""
        reach = {key: slope * self.half.get(key, 0.0) for key, slope in piece.slopes.items()}
        return piece.at(self.middle), {key: value for key, value in reach.items() if value}
