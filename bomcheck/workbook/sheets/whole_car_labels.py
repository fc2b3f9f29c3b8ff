"""Where a curve's name may stand on the chart itself: above or left of one of its points, clear of curves and names."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from bomcheck.workbook.sheets.whole_car_curves import Curve

HIGH, WIDE = 0.09, 0.13  # of the chart's range: height of a name, and half its width
NEAR = 0.02  # another curve so close would be taken for the one that is named
EDGE = 0.12  # no name nearer to either end


@dataclass(frozen=True, slots=True)
class Place:
    """point: number of the point that carries the name. position: "above" or "left"."""

    point: int
    position: str


@dataclass(frozen=True, slots=True)
class _Room:
    """Room of a name: its middle, all in parts of the chart's range."""

    x: float
    y: float

    def apart(self, other: "_Room") -> bool:
        return abs(self.x - other.x) > 2 * WIDE or abs(self.y - other.y) > HIGH

    def holds(self, curve: Sequence[tuple[float, float | None]], below: float, right: float = 1.0) -> bool:
        """Whether the curve runs through the room, or less than `below` under it. right: how far it is looked at."""
        heights = (_height(curve, self.x + step * WIDE) for step in (-1.0, -0.5, 0.0, right / 2, right))
        return any(y is not None and self.y - HIGH / 2 - below < y < self.y + HIGH / 2 for y in heights)


def name_places(curves: Sequence[Curve]) -> list[Place | None]:
    """For each curve where its name may stand, as far right as there is room; None for nowhere: the legend tells.

    The curves have figures along the bottom.
    """
    drawn = _parts_of_range(curves)
    taken: list[_Room] = []
    found: list[Place | None] = []
    for own in drawn:
        others = [one for one in drawn if one is not own]
        place = next((p for p in _places(own) if _free(p, own, others, taken)), None)
        found.append(place)
        if place is not None:
            taken.append(_room(own, place))
    return found


def _parts_of_range(curves: Sequence[Curve]) -> list[list[tuple[float, float | None]]]:
    """The curves' points from 0 to 1 across and up."""
    across = [float(x) for curve in curves for x in curve.across]
    left, span = min(across), (max(across) - min(across)) or 1.0
    top = max(y for curve in curves for y in curve.up if y is not None) or 1.0
    return [
        [((float(x) - left) / span, None if y is None else y / top) for x, y in zip(one.across, one.up, strict=True)]
        for one in curves
    ]


def _places(own: Sequence[tuple[float, float | None]]) -> list[Place]:
    """Points away from both ends, the last one first."""
    inside = [n for n, (x, y) in enumerate(own) if EDGE <= x <= 1 - EDGE and y is not None]
    return [Place(point, position) for point in reversed(inside) for position in ("above", "left")]


def _room(own: Sequence[tuple[float, float | None]], place: Place) -> _Room:
    x, y = own[place.point]
    return _Room(x, (y or 0.0) + 0.6 * HIGH) if place.position == "above" else _Room(x - 1.1 * WIDE, y or 0.0)


def _free(
    place: Place,
    own: Sequence[tuple[float, float | None]],
    others: Sequence[Sequence[tuple[float, float | None]]],
    taken: Sequence[_Room],
) -> bool:
    room = _room(own, place)
    if room.x < WIDE / 2 or room.holds(own, 0.0, 1.0 if place.position == "above" else 0.45):
        return False
    return all(room.apart(one) for one in taken) and not any(room.holds(other, NEAR) for other in others)


def _height(curve: Sequence[tuple[float, float | None]], x: float) -> float | None:
    """Where the curve runs at x; None beside it and where it has left the chart."""
    for (x0, y0), (x1, y1) in pairwise(curve):
        if x0 <= x <= x1 and y0 is not None and y1 is not None:
            return y1 if x1 == x0 else y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    return None
