"""A curved or tabled size, found lane by lane as for a single job; the same question is asked once."""

from typing import TYPE_CHECKING, Any

import numpy as np

from bomcheck.engine.inputs import Inputs
from bomcheck.model.job import Job, Value
from bomcheck.model.sizes import Derivation, Missing, Profile, Span
from bomcheck.screen.columns import is_size
from bomcheck.screen.known import Coded, Sized
from bomcheck.screen.lanes import Array, Index

if TYPE_CHECKING:
    from bomcheck.screen.sizes import Sizes

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
        found = way.function(**dict(zip(way.parameters, map(_spanned, marks), strict=True)))
        return None if found is None else ((found[0] + found[1]) / 2, (found[1] - found[0]) / 2)
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
