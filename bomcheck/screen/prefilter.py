"""Which checks can settle a pair by themselves, as far as their reach tells."""

from functools import cache

import numpy as np

from bomcheck.engine.many import reach
from bomcheck.engine.many.adjusting import Adjusted
from bomcheck.engine.many.checking import judge
from bomcheck.engine.many.deciding import ranks
from bomcheck.engine.many.lanes import Array, Index, Pairs, distinct, in_some
from bomcheck.engine.many.ready import prepare
from bomcheck.engine.many.rounds import LINE, Cascade
from bomcheck.engine.many.settled import Alike, Kinds
from bomcheck.engine.many.sizes import Sizes
from bomcheck.model.records import dataclass
from bomcheck.model.rule import STACKS
from bomcheck.model.verdict import NO, PARTS, UNKNOWN
from bomcheck.rules import all_checks
from bomcheck.rules.derived import DERIVATIONS
from bomcheck.screen.world import World
from bomcheck.tables.fields import fields


@cache
def settling() -> tuple[str, ...]:
    """Checks whose "does not fit" is the last word, in the order in which they decide."""
    names = (name for name, check in all_checks().items() if LINE not in check.parameters)
    return tuple(name for name in names if reach.steady(name) and reach.reach_of(name).fails)


@cache
def gating() -> tuple[str, ...]:
    """Checks whose own value no remedy touches: what fails in them beyond parts, or is not known, never fits."""
    return tuple(name for name, check in all_checks().items() if LINE not in check.parameters and reach.fixed(name))


@cache
def leading() -> tuple[tuple[frozenset[str], tuple[str, ...]], ...]:
    """Checks in stages, as they decide before any that shims can touch: (those with all whose remedies may reach them, those
    that decide in this stage in their order)."""
    found = []
    for turns in ((reach.UNTOUCHED, reach.FINAL), (reach.UNSHIMMED,), (reach.BODIES,)):
        names = [ranks()[0][place] for place in ranks()[1]]
        names = [name for name in names if reach.turn_of(name) in turns and reach.reach_of(name).fails]
        names = [name for name in names if LINE not in all_checks()[name].parameters]
        found.append((frozenset(names).union(*(reach.upstream(name) for name in names)), tuple(names)))
    return tuple(found)


@cache
def sifting() -> tuple[tuple[str, ...], ...]:
    """Checks by which pairs are sifted that may fit, the quick ones first: those that no shims move, unless the gate has asked
    them; those that shims move; and those that read tables of both corner and kit pair by pair, with what leads their shims."""
    names = [name for name, check in all_checks().items() if LINE not in check.parameters]
    moved = {name for name in names if all_checks()[name].stack}
    tabled = {name for name in names if _reads_tables(name)}
    unmoved = (name for name in names if name not in moved | tabled)
    unasked = tuple(name for name in unmoved if name not in gating() or reach.reach_of(name).changes)
    leads = {name for name in moved if all_checks()[name].target is not None}
    return unasked, tuple(n for n in names if n in moved - tabled), tuple(n for n in names if n in tabled | leads)


def _reads_tables(name: str) -> bool:
    parameters = all_checks()[name].parameters
    tabled = [key for key in parameters if any(way.interval for way in DERIVATIONS.get(key, ()))]
    sections = [{fields()[one].section for one in reach.closure(key) if one in fields()} for key in tabled]
    return any({"corner", "kit"} <= of_key for of_key in sections)


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


def settle_leading(world: World, result: Judged, lanes: Index, passers: bool = False) -> Index:
    """Settle the pairs that a check which no shims can touch fails for good; the lanes that are left."""
    odd = np.zeros(0, dtype=np.intp)
    for reached, deciding in leading()[:-1] if passers else leading():  # who wants passers has bodies sifted later
        cascade = cascade_of(world, result, lanes, reached)
        severity, margin = cascade.told
        left = ~cascade.odd
        odd = np.concatenate([odd, lanes[cascade.odd]])
        for name in deciding:
            place = cascade.names.index(name)
            now = left & (severity[place] == NO)
            at = lanes[now]
            result.place[at], result.margin[at] = ranks()[0].index(name), margin[place, now]
            left &= ~now
        if passers:
            left &= severity.max(axis=0) <= PARTS
        lanes = lanes[left]
    return np.sort(np.concatenate([lanes, odd]))


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
            others = reach.upstream(name) - {name}
            if others <= failing.keys():
                stays = severity >= UNKNOWN if not reach.reach_of(name).cures else severity == UNKNOWN
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
            found |= Adjusted(stack, of_stack, sizes, world.memo).severity
    return {name: severity.reshape(-1) for name, severity in found.items()}


def _any(masks: list[Array], count: int) -> Array:
    found = np.zeros(count, dtype=bool)
    for mask in masks:
        found |= mask
    return found


