"""All checks on many lanes at once, and the cascade of remedies: what `bomcheck.assess` does for one job.

Lanes where anything is out of the ordinary are named in `odd`; the caller assesses their jobs one by one.
"""

from collections.abc import Callable, Iterable, Iterator
from typing import Any

import numpy as np

from bomcheck.engine.makers_word import NAME as MAKERS_LIST
from bomcheck.engine.many.adjusting import Adjusted
from bomcheck.engine.many.checking import Cured, Found, judge
from bomcheck.engine.many.columns import Column, is_size
from bomcheck.engine.many.known import array
from bomcheck.engine.many.lanes import Array, Index, Memo, distinct
from bomcheck.engine.many.reach import reach_of
from bomcheck.engine.many.ready import prepare
from bomcheck.engine.many.sizes import Sizes
from bomcheck.engine.many.space import sight_of, wanted
from bomcheck.engine.space import ANYWHERE
from bomcheck.model.rule import STACKS, Check
from bomcheck.model.verdict import APART, UNKNOWN
from bomcheck.rules import all_checks

REST = "remedies_come_to_rest"
PARTS_LIST = "parts_complete"
LINE = "brake_line"


def joint_name(stack: str) -> str:
    """The finding that says whether one stack serves all checks that it moves."""
    return f"{stack}_stack_together"


def order() -> list[str]:
    """Every finding's name in the order in which a report tells them."""
    return [*all_checks(), *(joint_name(name) for name in STACKS), REST, PARTS_LIST, MAKERS_LIST]


def touched(changed: Iterable[str]) -> frozenset[str]:
    """Checks that read a changed key, or whose remedy does; of what shims move, bodies among it, all or none."""
    keys = frozenset(changed)
    names = {name for name in all_checks() if reach_of(name).reads & keys}
    together = {name for name, check in all_checks().items() if check.stack or check.space}
    return frozenset(names | together) if names & together else frozenset(names)


def bodies() -> list[Check]:
    """The checks of fixed bodies."""
    return [check for check in all_checks().values() if check.space]


class Round:
    """Some checks on one state of the lanes. found: by name. cures: in the order in which a job's round meets them."""

    def __init__(self, sizes: Sizes, memo: Memo, names: frozenset[str]) -> None:
        self.sizes, self.found = sizes, dict[str, Found]()
        ready = [prepare(check, sizes) for name, check in all_checks().items() if name in names]
        stacks = {name: of_stack for name in STACKS if (of_stack := [one for one in ready if one.check.stack == name])}
        windows = wanted(bodies(), sizes) if len(stacks) == len(STACKS) else None
        for name, of_stack in stacks.items():
            moved = Adjusted(name, of_stack, sizes, memo, windows[name] if windows else ANYWHERE)
            self.found |= {**moved.found, joint_name(name): moved.joint}
            if windows:
                windows[name] = windows[name].where(moved.laid.served)
        sight_of(sizes).windows = windows
        for one in ready:
            if not one.check.stack:
                self.found[one.check.name] = judge(one, sizes)

    @property
    def cures(self) -> Iterator[tuple[str, Cured]]:
        """(check, remedy), stack by stack, then the others."""
        for name, found in self.found.items():
            for cure in found.cures:
                yield name, cure


class Changes:
    """New sizes of lanes, key by key; of two for one size the one that goes further from what it was."""

    def __init__(self, sizes: Sizes, lanes: int) -> None:
        self.sizes, self.lanes = sizes, lanes
        self.columns: dict[str, Column] = {}
        self.fresh: dict[str, Array] = {}

    def take(self, cure: Cured) -> None:
        """What a remedy changes; a size that another has changed already keeps the change that goes further."""
        for key, (value, half) in cure.changes.items():
            typed = self.sizes.typed(key)
            if is_size(value) or isinstance(value, np.ndarray):
                self._size(
                    key,
                    cure.lanes,
                    np.broadcast_to(array(value), cure.lanes.shape),
                    np.broadcast_to(half, cure.lanes.shape),
                    typed,
                )
            else:
                self._object(key, cure.lanes, value, float(half), typed)

    def blank(self, key: str, size: bool) -> Column:
        """The typed column, to be written into."""
        return self._column(key, size, self.sizes.typed(key))

    def _column(self, key: str, size: bool, typed: Column | None) -> Column:
        if key not in self.columns:
            self.fresh[key] = np.zeros(self.lanes, dtype=bool)
            if typed is None:
                known, halves = np.zeros(self.lanes, dtype=bool), np.zeros(self.lanes)
                blank = np.zeros(self.lanes) if size else None
                codes = None if size else np.zeros(self.lanes, dtype=np.int32)
                self.columns[key] = Column(known, halves, blank, codes, [None])
            else:
                values = (
                    None if typed.values is None else np.array(np.broadcast_to(typed.values, self.lanes), dtype=float)
                )
                codes = None if typed.codes is None else np.array(np.broadcast_to(typed.codes, self.lanes))
                known, halves = (np.array(np.broadcast_to(one, self.lanes)) for one in (typed.known, typed.halves))
                self.columns[key] = Column(known, halves, values, codes, list(typed.objects))
        return self.columns[key]

    def _size(self, key: str, lanes: Index, value: Array, half: Array, typed: Column | None) -> None:
        column, fresh = self._column(key, True, typed), self.fresh[key]
        assert column.values is not None
        if typed is not None:
            known, was, was_half = (
                np.broadcast_to(np.asarray(one), self.lanes)[lanes] for one in (typed.known, typed.values, typed.halves)
            )
            new = ~(known & (was == value) & (was_half == half))
            further = known & (np.abs(value - was) > np.abs(column.values[lanes] - was))
        else:
            new, further = np.ones(len(lanes), dtype=bool), np.zeros(len(lanes), dtype=bool)
        use = new & (~fresh[lanes] | further)
        at = lanes[use]
        column.values[at], column.halves[at], column.known[at], fresh[at] = value[use], half[use], True, True

    def _object(self, key: str, lanes: Index, value: Any, half: float, typed: Column | None) -> None:
        column, fresh = self._column(key, False, typed), self.fresh[key]
        assert column.codes is not None
        if value not in column.objects:
            column.objects.append(value)
        code = column.objects.index(value)
        same = column.known[lanes] & (column.codes[lanes] == code) & (column.halves[lanes] == half)
        at = lanes[~same & ~fresh[lanes]]
        column.codes[at], column.halves[at], column.known[at], fresh[at] = code, half, True, True

    @property
    def any(self) -> Array:
        """Lanes of which something changes."""
        found = np.zeros(self.lanes, dtype=bool)
        for fresh in self.fresh.values():
            found |= fresh
        return found


