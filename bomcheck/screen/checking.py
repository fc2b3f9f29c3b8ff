"""One check on many lanes: where it applies, what is missing, its range, what it means, and what cures it."""

import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from bomcheck.screen.lanes import Array, Index, Lanes, bare, by_lanes, only
from bomcheck.screen.limits import ALWAYS, Limits, limits_of
from bomcheck.screen.ranges import Ranges, holds, margins, range_of, range_of_most, tighten
from bomcheck.screen.sizes import NEVER, Coded, Sized, Sizes, View, as_affine, as_coded, combined
from bomcheck.verdict.affine import NOISE, Affine, Most, Sides
from bomcheck.verdict.box import Range
from bomcheck.verdict.check import STACKS, Check
from bomcheck.verdict.cure import Cure, Reading
from bomcheck.verdict.inputs import Missing
from bomcheck.verdict.verdict import Verdict

SEVERITY = {verdict: verdict.severity for verdict in Verdict}
FITS, PARTS, UNKNOWN, MACHINING, NO = (
    SEVERITY[v]
    for v in (Verdict.FITS, Verdict.FITS_WITH_PARTS, Verdict.NOT_KNOWN, Verdict.NEEDS_MACHINING, Verdict.DOES_NOT_FIT)
)
APART = SEVERITY[Verdict.DOES_NOT_APPLY]


@dataclass
class Cured:
    """A remedy for some lanes: what it leads to and the new sizes, {key: (values, ±)}, arrays of these lanes or one for all."""

    lanes: Index
    severity: int
    changes: dict[str, tuple[Any, Any]]


@dataclass
class Found:
    """What one check found: severity of its verdict and margin (NaN for none) of every lane; remedies; lanes that must be
    looked at one by one because something here is out of the ordinary."""

    severity: Array
    margin: Array
    cures: list[Cured] = field(default_factory=list)
    odd: Index = field(default_factory=lambda: np.zeros(0, dtype=np.intp))

    @property
    def cured(self) -> Array:
        """Lanes that have a remedy."""
        return np.concatenate([one.lanes for one in self.cures]) if self.cures else np.zeros(0, dtype=np.intp)


@dataclass
class Ready:
    """A check with its sizes read. ready: lanes to be judged; the others are settled as not applying or not known."""

    check: Check
    ready: Array
    apart: Array
    limits: Limits | None = None
    value: Any = None

    def settled(self, shape: tuple[int, ...]) -> Array:
        """Severities of the settled lanes, 0 for those to be judged."""
        found = np.where(self.ready, FITS, UNKNOWN).astype(np.int8)
        return np.array(np.broadcast_to(np.where(self.apart, np.int8(APART), found), shape))


def prepare(check: Check, sizes: Sizes) -> Ready:
    """Where the check applies and all it needs is known; its limit and, for a range check, its value."""
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
    for key in check.given:
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
            found = _with_default(found, check.defaults[name])
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


def _with_default(found: Sized | Coded, default: Any) -> Sized | Coded:
    if isinstance(found, Coded):
        return Coded(ALWAYS, np.where(found.known, found.codes, len(found.objects)), [*found.objects, default])
    slopes = {key: np.where(found.known, slope, 0.0) for key, slope in found.value.slopes.items()}
    return Sized(ALWAYS, Affine(np.where(found.known, found.value.const, default or 0.0), slopes))


def _chosen(mask: Array, value: Any, otherwise: Any) -> Any:
    """One result where the mask holds, the other elsewhere."""
    if isinstance(value, Sides):
        return type(value)(_chosen(mask, a, b) for a, b in zip(value, otherwise, strict=True))
    one, other = as_affine(value), as_affine(otherwise)
    keys = dict.fromkeys((*one.slopes, *other.slopes))
    slopes = {key: np.where(mask, one.slopes.get(key, 0.0), other.slopes.get(key, 0.0)) for key in keys}
    return Affine(np.where(mask, one.const, other.const), slopes)


def pieces_of(value: Any) -> list[Affine]:
    """The affine pieces of a check's value, bare arrays in them."""
    return [as_affine(piece) for piece in value] if isinstance(value, Sides) else [as_affine(value)]


def judge(ready: Ready, sizes: Sizes, cure: bool = True) -> Found:
    """A check that no stack moves. cure: whether failures are followed to their remedies."""
    if ready.check.kind == "match":
        return _judge_match(ready, sizes, cure)
    severity = ready.settled(sizes.shape)
    if ready.value is None:
        return Found(severity, np.full(sizes.shape, np.nan))
    return judge_range(ready, sizes, severity, pieces_of(ready.value), cure)


