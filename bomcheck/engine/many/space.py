"""Bodies in space for many lanes: `bomcheck.engine.space` on arrays, with the same rows and the same arithmetic."""

import weakref
from collections.abc import Iterable, Mapping
from typing import Any, cast

import numpy as np

from bomcheck.engine.many.known import NEVER, Sized
from bomcheck.engine.many.lanes import Array
from bomcheck.engine.many.sizes import Sizes
from bomcheck.engine.space import Look, Window, looks, windows_of, with_shims
from bomcheck.model.affine import Affine
from bomcheck.model.body import Space, terms
from bomcheck.model.box import Range
from bomcheck.model.limits import limit_for
from bomcheck.model.rule import Check
from bomcheck.model.verdict import APART, FITS, NO, UNKNOWN


class LaneSight:
    """The sizes of many lanes, as `bomcheck.engine.space` looks at them; kept with the sizes for all bodies."""

    def __init__(self, sizes: Sizes) -> None:
        self.sizes: Sizes = weakref.proxy(sizes)  # a circle of both would keep the arrays of many blocks
        self.windows: dict[str, Window] | None = None
        """Where the stacks are sure to bring the caliper; None before they are judged: then as if they brought it anywhere."""
        self._looked: dict[str, list[Look]] = {}
        self._edges: dict[str, tuple[Affine, Range]] = {}

    def looks(self, space: Space) -> list[Look]:
        """All pairs of a body, wherever the shims leave the caliper; found once."""
        if space.body.name not in self._looked:
            self._looked[space.body.name] = list(looks(space, self))
        return self._looked[space.body.name]

    def shimmed(self, look: Look) -> Look:
        """The same pair, clear also where shims see to it."""
        return with_shims(look, self, windows_of([look], self) if self.windows is None else self.windows)

    def _edge(self, text: str) -> tuple[Affine, Range]:
        if text not in self._edges:
            constant, factors = terms(text)
            edge = Affine(constant)
            for key, factor in factors:
                found = self.sizes.get(key)
                assert isinstance(found, Sized)
                edge = edge + found.value * factor
            self._edges[text] = edge, self.ends(edge)
        return self._edges[text]

    def edge(self, text: str) -> Affine:
        """An edge as it is written in a row."""
        return self._edge(text)[0]

    def ends(self, value: Affine) -> Range:
        """Its range over the ±."""
        middle, spread = self.sizes.at(value), self.sizes.spread(value)
        return Range(*cast(tuple[float, float, float], (middle - spread, middle, middle + spread)))

    def edge_ends(self, text: str) -> Range:
        """The range of an edge, found once."""
        return self._edge(text)[1]

    def holds(self, when: Mapping[str, tuple[str, ...]]) -> tuple[bool, bool]:
        """(surely, maybe): whether an arrangement is there."""
        sure: Any = np.ones(1, dtype=bool)
        maybe: Any = np.ones(1, dtype=bool)
        for key, allowed in when.items():
            known = self.sizes.get(key).known
            right = self.sizes.one_of(key, allowed)
            sure, maybe = sure & right, maybe & (right | ~known)
        return sure, maybe

    def air(self, limit: str) -> float:
        """The least air [mm]."""
        return limit_for(limit, self.sizes.job).low or 0.0

    def some(self, found: bool) -> bool:
        """Whether it holds in any lane."""
        return bool(np.any(found))

    def greatest(self, values: list[float]) -> float:
        """The greatest of some arrays."""
        found: Any = values[0]
        for value in values[1:]:
            found = np.maximum(found, value)
        return cast(float, found)

    def chosen(self, mask: bool, one: Range, other: Range) -> Range:
        """One where the mask holds, the other elsewhere."""
        ends = (np.where(mask, getattr(one, end), getattr(other, end)) for end in ("low", "middle", "high"))
        return Range(*cast(tuple[float, float, float], tuple(ends)))


def sight_of(sizes: Sizes) -> LaneSight:
    """The one sight that all bodies share."""
    if sizes.sight is None:
        sizes.sight = LaneSight(sizes)
    return cast(LaneSight, sizes.sight)


def wanted(checks: Iterable[Check], sizes: Sizes) -> dict[str, Window]:
    """Where some bodies together ask that the shims bring the caliper."""
    sight = sight_of(sizes)
    return windows_of([look for check in checks if check.space for look in sight.looks(check.space)], sight)


def _apart(check: Check, sizes: Sizes) -> Array:
    apart: Any = NEVER
    for key in check.requires:
        apart = apart | ~sizes.filled(key)
    for key, allowed in check.when.items():
        apart = apart | (sizes.get(key).known & ~sizes.one_of(key, allowed))
    return cast(Array, apart)


class Chosen:
    """The deciding pair of every lane, as pair after pair is looked at."""

    def __init__(self, check: Check, sizes: Sizes) -> None:
        assert check.space is not None
        self.severity = np.full(sizes.shape, APART, dtype=np.int8)
        self.margin = np.full(sizes.shape, np.inf)
        self.number = np.full(sizes.shape, -1)
        self.looks: dict[int, Look] = {}
        apart = _apart(check, sizes)
        if not np.all(apart):
            sight = sight_of(sizes)
            for number, look in enumerate(sight.looks(check.space)):
                self._take(number, sight.shimmed(look))
            self.severity = np.where(apart, APART, self.severity).astype(np.int8)

    def _take(self, number: int, look: Look) -> None:
        """A pair takes the place of a better one, or of one as good with more room; the first that fails stays."""
        self.looks[number] = look
        said = np.where(look.never, NO, np.where(look.clear, FITS, UNKNOWN))
        said = np.broadcast_to(np.where(look.there, said, APART), self.severity.shape)
        room = np.broadcast_to(look.value.low - look.air, self.severity.shape)
        nearer = (said == self.severity) & (said < NO) & (said > APART) & (room < self.margin)
        here = (said > self.severity) | nearer
        self.severity = np.where(here, said, self.severity).astype(np.int8)
        self.margin = np.where(here, room, self.margin)
        self.number = np.where(here, number, self.number)
