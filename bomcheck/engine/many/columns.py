"""Corners or kits as columns: one array per field, blanks marked, words and notations as numbers into a list.

A row turns back into a job's values whenever a pair is to be looked at by itself.
"""

from collections.abc import Mapping, Sequence
from dataclasses import field
from typing import Any

import numpy as np

from bomcheck.engine.many.lanes import Array
from bomcheck.model.job import Job, Part, TypedLimit, Value
from bomcheck.model.records import dataclass


@dataclass
class Column:
    """One field of many rows. known: where it is filled in. halves: the ± in the internal unit, 0.0 for exact.

    source: the typed key that it follows from, "" for itself. Sizes stand in `values`; anything else stands in `objects`, and `codes` says which one a row has (0 where blank).
    """

    known: Array
    halves: Array
    values: Array | None = None
    codes: Array | None = None
    objects: list[object] = field(default_factory=list)
    whole: bool = False
    source: str = ""

    def at(self, row: int) -> object:
        """The row's value as a job holds it."""
        if self.values is not None:
            value = float(self.values[row])
            return int(value) if self.whole else value
        assert self.codes is not None
        return self.objects[self.codes[row]]

    def take(self, rows: Array) -> "Column":
        """The same column for other rows, in that order."""
        values, codes = (None if one is None else one[rows] for one in (self.values, self.codes))
        return Column(self.known[rows], self.halves[rows], values, codes, self.objects, self.whole, self.source)


def is_size(value: object) -> bool:
    """Whether a value is a number that is reckoned with."""
    return isinstance(value, int | float) and not isinstance(value, bool)


def column_of(values: Sequence[Value | None]) -> Column:
    """A column from the values of one key, None where it is blank."""
    known = np.array([value is not None for value in values], dtype=bool)
    halves = np.array([0.0 if value is None else value.plus_minus for value in values])
    given = [value.value for value in values if value is not None]
    source = next((value.key for value in values if value is not None), "")
    if given and all(is_size(value) for value in given):
        sizes = np.array([0.0 if value is None else float(value.value) for value in values])
        return Column(known, halves, sizes, whole=all(isinstance(value, int) for value in given), source=source)
    codes, objects = coded([None if value is None else value.value for value in values], known)
    return Column(known, halves, codes=codes, objects=objects, source=source)


def coded(values: Sequence[object], known: Array) -> tuple[Array, list[object]]:
    """Numbers into a list of the different values."""
    places: dict[object, int] = {}
    codes = np.zeros(len(values), dtype=np.int32)
    for row, value in enumerate(values):
        if known[row]:
            codes[row] = places.setdefault(value, len(places))
    return codes, list(places) or [None]


@dataclass
class Rows:
    """Corners or kits. names: what each is called. columns: by field key. boxes: what lies in each kit's box.

    prices, shelf, limits: the same for every pair; they come with a job workbook or a table of their own.
    """

    names: list[str]
    columns: dict[str, Column]
    boxes: dict[int, tuple[Part, ...]] = field(default_factory=dict)
    prices: tuple[Part, ...] = ()
    shelf: tuple[Part, ...] = ()
    limits: dict[str, TypedLimit] = field(default_factory=dict)
    source: str = ""
    extra: dict[str, Column] = field(default_factory=dict)

    def __len__(self) -> int:
        return len(self.names)

    def value(self, key: str, row: int) -> Value | None:
        """One field of one row."""
        column = self.columns.get(key)
        if column is None or not column.known[row]:
            return None
        return Value(key, column.at(row), float(column.halves[row]))

    def values(self, row: int) -> dict[str, Value]:
        """All that is filled in of one row."""
        found = ((key, self.value(key, row)) for key in self.columns)
        return {key: value for key, value in found if value is not None}

    def take(self, rows: Array) -> "Rows":
        """The rows asked for, in that order."""
        return Rows(
            [self.names[row] for row in rows],
            {key: column.take(rows) for key, column in self.columns.items()},
            {new: self.boxes[old] for new, old in enumerate(rows.tolist()) if old in self.boxes},
            self.prices, self.shelf, self.limits, self.source,
            {key: column.take(rows) for key, column in self.extra.items()},
        )  # fmt: skip


def rows_of(names: Sequence[str], values: Sequence[Mapping[str, Value]], **rest: Any) -> Rows:
    """Rows from the values of each."""
    keys = dict.fromkeys(key for one in values for key in one)
    return Rows(list(names), {key: column_of([one.get(key) for one in values]) for key in keys}, **rest)


def pair_job(corners: Rows, kits: Rows, corner: int, kit: int) -> Job:
    """The job of one pair, as if both had been typed into one workbook."""
    return Job(
        {**kits.values(kit), **corners.values(corner)},
        box=kits.boxes.get(kit, ()),
        prices=(*corners.prices, *kits.prices),
        shelf=(*corners.shelf, *kits.shelf),
        limits={**kits.limits, **corners.limits},
        source=f"{corners.names[corner]} with {kits.names[kit]}",
    )
