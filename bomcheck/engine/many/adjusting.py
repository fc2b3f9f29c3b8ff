"""What becomes of the checks that a shim stack moves: the stacks to lay, margins, remedies, for many lanes."""

from collections.abc import Sequence
from functools import cached_property
from typing import Any

import numpy as np

from bomcheck.engine.many.checking import Found, cures_of
from bomcheck.engine.many.demands import demands_of
from bomcheck.engine.many.known import APART, FITS, MACHINING, NO, PARTS, UNKNOWN, affine, stripped
from bomcheck.engine.many.lanes import Array, Index
from bomcheck.engine.many.ranges import Ranges, margins, range_of, tighten
from bomcheck.engine.many.ready import Ready, pieces_of
from bomcheck.engine.many.sizes import Sizes
from bomcheck.engine.many.stacks import Together, nearest, stacks_of
from bomcheck.model.affine import NOISE, Affine
from bomcheck.model.rule import STACKS


class Moved:
    """One stack, the checks that it moves, and the severity of each before any remedy. Lanes are numbered flat.

    curable: lanes in which a check counts when a stack is chosen; hopeless: lanes in which some check fails with any stack.
    """

    def __init__(self, name: str, ready: Sequence[Ready], sizes: Sizes, memo: dict[Any, Any]) -> None:
        self.name, self.key, self.sizes = name, STACKS[name], sizes
        self.ready = list(ready)
        self.size = int(np.prod(sizes.shape))
        self.masks = [np.array(np.broadcast_to(one.ready, sizes.shape)).reshape(-1) for one in self.ready]
        self.pieces = [[] if one.value is None else pieces_of(one.value) for one in self.ready]
        self.box_stacks, self.trade_stacks = stacks_of(name, sizes, memo)
        self.box, self.trade = self._together()
        self.lead = self._lead()
        self.led = self.masks[self.lead] if self.lead is not None else np.zeros(self.size, dtype=bool)
        self.blocked = self._blocked()
        self.verdicts: dict[str, Array] = {}
        self.curable: dict[str, Array] = {}
        self.hopeless = np.zeros(self.size, dtype=bool)
        self._verdicts: dict[frozenset[str], Array] = {}
        self._judge_all()

    def _together(self) -> tuple[Together, Together]:
        """All demands, with the stacks of the box (none but the empty one where the box is not known) and of the trade."""
        demands = []
        for one, pieces, mask in zip(self.ready, self.pieces, self.masks, strict=True):
            if pieces and one.limits is not None:
                demands += demands_of(
                    one.check.name, pieces, self.key, (one.limits.low, one.limits.high), mask, self.sizes
                )
        known, codes = self.box_stacks.known, np.maximum(self.box_stacks.code, 0)
        steps = self.box_stacks.steps if self.box_stacks.steps.shape[1] else np.zeros((1, 1))
        held = np.where(known[:, None], steps[codes], np.inf)
        held[~known, 0] = 0.0
        return Together(demands, held), Together(demands, self.trade_stacks.of(np.arange(self.size)))

    def _lead(self) -> int | None:
        """The check that the stack is there for."""
        aims = [
            number for number, one in enumerate(self.ready) if one.check.target is not None and self.masks[number].any()
        ]
        return aims[0] if aims else None

    def _blocked(self) -> Array:
        """Lanes where the check that the stack is there for is itself not known: then which stack is laid is not known."""
        blocked = np.zeros(self.size, dtype=bool)
        for one, mask in zip(self.ready, self.masks, strict=True):
            if one.check.target is not None:
                blocked |= ~mask
        return blocked

    def _verdict(self, *names: str) -> Array:
        """Severity in each lane: for every true size there is a stack, with parts or without; for none; or it depends."""
        mark = frozenset(names)
        if mark not in self._verdicts:
            concerned = np.zeros(self.size, dtype=bool)
            for one, here in zip(self.ready, self.masks, strict=True):
                concerned |= here & (one.check.name in mark)
            self._verdicts[mark] = self._find_verdict(mark, concerned)
        return self._verdicts[mark]

    def _find_verdict(self, names: frozenset[str], concerned: Array) -> Array:
        verdict = np.full(self.size, UNKNOWN, dtype=np.int8)
        fits = self.box.always(names)
        verdict[fits] = FITS
        rest = np.flatnonzero(~fits & concerned)
        if len(rest):
            verdict[rest[self.trade.never(names, rest)]] = NO
            verdict[self.box_stacks.known & concerned & (verdict == UNKNOWN) & self.trade.always(names)] = PARTS
        return verdict

    def _judge_all(self) -> None:
        lead = None if self.lead is None else self.ready[self.lead].check.name
        lead_fails = self.led & (self._verdict(lead) == NO) if lead is not None else np.zeros(self.size, dtype=bool)
        for number, (one, mask) in enumerate(zip(self.ready, self.masks, strict=True)):
            name = one.check.name
            severity = one.settled(self.sizes.shape)
            if mask.any():
                alone = self._verdict(name)
                pair = alone if lead is None else np.where(self.led, self._verdict(lead, name), alone)
                said = np.where(lead_fails, alone, pair)
                said = np.where(self.blocked & (said != NO), np.int8(UNKNOWN), said)
                if number != self.lead:
                    said = np.where(self._whatever_stack(number), np.int8(FITS), said)
                    self.hopeless |= mask & (pair == NO)
                flat = severity.reshape(-1)
                flat[mask] = said[mask]
                self.curable[name] = (
                    np.ones(self.size, dtype=bool) if number == self.lead else ~lead_fails & (pair != NO)
                )
            self.verdicts[name] = severity

    def _whatever_stack(self, number: int) -> Array:
        """Where a check holds for every true size with any stack."""
        one = self.ready[number]
        assert one.limits is not None
        held: Any = self.masks[number]
        finite = (
            np.where(np.isfinite(self.box.steps), self.box.steps, 0.0),
            np.where(np.isfinite(self.trade.steps), self.trade.steps, 0.0),
        )
        thickest = np.maximum(*(one.max(axis=1, initial=0.0) for one in finite))
        thinnest = np.minimum(self.box.steps.min(axis=1, initial=np.inf), self.trade.steps.min(axis=1, initial=np.inf))
        for end in (thinnest, thickest):
            ranges = self._range_at(number, end)
            if ranges.loose is not None:
                hangs = ranges.loose & np.isfinite(one.limits.high) & held
                tighten(ranges, self.pieces_at(number, end), self.sizes, self.sizes.lanes_of(hangs), False)
            room = np.broadcast_to(margins(ranges, one.limits.low, one.limits.high), self.sizes.shape)
            held = held & (room.reshape(-1) >= -NOISE)
        return np.asarray(held)

    def pieces_at(self, number: int, thickness: Array) -> list[Affine]:
        """A check's pieces with the stack at a thickness."""
        found = []
        for piece in self.pieces[number]:
            rest, slope = piece.split(self.key)
            found.append(stripped(rest + affine(slope * thickness)))
        return found

    def _range_at(self, number: int, thickness: Array) -> Ranges:
        found = range_of(self.pieces_at(number, thickness), self.sizes)
        found.low, found.middle, found.high = (
            np.broadcast_to(one, self.sizes.shape) for one in (found.low, found.middle, found.high)
        )
        return found