def judge_range(ready: Ready, sizes: Sizes, severity: Array, pieces: list[Affine], cure: bool) -> Found:
    assert ready.limits is not None
    of_most = isinstance(ready.value, Most)
    found = (range_of_most if of_most else range_of)(pieces, sizes)
    low, high = ready.limits.low, ready.limits.high
    _settle_loose(found, pieces, sizes, ready.ready, low, high, of_most)
    room = margins(found, low, high)
    inside, outside = holds(found, room, low, high)
    severity[np.broadcast_to(ready.ready & ~inside & ~outside, sizes.shape)] = UNKNOWN
    margin = np.where(np.broadcast_to(ready.ready, sizes.shape), room, np.nan)
    result = Found(severity, margin)
    failing = sizes.lanes_of(ready.ready & outside)
    if len(failing):
        severity.reshape(-1)[failing] = NO
        if cure:
            if found.loose is not None:
                tighten(found, pieces, sizes, failing[sizes.flat(found.loose, failing)], of_most)
            cures_of(result, ready, sizes, failing, found)
    return result


def _settle_loose(
    found: Ranges, pieces: list[Affine], sizes: Sizes, ready: Array, low: Array, high: Array, of_most: bool
) -> None:
    """Where verdict or margin hangs on the end that is only a bound, find it exactly."""
    if found.loose is None:
        return
    far = low if of_most else high
    needs: Any = np.isfinite(far)
    if of_most:
        needs = needs | ((found.low <= high + NOISE) & (found.middle > high + NOISE))
    else:
        needs = needs | ((found.high >= low - NOISE) & (found.middle < low - NOISE))
    tighten(found, pieces, sizes, sizes.lanes_of(found.loose & ready & needs), of_most)


def _judge_match(ready: Ready, sizes: Sizes, cure: bool) -> Found:
    severity = ready.settled(sizes.shape)
    found = Found(severity, np.full(sizes.shape, np.nan))
    if not ready.ready.any():
        return found
    words = {True: FITS, False: NO, None: UNKNOWN}
    codes, combinations = combined(
        {name: _as_words(ready, name, sizes) for name in ready.check.parameters}, ready.ready
    )
    answers = [None if one is None else ready.check.function(**one) for one in combinations]
    table = np.array([FITS if answer is None else words[answer.same] for answer in answers], dtype=np.int8)
    mask = np.broadcast_to(ready.ready, sizes.shape)
    severity[mask] = np.broadcast_to(table[codes], sizes.shape)[mask]
    failing = np.flatnonzero(severity.reshape(-1) == NO)
    if cure and len(failing):
        cures_of(found, ready, sizes, failing, None)
    return found


def _as_words(ready: Ready, name: str, sizes: Sizes) -> Coded:
    """What a match check is handed: words and notations, and exact figures one by one."""
    found, check = sizes.get(name), ready.check
    if isinstance(found, Sized):
        figures = as_coded(Sized(found.known, Affine(sizes.at(found.value))), sys.maxsize)
        assert figures is not None
        found = figures
    return _with_default(found, check.defaults[name]) if name in check.defaults else found  # type: ignore[return-value]


def cures_of(found: Found, ready: Ready, sizes: Sizes, failing: Index, ranges: Ranges | None) -> None:
    """Ask the check's remedy what becomes of the failing lanes, and write it into what was found."""
    remedy = ready.check.remedy
    if remedy is None:
        return
    flat = found.severity.reshape(-1)
    odd: list[Index] = []
    for lanes, answer in by_lanes(failing, _asking(remedy, ready, sizes, ranges)):
        if isinstance(answer, Cure):
            flat[lanes] = answer.verdict.severity
            changes = {key: (bare(value), bare(half)) for key, (value, half) in answer.changes.items()}
            found.cures.append(Cured(lanes, answer.verdict.severity, changes))
        elif answer is Missing:
            flat[lanes] = UNKNOWN
        else:
            odd.append(lanes)
    if odd:
        found.odd = np.concatenate(odd)


def _asking(
    remedy: Callable[[Reading], Cure], ready: Ready, sizes: Sizes, ranges: Ranges | None
) -> Callable[[Index], Any]:
    def ask(lanes: Index) -> Any:
        value = limit = None
        if ranges is not None:
            value = Range(*(Lanes(sizes.flat(one, lanes)) for one in (ranges.low, ranges.middle, ranges.high)))  # type: ignore[arg-type]
        if ready.limits is not None:
            limit = ready.limits.each[int(only(sizes.flat(ready.limits.codes, lanes)))]
        try:
            return remedy(Reading(View(sizes, lanes), value, limit))  # type: ignore[arg-type]
        except Missing:
            return Missing
        except (TypeError, AttributeError, KeyError, ValueError, AssertionError):
            return None

    return ask
