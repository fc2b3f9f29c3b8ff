"""One way to derive a size, run on many lanes.

It runs as it stands: once per different combination where it reads words and notations, on affine arrays where it only
reckons, and lane by lane where it asks questions of numbers.
"""

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, cast

import numpy as np

from bomcheck.engine.inputs import Inputs
from bomcheck.engine.many.columns import is_size
from bomcheck.engine.many.known import Coded, Known, Sized, affine, as_affine, as_coded, combined, merged
from bomcheck.engine.many.lanes import Array, Index, Lanes, Split, by_lanes, only
from bomcheck.model.affine import Affine
from bomcheck.model.job import Job, Value
from bomcheck.model.sizes import Derivation, Missing, Profile, Span

if TYPE_CHECKING:
    from bomcheck.engine.many.sizes import Sizes


def as_inputs(part: object) -> Inputs:
    """Whatever answers the questions that are put to a job's sizes, in place of them."""
    return cast(Inputs, part)


class View:
    """Some lanes of the sizes, as `Inputs` is for one job: whoever asks what they answer differently splits them."""

    def __init__(self, sizes: "Sizes", lanes: Index) -> None:
        self.sizes, self.lanes = sizes, lanes

    def has(self, key: str) -> bool:
        """Whether the key is known."""
        return bool(only(self.sizes.flat(self.sizes.get(key).known, self.lanes)))

    def __getitem__(self, key: str) -> Any:
        if not self.has(key):
            raise Missing((key,))
        found = self.sizes.get(key)
        if isinstance(found, Coded):
            return found.objects[only(self.sizes.flat(found.codes, self.lanes))]
        value = found.value
        if not value.slopes:
            return Lanes(self.sizes.flat(value.const, self.lanes))
        slopes = {key: self.sizes.flat(slope, self.lanes) for key, slope in value.slopes.items()}
        return affine(self.sizes.flat(value.const, self.lanes), slopes)

    def number(self, key: str) -> Any:
        """The stated size."""
        if not self.has(key):
            raise Missing((key,))
        found = self.sizes.get(key)
        assert isinstance(found, Sized)
        return Lanes(self.sizes.flat(self.sizes.at(found.value), self.lanes))

    def half(self, key: str) -> Any:
        """The ± of a size."""
        if not self.has(key):
            raise Missing((key,))
        found = self.sizes.get(key)
        return Lanes(self.sizes.flat(self.sizes.spread(found.value), self.lanes)) if isinstance(found, Sized) else 0.0

    @property
    def job(self) -> "ViewedJob":
        """The job of these lanes."""
        return ViewedJob(self)


class ViewedJob:
    """The job of the lanes: what is the same for all pairs, and what was typed."""

    def __init__(self, view: View) -> None:
        self._view = view
        job = view.sizes.job
        self.prices, self.shelf, self.limits, self.rejected = job.prices, job.shelf, job.limits, job.rejected
        self.values: dict[str, Value] = {}

    def get(self, key: str, default: Any = None) -> Any:
        """A typed value."""
        filled = self._view.sizes.filled(key)
        if not only(self._view.sizes.flat(filled, self._view.lanes)):
            return default
        found = self._view.sizes.get(key)
        return self._view[key] if isinstance(found, Coded) else self._view.number(key)


Found = tuple[float, float] | None
"""(middle, ±) of a size of one lane; None where what was typed does not go far enough."""


def one_by_one(sizes: "Sizes", way: Derivation, mask: Array) -> Sized:
    """What the way gives for some lanes."""
    lanes = sizes.lanes_of(mask)
    marks = zip(*(_marks(sizes, name, lanes) for name in way.parameters), strict=True)
    answers = [_ask_once(sizes.answers, way, mark) for mark in marks]
    good = np.array([answer is not None for answer in answers], dtype=bool)
    ranges = np.array([answer for answer in answers if answer is not None]).reshape(-1, 2)
    known, middle, half = np.zeros(sizes.shape, dtype=bool), np.zeros(sizes.shape), np.zeros(sizes.shape)
    at = lanes[good]
    known.reshape(-1)[at] = True
    middle.reshape(-1)[at], half.reshape(-1)[at] = ranges[:, 0], ranges[:, 1]
    return Sized(known, sizes.found_in(known, way.key, middle, half))


