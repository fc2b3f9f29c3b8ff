"""For "only what fits": which corners and kits can go together at all, before any pair is looked at.

Rows of one kind share what a check reads of them, so a check on counts, circles or words is run once for each pair of kinds.
"""

from dataclasses import dataclass

import numpy as np

from bomcheck.rules import all_checks
from bomcheck.screen.alike import Alike, Kinds
from bomcheck.screen.checking import judge
from bomcheck.screen.decisive import gating
from bomcheck.screen.lanes import Array, Index, Pairs, distinct, in_some
from bomcheck.screen.reach import reach_of
from bomcheck.screen.ready import prepare
from bomcheck.screen.severities import NO, UNKNOWN
from bomcheck.screen.sizes import Sizes
from bomcheck.screen.world import World

FEW = 200_000  # pairs of kinds for which a check is run at once
MOST_GROUPS = 100
SAMPLE = 2000  # pairs by which it is told how many a check lets through


def may_fit(name: str, sizes: Sizes) -> Array:
    """Lanes that can fit or fit with parts, as far as one check of `gating` tells."""
    severity = judge(prepare(all_checks()[name], sizes), sizes, cure=False).severity
    shut = (severity == UNKNOWN) | ((severity == NO) & (not reach_of(name).cures))
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
        may = table.of(*wide) if table else may_fit(name, world.rectangle(corners, kits))
        rows, columns = np.nonzero(may)
        left, right = corners[rows], kits[columns]
        for name, table in self.rest[1:]:
            if len(left):
                may = table.of(left, right) if table else may_fit(name, world.pairs(left, right))
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
        needs = reach_of(name).needs
        corner = corners.kinds(needs & world.corner.columns.keys())
        kit = kits.kinds(needs & world.kit.columns.keys())
        found[name] = _table(world, name, corner, kit) if len(corner) * len(kit) <= FEW else None
    return found


def _table(world: World, name: str, corner: Kinds, kit: Kinds) -> Table:
    left, right = np.repeat(corner.first, len(kit)), np.tile(kit.first, len(corner))
    return Table(corner, kit, may_fit(name, world.pairs(left, right)).reshape(len(corner), len(kit)))


def _passing(world: World, pairs: Pairs, name: str, table: Table | None) -> float:
    """Share of a sample of pairs that a check lets through."""
    draw = np.random.default_rng(0)
    corner, kit = (draw.choice(rows, SAMPLE) for rows in pairs)
    may = table.of(corner, kit) if table is not None else may_fit(name, world.pairs(corner, kit))
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
