"""Shim stacks: chosen on the car, after the true size is seen; so every true size must find a stack that serves.

A stack is the same at every screw of a bracket. For each true size the stacks that serve form a run between a highest
lower bound and a lowest upper bound; a size that falls into the gap between two neighbouring stacks finds none. Whether
such a size lies in the box is a matter of two half-spaces at a time, so the answer is exact.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations_with_replacement
from math import inf

from bomcheck.model.affine import Affine
from bomcheck.model.box import Box, Row, can_all_hold
from bomcheck.model.limits import Limit
from bomcheck.model.stack import Stack

STEP = 1e-7  # mm: a size must fall this far into a gap to count
HOUSE_SIZES = (0.25, 0.5, 1.0)  # mm; thicknesses that any shim set has: common practice, no source


@dataclass(frozen=True, slots=True)
class Moved:
    """A check's value that a stack moves: its affine pieces, the stack among their slopes, and its limit."""

    pieces: tuple[Affine, ...]
    limit: Limit


def possible_stacks(available: Sequence[tuple[float, int]], most_pieces: int, most_thickness: float) -> list[Stack]:
    """All stacks from pieces at hand for one screw, thinnest first; of equal thickness the one with fewest pieces.

    >>> [stack.thickness for stack in possible_stacks([(0.8, 1), (0.4, 2)], 4, 3.0)]
    [0.0, 0.4, 0.8, 1.2, 1.6]
    """
    return list(_stacks(tuple(available), most_pieces, most_thickness))


@lru_cache(maxsize=256)
def _stacks(available: tuple[tuple[float, int], ...], most_pieces: int, most_thickness: float) -> tuple[Stack, ...]:
    held: Counter[float] = Counter()
    for size, count in sorted(available, reverse=True):
        held[size] += count
    best: dict[float, Stack] = {}
    for number in range(most_pieces + 1):  # fewest pieces first: of equal thickness they are kept
        for chosen in combinations_with_replacement(held, number):
            counts = Counter(chosen)
            if all(count <= held[size] for size, count in counts.items()):
                stack = Stack(tuple(counts.items()))
                if stack.thickness <= most_thickness + 1e-9:
                    best.setdefault(stack.thickness, stack)
    return tuple(best[thickness] for thickness in sorted(best))


class Together:
    """Several moved checks that one stack must serve at once; every demand is kept as a row over the box."""

    def __init__(self, moved: Sequence[Moved], stack_key: str, box: Box) -> None:
        self.floors: list[Row] = []  # the stack must be at least this
        self.ceilings: list[Row] = []  # and at most this
        self.unmoved: list[Row] = []  # must be at least zero, whatever the stack
        for one in moved:
            for piece in one.pieces:
                self._take(*piece.split(stack_key), one.limit, box)

    def _take(self, rest: Affine, slope: float, limit: Limit, box: Box) -> None:
        for bound, sign in ((limit.low, 1.0), (limit.high, -1.0)):
            if bound is None:
                continue
            room = (rest - bound) * sign  # room + sign*slope*stack >= 0
            pull = sign * slope
            if pull > 0:
                self.floors.append(box.row(room * (-1.0 / pull)))
            elif pull < 0:
                self.ceilings.append(box.row(room * (-1.0 / pull)))
            else:
                self.unmoved.append(box.row(room))

    def always(self, stacks: Sequence[Stack]) -> bool:
        """True if every true size in the box finds a stack."""
        if any(can_all_hold([_turned(row, -STEP)]) for row in self.unmoved):
            return False
        steps = [stack.thickness for stack in stacks]
        gaps = zip([-inf, *steps], [*steps, inf], strict=True)
        return not any(self._falls_between(below, above) for below, above in gaps)

    def _falls_between(self, below: float, above: float) -> bool:
        """A size whose floor is above `below` and whose ceiling is below `above`: no stack serves it."""
        over = [_moved(row, -below - STEP) for row in self.floors if _greatest(row) > below + STEP]
        under = [_turned(row, above - STEP) for row in self.ceilings if _least(row) < above - STEP]
        if below == -inf:
            return bool(under)
        if above == inf:
            return bool(over)
        return any(can_all_hold([one, other]) for one in over for other in under)

    def never(self, stacks: Sequence[Stack]) -> bool:
        """True if no true size in the box finds a stack."""
        return not any(self.may_serve(stack.thickness) for stack in stacks)

    def may_serve(self, thickness: float) -> bool:
        """Whether some true size in the box is served by a stack of this thickness."""
        floors = [_turned(row, thickness) for row in self.floors]
        ceilings = [_moved(row, -thickness) for row in self.ceilings]
        return can_all_hold([*floors, *ceilings, *self.unmoved])

    def serves_as_stated(self, thickness: float) -> bool:
        """Whether the stack serves the sizes as stated."""
        return (
            all(thickness - row[0] >= -1e-9 for row in self.floors)
            and all(row[0] - thickness >= -1e-9 for row in self.ceilings)
            and all(row[0] >= -1e-9 for row in self.unmoved)
        )


def _moved(row: Row, by: float) -> Row:
    """row + by."""
    return row[0] + by, row[1]


def _turned(row: Row, by: float) -> Row:
    """by - row."""
    return by - row[0], {key: -reach for key, reach in row[1].items()}


def _greatest(row: Row) -> float:
    return row[0] + sum(map(abs, row[1].values()))


def _least(row: Row) -> float:
    return row[0] - sum(map(abs, row[1].values()))


def nearest(stacks: Sequence[Stack], thickness: float) -> Stack:
    """The stack closest to a thickness, of two equally close the one with fewer pieces."""
    return min(stacks, key=lambda stack: (round(abs(stack.thickness - thickness), 6), stack.count))


def ideal_thickness(lead: Moved, stack_key: str, box: Box, target: float) -> tuple[float, float, float]:
    """Thickness [mm] that would bring the leading check to `target`: least, as stated and greatest over the box."""
    rest, slope = lead.pieces[0].split(stack_key)
    ideal = (target - rest) * (1.0 / slope)
    middle, spread = ideal.at(box.middle), ideal.spread(box.half)
    return middle - spread, middle, middle + spread
