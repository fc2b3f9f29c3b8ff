"""The checks that a shim stack moves, for many lanes: whether a stack serves them, as `bomcheck.engine.adjust` finds it."""

from collections.abc import Sequence
from typing import Any

import numpy as np

from bomcheck.model.affine import NOISE, Affine
from bomcheck.model.rule import STACKS
from bomcheck.screen.demands import demands_of
from bomcheck.screen.known import affine, stripped
from bomcheck.screen.lanes import Array
from bomcheck.screen.ranges import Ranges, margins, range_of
from bomcheck.screen.ready import Ready, pieces_of
from bomcheck.screen.severities import FITS, NO, PARTS, UNKNOWN
from bomcheck.screen.sizes import Sizes
from bomcheck.screen.stacks import stacks_of
from bomcheck.screen.tightened import tighten
from bomcheck.screen.together import Together


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
