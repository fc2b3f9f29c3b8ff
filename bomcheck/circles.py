"""Bolt circles that have a name, and how well a circle must be measured to tell them apart."""

from functools import cache
from math import pi, sin

from bomcheck.notation.types import BoltCircle
from bomcheck.tables import rows


@cache
def named_circles() -> dict[int, tuple[float, ...]]:
    """Bolt circles with a name, diameters [mm] by lug count, from `tables/bolt_circles.txt`."""
    circles: dict[int, list[float]] = {}
    for row in rows("bolt_circles"):
        circles.setdefault(int(row["count"]), []).append(float(row["diameter"]))
    return {count: tuple(sorted(diameters)) for count, diameters in circles.items()}


def circle_from_chord(chord: float, count: int, between: int = 0) -> float:
    """Bolt circle [mm] from the distance between two studs' centres [mm]. count: studs on the circle. between: studs
    between the two. Source: geometry, chord = diameter x sin(pi x (between + 1) / count).

    >>> round(circle_from_chord(67.184, 5), 1), round(circle_from_chord(108.7, 5, between=1), 1)
    (114.3, 114.3)
    """
    return chord / sin(pi * (between + 1) / count)


def circle_settles(circle: BoltCircle | None) -> float:
    """± [mm] with which a measured circle can be told from all named ones but the nearest; 0.0 where none is near.

    >>> round(circle_settles(BoltCircle("5x114.5", 5, 114.5, 114.5)), 2)
    0.49
    """
    if circle is None or circle.diameter is None:
        return 0.0
    away = sorted(abs(named - circle.diameter) for named in named_circles().get(circle.count, ()))
    return 0.0 if len(away) < 2 or away[0] > 0.5 else max(0.0, away[1] - 0.01)
