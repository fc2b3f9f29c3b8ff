"""Both states of the car at one set of true sizes: what they share counts once."""

from bomcheck.system.spread import Formula, Point, State

PRESENT = "present "


def side_by_side(present: State, kit: State) -> State:
    """Both states in one, so that what they share counts once; the present car's own sizes take a prefix."""
    own = {key: size for key, size in present.ranges.items() if kit.ranges.get(key) != size}
    ranges = {**kit.ranges, **{PRESENT + key: size for key, size in own.items()}}
    asks = {**kit.asks, **{PRESENT + key: present.asks.get(key, (key,)) for key in _lacking(present, kit)}}
    return State(ranges, asks, {**kit.why, **{PRESENT + key: said for key, said in present.why.items()}})


def _lacking(present: State, kit: State) -> set[str]:
    return (set(kit.ranges) | set(present.asks)) - set(present.ranges)


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