class Adjusted(Moved):
    """One stack with what was found of each check that it moves, and of all together.

    thickness: the likely stack of each lane; least, most: the thinnest and thickest that may be needed.
    """

    def __init__(self, name: str, ready: Sequence[Ready], sizes: Sizes, memo: dict[Any, Any]) -> None:
        super().__init__(name, ready, sizes, memo)
        self.thickness, self.least, self.most = (np.zeros(self.size) for _ in range(3))
        if self.lead is not None:
            self._plan(self.lead)

    @cached_property
    def found(self) -> dict[str, Found]:
        """Of each check: severity after its remedy, margin, remedies."""
        return {one.check.name: self._judge(number, one) for number, one in enumerate(self.ready)}

    def _plan(self, lead: int) -> None:
        """The stacks of each lane: for the sizes as stated, and the thinnest and thickest that may be needed."""
        least, middle, most = self._ideal(lead)
        curable = self.curable
        names = list(curable)
        covered = self.led & self.box_stacks.known & self.box.always(names, curable)
        for lanes, together, stacks in (
            (np.flatnonzero(covered), self.box, self.box_stacks),
            (np.flatnonzero(self.led & ~covered), self.trade, self.trade_stacks),
        ):
            if not len(lanes):
                continue
            counts, steps = stacks.counts[stacks.code[lanes]], together.steps[lanes]
            serving = together.as_stated(names, lanes, curable)
            self.thickness[lanes] = nearest(steps, counts, serving, middle[lanes])
            some = np.flatnonzero(self.hopeless[lanes])  # only a check that fails looks at both ends
            for ends, wanted in ((self.least, least), (self.most, most)):
                at = lanes[some]
                ends[at] = together.nearest_serving(names, at, counts[some], serving[some], wanted[at], curable)

    def _ideal(self, lead: int) -> tuple[Array, Array, Array]:
        """Thickness that would bring the leading check to its aim: least, as stated, greatest."""
        rest, slope = self.pieces[lead][0].split(self.key)
        to_aim = (self.ready[lead].check.target or 0.0) - rest
        ideal = stripped(to_aim * affine(1.0 / np.asarray(slope, dtype=float)))
        middle, spread = (
            np.broadcast_to(one, self.sizes.shape).reshape(-1)
            for one in (self.sizes.at(ideal), self.sizes.spread(ideal))
        )
        return middle - spread, middle, middle + spread

    def _judge(self, number: int, one: Ready) -> Found:
        severity, mask = self.verdicts[one.check.name], self.masks[number]
        found = Found(severity, np.full(self.sizes.shape, np.nan))
        if not self.pieces[number]:
            return found
        assert one.limits is not None
        flat, low, high = severity.reshape(-1), one.limits.low, one.limits.high
        thickness = np.where(flat == NO, 0.0, self.thickness) if number == self.lead else self.thickness
        ranges = self._range_at(number, thickness)
        if ranges.loose is not None:
            hangs = ranges.loose & (np.isfinite(high) | (flat == NO)) & mask
            tighten(ranges, self.pieces_at(number, thickness), self.sizes, np.flatnonzero(hangs), False)
        worst = margins(ranges, low, high)
        as_stated = margins(Ranges(ranges.middle, ranges.middle, ranges.middle, None), low, high)
        found.margin = np.where(mask, np.where((flat == FITS) | (flat == PARTS), as_stated, worst), np.nan)
        failing = np.flatnonzero(mask & (flat == NO))
        if len(failing):
            cures_of(found, one, self.sizes, failing, self._worst(number, ranges, failing))
        return found

    def _worst(self, number: int, at_likely: Ranges, failing: Index) -> Ranges:
        """Range over the box, and over the stacks that may be needed unless the stack itself has failed."""
        low, high = np.array(at_likely.low), np.array(at_likely.high)
        mask = np.zeros(self.sizes.shape, dtype=bool)
        mask[failing] = True
        mask &= self.led
        if mask.any() and number != self.lead:
            for thickness in (self.least, self.most):
                other = self._range_at(number, thickness)
                if other.loose is not None:
                    tighten(
                        other, self.pieces_at(number, thickness), self.sizes, np.flatnonzero(other.loose & mask), False
                    )
                low, high = (
                    np.where(mask, np.minimum(low, other.low), low),
                    np.where(mask, np.maximum(high, other.high), high),
                )
        return Ranges(low, at_likely.middle, high, None)

    @cached_property
    def joint(self) -> Found:
        """Whether one stack serves all that it moves; not asked where one of them has failed."""
        asked = self.led & (np.sum(self.masks, axis=0) > 1)
        for one, mask in zip(self.ready, self.masks, strict=True):
            if mask.any():
                after = self.found[one.check.name].severity.reshape(-1)
                asked &= ~(mask & ((after == NO) | (after == MACHINING) | (self._verdict(one.check.name) == NO)))
        severity = np.full(self.size, APART, dtype=np.int8)
        if asked.any():
            severity[asked] = self._find_verdict(frozenset(one.check.name for one in self.ready), asked)[asked]
        return Found(severity, np.full(self.sizes.shape, np.nan))
