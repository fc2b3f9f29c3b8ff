"""What is known of one key in every lane: a number with its slopes, or a word or notation."""

from collections.abc import Mapping
from dataclasses import field
from typing import Any, cast

import numpy as np

from bomcheck.engine.many.lanes import Array, bare, distinct
from bomcheck.model.affine import Affine
from bomcheck.model.numbers import Number, Truth
from bomcheck.model.records import dataclass

NEVER = np.zeros(1, dtype=bool)
ALWAYS = np.ones(1, dtype=bool)


def array(value: object) -> Array:
    """What code written for any numbers gives, as the array that it is here."""
    return np.asarray(value)


def truth(mask: object) -> Truth:
    """A mask, as code written for any numbers takes it."""
    return cast(Truth, mask)


def number(values: Array) -> Number:
    """Numbers of all lanes, as code written for any numbers takes them."""
    return cast(Number, values)


@dataclass
class Sized:
    """A number of each lane: affine, with arrays for constant and slopes. known: where it is."""

    known: Array
    value: Affine


@dataclass
class Coded:
    """A word or notation of each lane, as a number into `objects`."""

    known: Array
    codes: Array
    objects: list[object] = field(default_factory=list)


Known = Sized | Coded


def affine(const: Number | Array, slopes: Mapping[str, Number | Array] | None = None) -> Affine:
    """An affine value with arrays in it; its arithmetic takes them as it takes numbers."""
    return Affine(cast(Number, const), cast(Mapping[str, Number] | None, slopes))


def stripped(value: Affine) -> Affine:
    """The same with bare arrays in it."""
    return Affine(bare(value.const), {key: bare(slope) for key, slope in value.slopes.items()})


def as_affine(value: object) -> Affine:
    """A number, lanes of numbers or an affine value, as affine with bare arrays."""
    return stripped(value) if isinstance(value, Affine) else Affine(cast(Number, bare(value)))


def as_coded(found: Sized, most: int) -> Coded | None:
    """Exact numbers as a list of different ones; None where they are more than `most`."""
    different, codes = np.unique(np.asarray(found.value.const, dtype=float), return_inverse=True)
    return (
        Coded(found.known, codes.reshape(np.shape(found.value.const)), different.tolist())
        if len(different) <= most
        else None
    )


Middles = Mapping[str, Any]
"""Stated size, or ±, of each measured size, by key."""


def merged(found: list[Known], middle: Middles, half: Middles) -> Known:
    """One answer of several, each for its own lanes."""
    known = [one for one in found if one.known.any()]
    if not known:
        return Sized(NEVER, Affine(0.0))
    result = known[0]
    for one in known[1:]:
        result = _joined(result, one, (middle, half))
    return result


def _joined(first: Known, second: Known, sizes: tuple[Middles, Middles]) -> Known:
    mask = second.known
    if isinstance(first, Coded) and isinstance(second, Coded):
        shift = len(first.objects)
        codes = np.where(mask, second.codes + shift, first.codes)
        return Coded(first.known | mask, codes, [*first.objects, *second.objects])
    assert isinstance(first, Sized)
    assert isinstance(second, Sized)

    def slope(key: str) -> Any:
        """One number for all lanes where the size is 0 without a ± in those of the other answer."""
        one, two = first.value.slopes.get(key), second.value.slopes.get(key)
        others = mask if two is None else first.known & ~mask
        if (one is None) != (two is None) and not any((others & (values[key] != 0)).any() for values in sizes):
            return two if one is None else one
        return _either(mask, 0.0 if two is None else two, 0.0 if one is None else one)

    keys = dict.fromkeys((*first.value.slopes, *second.value.slopes))
    const = _either(mask, second.value.const, first.value.const)
    return Sized(first.known | mask, affine(const, {key: slope(key) for key in keys}))


def _either(mask: Array, one: Any, other: Any) -> Any:
    same = isinstance(one, float) and isinstance(other, float) and one == other
    return one if same else np.where(mask, one, other)


TABLE = 4096  # combinations of which a table is kept; of more only those that are there


def combined(coded: dict[str, Coded], mask: Array) -> tuple[Array, list[dict[str, object] | None]]:
    """(number of the combination in every lane, the combinations); None for one that no lane has."""
    codes: Any = np.zeros(1, dtype=np.int64)
    size = 1
    for column in coded.values():
        codes = codes * len(column.objects) + column.codes
        size *= len(column.objects)
    shape = np.broadcast_shapes(codes.shape, mask.shape)
    there = np.broadcast_to(codes, shape)[np.broadcast_to(mask, shape)]
    if size > TABLE:
        seen = distinct(there)
        codes = np.minimum(np.searchsorted(seen, codes), max(len(seen) - 1, 0))
        return codes, [_unfold(int(one), coded) for one in seen] or [None]
    used = np.zeros(size, dtype=bool)
    used[there] = True
    return codes, [_unfold(one, coded) if used[one] else None for one in range(size)]


def _unfold(code: int, coded: dict[str, Coded]) -> dict[str, object]:
    found = {}
    for name, column in reversed(coded.items()):
        code, place = divmod(code, len(column.objects))
        found[name] = column.objects[place]
    return {name: found[name] for name in coded}
