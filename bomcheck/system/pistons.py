"""Piston area of one side, and the slip of entering both sides of a fixed caliper."""

import math
from collections.abc import Sequence

SURE, LIKELY, FREE = 6, 4, 2  # pistons entered: a pair of halves of so many is a slip, may be one, is usual
TOO_LARGE = 1.5  # times the present area: common practice, no source
TOO_SMALL = 0.6
FAR_TOO_SMALL = 0.4  # no kit has two and a half times the area that was there: common practice, no source
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


def may_be_both_sides(bores: Sequence[float], build: str | None) -> bool:
    """Whether the list alone speaks for both sides: four pistons or more of a fixed caliper in equal halves.

    >>> may_be_both_sides((40.0, 40.0, 36.0, 36.0), "fixed"), may_be_both_sides((40.0, 40.0), "fixed")
    (True, False)
    """
    return build != "sliding" and len(bores) >= LIKELY and equal_halves(bores)


def replaced_both_sides(
    bores: Sequence[float], build: str | None, kit_area: float | None = None, pressure: float | None = None
) -> bool | None:
    """The same as `both_sides_entered` of the caliper that the kit replaces, [mm²] and [MPa] as there.

    kit_area [mm²]: one side of the kit's caliper, None where its list is in doubt itself. A list of four or more that may
    be both sides is only free where half of it would be far less than the kit's; else it is a question.

    >>> replaced_both_sides((40.0, 40.0, 36.0, 36.0), "fixed", 3428.0)
    """
    found = both_sides_entered(bores, build, kit_area, pressure)
    if found is False and may_be_both_sides(bores, build):
        plain = kit_area is not None and one_side_area(bores) / 2 < FAR_TOO_SMALL * kit_area
        return False if plain else None
    return found


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
