"""One way to derive a size, run on many lanes.

It runs as it stands: once per different combination where it reads words and notations, on affine arrays where it only
reckons, and lane by lane where it asks questions of numbers.
"""

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import numpy as np

from bomcheck.model.affine import Affine
from bomcheck.model.sizes import Derivation
from bomcheck.screen.columns import is_size
from bomcheck.screen.combining import combined
from bomcheck.screen.known import Coded, Known, Sized, affine, as_affine, as_coded, merged
from bomcheck.screen.lanes import Array, Index, Lanes, Split, by_lanes
from bomcheck.screen.singly import one_by_one
from bomcheck.screen.view import View

if TYPE_CHECKING:
    from bomcheck.screen.sizes import Sizes

MOST_FIGURES = 500  # different exact figures that are still taken as words are


def run_way(sizes: "Sizes", way: Derivation, names: tuple[str, ...], mask: Array) -> Known:
    """What the way gives for some lanes. names: the parameters that are handed over."""
    if way.curved or way.interval:
        return one_by_one(sizes, way, mask)
    found = {name: sizes.get(name) for name in names}
    numbers = {name: one.value for name, one in found.items() if isinstance(one, Sized)}
    if len(numbers) < len(found):
        words = _as_words(found, mask)
        return by_objects(way.function, words, mask) if words is not None else _by_lanes(sizes, way, names, mask)
    try:
        return Sized(mask, as_affine(way.function(**numbers)))
    except (TypeError, AttributeError, Split):
        return _by_lanes(sizes, way, names, mask)


def _as_words(found: dict[str, Known], mask: Array) -> dict[str, Coded] | None:
    """Words, notations, and exact figures taken as words; None where a size has a ±, or there are too many figures."""
    words: dict[str, Coded] = {}
    for name, one in found.items():
        if isinstance(one, Sized) and one.value.slopes:
            return None
        word = as_coded(Sized(mask, one.value), MOST_FIGURES) if isinstance(one, Sized) else one
        if word is None:
            return None
        words[name] = word
    return words


def by_objects(function: Callable[..., Any], coded: dict[str, Coded], mask: Array) -> Known:
    """Once for each combination of objects."""
    codes, combinations = combined(coded, mask)
    answers = [None if combination is None else function(**combination) for combination in combinations]
    if all(answer is None or is_size(answer) for answer in answers):
        figures = np.array([0.0 if answer is None else float(answer) for answer in answers])
        return Sized(mask, affine(figures[codes]))
    places: dict[Any, int] = {}
    table = np.array([0 if a is None else places.setdefault(a, len(places)) for a in answers], dtype=np.int32)
    return Coded(mask, table[codes], list(places))


def _by_lanes(sizes: "Sizes", way: Derivation, names: tuple[str, ...], mask: Array) -> Known:
    """Lanes that take the same way together; exact numbers may be asked, sizes with a ± stay affine."""

    def run(lanes: Index) -> Known:
        view = View(sizes, lanes)
        answer = way.function(**{name: view[name] for name in names})
        here = np.zeros(sizes.shape, dtype=bool)
        here.reshape(-1)[lanes] = True
        if is_size(answer) or isinstance(answer, Affine | Lanes):
            return Sized(here, _spread_out(as_affine(answer), lanes, sizes.shape))
        return Coded(here, np.zeros(sizes.shape, dtype=np.int32), [answer])

    return merged([answer for _, answer in by_lanes(sizes.lanes_of(mask), run)])


def _spread_out(value: Affine, lanes: Index, shape: tuple[int, ...]) -> Affine:
    slopes = {key: _scattered(slope, lanes, shape) for key, slope in value.slopes.items()}
    return affine(_scattered(value.const, lanes, shape), slopes)


def _scattered(values: Any, lanes: Index, shape: tuple[int, ...]) -> Array:
    array = np.zeros(shape)
    array.reshape(-1)[lanes] = values
    return array
