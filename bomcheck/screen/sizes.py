"""The sizes that checks ask for, for many rows or pairs at once: `bomcheck.verdict.inputs` with arrays for numbers.

Derivations run as they stand: once per different combination where they read words and notations, on affine arrays where
they only reckon, and lane by lane where they ask questions of numbers.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from itertools import product
from typing import Any

import numpy as np

from bomcheck.derived import DERIVATIONS
from bomcheck.job import Job, Value
from bomcheck.screen.columns import Column, is_size
from bomcheck.screen.lanes import Array, Index, Lanes, Split, bare, by_lanes, only
from bomcheck.screen.reach import closure
from bomcheck.verdict.affine import Affine
from bomcheck.verdict.inputs import Derivation, Inputs, Missing, Profile, Span

NEVER = np.zeros(1, dtype=bool)
MOST_FIGURES = 500  # different exact figures that are still taken as words are


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
    objects: list[Any] = field(default_factory=list)


Known = Sized | Coded


def stripped(value: Affine) -> Affine:
    """The same with bare arrays in it."""
    return Affine(bare(value.const), {key: bare(slope) for key, slope in value.slopes.items()})


class Sizes:
    """Everything that a check may ask for, by key, for lanes of any one shape that NumPy can spread.

    middle, half: stated size and ± of each measured size, by key. shape: of the lanes.
    """

    def __init__(self, columns: dict[str, Column], job: Job, shape: tuple[int, ...]) -> None:
        self.columns, self.job, self.shape = columns, job, shape
        self.middle: dict[str, Array] = {}
        self.half: dict[str, Array] = {}
        self._found: dict[str, Known] = {}
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
        return added([value.const, *(slope * self.middle[key] for key, slope in value.slopes.items())])

    def spread(self, value: Affine) -> Array:
        """How far the value reaches to either side of its middle."""
        return added([0.0, *(abs(slope) * self.half[key] for key, slope in value.slopes.items())])

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
            return Sized(column.known, Affine(column.values))
        return Sized(column.known, self._variable(key, column.values, column.halves))

    def _variable(self, key: str, middle: Array, half: Array) -> Affine:
        self.middle[key], self.half[key] = middle, np.maximum(half, 0.0)
        return Affine(0.0, {key: 1.0})

    def _derive(self, key: str, typed: Known | None) -> Known:
        found: list[Known] = [] if typed is None else [typed]
        left = np.ones(1, dtype=bool) if typed is None else ~typed.known
        for way in DERIVATIONS[key]:
            may = self._open(way, left)
            if not may.any():
                continue
            for names, mask in self._with_defaults(way, may):
                answer = self._run(way, names, mask)
                found.append(answer)
                left = left & ~mask
        return merged(found)

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
            holds = np.array([value in allowed for value in found.objects])
            return found.known & holds[found.codes]
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
                return bool(decide(View(self, lanes)))  # type: ignore[arg-type]
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

    def flat(self, array: Any, lanes: Index) -> Array:
        """An array's entries for some lanes."""
        whole = np.asarray(array)
        if whole.shape != self.shape:
            if whole.size == 1:
                return np.full(len(lanes), whole.reshape(-1)[0])
            whole = np.broadcast_to(whole, self.shape)
        return whole.reshape(-1)[lanes]

    # how a way is run -----------------------------------------------------------------------------------------------

    def _run(self, way: Derivation, names: tuple[str, ...], mask: Array) -> Known:
        if way.curved or way.interval:
            return self._one_by_one(way, mask)
        coded = {name: got for name in names if isinstance(got := self.get(name), Coded)}
        sized = {name: got.value for name in names if isinstance(got := self.get(name), Sized)}
        if coded and all(not value.slopes for value in sized.values()):
            figures = {name: as_coded(Sized(mask, value), MOST_FIGURES) for name, value in sized.items()}
            if None not in figures.values():
                each = {name: coded.get(name) or figures[name] for name in names}
                return self._by_objects(way.function, each, mask)  # type: ignore[arg-type]
        if not coded:
            try:
                return Sized(mask, as_affine(way.function(**sized)))
            except (TypeError, AttributeError, Split):
                pass
        return self._by_lanes(way, names, mask)

    def _by_objects(self, function: Callable[..., Any], coded: dict[str, Coded], mask: Array) -> Known:
        """Once for each combination of objects."""
        codes, combinations = combined(coded, mask)
        answers = [None if combination is None else function(**combination) for combination in combinations]
        given = [answer for answer in answers if answer is not None]
        if all(is_size(answer) for answer in given):
            return Sized(mask, Affine(np.array([0.0 if a is None else float(a) for a in answers])[codes]))
        places: dict[Any, int] = {}
        table = np.array([0 if a is None else places.setdefault(a, len(places)) for a in answers], dtype=np.int32)
        return Coded(mask, table[codes], list(places))

    def _by_lanes(self, way: Derivation, names: tuple[str, ...], mask: Array) -> Known:
        """Lanes that take the same way together; exact numbers may be asked, sizes with a ± stay affine."""
        found: list[Known] = []

        def run(lanes: Index) -> Known:
            view = View(self, lanes)
            answer = way.function(**{name: view[name] for name in names})
            here = np.zeros(self.shape, dtype=bool)
            here.reshape(-1)[lanes] = True
            if is_size(answer) or isinstance(answer, Affine | Lanes):
                return Sized(here, self._spread_out(as_affine(answer), lanes))
            return Coded(here, np.zeros(self.shape, dtype=np.int32), [answer])

        for _, answer in by_lanes(self.lanes_of(mask), run):
            found.append(answer)
        return merged(found)

    def _spread_out(self, value: Affine, lanes: Index) -> Affine:
        return Affine(self._scatter(value.const, lanes), {k: self._scatter(s, lanes) for k, s in value.slopes.items()})

    def _scatter(self, values: Any, lanes: Index) -> Array:
        array = np.zeros(self.shape)
        array.reshape(-1)[lanes] = values
        return array

    def _one_by_one(self, way: Derivation, mask: Array) -> Known:
        """A curved or tabled size of each lane, found as for a single job; the same question is asked once."""
        lanes = self.lanes_of(mask)
        known, middle, half = np.zeros(self.shape, dtype=bool), np.zeros(self.shape), np.zeros(self.shape)
        answers = [
            self._ask_once(way, marks)
            for marks in zip(*(self._marks(name, lanes) for name in way.parameters), strict=True)
        ]
        good = np.array([answer is not None for answer in answers], dtype=bool)
        at = lanes[good]
        known.reshape(-1)[at] = True
        ranges = np.array([answer for answer in answers if answer is not None]).reshape(-1, 2)
        middle.reshape(-1)[at], half.reshape(-1)[at] = ranges[:, 0], ranges[:, 1]
        return Sized(known, self._variable(way.key, middle, half))

    def _ask_once(self, way: Derivation, marks: tuple[Any, ...]) -> tuple[float, float] | None:
        mark = (way.key, way.function, marks)
        if mark not in self.answers:
            self.answers[mark] = self._ask(way, marks)
        return self.answers[mark]

    def _ask(self, way: Derivation, marks: tuple[Any, ...]) -> tuple[float, float] | None:
        """(middle, ±) of a size of one lane; None where what was typed does not go far enough."""
        if way.interval:
            found = way.function(**dict(zip(way.parameters, map(_spanned, marks), strict=True)))
            return None if found is None else ((found[0] + found[1]) / 2, (found[1] - found[0]) / 2)
        given = {name: Value(name, *mark) for name, mark in zip(way.parameters, marks, strict=True) if mark is not None}
        inputs = Inputs(Job(given), {way.key: [way_without_questions(way)]})
        try:
            return inputs.number(way.key), inputs.half(way.key)
        except Missing:
            return None

    def _marks(self, name: str, lanes: Index) -> list[Any]:
        """A key's (value, ±) in single lanes, None where it is not known."""
        found = self.get(name)
        known = self.flat(found.known, lanes)
        if isinstance(found, Coded):
            column = self.typed(name)
            halves = self.flat(0.0 if column is None else column.halves, lanes).tolist()
            made: list[Any] = [
                (found.objects[c], h) for c, h in zip(self.flat(found.codes, lanes).tolist(), halves, strict=True)
            ]
        else:
            middle, spread = self.flat(self.at(found.value), lanes), self.flat(self.spread(found.value), lanes)
            made = list(zip(middle.tolist(), spread.tolist(), strict=True))
        return made if known.all() else [one if k else None for one, k in zip(made, known.tolist(), strict=True)]


