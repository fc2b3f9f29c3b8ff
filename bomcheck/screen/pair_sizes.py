"""Sizes of pairs: what depends on the corner alone, or on the kit alone, is found once for each row."""

from collections.abc import Callable
from typing import Any

from bomcheck.screen.columns import Column
from bomcheck.screen.known import Coded, Known, Sized, affine
from bomcheck.screen.reach import closure
from bomcheck.screen.sizes import Sizes

Take = Callable[[Any], Any]
"""From an array of rows to one of lanes."""


class PairSizes(Sizes):
    """The sizes of pairs.

    corner, kit: the sizes of the rows, and how a row's array becomes one of the lanes. changed: columns that remedies
    have given the lanes instead of the typed ones.
    """

    def __init__(
        self, corner: tuple[Sizes, Take], kit: tuple[Sizes, Take], shape: tuple[int, ...],
        changed: dict[str, Column] | None = None,
    ) -> None:  # fmt: skip
        super().__init__({}, kit[0].job, shape)
        self._sides = (corner, kit)
        self.changed = dict(changed or {})

    def typed(self, key: str) -> Column | None:
        if key in self.changed:
            return self.changed[key]
        for sizes, take in self._sides:
            column = sizes.columns.get(key)
            if column is not None:
                return _taken(column, take)
        return None

    def _find(self, key: str) -> Known:
        behind = closure(key)
        if not behind & self.changed.keys():
            for (sizes, take), (other, _) in (self._sides, self._sides[::-1]):
                if not behind & other.columns.keys() - sizes.columns.keys():
                    return self._gathered(sizes, take, key)
        return super()._find(key)

    def _gathered(self, sizes: Sizes, take: Take, key: str) -> Known:
        found = sizes.get(key)
        if isinstance(found, Coded):
            return Coded(take(found.known), take(found.codes), found.objects)
        for name in found.value.slopes:
            if name not in self.middle:
                self.middle[name], self.half[name] = take(sizes.middle[name]), take(sizes.half[name])
        value = found.value
        return Sized(
            take(found.known), affine(take(value.const), {k: take(slope) for k, slope in value.slopes.items()})
        )


def _taken(column: Column, take: Take) -> Column:
    values = None if column.values is None else take(column.values)
    codes = None if column.codes is None else take(column.codes)
    return Column(take(column.known), take(column.halves), values, codes, column.objects, column.whole, column.source)
