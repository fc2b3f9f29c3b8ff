"""What needs no second look: pairs that some check settles by itself, before all checks are run.

Rows of one kind share what a check reads of them, so a check on counts, circles or words is run once for each pair of kinds.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from bomcheck.screen.checking import NO, UNKNOWN, judge, prepare
from bomcheck.screen.lanes import Array, Index
from bomcheck.screen.reach import fixed, reach_of, steady
from bomcheck.screen.rounds import LINE
from bomcheck.screen.sizes import Sizes
from bomcheck.screen.world import World
from bomcheck.verdict.check import all_checks

FEW = 200_000  # pairs of kinds for which a check is run at once


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


class Gate:
    """For "only what fits": which corners and kits are left, and which kinds of them go together at all."""

    def __init__(self, world: World) -> None:
        self.world = world
        self.corners, self.kits = np.arange(len(world.corners)), np.arange(len(world.kits))
        self.slow: list[str] = []
        quick: list[tuple[Kinds, Kinds, Array]] = []
        for name in gating():
            found = self._by_kind(name)
            if found is None:
                self.slow.append(name)
            else:
                quick.append(found)
        self._close_rows(quick)
        self.pairs = self._together([one for one in quick if len(one[0]) > 1 and len(one[1]) > 1])

    def _by_kind(self, name: str) -> tuple[Kinds, Kinds, Array] | None:
        """(kinds of corners, kinds of kits, which may fit) of one check; None where there are too many kinds."""
        needs = reach_of(name).needs
        corner, kit = (kinds(sizes, needs & sizes.columns.keys()) for sizes in (self.world.corner, self.world.kit))
        if len(corner) * len(kit) > FEW:
            return None
        left, right = (np.repeat(corner.first, len(kit)), np.tile(kit.first, len(corner)))
        shut = never_fits(name, self.world.pairs(left, right))
        return corner, kit, ~np.broadcast_to(shut, left.shape).reshape(len(corner), len(kit))

    def _close_rows(self, quick: Sequence[tuple[Kinds, Kinds, Array]]) -> None:
        """Take out the rows that fit with nothing, as one check has it."""
        for corner, kit, may in quick:
            self.corners = self.corners[may.any(axis=1)[corner.code[self.corners]]]
            self.kits = self.kits[may.any(axis=0)[kit.code[self.kits]]]

    def _together(self, quick: Sequence[tuple[Kinds, Kinds, Array]]) -> list[tuple[Index, Index]]:
        """Groups of (corners, kits) that go together as far as the quick checks can tell."""
        found = [(self.corners, self.kits)]
        for corner, kit, may in quick:
            found = [group for one in found for group in _divided(*one, corner, kit, may)]
            if len(found) > 2000:
                break
        return found


def _divided(corners: Index, kits: Index, corner: Kinds, kit: Kinds, may: Array) -> list[tuple[Index, Index]]:
    """The groups of a group, corners of like prospects together."""
    patterns, which = np.unique(may[corner.code[corners]], axis=0, return_inverse=True)
    groups = []
    for number, pattern in enumerate(patterns):
        left, right = corners[which.reshape(-1) == number], kits[pattern[kit.code[kits]]]
        if len(left) and len(right):
            groups.append((left, right))
    return groups