MOST_PASSES = 5  # as for one job; a test holds them equal
Make = Callable[[Index, dict[str, Column]], Sizes]


class Cascade:
    """Rounds until nothing changes, each on the lanes that still change."""

    def __init__(self, make: Make, lanes: int, memo: Memo, checks: frozenset[str]) -> None:
        """make: from lanes and changed columns to sizes. checks: names; a remedy of none of the others may reach them."""
        self.names = [name for name in order() if name in checks or name not in all_checks()]
        self.last = np.full((len(self.names), lanes), APART, dtype=np.int8)
        self.last_margin = np.full((len(self.names), lanes), np.nan)
        self.cured = np.zeros((len(self.names), lanes), dtype=bool)
        self.bare = np.ones((len(self.names), lanes), dtype=bool)
        self.called = np.full((len(self.names), lanes), APART, dtype=np.int8)
        self.called_margin = np.full((len(self.names), lanes), np.nan)
        self.odd = np.zeros(lanes, dtype=bool)
        self.changed: dict[str, Column] = {}
        self.base: Sizes = make(np.arange(lanes), {})
        active, names = np.arange(lanes), checks
        passes = 0
        while len(active):
            sizes = make(active, {key: column.take(active) for key, column in self.changed.items()})
            now = Round(sizes, memo, names)
            passes += 1
            self._take(now, active)
            changes = Changes(sizes, len(active))
            for _, cure in now.cures:
                changes.take(cure)
            going = changes.any
            self._apply(changes, active, going, lanes)
            if passes == MOST_PASSES:
                self._unrest(active[going])
                break
            active = active[going]
            names = touched(key for key, fresh in changes.fresh.items() if fresh.any()) & checks

    def _take(self, now: Round, active: Index) -> None:
        """Write down what a round found; checks that it left out find what they found before."""
        for place, name in enumerate(self.names):
            found = now.found.get(name)
            if found is None:
                continue
            severity, margin = found.severity.reshape(-1), found.margin.reshape(-1)
            self.last[place, active], self.last_margin[place, active] = severity, margin
            here = found.cured
            self.cured[place, active[here]] = True
            self.called[place, active[here]] = severity[here]
            self.called_margin[place, active[here]] = margin[here]
            for cure in found.cures:
                if cure.changes:
                    self.bare[place, active[cure.lanes]] = False
            self.odd[active[found.odd]] = True

    def _apply(self, changes: Changes, active: Index, going: Array, lanes: int) -> None:
        for key, column in changes.columns.items():
            at = changes.fresh[key] & going
            if not at.any():
                continue
            if key not in self.changed:
                self.changed[key] = Changes(self.base, lanes).blank(key, column.values is not None)
            whole, where = self.changed[key], active[at]
            whole.known[where], whole.halves[where] = column.known[at], column.halves[at]
            if column.values is not None:
                assert whole.values is not None
                whole.values[where] = column.values[at]
            else:
                self._recode(whole, where, column, at)

    def _recode(self, whole: Column, where: Index, column: Column, at: Array) -> None:
        assert whole.codes is not None
        assert column.codes is not None
        for code in distinct(column.codes[at]).tolist():
            value = column.objects[code]
            if value not in whole.objects:
                whole.objects.append(value)
            whole.codes[where[column.codes[at] == code]] = whole.objects.index(value)

    def _unrest(self, lanes: Index) -> None:
        self.last[self.names.index(REST), lanes] = UNKNOWN

    @property
    def told(self) -> tuple[Array, Array]:
        """Each finding's severity and margin: the one that called for a remedy where that worked, else the last.

        A remedy that changes no size is not needed any more where another's changes let its check pass.
        """
        use = self.cured & (self.last <= self.called) & ~(self.bare & (self.last < self.called))
        return np.where(use, self.called, self.last), np.where(use, self.called_margin, self.last_margin)