def _spanned(mark: Any) -> Any:
    """A (value, ±) as an interval derivation takes it."""
    value, half = mark
    if isinstance(value, tuple):
        return Profile(value, half)
    return Span(value - half, value + half) if is_size(value) else value


class View:
    """Some lanes of the sizes, as `Inputs` is for one job: whoever asks what they answer differently splits them."""

    def __init__(self, sizes: Sizes, lanes: Index) -> None:
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
        return Affine(self.sizes.flat(value.const, self.lanes), slopes)

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
        return ViewedJob(self)


class ViewedJob:
    """The job of the lanes: what is the same for all pairs, and what was typed."""

    def __init__(self, view: View) -> None:
        self._view = view
        job = view.sizes.job
        self.prices, self.shelf, self.limits, self.held = job.prices, job.shelf, job.limits, job.held

    def get(self, key: str, default: Any = None) -> Any:
        """A typed value."""
        filled = self._view.sizes.filled(key)
        if not only(self._view.sizes.flat(filled, self._view.lanes)):
            return default
        found = self._view.sizes.get(key)
        return self._view[key] if isinstance(found, Coded) else self._view.number(key)


def way_without_questions(way: Derivation) -> Derivation:
    """The same way for inputs that are known to serve."""
    return Derivation(
        way.key, way.title, way.function, way.parameters, way.defaults, {}, None, way.curved, way.interval
    )


