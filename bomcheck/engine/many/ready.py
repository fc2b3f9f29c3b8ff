"""One check on many lanes, before it is judged: where it applies, what is missing, its limit and its value."""

from typing import Any

import numpy as np

from bomcheck.engine.many.known import ALWAYS, NEVER, Coded, Sized, affine, as_affine, combined, number
from bomcheck.engine.many.lanes import Array
from bomcheck.engine.many.sizes import Sizes
from bomcheck.model.affine import Affine, Sides
from bomcheck.model.job import Job, Value
from bomcheck.model.limits import Limit, house_limits, limit_for
from bomcheck.model.numbers import Number
from bomcheck.model.records import dataclass
from bomcheck.model.rule import STACKS, Check
from bomcheck.model.verdict import APART, FITS, UNKNOWN


@dataclass
class Limits:
    """known: where the limit is. codes: which one of `each` a lane has."""

    known: Array
    codes: Array
    each: list[Limit]

    @property
    def floor(self) -> Number:
        """Lower limit of each lane, minus infinity for none."""
        return number(np.array([one.floor for one in self.each])[self.codes])

    @property
    def ceiling(self) -> Number:
        """Upper limit of each lane, infinity for none."""
        return number(np.array([one.ceiling for one in self.each])[self.codes])


FIRST = np.zeros(1, dtype=np.int64)


def limits_of(check: Check, sizes: Sizes) -> Limits:
    """The limit that a check's value is held against, lane by lane."""
    if isinstance(check.limit, str):
        return _named(check.limit, sizes)
    by = sizes.get(check.limit_by)
    if not isinstance(by, Coded):
        return Limits(by.known & False, FIRST, [limit_for(next(iter(check.limit.values())), sizes.job)])
    each: list[Limit] = []
    codes: Any = FIRST
    for code, word in enumerate(map(str, by.objects)):
        if word in check.limit:
            named = _named(check.limit[word], sizes)
            codes = np.where(by.codes == code, named.codes + len(each), codes)
            each.extend(named.each)
    return Limits(by.known, codes, each)


def _named(name: str, sizes: Sizes) -> Limits:
    """One limit; where the kit prints a figure of its own, one for each different figure."""
    column = sizes.typed(house_limits()[name].kit_field) if house_limits()[name].kit_field else None
    if column is None or column.values is None:
        return Limits(ALWAYS, FIRST, [limit_for(name, sizes.job)])
    figures = np.where(column.known, column.values, np.nan)
    different, codes = np.unique(figures, return_inverse=True)
    return Limits(
        ALWAYS,
        codes.reshape(figures.shape),
        [limit_for(name, _printed(name, f, sizes.job)) for f in different.tolist()],
    )


def _printed(name: str, figure: float, job: Job) -> Job:
    key = house_limits()[name].kit_field
    values = {} if np.isnan(figure) else {key: Value(key, figure)}
    return Job(values, limits=job.limits)


@dataclass
class Ready:
    """A check with its sizes read. ready: lanes to be judged; the others are settled as not applying or not known."""

    check: Check
    ready: Array
    apart: Array
    limits: Limits | None = None
    value: object = None

    def settled(self, shape: tuple[int, ...]) -> Array:
        """Severities of the settled lanes, 0 for those to be judged."""
        found = np.where(self.ready, FITS, UNKNOWN).astype(np.int8)
        return np.array(np.broadcast_to(np.where(self.apart, np.int8(APART), found), shape), order="C")


def prepare(check: Check, sizes: Sizes) -> Ready:
    """Where the check applies and all it needs is known; its limit and, for a range check, its value."""
    if check.kind == "space":  # its own judge looks at what is blank
        return Ready(check, ALWAYS, NEVER)
    apart, waiting = _applies(check, sizes)
    ready = ~apart & ~waiting
    limits = limits_of(check, sizes) if check.limit else None
    if limits is not None:
        ready = ready & limits.known
    for name in check.parameters:
        if name not in STACKS.values() and name not in check.defaults:
            ready = ready & sizes.get(name).known
    done = Ready(check, ready, apart, limits)
    if check.kind == "range" and ready.any():
        done.value = _value(check, sizes, ready)
    return done


def _applies(check: Check, sizes: Sizes) -> tuple[Array, Array]:
    """(lanes that the check does not apply to, lanes for which that is not known)."""
    apart: Any = NEVER
    waiting: Any = NEVER
    for key in check.requires:
        apart = apart | ~sizes.filled(key)
    for key, allowed in check.when.items():
        known = sizes.get(key).known
        apart = apart | (known & ~sizes.one_of(key, allowed))
        waiting = waiting | ~known
    return apart, waiting & ~apart


def _value(check: Check, sizes: Sizes, ready: Array) -> Any:
    """The check's own arithmetic on arrays: affine pieces of one or several sides."""
    sized: dict[str, Affine] = {}
    coded: dict[str, Coded] = {}
    for name in check.parameters:
        if name in STACKS.values():
            sized[name] = Affine(0.0, {name: 1.0})
            continue
        found = sizes.get(name)
        if name in check.defaults and not np.all(found.known | ~ready):
            default = check.defaults[name]
            found = with_default(found, default) if isinstance(found, Coded) else _number_or(found, default)
        if isinstance(found, Coded):
            coded[name] = found
        else:
            sized[name] = found.value
    if not coded:
        return check.function(**sized)
    codes, combinations = combined(coded, ready)
    values = [(code, check.function(**sized, **one)) for code, one in enumerate(combinations) if one is not None]
    result = values[0][1]
    for code, value in values[1:]:
        result = _chosen(codes == code, value, result)
    return result


def with_default(found: Coded, default: object) -> Coded:
    """The same with the default wherever nothing is known."""
    return Coded(ALWAYS, np.where(found.known, found.codes, len(found.objects)), [*found.objects, default])


def _number_or(found: Sized, default: Any) -> Sized:
    slopes = {key: np.where(found.known, slope, 0.0) for key, slope in found.value.slopes.items()}
    return Sized(ALWAYS, affine(np.where(found.known, found.value.const, default or 0.0), slopes))


def _chosen(mask: Array, value: Any, otherwise: Any) -> Any:
    """One result where the mask holds, the other elsewhere."""
    if isinstance(value, Sides):
        return type(value)(_chosen(mask, a, b) for a, b in zip(value, otherwise, strict=True))
    one, other = as_affine(value), as_affine(otherwise)
    keys = dict.fromkeys((*one.slopes, *other.slopes))
    slopes = {key: np.where(mask, one.slopes.get(key, 0.0), other.slopes.get(key, 0.0)) for key in keys}
    return affine(np.where(mask, one.const, other.const), slopes)


def pieces_of(value: object) -> list[Affine]:
    """The affine pieces of a check's value, bare arrays in them."""
    return [as_affine(piece) for piece in value] if isinstance(value, Sides) else [as_affine(value)]
