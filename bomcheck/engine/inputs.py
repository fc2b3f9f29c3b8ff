"""From one job's values to the sizes that a check's parameters name: typed, derived, or missing by name."""

from collections.abc import Mapping
from itertools import product
from typing import Any, cast

from bomcheck.model.affine import Affine
from bomcheck.model.box import Box
from bomcheck.model.job import Job
from bomcheck.model.sizes import Derivation, Missing, Profile, Span


class Inputs:
    """Everything a check may ask for, by key. Numbers with a ± come as `Affine`, exact ones as floats, the rest as typed.

    box: the middles and half widths of all sizes used so far. trail: for each key the typed fields it was read from.
    touched: every key that was asked for, whatever came of it; a reader may empty it to see what it touches itself.
    """

    def __init__(self, job: Job, derivations: Mapping[str, list[Derivation]]) -> None:
        self.job = job
        self.box = Box()
        self._derivations = derivations
        self._known: dict[str, Any] = {}
        self._missing: dict[str, tuple[str, ...]] = {}
        self._below: dict[str, frozenset[str]] = {}
        self.touched: set[str] = set()
        self.trail: dict[str, tuple[str, ...]] = {}

    def __getitem__(self, key: str) -> Any:
        if key in self._below:
            self.touched |= self._below[key]
        else:
            self._look_up(key)
        if key in self._missing:
            raise Missing(self._missing[key])
        return self._known[key]

    def _look_up(self, key: str) -> None:
        """Find a key for the first time, and note all keys that were asked for on the way."""
        outside, self.touched = self.touched, {key}
        try:
            self._known[key] = self._find(key)
        except Missing as missing:
            self._missing[key] = missing.keys
        self._below[key] = frozenset(self.touched)
        self.touched |= outside

    def has(self, key: str) -> bool:
        """Whether the key is known."""
        try:
            self[key]
        except Missing:
            return False
        return True

    def number(self, key: str) -> float:
        """The stated size of a number, without its ±."""
        value = self[key]
        return value.at(self.box.middle) if isinstance(value, Affine) else float(value)

    def half(self, key: str) -> float:
        """The ± of a size."""
        value = self[key]
        return value.spread(self.box.half) if isinstance(value, Affine) else 0.0

    def behind(self, key: str) -> tuple[str, ...]:
        """The typed fields from which a key was read; of one that lacks something those that are there."""
        return self.trail.get(key) or tuple(name for name in self._typed((key,)) if name in self.job.values)

    def _find(self, key: str) -> Any:
        typed = self.job.values.get(key)
        if typed is not None:
            self.trail[key] = (typed.key,)
            return self._size(key, typed.value, typed.plus_minus)
        if key in self._derivations and key not in self.job.rejected:
            return self._derive(key)
        raise Missing((key,))

    def _size(self, key: str, value: Any, half: float) -> Any:
        if half <= 0 or isinstance(value, bool) or not isinstance(value, int | float):
            return value
        self.box.middle[key], self.box.half[key] = float(value), half
        return Affine(0.0, {key: 1.0})

    def _derive(self, key: str) -> Any:
        failures: list[tuple[int, int, tuple[str, ...]]] = []
        for way in self._derivations[key]:
            try:
                if not all(self[name] in allowed for name, allowed in way.when.items()):
                    continue
                if way.decide is not None and not way.decide(self):
                    blank = tuple(name for name in self._typed(way.parameters) if name not in self.job.values)
                    failures.extend([self._failure(way, blank)] if blank else [])
                    continue
                names = [name for name in way.parameters if name not in way.defaults or self.has(name)]
                sizes = {name: self[name] for name in names}
            except Missing as missing:
                failures.append(self._failure(way, self._lacking(way, missing.keys)))
                continue
            self.trail[key] = tuple(dict.fromkeys(k for name in names for k in self.trail.get(name, ())))
            if way.plain is not None:
                return self._size(key, sum(way.plain) / 2, (way.plain[1] - way.plain[0]) / 2)
            if way.interval:
                return self._interval(way, sizes)
            return self._corners(way, sizes) if way.curved else way.function(**sizes)
        raise Missing(min(failures, key=lambda one: one[:2])[2] if failures else self._typed((key,)))

    def _lacking(self, way: Derivation, first: tuple[str, ...]) -> tuple[str, ...]:
        """All that a way lacks, what stopped it first in front."""
        lacking = dict.fromkeys(first)
        for name in way.parameters:
            if name not in way.defaults:
                try:
                    self[name]
                except Missing as missing:
                    lacking.update(dict.fromkeys(missing.keys))
        return tuple(lacking)

    def _failure(self, way: Derivation, lacking: tuple[str, ...]) -> tuple[int, int, tuple[str, ...]]:
        """What a way lacks, the best to ask first: the one of which most is typed and least lacking."""
        typed = sum(name in self.job.values for name in self._typed(way.parameters))
        return len(lacking) - typed, len(lacking), lacking

    def _typed(self, names: tuple[str, ...]) -> tuple[str, ...]:
        """The fields that a person types behind these names."""
        found: list[str] = []
        for name in names:
            ways = self._derivations.get(name)
            found.extend((name,) if not ways else self._typed(ways[-1].parameters))
        return tuple(dict.fromkeys(found)) or names

    def _interval(self, way: Derivation, sizes: dict[str, Any]) -> Any:
        spans = {name: self._span(name, size) for name, size in sizes.items()}
        found = way.function(**spans)
        if found is None:
            raise Missing(tuple(k for k in self.trail[way.key] if k in way.parameters)[:1] or (way.key,))
        low, high = cast(tuple[float, float], found)
        return self._size(way.key, (low + high) / 2, (high - low) / 2)

    def _span(self, name: str, size: Any) -> Any:
        typed = self.job.values.get(name)
        if isinstance(size, Affine):
            middle, spread = size.at(self.box.middle), size.spread(self.box.half)
            return Span(middle - spread, middle + spread)
        if isinstance(size, tuple) and typed is not None:
            return Profile(size, typed.plus_minus)
        return Span(size, size) if isinstance(size, int | float) else size

    def _corners(self, way: Derivation, sizes: dict[str, Any]) -> Any:
        uncertain = {
            k: self.box.half[n] for v in sizes.values() if isinstance(v, Affine) for k in v.slopes for n in [k]
        }
        values: list[float] = []
        for signs in product((-1.0, 1.0), repeat=len(uncertain)):
            shifted = {k: self.box.middle[k] + s * h for (k, h), s in zip(uncertain.items(), signs, strict=True)}
            given = {k: v.at(shifted) if isinstance(v, Affine) else v for k, v in sizes.items()}
            values.append(cast(float, way.function(**given)))
        low, high = min(values), max(values)
        return self._size(way.key, (low + high) / 2, (high - low) / 2)
