"""Piston area of one side, and the slip of entering both sides of a fixed caliper."""

import math
from collections.abc import Sequence

SURE, LIKELY, FREE = 6, 4, 2  # pistons entered: a pair of halves of so many is a slip, may be one, is usual
TOO_LARGE = 1.5  # times the present area: common practice, no source
TOO_SMALL = 0.6
SOFT_PRESSURE = 2.5  # MPa for a hard stop: less than any usual car takes; common practice, no source


def one_side_area(bores: Sequence[float]) -> float:
    """Area of the pistons of ONE side [mm²] from their bores [mm]; for a sliding caliper all of its pistons.

    >>> round(one_side_area((38.0, 38.0)))
    2268
    """
    return sum(math.pi / 4 * bore**2 for bore in bores)


def equal_halves(bores: Sequence[float]) -> bool:
    """Whether the list could be both sides of one caliper: every bore in it an even number of times.

    >>> equal_halves((42.0, 42.0, 38.0, 38.0)), equal_halves((42.0, 38.0, 34.0))
    (True, False)
    """
    return len(bores) >= FREE and all(list(bores).count(bore) % 2 == 0 for bore in bores)


def both_sides_entered(
    bores: Sequence[float], build: str | None, present_area: float | None = None, pressure: float | None = None
) -> bool | None:
    """Whether the pistons of both sides seem to have been entered. True: surely or by the figures. None: ask.

    build: "fixed" or "sliding"; a sliding caliper has one side. present_area [mm²]: one side of the caliper on the car
    now, on the same axle. pressure [MPa]: of a hard stop with the area as entered. Without a figure to compare with, four
    pistons that make two equal halves are a question and two are taken as usual.

    >>> both_sides_entered((42.0, 42.0, 38.0, 38.0, 34.0, 34.0), "fixed")
    True
    >>> both_sides_entered((38.0, 38.0), "fixed")
    False
    """
    if build == "sliding" or not equal_halves(bores):
        return False
    if len(bores) >= SURE:
        return True
    ratio = one_side_area(bores) / present_area if present_area else None
    if ratio is not None and ratio / 2 < TOO_SMALL:
        return False
    large = (ratio is not None and ratio > TOO_LARGE) or (pressure is not None and pressure < SOFT_PRESSURE)
    if large:
        return True
    return None if len(bores) >= LIKELY and ratio is None else False