FEW = 200_000  # pairs of kinds for which a check is run at once
MOST_GROUPS = 100
SAMPLE = 2000  # pairs by which it is told how many a check lets through


def lets_through(name: str, sizes: Sizes) -> Array:
    """Lanes that can fit or fit with parts, as far as one check of `gating` tells."""
    severity = judge(prepare(all_checks()[name], sizes), sizes, cure=False).severity
    shut = (severity == UNKNOWN) | ((severity == NO) & (not reach.reach_of(name).cures))
    return np.broadcast_to(~shut, sizes.shape)


@dataclass(frozen=True)
class Table:
    """One check, run on each pair of kinds."""

    corner: Kinds
    kit: Kinds
    may: Array

    @property
    def hangs_on_both(self) -> bool:
        """Whether neither corner nor kit alone tells."""
        return min(len(self.corner), len(self.kit)) > 1

    def of(self, corners: Index, kits: Index) -> Array:
        """Which pairs may fit; corners and kits of any shapes that NumPy can spread."""
        found: Array = self.may[self.corner.code[corners], self.kit.code[kits]]
        return found


@dataclass
class Gate:
    """groups: (corners, kits) that go together as far as counts, circles and words tell. rest: checks still to be asked of
    each pair, the one that lets fewest through first; by its table where there is one."""

    groups: list[Pairs]
    rest: list[tuple[str, Table | None]]

    def left(self, world: World, corners: Index, kits: Index) -> Pairs:
        """The pairs of one group that no single check rules out."""
        if not self.rest:
            return np.repeat(corners, len(kits)), np.tile(kits, len(corners))
        name, table = self.rest[0]
        wide = (corners[:, None], kits[None, :])
        may = table.of(*wide) if table else lets_through(name, world.pairs(*wide))
        rows, columns = np.nonzero(may)
        left, right = corners[rows], kits[columns]
        for name, table in self.rest[1:]:
            if len(left):
                may = table.of(left, right) if table else lets_through(name, world.pairs(left, right))
                left, right = left[may], right[may]
        return left, right


def make_gate(world: World) -> Gate:
    """The gate of a screening."""
    tables = _tables(world)
    corners, kits = np.arange(len(world.corners)), np.arange(len(world.kits))
    for table in tables.values():
        if table is not None:
            corners = corners[in_some(table.may, 1)[table.corner.code[corners]]]
            kits = kits[in_some(table.may, 0)[table.kit.code[kits]]]
    if not len(corners) or not len(kits):
        return Gate([], [])
    gate = Gate([(corners, kits)], [])
    both = {name: table for name, table in tables.items() if table is None or table.hangs_on_both}
    shares = {name: _passing(world, (corners, kits), name, table) for name, table in both.items()}
    for name in sorted(both, key=lambda one: shares[one]):
        table = both[name]
        divided = None if table is None else _divided(gate.groups, table)
        if divided is None:
            gate.rest.append((name, table))
        else:
            gate.groups = divided
    return gate


def _tables(world: World) -> dict[str, Table | None]:
    """Each check run on each pair of kinds; None where there are too many."""
    corners, kits = (Alike(sizes.typed, sizes.shape[0]) for sizes in (world.corner, world.kit))
    found: dict[str, Table | None] = {}
    for name in gating():
        needs = reach.reach_of(name).needs
        corner = corners.kinds(needs & world.corner.columns.keys())
        kit = kits.kinds(needs & world.kit.columns.keys())
        found[name] = _table(world, name, corner, kit) if len(corner) * len(kit) <= FEW else None
    return found


def _table(world: World, name: str, corner: Kinds, kit: Kinds) -> Table:
    left, right = np.repeat(corner.first, len(kit)), np.tile(kit.first, len(corner))
    return Table(corner, kit, lets_through(name, world.pairs(left, right)).reshape(len(corner), len(kit)))


def _passing(world: World, pairs: Pairs, name: str, table: Table | None) -> float:
    """Share of a sample of pairs that a check lets through."""
    draw = np.random.default_rng(0)
    corner, kit = (draw.choice(rows, SAMPLE) for rows in pairs)
    may = table.of(corner, kit) if table is not None else lets_through(name, world.pairs(corner, kit))
    return float(may.mean())


def _divided(groups: list[Pairs], table: Table) -> list[Pairs] | None:
    """The groups parted by one check, corners of like prospects together; None where they would be too many."""
    found: list[Pairs] = []
    patterns, kind = np.unique(table.may, axis=0, return_inverse=True)
    for corners, kits in groups:
        which = kind.reshape(-1)[table.corner.code[corners]]
        for number in distinct(which).tolist():
            left, right = corners[which == number], kits[patterns[number][table.kit.code[kits]]]
            if len(right):
                found.append((left, right))
        if len(found) > MOST_GROUPS:
            return None
    return found
