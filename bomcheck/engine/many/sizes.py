"""The sizes that checks ask for, for many rows or pairs at once: `bomcheck.model.sizes` with arrays for numbers."""

from collections.abc import Callable, Iterator
from itertools import product
from typing import Any

import numpy as np

from bomcheck.engine.many.columns import Column, is_size
from bomcheck.engine.many.known import NEVER, Coded, Known, Sized, affine, array, merged
from bomcheck.engine.many.lanes import Array, Index, by_lanes
from bomcheck.engine.many.reach import closure
from bomcheck.engine.many.ways import View, as_inputs, run_way
from bomcheck.model.affine import Affine
from bomcheck.model.box import Box
from bomcheck.model.job import Job
from bomcheck.model.numbers import Number
from bomcheck.model.sizes import Derivation, Missing
from bomcheck.rules.derived import DERIVATIONS


class Sizes:
    """Everything that a check may ask for, by key, for lanes of any one shape that NumPy can spread.

    middle, half: stated size and ± of each measured size, by key. shape: of the lanes.
    """

    def __init__(self, columns: dict[str, Column], job: Job, shape: tuple[int, ...]) -> None:
        self.columns, self.job, self.shape = columns, job, shape
        self.middle: dict[str, Any] = {}
        self.half: dict[str, Any] = {}
        self.box = Box(self.middle, self.half, shape)
        self._found: dict[str, Known] = {}
        self.sight: object | None = None
        self.pairing: object | None = None  # a `Pairing`, where lanes are pairs
        self.answers: dict[Any, tuple[float, float] | None] = {}

    def get(self, key: str) -> Known:
        """The size of every lane."""
        if key not in self._found:
            self._found[key] = self._find(key)
        return self._found[key]

    def typed(self, key: str) -> Column | None:
        """What was filled in, or follows before any check runs."""
        return self.columns.get(key)

    def filled(self, key: str) -> Array:
        """Where a field is filled in."""
        column = self.typed(key)
        return NEVER if column is None else column.known

    def at(self, value: Affine) -> Array:
        """The value where every size is as stated; sizes of one shape are added up before they are spread out."""
        return array(value.at(self.middle))

    def spread(self, value: Affine) -> Array:
        """How far the value reaches to either side of its middle."""
        return array(value.spread(self.half))

    def number(self, key: str) -> Array:
        """The stated size of every lane."""
        found = self.get(key)
        assert isinstance(found, Sized)
        return self.at(found.value)

    # how a key is found ------------------------------------------------------------------------------------------

    def _find(self, key: str) -> Known:
        column = self.typed(key)
        typed = None if column is None else self._from_column(key, column)
        if typed is not None and (typed.known.all() or key not in DERIVATIONS):
            return typed
        if key not in DERIVATIONS:
            return Sized(NEVER, Affine(0.0))
        return self._derive(key, typed)

    def _from_column(self, key: str, column: Column) -> Known:
        if column.codes is not None:
            return Coded(column.known, column.codes, column.objects)
        assert column.values is not None
        if not (column.halves > 0).any():
            return Sized(column.known, affine(column.values))
        return Sized(column.known, self.variable(key, column.values, column.halves * column.known))

    def variable(self, key: str, middle: Array, half: Array) -> Affine:
        """A measured size of its own: from here on it has a middle and a ±."""
        self.middle[key], self.half[key] = middle, np.maximum(half, 0.0)
        return affine(0.0, {key: 1.0})

    def found_in(self, here: Array, key: str, middle: Array, half: Array) -> Affine:
        """The same for some lanes; in the others it stays what another way has made it, or 0."""
        before = self.middle.get(key, 0.0), self.half.get(key, 0.0)
        return self.variable(key, np.where(here, middle, before[0]), np.where(here, half, before[1]))

    def _derive(self, key: str, typed: Known | None) -> Known:
        found: list[Known] = [] if typed is None else [typed]
        left = np.ones(1, dtype=bool) if typed is None else ~typed.known
        for way in DERIVATIONS[key]:
            may = self._open(way, left)
            if not may.any():
                continue
            for names, mask in self._with_defaults(way, may):
                answer = run_way(self, way, names, mask)
                found.append(answer)
                left = left & ~mask
        return merged(found, self.middle, self.half)

    def _open(self, way: Derivation, left: Array) -> Array:
        """Lanes for which this way serves, of those that are left."""
        for name, allowed in way.when.items():
            left = left & self.one_of(name, allowed)
        if way.decide is not None and left.any():
            left = left & self._decided(way, left)
        for name in way.parameters:
            if name not in way.defaults:
                left = left & self.get(name).known
        return left

    def one_of(self, name: str, allowed: tuple[str, ...]) -> Array:
        """Where a key is known and has one of the values."""
        found = self.get(name)
        if isinstance(found, Coded):
            holds: Array = np.array([value in allowed for value in found.objects])[found.codes]
            return found.known & holds
        return (
            NEVER
            if not found.known.any()
            else found.known & np.isin(self.at(found.value), [a for a in allowed if is_size(a)])
        )

    def _with_defaults(self, way: Derivation, may: Array) -> Iterator[tuple[tuple[str, ...], Array]]:
        """(names that are handed over, lanes): a name with a default is handed over where it is known."""
        optional = [name for name in way.parameters if name in way.defaults]
        for held in product((True, False), repeat=len(optional)):
            mask = may
            for name, known in zip(optional, held, strict=True):
                mask = mask & (self.get(name).known if known else ~self.get(name).known)
            if mask.any():
                dropped = {name for name, known in zip(optional, held, strict=True) if not known}
                yield tuple(name for name in way.parameters if name not in dropped), mask

    def _decided(self, way: Derivation, left: Array) -> Array:
        decide = way.decide
        assert decide is not None

        def ask(lanes: Index) -> bool:
            try:
                return bool(decide(as_inputs(View(self, lanes))))
            except Missing:
                return False

        answer = np.zeros(self.shape, dtype=bool)
        flat = answer.reshape(-1)
        for lanes, said in by_lanes(self.lanes_of(left), ask):
            flat[lanes] = said
        return answer

    def lanes_of(self, mask: Array) -> Index:
        """Numbers of the lanes where a mask holds."""
        return np.flatnonzero(np.broadcast_to(mask, self.shape).reshape(-1))

    def flat(self, array: Number | Array, lanes: Index) -> Array:
        """An array's entries for some lanes."""
        whole = np.asarray(array)
        if whole.shape != self.shape:
            if whole.size == 1:
                return np.full(len(lanes), whole.reshape(-1)[0])
            whole = np.broadcast_to(whole, self.shape)
        return whole.reshape(-1)[lanes]


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
