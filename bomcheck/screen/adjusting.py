"""The checks that a shim stack moves, for many lanes: what `bomcheck.verdict.adjust` does for one job."""

from collections.abc import Sequence
from typing import Any

import numpy as np

from bomcheck.screen.checking import APART, FITS, MACHINING, NO, PARTS, UNKNOWN, Found, Ready, cures_of, pieces_of
from bomcheck.screen.lanes import Array, Index
from bomcheck.screen.ranges import Ranges, margins, range_of, tighten
from bomcheck.screen.sizes import Sizes, stripped
from bomcheck.screen.stacks import Together, demands_of, nearest, stacks_of
from bomcheck.verdict.affine import NOISE, Affine
from bomcheck.verdict.check import STACKS


class Moved:
    """One stack, the checks that it moves, and what was found of each."""

    def __init__(
        self, name: str, ready: Sequence[Ready], sizes: Sizes, memo: dict[Any, Any], cure: bool = True
    ) -> None:
        self.name, self.key, self.sizes, self.cure = name, STACKS[name], sizes, cure
        self.ready = list(ready)
        self.pieces = [[] if one.value is None else pieces_of(one.value) for one in self.ready]
        self.box, self.trade = stacks_of(name, sizes, memo)
        size = int(np.prod(sizes.shape))
        self.verdicts = {one.check.name: one.settled(sizes.shape) for one in self.ready}
        self.thickness = np.zeros(size)
        self.planned = np.zeros(size, dtype=bool)
        self.least, self.most = np.zeros(size), np.zeros(size)
        self.lead = np.full(size, -1)
        self.blocked = self._blocked()
        self.whole = np.full(size, APART, dtype=np.int8)
        self.alone_fails = {one.check.name: np.zeros(size, dtype=bool) for one in self.ready}
        for lanes, here in self._arrangements():
            self._arrange(lanes, here)
        self.found = {one.check.name: self._judge(number, one) for number, one in enumerate(self.ready)}
        self.joint = self._joint()

    def _arrangements(self) -> list[tuple[Index, list[int]]]:
        """Lanes that have the same checks ready, moved the same way."""
        marks: Any = np.zeros(self.sizes.shape, dtype=np.int64)
        for one, pieces in zip(self.ready, self.pieces, strict=True):
            marks = marks * 2 + np.broadcast_to(one.ready, self.sizes.shape)
            for piece in pieces:
                slope = np.sign(np.asarray(piece.slopes.get(self.key, 0.0))).astype(np.int64)
                if slope.ndim:
                    marks = marks * 3 + 1 + np.where(one.ready, slope, 0)
            if marks.max(initial=0) > 2**40:
                marks = np.unique(marks, return_inverse=True)[1].reshape(self.sizes.shape)
        different, inverse = np.unique(marks, return_inverse=True)
        order = np.argsort(inverse, kind="stable")
        groups = np.split(order, np.cumsum(np.bincount(inverse, minlength=len(different)))[:-1])
        return [(g, [n for n, one in enumerate(self.ready) if self.sizes.flat(one.ready, g[:1])[0]]) for g in groups]

    def _arrange(self, lanes: Index, here: list[int]) -> None:
        if not here:
            return
        demands = []
        for number in here:
            one = self.ready[number]
            assert one.limits is not None
            low, high = one.limits.low, one.limits.high
            demands += demands_of(one.check.name, self.pieces[number], self.key, low, high, self.sizes, lanes)
        trade = Together(demands, self.trade.of(lanes))
        known = self.box.known[lanes]
        held = np.where(known[:, None], self.box.steps[np.maximum(self.box.code[lanes], 0)], np.inf)
        bare = held.copy()
        bare[~known, :1] = 0.0
        if not bare.shape[1]:
            bare = np.zeros((len(lanes), 1))
        box = Together(demands, bare)
        names = {n: self.ready[n].check.name for n in here}
        lead = next((n for n in here if self.ready[n].check.aim is not None), None)
        memo: dict[frozenset[str], Array] = {}

        def verdict(*wanted: str) -> Array:
            mark = frozenset(wanted)
            if mark not in memo:
                memo[mark] = _verdict(box, trade, known, mark)
            return memo[mark]

        lead_fails = np.zeros(len(lanes), dtype=bool)
        if lead is not None:
            lead_fails = verdict(names[lead]) == NO
            self.lead[lanes] = lead
        hopeless = []
        for n in here:
            alone = verdict(names[n])
            self.alone_fails[names[n]][lanes] = alone == NO
            pair = alone if lead is None or n == lead else verdict(names[lead], names[n])
            hopeless.append(pair == NO if n != lead else np.zeros(len(lanes), dtype=bool))
            said = np.where(lead_fails, alone, pair)
            said = np.where(self.blocked[lanes] & (said != NO), np.int8(UNKNOWN), said)
            if n != lead:
                said = np.where(self._whatever_stack(n, lanes, box.steps, trade.steps), np.int8(FITS), said)
            self.verdicts[names[n]].reshape(-1)[lanes] = said
        if lead is None:
            return
        if len(here) > 1:
            self.whole[lanes] = verdict(*names.values())
        self._plan(
            lanes,
            lead,
            box,
            trade,
            known,
            list(names.values()),
            np.array(hopeless) | (lead_fails & (np.array(here) != lead)[:, None]),
        )

    def _blocked(self) -> Array:
        """Lanes where the check that the stack is there for is itself not known: then which stack is laid is not known."""
        blocked = np.zeros(self.sizes.shape, dtype=bool)
        for one in self.ready:
            if one.check.aim is not None:
                blocked |= ~one.ready
        return blocked.reshape(-1)

    def _whatever_stack(self, number: int, lanes: Index, box: Array, trade: Array) -> Array:
        """Where a check holds for every true size with any stack."""
        one, size = self.ready[number], int(np.prod(self.sizes.shape))
        assert one.limits is not None
        held: Any = np.ones(len(lanes), dtype=bool)
        steps = np.concatenate([box, trade], axis=1)
        for end in (np.min(steps, axis=1), np.max(np.where(np.isfinite(steps), steps, 0.0), axis=1)):
            thickness = np.zeros(size)
            thickness[lanes] = end
            ranges = self._range_at(number, thickness)
            if ranges.loose is not None:
                far = ranges.loose & np.isfinite(one.limits.high)
                here = np.zeros(self.sizes.shape, dtype=bool)
                here.reshape(-1)[lanes] = True
                tighten(ranges, self._pieces_at(number, thickness), self.sizes, self.sizes.lanes_of(far & here), False)
            room = margins(ranges, one.limits.low, one.limits.high)
            held = held & (self.sizes.flat(room, lanes) >= -NOISE)
        return held

    def _plan(
        self, lanes: Index, lead: int, box: Together, trade: Together, known: Array, names: list[str], hopeless: Array
    ) -> None:
        """The stacks of each lane: for the sizes as stated, and the thinnest and thickest that may be needed."""
        least, middle, most = self._ideal(lead, lanes)
        self.planned[lanes] = True
        marks = np.zeros(len(lanes), dtype=np.int64)
        for row in hopeless:
            marks = marks * 2 + row
        for mark in np.unique(marks).tolist():
            at = np.flatnonzero(marks == mark)
            curable = frozenset(name for name, row in zip(names, hopeless, strict=True) if not row[at[0]])
            covered = known[at] & box.always(curable)[at]
            for some, together, stacks in ((at[covered], box, self.box), (at[~covered], trade, self.trade)):
                if not len(some):
                    continue
                counts, steps = stacks.counts[stacks.code[lanes[some]]], together.steps[some]
                serving = together.as_stated(curable, some)
                self.thickness[lanes[some]] = nearest(steps, counts, serving, middle[some])
                if mark:  # only a check that fails looks at the thinnest and the thickest
                    for ends, wanted in ((self.least, least), (self.most, most)):
                        ends[lanes[some]] = together.nearest_serving(curable, some, counts, serving, wanted[some])

    def _ideal(self, lead: int, lanes: Index) -> tuple[Array, Array, Array]:
        """Thickness that would bring the leading check to its aim: least, as stated, greatest."""
        rest, slope = self.pieces[lead][0].split(self.key)
        ideal = stripped(((self.ready[lead].check.aim or 0.0) - rest) * (1.0 / np.asarray(slope, dtype=float)))  # type: ignore[arg-type]
        middle, spread = self.sizes.flat(self.sizes.at(ideal), lanes), self.sizes.flat(self.sizes.spread(ideal), lanes)
        return middle - spread, middle, middle + spread

    def _judge(self, number: int, one: Ready) -> Found:
        severity = self.verdicts[one.check.name]
        found = Found(severity, np.full(self.sizes.shape, np.nan))
        if not self.pieces[number]:
            return found
        assert one.limits is not None
        flat = severity.reshape(-1)
        ready = np.broadcast_to(one.ready, self.sizes.shape).reshape(-1)
        at_zero = ready & (flat == NO) & (self.lead == number)
        ranges = self._range_at(number, np.where(at_zero, 0.0, self.thickness))
        low, high = one.limits.low, one.limits.high
        if ranges.loose is not None:
            hangs = ranges.loose & (np.isfinite(high) | (flat == NO)) & ready
            tighten(
                ranges,
                self._pieces_at(number, np.where(at_zero, 0.0, self.thickness)),
                self.sizes,
                np.flatnonzero(hangs),
                False,
            )
        worst = margins(ranges, low, high)
        as_stated = margins(Ranges(ranges.middle, ranges.middle, ranges.middle, None), low, high)
        found.margin = np.where(ready, np.where((flat == FITS) | (flat == PARTS), as_stated, worst), np.nan)
        failing = np.flatnonzero(ready & (flat == NO))
        if self.cure and len(failing):
            cures_of(found, one, self.sizes, failing, self._worst(number, ranges, failing))
        return found

    def _pieces_at(self, number: int, thickness: Array) -> list[Affine]:
        found = []
        for piece in self.pieces[number]:
            rest, slope = piece.split(self.key)
            found.append(stripped(rest + slope * thickness))  # type: ignore[arg-type]
        return found

    def _range_at(self, number: int, thickness: Array) -> Ranges:
        found = range_of(self._pieces_at(number, thickness), self.sizes)
        found.low, found.middle, found.high = (
            np.broadcast_to(one, self.sizes.shape) for one in (found.low, found.middle, found.high)
        )
        return found

    def _worst(self, number: int, at_likely: Ranges, failing: Index) -> Ranges:
        """Range over the box, and over the stacks that may be needed unless the stack itself has failed."""
        low, high = np.array(at_likely.low), np.array(at_likely.high)
        mask = np.zeros(self.sizes.shape, dtype=bool)
        mask[failing] = True
        mask &= self.planned & (self.lead != number)
        if mask.any():
            for thickness in (self.least, self.most):
                other = self._range_at(number, thickness)
                if other.loose is not None:
                    tighten(
                        other, self._pieces_at(number, thickness), self.sizes, np.flatnonzero(other.loose & mask), False
                    )
                low, high = (
                    np.where(mask, np.minimum(low, other.low), low),
                    np.where(mask, np.maximum(high, other.high), high),
                )
        return Ranges(low, at_likely.middle, high, None)

    def _joint(self) -> Found:
        """Whether one stack serves all that it moves; not asked where one of them has failed."""
        severity = self.whole
        for one in self.ready:
            name = one.check.name
            after = self.found[name].severity.reshape(-1)
            ready = np.broadcast_to(one.ready, self.sizes.shape).reshape(-1)
            failed = ready & (self.alone_fails[name] | (after == NO) | (after == MACHINING))
            severity = np.where(failed, np.int8(APART), severity)
        return Found(severity, np.full(self.sizes.shape, np.nan))


def _verdict(box: Together, trade: Together, known: Array, names: frozenset[str]) -> Array:
    """Severity of each lane: for every true size there is a stack, with parts or without; for none; or it depends."""
    verdict = np.full(box.count, UNKNOWN, dtype=np.int8)
    fits = box.always(names)
    rest = np.flatnonzero(~fits)
    verdict[fits] = FITS
    if len(rest):
        verdict[rest[trade.never(names, rest)]] = NO
        with_parts = known & trade.always(names) & (verdict == UNKNOWN)
        verdict[with_parts] = PARTS
    return verdict
