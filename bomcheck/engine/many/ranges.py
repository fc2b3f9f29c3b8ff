"""Exact ranges of checks over the boxes of many lanes: `bomcheck.model.box` and `verdict.verdict` on arrays.

For one affine value the range is middle ± reach. For the smallest of several the upper end may be lower than the smallest
upper end, where they pull on one size in opposite ways; lanes where that is not ruled out are handed to the box itself.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from bomcheck.engine.many.lanes import Array, Index
from bomcheck.engine.many.sizes import Sizes
from bomcheck.model.affine import NOISE, Affine
from bomcheck.model.box import TINY, Box


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


def tighten(ranges: Ranges, pieces: Sequence[Affine], sizes: Sizes, lanes: Index, of_most: bool) -> None:
    """Set the far end exactly for a few lanes, one at a time."""
    if not len(lanes):
        return
    ends = np.array(np.broadcast_to(ranges.low if of_most else ranges.high, sizes.shape))
    flat, bound = ends.reshape(-1), (-1.0 if of_most else 1.0)
    if len(pieces) == 2:
        first, second = (piece * bound for piece in pieces)
        flat[lanes] = bound * np.minimum(bound * flat[lanes], highest_of_two(first, second, sizes, lanes))
    else:
        flat[lanes] = [_exact_end(pieces, sizes, lane, of_most) for lane in lanes.tolist()]
    if of_most:
        ranges.low = ends
    else:
        ranges.high = ends


def _exact_end(pieces: Sequence[Affine], sizes: Sizes, lane: int, of_most: bool) -> float:
    box, single = single_box(pieces, sizes, lane)
    return box.range_of_most(single).low if of_most else box.range(single).high


def highest_of_two(first: Affine, second: Affine, sizes: Sizes, lanes: Index) -> Array:
    """How high the smaller of two pieces can stand: the least of their mixtures' greatest values, lane by lane."""
    middles = [sizes.flat(sizes.at(piece), lanes) for piece in (first, second)]
    keys = list(dict.fromkeys((*first.slopes, *second.slopes)))
    reach = [[sizes.flat(p.slopes.get(key, 0.0) * sizes.half[key], lanes) for key in keys] for p in (first, second)]
    shares = [np.zeros(len(lanes)), np.ones(len(lanes))]
    for one, two in zip(*reach, strict=True):
        opposed = one * two < 0
        shares.append(np.divide(two, two - one, out=np.zeros_like(two), where=opposed))
    best = np.full(len(lanes), np.inf)
    for share in shares:
        mixed = [np.abs(share * one + (1 - share) * two) for one, two in zip(*reach, strict=True)]
        best = np.minimum(best, share * middles[0] + (1 - share) * middles[1] + np.sum(mixed, axis=0))
    return best


def single_box(pieces: Sequence[Affine], sizes: Sizes, lane: int) -> tuple[Box, list[Affine]]:
    """One lane's box and pieces."""
    at = np.array([lane])
    keys = dict.fromkeys(key for piece in pieces for key in piece.slopes if key in sizes.middle)
    box = Box(
        {key: float(sizes.flat(sizes.middle[key], at)[0]) for key in keys},
        {key: float(sizes.flat(sizes.half[key], at)[0]) for key in keys},
    )
    return box, [single_piece(piece, sizes, at) for piece in pieces]


def single_piece(piece: Affine, sizes: Sizes, at: Index) -> Affine:
    """One lane's piece."""
    slopes = {key: float(sizes.flat(slope, at)[0]) for key, slope in piece.slopes.items()}
    return Affine(float(sizes.flat(piece.const, at)[0]), {key: slope for key, slope in slopes.items() if slope})
