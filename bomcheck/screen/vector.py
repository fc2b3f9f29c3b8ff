"""Pairs judged together: every check, every remedy, the cascade; what is out of the ordinary is assessed by itself."""

import numpy as np

from bomcheck.rules import all_checks
from bomcheck.screen.asking import Asking
from bomcheck.screen.columns import pair_job
from bomcheck.screen.deciding import decide, decision, ranks
from bomcheck.screen.lanes import Array, Index, distinct
from bomcheck.screen.line_verdict import line_checks, line_severity
from bomcheck.screen.severities import FITS, NO, PARTS, SEVERITY, UNKNOWN
from bomcheck.screen.sift import Judged, cascade_of, may_fit, settle_leading
from bomcheck.screen.world import World

FEW = 300  # pairs that are sooner judged whole than sifted first


def judge_pairs(world: World, corner: Index, kit: Index, passers: bool = False) -> Judged:
    """The verdict of each pair and what decides it. Pairs that some steady check fails may be given too.

    passers: only pairs that fit, with or without parts, are of interest; of the others no more is worked out than that.
    """
    world.forget()
    count = len(corner)
    result = Judged(
        corner, kit, np.full(count, NO, dtype=np.int8), np.full(count, -1), np.full(count, np.nan), [""] * count
    )
    left = settle_leading(world, result, passers) if passers or count > FEW else np.arange(count)
    if passers:
        left = may_fit(world, result, left)
    if len(left):
        _judge_whole(world, result, left, passers)
    return result


def _judge_whole(world: World, result: Judged, lanes: Index, passers: bool = False) -> None:
    """Every check, every remedy, and the brake line where the verdict hangs on it."""
    corner, kit, names = result.corner[lanes], result.kit[lanes], ranks()[0]
    cascade = cascade_of(world, result, lanes, frozenset(all_checks()) - line_checks())
    severity, margin = _whole(*cascade.told, cascade.names)
    worst = severity.max(axis=0, initial=0)
    for name in line_checks():
        for lane in np.flatnonzero(worst <= (PARTS if passers else UNKNOWN)).tolist():
            severity[names.index(name), lane] = line_severity(world, int(corner[lane]), int(kit[lane]), name)
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
    result.severity[lane] = SEVERITY[found.verdict]
    result.place[lane] = names.index(found.check) if found.check else -1
    result.margin[lane] = np.nan if found.margin is None else found.margin
    result.measure[lane] = found.measure