def _ask_once(answers: dict[Any, Found], way: Derivation, marks: tuple[Any, ...]) -> Found:
    mark = (way.key, way.function, marks)
    if mark not in answers:
        answers[mark] = _ask(way, marks)
    return answers[mark]


def _ask(way: Derivation, marks: tuple[Any, ...]) -> Found:
    if way.interval:
        spans = {name: _spanned(mark) for name, mark in zip(way.parameters, marks, strict=True) if mark is not None}
        found = way.function(**spans)
        if found is None:
            return None
        low, high = cast(tuple[float, float], found)
        return (low + high) / 2, (high - low) / 2
    given = {name: Value(name, *mark) for name, mark in zip(way.parameters, marks, strict=True) if mark is not None}
    inputs = Inputs(Job(given), {way.key: [way_without_questions(way)]})
    try:
        return inputs.number(way.key), inputs.half(way.key)
    except Missing:
        return None


def _marks(sizes: "Sizes", name: str, lanes: Index) -> list[Any]:
    """A key's (value, ±) in single lanes, None where it is not known."""
    found = sizes.get(name)
    known = sizes.flat(found.known, lanes)
    made: list[Any]
    if isinstance(found, Coded):
        column = sizes.typed(name)
        halves = sizes.flat(0.0 if column is None else column.halves, lanes).tolist()
        codes = sizes.flat(found.codes, lanes).tolist()
        made = [(found.objects[code], half) for code, half in zip(codes, halves, strict=True)]
    else:
        middle, spread = sizes.flat(sizes.at(found.value), lanes), sizes.flat(sizes.spread(found.value), lanes)
        made = list(zip(middle.tolist(), spread.tolist(), strict=True))
    return made if known.all() else [one if k else None for one, k in zip(made, known.tolist(), strict=True)]


def _spanned(mark: Any) -> Any:
    """A (value, ±) as an interval derivation takes it."""
    value, half = mark
    if isinstance(value, tuple):
        return Profile(value, half)
    return Span(value - half, value + half) if is_size(value) else value


def way_without_questions(way: Derivation) -> Derivation:
    """The same way for inputs that are known to serve."""
    return Derivation(
        way.key, way.title, way.function, way.parameters, way.defaults, {}, None, way.curved, way.interval
    )


MOST_FIGURES = 500  # different exact figures that are still taken as words are


def run_way(sizes: "Sizes", way: Derivation, names: tuple[str, ...], mask: Array) -> Known:
    """What the way gives for some lanes. names: the parameters that are handed over."""
    if way.plain is not None:
        return _somewhere(sizes, way.key, way.plain, mask)
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


def _somewhere(sizes: "Sizes", key: str, plain: tuple[float, float], mask: Array) -> Known:
    """A size of which nothing is known lies anywhere in its range."""
    here = np.broadcast_to(mask, sizes.shape)
    middle, half = np.full(sizes.shape, sum(plain) / 2), np.full(sizes.shape, (plain[1] - plain[0]) / 2)
    return Sized(here, sizes.found_in(here, key, middle, half))


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


def by_objects(function: Callable[..., object], coded: dict[str, Coded], mask: Array) -> Known:
    """Once for each combination of objects."""
    codes, combinations = combined(coded, mask)
    answers = [None if combination is None else function(**combination) for combination in combinations]
    if all(answer is None or is_size(answer) for answer in answers):
        figures = np.array([0.0 if answer is None else float(cast(float, answer)) for answer in answers])
        return Sized(mask, affine(figures[codes]))
    places: dict[object, int] = {}
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

    answers = [answer for _, answer in by_lanes(sizes.lanes_of(mask), run)]
    return merged(answers, sizes.middle, sizes.half)


def _spread_out(value: Affine, lanes: Index, shape: tuple[int, ...]) -> Affine:
    slopes = {key: _scattered(slope, lanes, shape) for key, slope in value.slopes.items()}
    return affine(_scattered(value.const, lanes, shape), slopes)


def _scattered(values: Any, lanes: Index, shape: tuple[int, ...]) -> Array:
    array = np.zeros(shape)
    array.reshape(-1)[lanes] = values
    return array