def added(parts: list[Any]) -> Any:
    """Sum of arrays; those of one shape first, so that little is added at full size."""
    sums: dict[tuple[int, ...], Any] = {}
    for part in parts:
        shape = np.shape(part)
        sums[shape] = sums[shape] + part if shape in sums else part
    total: Any = 0.0
    for part in sorted(sums.values(), key=np.size):
        total = total + part
    return np.asarray(total)


def as_affine(value: Any) -> Affine:
    """A number, lanes of numbers or an affine value, as affine with bare arrays."""
    return stripped(value) if isinstance(value, Affine) else Affine(bare(value))


def as_coded(found: Sized, most: int) -> Coded | None:
    """Exact numbers as a list of different ones; None where they are more than `most`."""
    different, codes = np.unique(np.asarray(found.value.const, dtype=float), return_inverse=True)
    return (
        Coded(found.known, codes.reshape(np.shape(found.value.const)), different.tolist())
        if len(different) <= most
        else None
    )


def combined(coded: dict[str, Coded], mask: Array) -> tuple[Array, list[dict[str, Any] | None]]:
    """(number of the combination in every lane, the combinations); None for one that no lane has."""
    codes: Any = np.zeros(1, dtype=np.int64)
    lists: list[list[Any]] = []
    for column in coded.values():
        codes = codes * len(column.objects) + column.codes
        lists.append(column.objects)
    size = int(np.prod([len(objects) for objects in lists]))
    if size <= 4096 and codes.ndim == 1:
        used = np.zeros(size, dtype=bool)
        used[
            np.broadcast_to(codes, np.broadcast_shapes(codes.shape, mask.shape))[
                np.broadcast_to(mask, np.broadcast_shapes(codes.shape, mask.shape))
            ]
        ] = True
    else:
        shape = np.broadcast_shapes(codes.shape, mask.shape)
        seen = np.unique(np.broadcast_to(codes, shape)[np.broadcast_to(mask, shape)])
        if size > 4096:
            codes = np.minimum(np.searchsorted(seen, codes), max(len(seen) - 1, 0))
            return codes, [_unfold(int(one), coded) for one in seen] or [None]
        used = np.zeros(size, dtype=bool)
        used[seen] = True
    return codes, [_unfold(one, coded) if used[one] else None for one in range(size)]


def _unfold(code: int, coded: dict[str, Coded]) -> dict[str, Any]:
    found = {}
    for name, column in reversed(coded.items()):
        code, place = divmod(code, len(column.objects))
        found[name] = column.objects[place]
    return {name: found[name] for name in coded}


def merged(found: list[Known]) -> Known:
    """One answer of several, each for its own lanes."""
    known = [one for one in found if one.known.any()]
    if not known:
        return Sized(NEVER, Affine(0.0))
    result = known[0]
    for one in known[1:]:
        result = _joined(result, one)
    return result


def _joined(first: Known, second: Known) -> Known:
    mask = second.known
    if isinstance(first, Coded) and isinstance(second, Coded):
        shift = len(first.objects)
        codes = np.where(mask, second.codes + shift, first.codes)
        return Coded(first.known | mask, codes, [*first.objects, *second.objects])
    assert isinstance(first, Sized)
    assert isinstance(second, Sized)
    keys = dict.fromkeys((*first.value.slopes, *second.value.slopes))
    slopes = {k: np.where(mask, second.value.slopes.get(k, 0.0), first.value.slopes.get(k, 0.0)) for k in keys}
    return Sized(first.known | mask, Affine(np.where(mask, second.value.const, first.value.const), slopes))


class PairSizes(Sizes):
    """Sizes of pairs: what depends on the corner alone, or on the kit alone, is found once for each row.

    corner, kit: the sizes of the rows, and how a row's array becomes one of the lanes. changed: columns that remedies
    have given the lanes instead of the typed ones.
    """

    def __init__(
        self, corner: tuple[Sizes, Callable[[Any], Any]], kit: tuple[Sizes, Callable[[Any], Any]], shape: tuple[int, ...],
        changed: dict[str, Column] | None = None, lazy: dict[str, Column] | None = None,
    ) -> None:  # fmt: skip
        super().__init__({}, kit[0].job, shape)
        self._sides = (corner, kit)
        self.changed = {**(lazy or {}), **(changed or {})}

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

    def _gathered(self, sizes: Sizes, take: Callable[[Any], Any], key: str) -> Known:
        found = sizes.get(key)
        if isinstance(found, Coded):
            return Coded(take(found.known), take(found.codes), found.objects)
        for name in found.value.slopes:
            if name not in self.middle:
                self.middle[name], self.half[name] = take(sizes.middle[name]), take(sizes.half[name])
        value = found.value
        return Sized(
            take(found.known), Affine(take(value.const), {k: take(slope) for k, slope in value.slopes.items()})
        )


def _taken(column: Column, take: Callable[[Any], Any]) -> Column:
    values = None if column.values is None else take(column.values)
    codes = None if column.codes is None else take(column.codes)
    return Column(take(column.known), take(column.halves), values, codes, column.objects, column.whole, column.source)
