"""A screening block by block: as many pairs at a time as stay in the cache, so that memory does not grow with the tables."""

from collections.abc import Iterator
from typing import cast

import numpy as np

from bomcheck.engine.judge import judge_match
from bomcheck.engine.judge import prepare as prepare_one
from bomcheck.engine.makers_word import COVERS
from bomcheck.engine.many.asking import Asking
from bomcheck.engine.many.checking import judge
from bomcheck.engine.many.columns import pair_job
from bomcheck.engine.many.deciding import decide, decision, ranks
from bomcheck.engine.many.lanes import Array, Index, Pairs, distinct
from bomcheck.engine.many.ready import prepare
from bomcheck.engine.many.rounds import LINE
from bomcheck.engine.many.world import Pair, blocks
from bomcheck.model.job import Job
from bomcheck.model.records import dataclass, replace
from bomcheck.model.verdict import FITS, NO, PARTS, UNKNOWN
from bomcheck.rules import all_checks
from bomcheck.screen.prefilter import Gate, Judged, cascade_of, may_fit, settle_leading, settling
from bomcheck.screen.world import World


@dataclass
class Block:
    """Pairs and what became of them, one entry each. place: of the deciding finding in `ranks`, -1 for none. margin: NaN
    for none. measure: field to measure first by its place in `words`, 0 for none."""

    corner: Index
    kit: Index
    severity: Array
    place: Array
    margin: Array
    measure: Array
    words: list[str]

    def __len__(self) -> int:
        return len(self.corner)

    def take(self, at: Index) -> "Block":
        """Some of the pairs."""
        corner, kit, severity, place, margin, measure = (column[at] for column in self.columns)
        return Block(corner, kit, severity, place, margin, measure, self.words)

    @property
    def columns(self) -> tuple[Array, ...]:
        """What is known of every pair, in the order of the fields."""
        return self.corner, self.kit, self.severity, self.place, self.margin, self.measure


def joined(parts: list[Block]) -> Block:
    """Several blocks as one."""
    words = list(dict.fromkeys(["", *(word for part in parts for word in part.words)]))
    places = {word: place for place, word in enumerate(words)}
    renamed = [
        replace(part, measure=np.array([places[word] for word in part.words], dtype=np.int32)[part.measure])
        for part in parts or [nothing()]
    ]
    columns = (np.concatenate(column) for column in zip(*(part.columns for part in renamed), strict=True))
    corner, kit, severity, place, margin, measure = columns
    return Block(corner, kit, severity, place, margin, measure, words)


def nothing() -> Block:
    """No pairs."""
    rows, small = np.zeros(0, dtype=np.intp), np.zeros(0, dtype=np.int8)
    return Block(rows, rows, small, small.astype(np.int16), np.zeros(0), small.astype(np.int32), [""])


PATH = "hose_path_length"


def line_checks() -> frozenset[str]:
    """Checks of the brake line: its solution is looked for only where the verdict hangs on it."""
    return frozenset(name for name, check in all_checks().items() if LINE in check.parameters)


def line_severities(world: World, corner: Index, kit: Index, name: str) -> Array:
    """Severities of a check of the brake line; solved once for all pairs that are alike in what the solution asks for."""
    keys = cast(set[str], world.memo.setdefault((LINE, "keys"), set()))
    parts = (*world.prices, *world.shelf, *(part for box in world.kits.boxes.values() for part in box))
    path = {PATH} if not any(part.role == "hose" for part in parts) else set()  # no hose to hold its length against
    known = -1
    while known < len(keys):
        known = len(keys)
        alike = world.alike(corner, kit, frozenset(keys), frozenset(keys - path))
        kinds, first, inverse = np.unique(alike, return_index=True, return_inverse=True)
        found = []
        for kind, pair in zip(
            kinds.tolist(), zip(corner[first].tolist(), kit[first].tolist(), strict=True), strict=True
        ):
            mark = (LINE, name, known, kind)
            if mark not in world.memo:
                world.memo[mark], asked = _solve_line(world, world.single(*pair), name)
                keys |= asked
            found.append(cast(int, world.memo[mark]))
    return np.array(found, dtype=np.int8)[inverse]


def _solve_line(world: World, job: Job, name: str) -> tuple[int, set[str]]:
    """(severity, the keys that were asked for)."""
    world.solve_line(job)
    sizes = world.inputs(job)
    ready = prepare_one(all_checks()[name], sizes)
    found = ready.settled or judge_match(ready, sizes)[0]
    assert isinstance(job.values, Pair)
    return found.verdict.severity, job.values.asked


