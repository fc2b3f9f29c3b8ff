"""What needs no second look: pairs that some check settles by itself, before all checks are run.

Rows of one kind share what a check reads of them, so a check on counts, circles or words is run once for each pair of kinds.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

import numpy as np

from bomcheck.derived import DERIVATIONS
from bomcheck.fields import fields
from bomcheck.screen.checking import NO, UNKNOWN, judge, prepare
from bomcheck.screen.lanes import Array, Index
from bomcheck.screen.reach import closure, fixed, reach_of, steady
from bomcheck.screen.rounds import LINE
from bomcheck.screen.sizes import Sizes
from bomcheck.screen.world import World
from bomcheck.verdict.check import all_checks

FEW = 200_000  # pairs of kinds for which a check is run at once
MOST_GROUPS = 100
SAMPLE = 2000  # pairs by which it is told how many a check lets through


@cache
def settling() -> tuple[str, ...]:
    """Checks whose "does not fit" is the last word, in the order in which they decide."""
    names = (name for name, check in all_checks().items() if LINE not in check.parameters)
    return tuple(name for name in names if steady(name) and reach_of(name).fails)


@cache
def gating() -> tuple[str, ...]:
    """Checks whose own value no remedy touches: what fails in them beyond parts, or is not known, never fits."""
    return tuple(name for name, check in all_checks().items() if LINE not in check.parameters and fixed(name))


@cache
def leading() -> tuple[tuple[str, ...], frozenset[str]]:
    """(checks that decide next after the steady ones, those with all checks whose remedies may reach them): as many as can be
    followed through their remedies without laying shims."""
    ranked = [name for name in all_checks() if not steady(name) and LINE not in all_checks()[name].parameters]
    taken: list[str] = []
    reached: frozenset[str] = frozenset()
    for name in ranked:
        more = _upstream(name)
        if any(all_checks()[one].stack for one in more):
            break
        taken.append(name)
        reached |= more
    return tuple(taken), reached


def _upstream(name: str) -> frozenset[str]:
    """The check and every one whose remedy may change, at one or more removes, what it reads."""
    found, waiting = set[str](), [name]
    while waiting:
        one = waiting.pop()
        if one not in found:
            found.add(one)
            reads = reach_of(one).reads
            waiting.extend(other for other in all_checks() if reach_of(other).changes & reads)
    return frozenset(found)


@cache
def hopeless() -> frozenset[str]:
    """Checks that nothing cures with parts, and the ones that shims are there for; tables of both corner and kit, which are
    read pair by pair, are left out. What fails in them in the first round never fits."""
    names = {name for name, check in all_checks().items() if not reach_of(name).cures and LINE not in check.parameters}
    aims = {name for name, check in all_checks().items() if check.aim is not None}
    return frozenset(name for name in names | aims if not _reads_tables(name))


def _reads_tables(name: str) -> bool:
    parameters = all_checks()[name].parameters
    tabled = [key for key in parameters if any(way.interval for way in DERIVATIONS.get(key, ()))]
    sections = [{fields()[one].section for one in closure(key) if one in fields()} for key in tabled]
    return any({"corner", "kit"} <= of_key for of_key in sections)


def never_fits(name: str, sizes: Sizes) -> Array:
    """Lanes that can neither fit nor fit with parts, as one check of `gating` has it."""
    ready = prepare(all_checks()[name], sizes)
    severity = judge(ready, sizes, cure=False).severity
    return (severity == UNKNOWN) | ((severity == NO) & (not reach_of(name).cures))


@dataclass(frozen=True)
class Kinds:
    """code: the kind of every row. first: one row of each kind."""

    code: Index
    first: Index

    def __len__(self) -> int:
        return len(self.first)


def kinds(sizes: Sizes, keys: Iterable[str]) -> Kinds:
    """Rows that are the same in all of some typed keys are of one kind."""
    code = np.zeros(sizes.shape, dtype=np.int64)
    for key in sorted(keys):
        column = sizes.typed(key)
        if column is None:
            continue
        figures = column.codes if column.codes is not None else column.values
        marks = [np.where(column.known, figures, 0), column.known, np.where(column.known, column.halves, 0.0)]
        for mark in marks:
            own = np.unique(mark, return_inverse=True)[1].reshape(-1)
            code = np.unique(code * (int(own.max(initial=0)) + 1) + own, return_inverse=True)[1].reshape(-1)
    _, first, inverse = np.unique(code, return_index=True, return_inverse=True)
    return Kinds(inverse.reshape(-1), first)


@dataclass(frozen=True)
class Table:
    """One check, run on each pair of kinds."""

    corner: Kinds
    kit: Kinds
    may: Array

    def of(self, corners: Index, kits: Index) -> Array:
        """Which pairs may fit; corners and kits of any shapes that NumPy can spread."""
        found: Array = self.may[self.corner.code[corners], self.kit.code[kits]]
        return found


class Gate:
    """For "only what fits": which corners and kits are left, which of them go together, and what is left to be asked.

    groups: (corners, kits) that go together as far as counts, circles and words tell. rest: checks still to be asked of each
    pair, the one that lets fewest through first; by its table where there is one.
    """

    def __init__(self, world: World) -> None:
        self.world = world
        self.corners, self.kits = np.arange(len(world.corners)), np.arange(len(world.kits))
        tables = {name: self._table(name) for name in gating()}
        for table in tables.values():
            if table is not None:
                self.corners = self.corners[table.may.any(axis=1)[table.corner.code[self.corners]]]
                self.kits = self.kits[table.may.any(axis=0)[table.kit.code[self.kits]]]
        both = {
            name: table for name, table in tables.items() if table is None or min(len(table.corner), len(table.kit)) > 1
        }
        self.groups = [(self.corners, self.kits)] if len(self.corners) and len(self.kits) else []
        self.rest: list[tuple[str, Table | None]] = []
        for name, table in sorted(both.items(), key=lambda one: self._passing(*one)):
            divided = None if table is None else _divided(self.groups, table)
            if divided is None:
                self.rest.append((name, table))
            else:
                self.groups = divided

    def _table(self, name: str) -> Table | None:
        """A check run on each pair of kinds; None where there are too many."""
        needs = reach_of(name).needs
        corner, kit = (kinds(sizes, needs & sizes.columns.keys()) for sizes in (self.world.corner, self.world.kit))
        if len(corner) * len(kit) > FEW:
            return None
        left, right = np.repeat(corner.first, len(kit)), np.tile(kit.first, len(corner))
        shut = never_fits(name, self.world.pairs(left, right))
        return Table(corner, kit, ~np.broadcast_to(shut, left.shape).reshape(len(corner), len(kit)))

    def _passing(self, name: str, table: Table | None) -> float:
        """Share of a sample of pairs that a check lets through."""
        if not self.groups:
            return 1.0
        draw = np.random.default_rng(0)
        corner, kit = draw.choice(self.corners, SAMPLE), draw.choice(self.kits, SAMPLE)
        if table is not None:
            return float(table.of(corner, kit).mean())
        return 1.0 - float(np.broadcast_to(never_fits(name, self.world.pairs(corner, kit)), corner.shape).mean())

    def left(self, corners: Index, kits: Index) -> tuple[Index, Index]:
        """The pairs of one group that no single check rules out."""
        left, right = corners, kits
        for number, (name, table) in enumerate(self.rest):
            if number == 0:
                sizes, shape = self.world.rectangle(corners, kits), (len(corners), len(kits))
                may = (
                    table.of(corners[:, None], kits[None, :])
                    if table
                    else ~np.broadcast_to(never_fits(name, sizes), shape)
                )
                rows, columns = np.nonzero(may)
                left, right = corners[rows], kits[columns]
            elif len(left):
                may = (
                    table.of(left, right)
                    if table
                    else ~np.broadcast_to(never_fits(name, self.world.pairs(left, right)), left.shape)
                )
                left, right = left[may], right[may]
        if not self.rest:
            return np.repeat(corners, len(kits)), np.tile(kits, len(corners))
        return left, right


def _divided(groups: list[tuple[Index, Index]], table: Table) -> list[tuple[Index, Index]] | None:
    """The groups parted by one check, corners of like prospects together; None where they would be too many."""
    found: list[tuple[Index, Index]] = []
    patterns, kind = np.unique(table.may, axis=0, return_inverse=True)
    for corners, kits in groups:
        which = kind.reshape(-1)[table.corner.code[corners]]
        for number in np.unique(which).tolist():
            left, right = corners[which == number], kits[patterns[number][table.kit.code[kits]]]
            if len(right):
                found.append((left, right))
        if len(found) > MOST_GROUPS:
            return None
    return found
