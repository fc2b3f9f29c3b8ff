"""The far end of a range that is only a bound, set exactly for a few lanes."""

from collections.abc import Sequence

import numpy as np

from bomcheck.model.affine import Affine
from bomcheck.model.box import Box
from bomcheck.screen.lanes import Array, Index
from bomcheck.screen.ranges import Ranges
from bomcheck.screen.sizes import Sizes


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
