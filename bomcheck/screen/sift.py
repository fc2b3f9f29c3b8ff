"""What needs no second look: pairs that a few checks settle, before all checks and all remedies are run."""

from dataclasses import dataclass

import numpy as np

from bomcheck.model.rule import STACKS
from bomcheck.rules import all_checks
from bomcheck.screen.checking import judge
from bomcheck.screen.deciding import ranks
from bomcheck.screen.decisive import leading, settling, sifting, upstream
from bomcheck.screen.lanes import Array, Index
from bomcheck.screen.moved import Moved
from bomcheck.screen.reach import reach_of
from bomcheck.screen.ready import prepare
from bomcheck.screen.rounds import Cascade
from bomcheck.screen.severities import NO, PARTS, UNKNOWN
from bomcheck.screen.sizes import Sizes
from bomcheck.screen.world import World


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


def cascade_of(world: World, result: Judged, lanes: Index, checks: frozenset[str]) -> Cascade:
    """The cascade of some checks on some lanes."""
    corner, kit = result.corner[lanes], result.kit[lanes]
    return Cascade(lambda at, changed: world.pairs(corner[at], kit[at], changed), len(lanes), world.memo, checks)


def settle_leading(world: World, result: Judged, passers: bool = False) -> Index:
    """Settle the pairs that one of the first checks fails for good; the lanes that are left.

    A steady check decides before these; where one fails, the whole is looked at.
    """
    decide_next, reached = leading()
    lanes = np.arange(len(result.corner))
    cascade = cascade_of(world, result, lanes, reached | frozenset(settling()))
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


def known_before() -> None:
    """Find what every task looks up, so that the processes of a pool have it from the start."""
    for find in (ranks, settling, leading, sifting):
        find()


def may_fit(world: World, result: Judged, lanes: Index) -> Index:
    """The lanes in which no check is seen, before any remedy, to rule out for good that the pair fits.

    A check that is not known, or fails and can only be machined for, stays so where none fails whose remedy may reach it.
    """
    failing: dict[str, Array] = {}
    for names in sifting():
        if not len(lanes):
            break
        severities = _first(names, world.pairs(result.corner[lanes], result.kit[lanes]), world)
        failing |= {name: severity == NO for name, severity in severities.items()}
        out = np.zeros(len(lanes), dtype=bool)
        for name, severity in severities.items():
            others = upstream(name) - {name}
            if others <= failing.keys():
                stays = severity >= UNKNOWN if not reach_of(name).cures else severity == UNKNOWN
                out |= stays & ~_any([failing[other] for other in others], len(lanes))
        failing = {name: fails[~out] for name, fails in failing.items()}
        lanes = lanes[~out]
    return lanes


def _first(names: tuple[str, ...], sizes: Sizes, world: World) -> dict[str, Array]:
    """Severity of some checks in each lane before any remedy."""
    ready = [prepare(all_checks()[name], sizes) for name in names]
    found = {one.check.name: judge(one, sizes, cure=False).severity for one in ready if not one.check.stack}
    for stack in STACKS:
        of_stack = [one for one in ready if one.check.stack == stack]
        if of_stack:
            found |= Moved(stack, of_stack, sizes, world.memo).verdicts
    return {name: severity.reshape(-1) for name, severity in found.items()}


def _any(masks: list[Array], count: int) -> Array:
    found = np.zeros(count, dtype=bool)
    for mask in masks:
        found |= mask
    return found
