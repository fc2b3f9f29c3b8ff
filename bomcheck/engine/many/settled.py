"""Rows that are alike in some fields are of one kind, and what hangs on those fields alone is found once for a kind."""

from collections.abc import Callable, Collection, Iterable, Mapping
from typing import Any

import numpy as np

from bomcheck.engine.many.columns import Column, Rows, column_of
from bomcheck.engine.many.lanes import Array, Index
from bomcheck.engine.settle import settle
from bomcheck.model.job import Job, TypedLimit, Value
from bomcheck.model.records import dataclass

MOST = 2**62


@dataclass(frozen=True)
class Kinds:
    """code: the kind of every row. first: one row of each kind."""

    code: Index
    first: Index

    def __len__(self) -> int:
        return len(self.first)


class Alike:
    """Kinds of rows. typed: the column of a key, None where there is none. whole: keys whose figures count, of others only
    whether they are there; None for all."""

    def __init__(self, typed: Callable[[str], Column | None], count: int, whole: Collection[str] | None = None) -> None:
        self.typed, self.count, self.whole = typed, count, whole
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
            if column is None:
                self._own[key] = np.zeros(1, dtype=np.int64), 1
            elif self.whole is None or column.values is None or key in self.whole:
                self._own[key] = _numbered(column)
            else:
                self._own[key] = column.known.astype(np.int64), 2
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


CHORD = "hub_stud_chord"
"""Where it is given, the circle itself follows from it, so such a row is settled by itself."""
Made = dict[str, Value]


class _Row(dict[str, Value]):
    """The values of one row; `asked`: which were looked at."""

    def __init__(self, values: Made, asked: set[str]) -> None:
        super().__init__(values)
        self.asked = asked

    def get(self, key: str, default: Any = None) -> Any:
        self.asked.add(key)
        return super().get(key, default)


def settle_rows(rows: Rows, limits: Mapping[str, TypedLimit]) -> None:
    """Add what follows, or takes the place of what was typed, as `extra`."""
    asked: set[str] = set()
    alike, parted = Alike(rows.columns.get, len(rows)), boxes_of(rows)
    known = -1
    while known < len(asked):
        known = len(asked)
        kinds = alike.kinds(asked, parted)
        found = [_settled(rows, row, limits, asked) for row in kinds.first.tolist()]
    keys = dict.fromkeys(key for one in found for key in one)
    rows.extra = {key: _column(rows, key, found, kinds.code) for key in keys}


def _settled(rows: Rows, row: int, limits: Mapping[str, TypedLimit], asked: set[str]) -> Made:
    """What follows for one row."""
    typed = rows.values(row)
    job = Job(_Row(typed, asked), box=rows.boxes.get(row, ()), limits=dict(limits))
    return {key: value for key, value in settle(job).values.items() if typed.get(key) is not value}


def _column(rows: Rows, key: str, found: list[Made], code: Index) -> Column:
    """One key of all rows: what follows, else what was typed."""
    made = column_of([one.get(key) for one in found])
    if key not in rows.columns:
        return made.take(code)
    whole = [found[kind].get(key) or rows.value(key, row) for row, kind in enumerate(code.tolist())]
    return column_of(whole)


def boxes_of(rows: Rows) -> Array:
    """A number for each different box of parts, 0 for none; rows whose circle follows from two studs stand alone."""
    numbers: dict[Any, int] = {}
    found = np.zeros(len(rows), dtype=np.int64)
    for row, box in rows.boxes.items():
        found[row] = numbers.setdefault(box, len(numbers) + 1)
    if CHORD in rows.columns:
        alone = np.flatnonzero(rows.columns[CHORD].known)
        found[alone] = len(numbers) + 1 + np.arange(len(alone))
    return found
