"""Shim stacks: chosen on the car, after the true size is seen; so every true size must find a stack that serves.

A stack is the same at every screw of a bracket. For each true size the stacks that serve form a run between a highest
lower bound and a lowest upper bound; a size that falls into the gap between two neighbouring stacks finds none. Whether
such a size lies in the box is a matter of two half-spaces at a time, so the answer is exact. Numbers are those of one job or
of many at once.
"""

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from functools import cached_property, lru_cache
from itertools import combinations, combinations_with_replacement, pairwise
from math import inf

from bomcheck.model.affine import Affine
from bomcheck.model.box import TINY, Box, Mixtures, Row, can_all_hold
from bomcheck.model.limits import Bounds
from bomcheck.model.numbers import (
    Lanes,
    Number,
    Shape,
    Truth,
    greater,
    isnt,
    lanes_in,
    lesser,
    pick,
    put,
    rounded,
    some,
    taken,
)
from bomcheck.model.records import dataclass
from bomcheck.model.stack import Stack

STEP = 1e-7  # mm: a size must fall this far into a gap to count
HOUSE_SIZES = (0.25, 0.5, 1.0)  # mm; thicknesses that any shim set has: common practice, no source
NEVER_BINDS = 1e9  # mm: of a row that does not count
Counting = Mapping[str, Truth]
"""Checks that count, by name, and where."""


@dataclass(frozen=True, slots=True)
class Moved:
    """A check's value that a stack moves: its affine pieces, the stack among their slopes, and its limit.

    ready: where it is judged. target: for the check that the stack is there for, what it should come to.
    """

    check: str
    pieces: tuple[Affine, ...]
    limit: Bounds
    ready: Truth = True
    target: float | None = None


@dataclass(frozen=True, slots=True)
class Steps:
    """Stacks to choose from: thicknesses, thinnest first, and the pieces of each; where lanes differ the shorter ones go on
    with infinity."""

    thickness: tuple[Number, ...]
    pieces: tuple[Number, ...]


def steps_of(stacks: Sequence[Stack]) -> Steps:
    """The stacks of one job."""
    return Steps(tuple(stack.thickness for stack in stacks), tuple(stack.count for stack in stacks))


@dataclass(slots=True)
class Demand:
    """One side of one check: where it is a floor under the stack, where a ceiling over it, where no stack moves it and the row
    itself must be at least zero."""

    check: str
    row: Row
    floor: Truth
    ceiling: Truth
    unmoved: Truth


def demands_of(moved: Sequence[Moved], key: str, box: Box) -> list[Demand]:
    """What the checks ask of the stack."""
    found = []
    for one in moved:
        for piece in one.pieces:
            rest, slope = piece.split(key)
            found += _sides(one, rest, slope, box)
    return found


def _sides(one: Moved, rest: Affine, slope: Number, box: Box) -> list[Demand]:
    found, still = [], slope == 0
    for bound, sign in ((one.limit.floor, 1.0), (one.limit.ceiling, -1.0)):
        held = (abs(bound) < inf) & one.ready
        if some(held):
            factor = pick(still, sign, -1.0 / pick(still, 1.0, slope))
            row = box.row(rest)
            reach = {name: value * factor for name, value in row.reach.items()}
            row = Row((row.constant - pick(held, bound, 0.0)) * factor, reach)
            pull = slope * sign
            found.append(Demand(one.check, row, held & (pull > 0), held & (pull < 0), held & still))
    return found


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


Set = tuple[tuple[float, int], ...]
"""Pieces at hand for one screw: (thickness [mm], how many)."""
MOST_BOUGHT = 6


def fewest(
    held: Sequence[tuple[float, int]], sizes: Sequence[float], start: Set, serves: Callable[[Set], bool]
) -> Set | None:
    """The pieces that must lie at hand: of those held as few as do, and the fewest others of `sizes` where they do not; None
    where no others do. start: a stack that must be among them. serves: whether every true size finds a stack of a set."""
    own = Counter(dict(held))
    first = Counter(dict(start)) - own
    for number in range(MOST_BOUGHT + 1):
        for chosen in combinations_with_replacement(sizes, number):
            bought = first + Counter(chosen)
            if serves(tuple(sorted((own + bought).items()))):
                return _least(own, bought, Counter(dict(start)), serves)
    return None


