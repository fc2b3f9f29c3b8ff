"""What follows from a row's own values before any check runs; rows that are alike in what is asked are settled once."""

from collections.abc import Mapping
from typing import Any

import numpy as np

from bomcheck.engine.settle import settle
from bomcheck.model.job import Job, TypedLimit, Value
from bomcheck.screen.alike import Alike
from bomcheck.screen.columns import Column, Rows, column_of
from bomcheck.screen.lanes import Array, Index

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
    alike, parted = Alike(rows.columns.get, len(rows)), _parted(rows)
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


def _parted(rows: Rows) -> Array:
    """A number for each different box of parts, 0 for none; rows whose circle follows from two studs stand alone."""
    numbers: dict[Any, int] = {}
    found = np.zeros(len(rows), dtype=np.int64)
    for row, box in rows.boxes.items():
        found[row] = numbers.setdefault(box, len(numbers) + 1)
    if CHORD in rows.columns:
        alone = np.flatnonzero(rows.columns[CHORD].known)
        found[alone] = len(numbers) + 1 + np.arange(len(alone))
    return found
