"""All checks on many lanes at once, and the cascade of remedies: what `bomcheck.assess` does for one job.

Lanes where anything is out of the ordinary are named in `odd`; the caller assesses their jobs one by one.
"""

from collections.abc import Callable
from typing import Any

import numpy as np

from bomcheck.rules import all_checks
from bomcheck.screen.changes import Changes
from bomcheck.screen.columns import Column
from bomcheck.screen.lanes import Array, Index, distinct
from bomcheck.screen.order import REST, order, touched
from bomcheck.screen.round import Round
from bomcheck.screen.severities import APART, UNKNOWN
from bomcheck.screen.sizes import Sizes

MOST_PASSES = 5  # as for one job; a test holds them equal
Make = Callable[[Index, dict[str, Column]], Sizes]


class Cascade:
    """Rounds until nothing changes, each on the lanes that still change."""

    def __init__(self, make: Make, lanes: int, memo: dict[Any, Any], checks: frozenset[str]) -> None:
        """make: from lanes and changed columns to sizes. checks: names; a remedy of none of the others may reach them."""
        self.names = [name for name in order() if name in checks or name not in all_checks()]
        self.last = np.full((len(self.names), lanes), APART, dtype=np.int8)
        self.last_margin = np.full((len(self.names), lanes), np.nan)
        self.cured = np.zeros((len(self.names), lanes), dtype=bool)
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
        """Each finding's severity and margin: the one that called for a remedy where that worked, else the last."""
        use = self.cured & (self.last <= self.called)
        return np.where(use, self.called, self.last), np.where(use, self.called_margin, self.last_margin)
