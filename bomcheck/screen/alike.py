"""Rows that are alike in some fields are of one kind, and what hangs on those fields alone is found once for a kind."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np

from bomcheck.screen.columns import Column
from bomcheck.screen.lanes import Array, Index

MOST = 2**62


@dataclass(frozen=True)
class Kinds:
    """code: the kind of every row. first: one row of each kind."""

    code: Index
    first: Index

    def __len__(self) -> int:
        return len(self.first)


class Alike:
    """Kinds of rows. typed: the column of a key, None where there is none."""

    def __init__(self, typed: Callable[[str], Column | None], count: int) -> None:
        self.typed, self.count = typed, count
        self._own: dict[str, tuple[Array, int]] = {}

    def kinds(self, keys: Iterable[str], parted: Array | None = None) -> Kinds:
        """Rows that are the same in all of some keys. parted: numbers that keep rows apart from the start."""
        code, size = np.zeros(self.count, dtype=np.int64), 1
        if parted is not None:
            code, size = _joined(code, size, parted, int(parted.max(initial=0)) + 1)
        for key in sorted(keys):
            code, size = _joined(code, size, *self._of(key))
        _, first, inverse = np.unique(code, return_index=True, return_inverse=True)
        return Kinds(inverse.reshape(-1), first)

    def _of(self, key: str) -> tuple[Array, int]:
        """(a number for each different content of a column, how many there may be)."""
        if key not in self._own:
            column = self.typed(key)
            self._own[key] = (np.zeros(1, dtype=np.int64), 1) if column is None else _numbered(column)
        return self._own[key]


def _numbered(column: Column) -> tuple[Array, int]:
    code = column.codes if column.codes is not None else np.unique(np.asarray(column.values), return_inverse=True)[1]
    code = np.where(column.known, code.astype(np.int64) + 1, 0)
    halves = np.where(column.known, column.halves, 0.0)
    size = int(code.max(initial=0)) + 1
    if halves.any():
        wide = np.unique(halves, return_inverse=True)[1].reshape(-1)
        return _joined(code, size, wide, int(wide.max()) + 1)
    return code, size


def _joined(code: Array, size: int, more: Array, more_size: int) -> tuple[Array, int]:
    if size * more_size > MOST:
        different, code = np.unique(code, return_inverse=True)
        code, size = code.reshape(-1), len(different)
    return code * more_size + more, size * more_size
