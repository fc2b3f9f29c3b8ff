"""Pairs judged together: every check, every remedy, the cascade; what is out of the ordinary is assessed by itself."""

from dataclasses import dataclass

import numpy as np

from bomcheck.assess import assess
from bomcheck.job import Job
from bomcheck.screen.asking import Asking
from bomcheck.screen.checking import FITS, NO, PARTS, SEVERITY, UNKNOWN
from bomcheck.screen.columns import pair_job
from bomcheck.screen.deciding import decide, decision, ranks
from bomcheck.screen.lanes import Array, Index
from bomcheck.screen.prune import hopeless, leading, settling
from bomcheck.screen.reach import reach_of
from bomcheck.screen.rounds import LINE, Cascade, Round
from bomcheck.screen.world import Pair, World
from bomcheck.verdict.check import all_checks
from bomcheck.verdict.judge import judge_match, prepare

PATH = "hose_path_length"


@dataclass
class Judged:
    """Lane by lane. severity: of the verdict. place: of the deciding finding in `ranks`, -1 for none. margin: NaN for none.
    measure: the field to measure first, "" for none."""

    corner: Index
    kit: Index
    severity: Array
    place: Array
    margin: Array
    measure: list[str]


def line_checks() -> frozenset[str]:
    """Checks of the brake line: its solution is looked for only where the verdict hangs on it."""
    return frozenset(name for name, check in all_checks().items() if LINE in check.parameters)


def judge_pairs(world: World, corner: Index, kit: Index, passers: bool = False) -> Judged:
    """The verdict of each pair and what decides it. Pairs that some steady check fails may be given too.

    passers: only pairs that fit, with or without parts, are of interest; of the others no more is worked out than that.
    """
    world.forget()
    count = len(corner)
    result = Judged(
        corner, kit, np.full(count, NO, dtype=np.int8), np.full(count, -1), np.full(count, np.nan), [""] * count
    )
    left = _settle_leading(world, result, passers)
    if passers:
        left = _drop_hopeless(world, result, left)
    if len(left):
        _judge_whole(world, result, left, passers)
    return result


def _cascade(world: World, result: Judged, lanes: Index, checks: frozenset[str]) -> Cascade:
    corner, kit = result.corner[lanes], result.kit[lanes]
    return Cascade(lambda at, changed: world.pairs(corner[at], kit[at], changed), len(lanes), world.memo, checks)


def _drop_hopeless(world: World, result: Judged, lanes: Index) -> Index:
    """The lanes in which no check fails that nothing cures with parts."""
    if not len(lanes):
        return lanes
    now = Round(world.pairs(result.corner[lanes], result.kit[lanes]), world.memo, hopeless())
    gone = np.zeros(len(lanes), dtype=bool)
    for name, found in now.found.items():
        if name in all_checks() and not reach_of(name).cures:
            for cure in found.cures:
                gone[cure.lanes] |= cure.severity > PARTS
    return lanes[~gone]


def _settle_leading(world: World, result: Judged, passers: bool = False) -> Index:
    """Settle the pairs that one of the first checks fails for good; the lanes that are left.

    A steady check decides before these; where one fails, the whole is looked at.
    """
    decide_next, reached = leading()
    lanes = np.arange(len(result.corner))
    cascade = _cascade(world, result, lanes, reached | frozenset(settling()))
    severity, margin = cascade.told
    fails = severity == NO
    odd = cascade.odd.copy()
    for name in settling():
        odd |= fails[cascade.names.index(name)]
    open_lanes = ~odd
    if passers:
        open_lanes &= severity.max(axis=0) <= PARTS
    for name in decide_next:
        place = cascade.names.index(name)
        now = open_lanes & fails[place]
        result.place[now], result.margin[now] = ranks()[0].index(name), margin[place, now]
        open_lanes &= ~now
    return np.flatnonzero(open_lanes | odd)


def _judge_whole(world: World, result: Judged, lanes: Index, passers: bool = False) -> None:
    """Every check, every remedy, and the brake line where the verdict hangs on it."""
    corner, kit, names = result.corner[lanes], result.kit[lanes], ranks()[0]
    cascade = _cascade(world, result, lanes, frozenset(all_checks()) - line_checks())
    severity, margin = _whole(*cascade.told, cascade.names)
    worst = severity.max(axis=0, initial=0)
    for name in line_checks():
        for lane in np.flatnonzero(worst <= (PARTS if passers else UNKNOWN)).tolist():
            severity[names.index(name), lane] = _line(world, int(corner[lane]), int(kit[lane]), name)
    result.severity[lanes], result.place[lanes], result.margin[lanes] = decide(severity, margin)
    unknown = np.flatnonzero((result.severity[lanes] == UNKNOWN) & ~cascade.odd)
    for place in [] if passers else np.unique(result.place[lanes[unknown]]).tolist():
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
    found = decision(
        assess(pair_job(world.corners, world.kits, int(result.corner[lane]), int(result.kit[lane])), world.today)
    )
    names, _ = ranks()
    result.severity[lane] = SEVERITY[found.verdict]
    result.place[lane] = names.index(found.check) if found.check else -1
    result.margin[lane] = np.nan if found.margin is None else found.margin
    result.measure[lane] = found.measure


# the brake line -----------------------------------------------------------------------------------------------------


def _line(world: World, corner: int, kit: int, name: str) -> int:
    """Severity of a check of the brake line; solved once for each different question."""
    keys: set[str] = world.memo.setdefault((LINE, "keys"), set())
    pair, box = Pair(world, corner, kit, {}), world.kits.boxes.get(kit)
    bare = {key: (value.value, value.plus_minus) for key in keys if (value := pair.get(key))}
    if PATH in bare and not any(part.role == "hose" for part in (*(box or ()), *world.prices, *world.shelf)):
        bare[PATH] = (True, 0.0)  # no hose is there whose length the path could be held against
    mark = (LINE, name, frozenset(bare.items()), box)
    if mark in world.memo:
        return int(world.memo[mark])
    job = world.single(corner, kit)
    severity = _solve_line(world, job, name)
    asked = job.values.asked - keys  # type: ignore[attr-defined]
    if asked:
        keys |= asked
        for old in [one for one in world.memo if one[0] == LINE and one[1] == name]:
            del world.memo[old]
        return _line(world, corner, kit, name)
    world.memo[mark] = severity
    return severity


def _solve_line(world: World, job: Job, name: str) -> int:
    world.solve_line(job)
    sizes = world.inputs(job)
    ready = prepare(all_checks()[name], sizes)
    found = ready.settled or judge_match(ready, sizes)[0]
    return SEVERITY[found.verdict]
