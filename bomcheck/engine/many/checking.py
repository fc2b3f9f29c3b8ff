"""One check on many lanes: its range, what it means, and what cures it."""

import sys
from collections.abc import Callable, Iterator
from dataclasses import field
from typing import Any, cast

import numpy as np

from bomcheck.engine.judge import prepare as prepare_one
from bomcheck.engine.many.columns import column_of
from bomcheck.engine.many.known import Coded, Sized, affine, array, as_coded, combined, truth
from bomcheck.engine.many.lanes import Array, Index, Lanes, bare, by_lanes, only
from bomcheck.engine.many.ready import Ready, pieces_of, prepare, with_default
from bomcheck.engine.many.sizes import Sizes
from bomcheck.engine.many.space import Chosen
from bomcheck.engine.many.ways import View, as_inputs
from bomcheck.engine.many.world import Pairing
from bomcheck.engine.whatever import may_be_sure, ways
from bomcheck.model.affine import Most
from bomcheck.model.box import Range
from bomcheck.model.finding import Reason
from bomcheck.model.limits import limit_for
from bomcheck.model.numbers import Number
from bomcheck.model.records import dataclass
from bomcheck.model.rule import STACKS, Check, Cure, Match, Reading
from bomcheck.model.sizes import Missing
from bomcheck.model.verdict import APART, FITS, MACHINING, NO, UNKNOWN, holds, margin


@dataclass
class Cured:
    """A remedy for some lanes: what it leads to and the new sizes, {key: (values, ±)}, arrays of these lanes or one for all."""

    lanes: Index
    severity: int
    changes: dict[str, tuple[object, float | Array]]


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


def cures_of(found: Found, ready: Ready, sizes: Sizes, failing: Index, ranges: Range | None) -> None:
    """Ask the check's remedy what becomes of the failing lanes, and write it into what was found."""
    remedy = ready.check.remedy
    if remedy is not None:
        _write_cures(found, failing, _asking(remedy, ready, sizes, ranges))


def _write_cures(found: Found, failing: Index, asking: Callable[[Index], Any]) -> None:
    """Write what `asking` answers for the failing lanes into what was found."""
    flat = found.severity.reshape(-1)
    odd: list[Index] = []
    for lanes, answer in by_lanes(failing, asking):
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
    remedy: Callable[[Reading], Cure], ready: Ready, sizes: Sizes, ranges: Range | None
) -> Callable[[Index], Any]:
    def ask(lanes: Index) -> Any:
        value = limit = None
        if ranges is not None:
            ends: list[Any] = [Lanes(sizes.flat(one, lanes)) for one in (ranges.low, ranges.middle, ranges.high)]
            value = Range(*ends)
        if ready.limits is not None:
            limit = ready.limits.each[int(only(sizes.flat(ready.limits.codes, lanes)))]
        return _asked(remedy, Reading(as_inputs(View(sizes, lanes)), value, limit))

    return ask


def _asked(remedy: Callable[[Reading], Cure], reading: Reading) -> Any:
    """The cure, Missing where a size is, None where these lanes must be asked one by one."""
    try:
        return remedy(reading)
    except Missing:
        return Missing
    except (TypeError, AttributeError, KeyError, ValueError, AssertionError):
        return None


def judge(ready: Ready, sizes: Sizes, cure: bool = True) -> Found:
    """A check that no stack moves. cure: whether failures are followed to their remedies."""
    if ready.check.kind == "space":
        return judge_space(ready.check, sizes, cure)
    if ready.check.kind == "match":
        return _judge_match(ready, sizes, cure)
    found = judge_range(ready, sizes, cure)
    if cure:
        found.odd = np.union1d(found.odd, surely(ready, sizes, found.severity))
    return found