FEW = 300  # pairs that are sooner judged whole than sifted first
LANES = 8_000  # pairs that are judged in full at a time
CELLS = 65_536  # pairs of one block: a few arrays of it lie in the cache of a core


def judge_pairs(world: World, corner: Index, kit: Index, passers: bool = False) -> Judged:
    """The verdict of each pair and what decides it. Pairs that some steady check fails may be given too.

    passers: only pairs that fit, with or without parts, are of interest; of the others no more is worked out than that.
    """
    world.forget()
    count = len(corner)
    result = Judged(
        corner, kit, np.full(count, NO, dtype=np.int8), np.full(count, -1), np.full(count, np.nan), [""] * count
    )
    listed = makers_word_stands(world, kit)
    passers = passers and not listed.any()  # what is not known may yet be "fits" by the kit maker's list
    left = np.arange(count)
    if passers or count > FEW:
        left = np.concatenate(
            [left[:0], *(settle_leading(world, result, left[cut], passers) for cut in blocks(count, CELLS))]
        )
    if passers:
        left = may_fit(world, result, left)
    for cut in blocks(len(left), LANES):
        _judge_whole(world, result, left[cut], passers)
    for lane in np.flatnonzero(listed & (result.severity <= UNKNOWN)).tolist():
        _assess(world, result, lane)
    return result


def makers_word_stands(world: World, kit: Index) -> Array:
    """Pairs whose kit's row says what its maker's list says."""
    column = world.kits.columns.get(COVERS)
    known = np.zeros(1, dtype=bool) if column is None else np.asarray(column.known)
    return known[kit] if len(known) > 1 else np.full(len(kit), bool(known[0]))


def _judge_whole(world: World, result: Judged, lanes: Index, passers: bool = False) -> None:
    """Every check, every remedy, and the brake line where the verdict hangs on it."""
    corner, kit, names = result.corner[lanes], result.kit[lanes], ranks()[0]
    cascade = cascade_of(world, result, lanes, frozenset(all_checks()) - line_checks())
    severity, margin = _whole(*cascade.told, cascade.names)
    worst = severity.max(axis=0, initial=0)
    for name in line_checks():
        at = np.flatnonzero(worst <= (PARTS if passers else UNKNOWN))
        severity[names.index(name), at] = line_severities(world, corner[at], kit[at], name)
    result.severity[lanes], result.place[lanes], result.margin[lanes] = decide(severity, margin)
    unknown = np.flatnonzero((result.severity[lanes] == UNKNOWN) & ~cascade.odd)
    for place in [] if passers else distinct(result.place[lanes[unknown]]).tolist():
        at = unknown[result.place[lanes[unknown]] == place]
        asked = Asking(world, cascade, corner, kit, names[place], at).fields()
        for lane, key in zip(lanes[at].tolist(), asked, strict=True):
            result.measure[lane] = key
    boxed = np.isin(kit, np.array(list(world.kits.boxes), dtype=np.intp)) & (result.severity[lanes] == FITS)
    for lane in lanes[cascade.odd | boxed].tolist():  # whether a box lacks a part, only its parts list tells
        _assess(world, result, lane)


def _whole(severity: Array, margin: Array, told: list[str]) -> tuple[Array, Array]:
    """Rows for all findings, those that were left out empty."""
    names, _ = ranks()
    full = np.full((len(names), severity.shape[1]), -1, dtype=np.int8)
    room = np.full(full.shape, np.nan)
    places = [names.index(name) for name in told]
    full[places], room[places] = severity, margin
    return full, room


def _assess(world: World, result: Judged, lane: int) -> None:
    """One pair by the whole of the single job's way."""
    from bomcheck.assess import assess

    found = decision(
        assess(pair_job(world.corners, world.kits, int(result.corner[lane]), int(result.kit[lane])), world.today)
    )
    names, _ = ranks()
    result.severity[lane] = found.verdict.severity
    result.place[lane] = names.index(found.check) if found.check else -1
    result.margin[lane] = np.nan if found.margin is None else found.margin
    result.measure[lane] = found.measure


def judged(world: World, corner: Index, kit: Index, passers: bool = False) -> Block:
    """Pairs judged by every check."""
    found = judge_pairs(world, corner, kit, passers)
    words = list(dict.fromkeys(["", *found.measure]))
    places = {word: place for place, word in enumerate(words)}
    measure = np.array([places[word] for word in found.measure], dtype=np.int32)
    severity, place = found.severity.astype(np.int8), found.place.astype(np.int16)
    block = Block(found.corner, found.kit, severity, place, found.margin, measure, words)
    return block.take(np.flatnonzero(block.severity <= PARTS)) if passers else block


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