def _least(own: Counter[float], bought: Counter[float], start: Counter[float], serves: Callable[[Set], bool]) -> Set:
    """With what is bought, the fewest of one's own."""
    spare = sorted(((own + bought) - (start | bought)).elements())
    for number in range(len(spare) + 1):
        for chosen in dict.fromkeys(combinations(spare, number)):
            whole = tuple(sorted(((start | bought) + Counter(chosen)).items()))
            if serves(whole):
                return whole
    return tuple(sorted((own + bought).items()))


class Together:
    """Demands of several checks that one stack must serve at once, and the stacks to choose from."""

    def __init__(self, demands: Sequence[Demand], steps: Steps, shape: Shape = ()) -> None:
        self.demands, self.steps, self.shape = demands, steps, shape
        self._bad: dict[int, Truth] = {}
        self._gaps: dict[tuple[int, int], Truth] = {}

    @cached_property
    def thickest(self) -> Number:
        """The thickest stack."""
        found = self.steps.thickness[0]
        for step in self.steps.thickness[1:]:
            found = pick(step < inf, step, found)
        return found

    def _mine(self, counting: Counting) -> list[int]:
        return [number for number, one in enumerate(self.demands) if one.check in counting]

    # for every true size -----------------------------------------------------------------------------------------------

    def always(self, counting: Counting) -> Truth:
        """Where every true size finds a stack that serves all checks that count."""
        good: Truth = True
        mine = self._mine(counting)
        for one in mine:
            good = good & isnt(self._alone(one) & counting[self.demands[one].check])
        for floor in mine:
            for ceiling in mine:
                if not some(good):
                    return good
                bad = self._trapped(floor, ceiling)
                if some(bad):
                    both = counting[self.demands[floor].check] & counting[self.demands[ceiling].check]
                    good = good & isnt(bad & both)
        return good

    def _alone(self, number: int) -> Truth:
        """Some true size asks for more than the thickest stack, for less than the thinnest, or fails with any."""
        if number not in self._bad:
            one, row = self.demands[number], self.demands[number].row
            over = one.floor & (row.greatest > self.thickest + STEP)
            under = one.ceiling & (row.least < self.steps.thickness[0] - STEP)
            self._bad[number] = over | under | (one.unmoved & (-row.least - STEP >= -TINY))
        return self._bad[number]

    def _trapped(self, floor: int, ceiling: int) -> Truth:
        """Where some true size has its floor above one stack and its ceiling below the next."""
        if (floor, ceiling) not in self._gaps:
            here = self.demands[floor].floor & self.demands[ceiling].ceiling
            low, high = self.demands[floor].row, self.demands[ceiling].row
            self._gaps[floor, ceiling] = self._find_gap(low, high, here) if some(here) else False
        return self._gaps[floor, ceiling]

    def _find_gap(self, low: Row, high: Row, here: Truth) -> Truth:
        trapped: Truth = False
        top, bottom = low.greatest - STEP, high.least + STEP
        mixed: Mixtures | None = None
        for below, above in pairwise(self.steps.thickness):
            may = here & (top > below) & (bottom < above) & (above < inf)
            if not some(may):
                continue
            mixed = mixed or Mixtures(low, high.turned())
            lanes = lanes_in(may, self.shape)
            over = taken(low.constant - below - STEP, lanes, self.shape)
            under = taken(above - high.constant - STEP, lanes, self.shape)
            hit = mixed.highest(over, under, lanes, self.shape) >= -TINY
            trapped = (
                hit | trapped
                if lanes is None
                else put(trapped, lanes, hit | taken(trapped, lanes, self.shape), self.shape)
            )
        return trapped

    # for some true size, and for the sizes as stated ---------------------------------------------------------------------

    def never(self, counting: Counting, where: Truth = True) -> Truth:
        """Where, of some lanes, no true size finds any of the stacks."""
        left = where
        for serves in self.as_stated(counting):
            left = left & isnt(serves)
        for step, may in zip(self.steps.thickness, self.may_single(counting), strict=True):
            asked = left & may
            if some(asked):
                lanes = lanes_in(asked, self.shape)
                left = put(left, lanes, isnt(self._serves(step, counting, lanes)), self.shape)
        return left

    def may_serve(self, thickness: Number, counting: Counting) -> Truth:
        """Whether some true size in the box is served by a stack of this thickness."""
        return self._serves(thickness, counting, None if not self.shape else lanes_in(True, self.shape))

    def _serves(self, thickness: Number, counting: Counting, lanes: Lanes) -> Truth:
        count = () if lanes is None else (len(lanes),)
        thickness = taken(thickness, lanes, self.shape)
        rows = []
        for number in self._mine(counting):
            one = self.demands[number]
            floor, ceiling, counts = (
                taken(truth, lanes, self.shape)
                for truth in (one.floor, one.ceiling, counting[one.check] & (one.floor | one.ceiling | one.unmoved))
            )
            if some(counts):
                row, turn = one.row.taken(lanes, self.shape), pick(floor, -1.0, 1.0)
                reach = {key: value * turn for key, value in row.reach.items()}
                by = pick(floor, thickness, pick(ceiling, -thickness, 0.0))
                rows.append(Row(pick(counts, row.constant * turn + by, NEVER_BINDS), reach, row.total))
        return can_all_hold(rows, count)

    def as_stated(self, counting: Counting) -> list[Truth]:
        """Of each stack whether it serves the sizes as stated."""
        return self._between(counting, 1e-9, lambda row: (row.constant, row.constant))

    def may_single(self, counting: Counting) -> list[Truth]:
        """Of each stack whether no demand by itself rules it out."""
        return self._between(counting, TINY, lambda row: (row.least, row.greatest))

    def _between(self, counting: Counting, slack: float, ends: Callable[[Row], tuple[Number, Number]]) -> list[Truth]:
        """Stacks between the highest floor and the lowest ceiling; `ends`: a row's value as a floor, and otherwise."""
        low, high = -inf, 1e300
        for number in self._mine(counting):
            one, counts = self.demands[number], counting[self.demands[number].check]
            floor, other = ends(one.row)
            low = pick(one.floor & counts, greater(floor, low), low)
            high = pick(one.ceiling & counts, lesser(other, high), high)
            low = pick(one.unmoved & counts & (other < -slack), inf, low)
        low, high = low - slack, high + slack
        return [(step >= low) & (step <= high) for step in self.steps.thickness]

    # the stack to lay ------------------------------------------------------------------------------------------------------

    def nearest(self, serving: Sequence[Truth], wanted: Number) -> Number:
        """Thickness closest to the one wanted, of two equally close the one with fewer pieces; of all where none serves."""
        any_serves: Truth = False
        for serves in serving:
            any_serves = any_serves | serves
        best, least = self.steps.thickness[0], inf
        for step, pieces, serves in zip(self.steps.thickness, self.steps.pieces, serving, strict=True):
            away = pick(serves | isnt(any_serves), rounded(abs(step - wanted), 6) + pieces * 1e-9, inf)
            best, least = pick(away < least, step, best), lesser(away, least)
        return best

    def nearest_serving(self, counting: Counting, wanted: Number, where: Truth = True) -> Number:
        """Of the stacks that serve some true size the one nearest to a thickness; of all where none does."""
        may, surely = self.may_single(counting), self.as_stated(counting)
        while True:
            found = self.nearest(may, wanted)
            doubtful: Truth = False
            for step, one, sure in zip(self.steps.thickness, may, surely, strict=True):
                doubtful = doubtful | (where & (found == step) & one & isnt(sure))
            if not some(doubtful):
                return found
            lanes = lanes_in(doubtful, self.shape)
            fails = isnt(self._serves(found, counting, lanes))
            fails = fails if lanes is None else put(False, lanes, fails, self.shape)
            if not some(fails):
                return found
            where = where & fails
            may = [one & isnt(fails & (found == step)) for step, one in zip(self.steps.thickness, may, strict=True)]


def ideal_thickness(lead: Moved, key: str, box: Box) -> tuple[Number, Number, Number]:
    """Thickness [mm] that would bring the leading check to its target: least, as stated and greatest over the box."""
    rest, slope = lead.pieces[0].split(key)
    ideal = ((lead.target or 0.0) - rest) * (1.0 / pick(slope == 0, 1.0, slope))
    middle, spread = ideal.at(box.middle), ideal.spread(box.half)
    return middle - spread, middle, middle + spread