def surely(one: Ready, sizes: Sizes, severity: Array, thickest: Number = 0.0) -> Index:
    """Write into the severities where a check that lacks sizes is sure to fail, or to hold; lanes that are out of the ordinary.

    thickest: the thickest stack of shims that may lie in the joint [mm].
    """
    odd = np.zeros(0, dtype=np.intp)
    lanes = sizes.lanes_of(~one.ready & ~one.apart)
    if sizes.pairing is None or not len(lanes) or one.check.kind != "range":
        return odd
    pairing, most = cast(Pairing, sizes.pairing), sizes.flat(thickest, lanes)
    for keys, at in _blank(one.check, pairing, lanes):
        left, found = at, np.full(len(lanes), UNKNOWN, dtype=np.int8)
        for whole in (True, False):
            for number, way in enumerate(ways(keys, whole)):
                if not len(left):
                    break
                columns = {key: column_of([value]).take(0 * left) for key, value in way.items()}
                filled = pairing.again(lanes[left], columns)
                if one.check.stack:
                    filled.variable(STACKS[one.check.stack], most[left] / 2, most[left] / 2)
                with np.errstate(divide="ignore", invalid="ignore"):  # of lanes that lack more, which are not judged
                    said = judge_range(prepare(one.check, filled), filled)
                same = (said.severity == NO) | (said.severity == MACHINING) | (said.severity == FITS)
                same &= (found[left] == said.severity) | (whole and number == 0)
                odd = np.union1d(odd, lanes[left[said.odd]])
                found[left] = said.severity
                left = left[same]
            severity.reshape(-1)[lanes[held := left[found[left] == FITS]]] = FITS
            left = np.setdiff1d(left, held) if len(held) else left
        severity.reshape(-1)[lanes[left]] = found[left]
    return odd


def _blank(check: Check, pairing: Pairing, lanes: Index) -> Iterator[tuple[tuple[str, ...], Index]]:
    """(the blanks that a check asks for, all places among the lanes where it asks for these)."""
    alike, asked = pairing.kinds(check, lanes), list[tuple[str, ...]]()
    firsts = lanes[alike.first]
    for lane, kind in zip(firsts.tolist(), pairing.marks(check, firsts), strict=True):
        mark = ("blank", check.name, *kind)
        if mark not in pairing.world.memo:
            settled = prepare_one(check, pairing.world.inputs(pairing.single(lane))).settled
            keys = settled.asks if settled is not None and settled.reason is Reason.BLANK else ()
            pairing.world.memo[mark] = keys if may_be_sure(check, keys) else ()
        asked.append(cast(tuple[str, ...], pairing.world.memo[mark]))
    for keys in dict.fromkeys(asked):
        if keys:
            yield keys, np.flatnonzero(np.array([one == keys for one in asked])[alike.code])


def judge_range(ready: Ready, sizes: Sizes, cure: bool = True) -> Found:
    """A check whose value is held against a limit."""
    severity = ready.settled(sizes.shape)
    if ready.value is None:
        return Found(severity, np.full(sizes.shape, np.nan))
    assert ready.limits is not None
    pieces = pieces_of(ready.value)
    ranged = sizes.box.range_of_most if isinstance(ready.value, Most) else sizes.box.range
    found = ranged(pieces, truth(ready.ready))
    inside, outside = holds(found, ready.limits)
    severity[np.broadcast_to(ready.ready & ~array(inside) & ~array(outside), sizes.shape)] = UNKNOWN
    room = array(margin(found.low, found.high, ready.limits))
    result = Found(severity, np.where(np.broadcast_to(ready.ready, sizes.shape), room, np.nan))
    failing = sizes.lanes_of(ready.ready & array(outside))
    if len(failing):
        severity.reshape(-1)[failing] = NO
        if cure:
            cures_of(result, ready, sizes, failing, found)
    return result


def judge_space(check: Check, sizes: Sizes, cure: bool = True) -> Found:
    """One fixed body in every lane: the deciding pair is the first that is never clear, else the nearest that is open,
    else the nearest."""
    chosen = Chosen(check, sizes)
    found = Found(chosen.severity, np.where(chosen.severity == APART, np.nan, chosen.margin))
    failing = np.flatnonzero(chosen.severity.reshape(-1) == NO)
    if cure and len(failing) and check.remedy is not None:
        _write_cures(found, failing, _asking_of_pair(check.remedy, chosen, sizes))
    return found


def _asking_of_pair(remedy: Callable[[Reading], Cure], chosen: Chosen, sizes: Sizes) -> Callable[[Index], Any]:
    def ask(lanes: Index) -> Any:
        look = chosen.looks[int(only(chosen.number.reshape(-1)[lanes]))]
        ends: list[Any] = [
            Lanes(sizes.flat(end, lanes)) for end in (look.value.low, look.value.middle, look.value.high)
        ]
        limit = limit_for(look.pair.limit, sizes.job)
        reading = Reading(as_inputs(View(sizes, lanes)), Range(*ends), limit, against=look.pair.turning)
        return _asked(remedy, reading)

    return ask


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
    table = np.array([FITS if answer is None else words[cast(Match, answer).same] for answer in answers], dtype=np.int8)
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
        figures = as_coded(Sized(found.known, affine(sizes.at(found.value))), sys.maxsize)
        assert figures is not None
        found = figures
    return with_default(found, check.defaults[name]) if name in check.defaults else found
