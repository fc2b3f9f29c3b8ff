"""Ranges over the ±: a formula run at the corner of the box that makes it least and at the one that makes it greatest.

Exact for a formula that goes one way in each of its sizes wherever the others stand: one look at each size tells which
corner is which. Differences of two states may turn; for them the corners are searched.
"""

from collections.abc import Callable, Mapping
from dataclasses import field
from typing import TypeVar

from bomcheck.model.box import Range
from bomcheck.model.records import dataclass, replace

Formula = Callable[["Point"], float]
Result = TypeVar("Result")
MOST_TURNS = 8


class Unknown(Exception):
    """Sizes that a formula needs and nobody stated; `keys` are the fields to ask for, `said` overrides the sentence."""

    def __init__(self, keys: tuple[str, ...], said: str = "") -> None:
        self.keys, self.said = keys, said
        super().__init__(said or ", ".join(keys))


@dataclass(frozen=True)
class State:
    """The car in one state, present or with the kit: every size as a range.

    ranges: by size, internal units. asks: for a size that is not known the fields to ask for. why: a sentence where a
    size is held back for a reason.
    """

    ranges: Mapping[str, Range]
    asks: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    why: Mapping[str, str] = field(default_factory=dict)

    def put(self, **sizes: float | Range) -> "State":
        """The state with these sizes, figures without a ±."""
        own = {key: size if isinstance(size, Range) else exact(size) for key, size in sizes.items()}
        return replace(self, ranges={**self.ranges, **own}) if own else self

    def over(self, formula: Formula) -> Range:
        """Least, middle and greatest value of a formula that goes one way in each of its sizes. Raises Unknown."""
        middle, loose = self._loose(formula)
        rising, flat = self._directions(formula, loose)
        ends = [self._settled(formula, self._corner(loose, rising, sign), flat, sign) for sign in (-1.0, 1.0)]
        return Range(min(ends[0], middle), middle, max(ends[1], middle))

    def _loose(self, formula: Formula) -> tuple[float, list[str]]:
        """The value at the sizes as stated, and those of them that have a ±."""
        point = Point(self)
        middle = formula(point)
        return middle, [key for key in point if self.ranges[key].low < self.ranges[key].high]

    def _directions(self, formula: Formula, loose: list[str]) -> tuple[set[str], list[str]]:
        """Sizes that lift the value where all are least; and those that do nothing there."""
        point = Point(self, {key: self.ranges[key].low for key in loose})
        start, rising, flat = formula(point), set[str](), list[str]()
        for key in loose:
            point[key] = self.ranges[key].high
            found = formula(point)
            point[key] = self.ranges[key].low
            if found > start:
                rising.add(key)
            elif found == start:
                flat.append(key)
        return rising, flat

    def _corner(self, loose: list[str], rising: set[str], sign: float) -> dict[str, float]:
        return {key: self.ranges[key].high if (key in rising) == (sign > 0) else self.ranges[key].low for key in loose}

    def _settled(self, formula: Formula, corner: dict[str, float], open_keys: list[str], sign: float) -> float:
        """Value at a corner once each of `open_keys` has been turned to where it serves."""
        point = Point(self, corner)
        best = formula(point) * sign
        for key in open_keys:
            best = self._turned(formula, point, key, best, sign)
        return best * sign

    def searched(self, formula: Formula) -> Range:
        """The same for a formula that may turn: corners are tried one size at a time until nothing more is gained."""
        middle, loose = self._loose(formula)
        ends = [self._end(formula, loose, sign) for sign in (-1.0, 1.0)]
        return Range(min(ends[0], middle), middle, max(ends[1], middle))

    def decisive(self, formula: Formula) -> list[str]:
        """The sizes with a ±, the one first of which a closer figure lifts the least value most."""
        _, loose = self._loose(formula)
        corner = self._corner(loose, self._directions(formula, loose)[0], -1.0)
        point, gains = Point(self, corner), dict[str, float]()
        least = formula(point)
        for key in loose:
            point[key] = self.ranges[key].middle
            gains[key], point[key] = formula(point) - least, corner[key]
        return sorted((key for key in loose if gains[key] > 0), key=lambda key: -gains[key])

    def middle(self, formula: "Callable[[Point], Result]") -> "Result":
        """The formula at the sizes as stated. Raises Unknown."""
        return formula(Point(self))

    def _end(self, formula: Formula, loose: list[str], sign: float) -> float:
        """Least (sign -1) or greatest (+1) value over the corners."""
        point = Point(self, {key: self.ranges[key].low for key in loose})
        best = formula(point) * sign
        for _ in range(MOST_TURNS):
            before = best
            for key in loose:
                best = self._turned(formula, point, key, best, sign)
            if best == before:
                break
        return best * sign

    def _turned(self, formula: Formula, point: "Point", key: str, best: float, sign: float) -> float:
        here, size = point[key], self.ranges[key]
        point[key] = size.high if here == size.low else size.low
        found = formula(point) * sign
        if found > best:
            return found
        point[key] = here
        return best


def least_of(ranges: list[Range]) -> Range:
    """Range of the least of several values: its low end is exact, its high end never below the true one."""
    return Range(*(min(getattr(one, end) for one in ranges) for end in ("low", "middle", "high")))


class Point(dict[str, float]):
    """One set of true sizes; those that are not set stand as stated. What was read is in it, in order of first use."""

    def __init__(self, state: State, at: Mapping[str, float] | None = None) -> None:
        super().__init__(at or {})
        self.state = state

    def __missing__(self, key: str) -> float:
        size = self.state.ranges.get(key)
        if size is None:
            raise Unknown(self.state.asks.get(key, (key,)), self.state.why.get(key, ""))
        self[key] = size.middle
        return size.middle

    def has(self, key: str) -> bool:
        """Whether the size is known."""
        return key in self.state.ranges


def exact(value: float) -> Range:
    """A value without a ±."""
    return Range(value, value, value)


def around(middle: float, half: float) -> Range:
    """middle ± half."""
    return Range(middle - half, middle, middle + half)


PRESENT = "present "


def side_by_side(present: State, kit: State) -> State:
    """Both states in one, so that what they share counts once; the present car's own sizes take a prefix."""
    own = {key: size for key, size in present.ranges.items() if kit.ranges.get(key) != size}
    ranges = {**kit.ranges, **{PRESENT + key: size for key, size in own.items()}}
    lacking = (set(kit.ranges) | set(present.asks)) - set(present.ranges)
    asks = {**kit.asks, **{PRESENT + key: present.asks.get(key, (key,)) for key in lacking}}
    return State(ranges, asks, {**kit.why, **{PRESENT + key: said for key, said in present.why.items()}})


class AsPresent(Point):
    """A point of `side_by_side` seen as the present car."""

    def __init__(self, point: Point) -> None:
        self.point = point

    def __getitem__(self, key: str) -> float:
        named = PRESENT + key
        held = self.point.state
        return self.point[named] if named in held.ranges or named in held.asks else self.point[key]

    def has(self, key: str) -> bool:
        """Whether the size is known of the present car."""
        named = PRESENT + key
        return self.point.has(named) or (named not in self.point.state.asks and self.point.has(key))


def change(formula: Formula) -> Formula:
    """Kit less present, at one point of `side_by_side`. For `State.searched`: between the corners it may bend by a small
    part of the ± of what both states share."""
    return lambda point: formula(point) - formula(AsPresent(point))
