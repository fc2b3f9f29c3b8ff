"""Exact ranges of checks over the boxes of many lanes: `bomcheck.model.box` and `verdict.verdict` on arrays.

For one affine value the range is middle ± reach. For the smallest of several the upper end may be lower than the smallest
upper end, where they pull on one size in opposite ways; lanes where that is not ruled out are handed to the box itself.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from bomcheck.model.affine import NOISE, Affine
from bomcheck.model.box import TINY
from bomcheck.screen.lanes import Array
from bomcheck.screen.sizes import Sizes


@dataclass
class Ranges:
    """Least, middle and greatest value of each lane. loose: where the far end is only a bound."""

    low: Array
    middle: Array
    high: Array
    loose: Array | None


def range_of(pieces: Sequence[Affine], sizes: Sizes) -> Ranges:
    """Range of the smallest of the pieces; where `loose`, high is not below the true one."""
    middles = [sizes.at(piece) for piece in pieces]
    spreads = [sizes.spread(piece) for piece in pieces]
    low, middle, high = (_least(one) for one in (
        [m - s for m, s in zip(middles, spreads, strict=True)], middles, [m + s for m, s in zip(middles, spreads, strict=True)],
    ))  # fmt: skip
    return Ranges(low, middle, high, _loose(pieces, sizes, middles, spreads, high) if len(pieces) > 1 else None)


def range_of_most(pieces: Sequence[Affine], sizes: Sizes) -> Ranges:
    """Range of the greatest of the pieces; where `loose`, low is not above the true one."""
    turned = range_of([-piece for piece in pieces], sizes)
    return Ranges(-turned.high, -turned.middle, -turned.low, turned.loose)


def _least(arrays: list[Array]) -> Array:
    least = arrays[0]
    for array in arrays[1:]:
        least = np.minimum(least, array)
    return least


def _loose(
    pieces: Sequence[Affine], sizes: Sizes, middles: list[Array], spreads: list[Array], high: Array
) -> Array | None:
    """Where the piece that is lowest at its best does not surely leave the others above it there."""
    keys = {key for piece in pieces for key in piece.slopes}
    opposed = [key for key in keys if _opposed([piece.slopes.get(key, 0.0) for piece in pieces])]
    if not opposed:
        return None
    fails: Any = np.ones(1, dtype=bool)
    for one, (middle, spread) in enumerate(zip(middles, spreads, strict=True)):
        binds = middle + spread <= high + TINY
        clear: Any = binds
        for other, piece in enumerate(pieces):
            if other != one:
                there = middles[other] + _at_best(pieces[one], piece, sizes)
                clear = clear & (there >= high - TINY)
        fails = fails & ~clear
    return fails if np.any(fails) else None


def _opposed(slopes: list[Any]) -> bool:
    return bool(
        np.any([np.any(np.asarray(s) > 0) for s in slopes]) and np.any([np.any(np.asarray(s) < 0) for s in slopes])
    )


def _at_best(best: Affine, other: Affine, sizes: Sizes) -> Any:
    """What `other` gains over its middle where `best` is greatest; sizes that `best` leaves free stay in the middle."""
    gain: Any = 0.0
    for key, slope in other.slopes.items():
        gain = gain + slope * sizes.half[key] * np.sign(best.slopes.get(key, 0.0))
    return gain


def margins(ranges: Ranges, low: Array, high: Array) -> Array:
    """Room to the nearer limit in the worst case; low, high: limits, infinite for none."""
    room: Array = np.minimum(ranges.low - low, high - ranges.high)
    return room


def holds(ranges: Ranges, room: Array, low: Array, high: Array) -> tuple[Array, Array]:
    """(where every true size keeps the limit, where none does)."""
    inside = room >= -NOISE
    outside = (ranges.high < low - NOISE) | (ranges.low > high + NOISE)
    return inside, ~inside & outside
