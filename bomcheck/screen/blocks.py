"""A screening block by block: as many pairs at a time as stay in the cache, so that memory does not grow with the tables."""

from collections.abc import Iterator

import numpy as np

from bomcheck.rules import all_checks
from bomcheck.screen.block import Block, joined
from bomcheck.screen.checking import judge
from bomcheck.screen.deciding import ranks
from bomcheck.screen.decisive import settling
from bomcheck.screen.gate import Gate
from bomcheck.screen.lanes import Index, Pairs
from bomcheck.screen.ready import prepare
from bomcheck.screen.severities import NO, PARTS
from bomcheck.screen.vector import judge_pairs
from bomcheck.screen.world import World, blocks

CELLS = 65_536  # pairs of one block: a few arrays of it lie in the cache of a core
LANES = 20_000  # pairs that are judged in full at a time


def judged(world: World, corner: Index, kit: Index, passers: bool = False) -> Block:
    """Pairs judged by every check, some at a time."""
    parts = []
    for cut in blocks(len(corner), LANES):
        found = judge_pairs(world, corner[cut], kit[cut], passers)
        words = list(dict.fromkeys(["", *found.measure]))
        places = {word: place for place, word in enumerate(words)}
        measure = np.array([places[word] for word in found.measure], dtype=np.int32)
        part = Block(
            found.corner,
            found.kit,
            found.severity.astype(np.int8),
            found.place.astype(np.int16),
            found.margin,
            measure,
            words,
        )
        parts.append(part.take(np.flatnonzero(part.severity <= PARTS)) if passers else part)
    return joined(parts)


def all_pairs(world: World, corners: slice) -> Block:
    """Every kit on some corners, in no order."""
    step = max(CELLS // max(corners.stop - corners.start, 1), 1)
    parts = [_settled(world, corners, kits) for kits in blocks(len(world.kits), step)]
    left = [pair for _, pair in parts]
    corner, kit = (np.concatenate([pair[side] for pair in left]) for side in (0, 1))
    return joined([*(block for block, _ in parts), judged(world, corner, kit)])


def _settled(world: World, corners: slice, kits: slice) -> tuple[Block, tuple[Index, Index]]:
    """(pairs that one steady check settles, pairs to be judged in full)."""
    sizes = world.block(corners, kits)
    place, margin = np.full(sizes.shape, -1, dtype=np.int16), np.full(sizes.shape, np.nan)
    names, _ = ranks()
    for name in settling():
        found = judge(prepare(all_checks()[name], sizes), sizes)
        new = (found.severity == NO) & (place < 0)
        if new.any():
            place[new] = names.index(name)
            margin[new] = np.broadcast_to(found.margin, sizes.shape)[new]
    rows, columns = np.divmod(np.arange(place.size), sizes.shape[1])
    corner, kit = rows + corners.start, columns + kits.start
    flat = place.reshape(-1)
    done, rest = np.flatnonzero(flat >= 0), np.flatnonzero(flat < 0)
    nothing, severity = np.zeros(len(done), dtype=np.int32), np.full(len(done), NO, dtype=np.int8)
    block = Block(corner[done], kit[done], severity, flat[done], margin.reshape(-1)[done], nothing, [""])
    return block, (corner[rest], kit[rest])


def passing_groups(gate: Gate) -> Iterator[Pairs]:
    """Groups that may hold a pair that fits, cut to the size of a block."""
    for corners, kits in gate.groups:
        for right in blocks(len(kits), 2048):
            step = max(CELLS // max(right.stop - right.start, 1), 1)
            for left in blocks(len(corners), step):
                yield corners[left], kits[right]
