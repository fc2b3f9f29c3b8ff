"""One check on many lanes: its range, what it means, and what cures it."""

import sys
from typing import Any

import numpy as np

from bomcheck.model.affine import NOISE, Affine, Most
from bomcheck.screen.combining import combined
from bomcheck.screen.curing import cures_of
from bomcheck.screen.found import Found
from bomcheck.screen.known import Coded, Sized, affine, as_coded
from bomcheck.screen.lanes import Array
from bomcheck.screen.ranges import Ranges, holds, margins, range_of, range_of_most
from bomcheck.screen.ready import Ready, pieces_of, with_default
from bomcheck.screen.severities import FITS, NO, UNKNOWN
from bomcheck.screen.sizes import Sizes
from bomcheck.screen.tightened import tighten


def judge(ready: Ready, sizes: Sizes, cure: bool = True) -> Found:
    """A check that no stack moves. cure: whether failures are followed to their remedies."""
    if ready.check.kind == "match":
        return _judge_match(ready, sizes, cure)
    severity = ready.settled(sizes.shape)
    if ready.value is None:
        return Found(severity, np.full(sizes.shape, np.nan))
    return judge_range(ready, sizes, severity, pieces_of(ready.value), cure)


def judge_range(ready: Ready, sizes: Sizes, severity: Array, pieces: list[Affine], cure: bool) -> Found:
    """A check whose value is held against a limit."""
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
        figures = as_coded(Sized(found.known, affine(sizes.at(found.value))), sys.maxsize)
        assert figures is not None
        found = figures
    return with_default(found, check.defaults[name]) if name in check.defaults else found
