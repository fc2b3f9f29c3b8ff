"""New sizes that remedies give to lanes."""

from typing import Any

import numpy as np

from bomcheck.screen.columns import Column, is_size
from bomcheck.screen.found import Cured
from bomcheck.screen.lanes import Array, Index
from bomcheck.screen.sizes import Sizes


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
                    np.broadcast_to(value, cure.lanes.shape),
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
