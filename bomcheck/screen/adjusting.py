"""What becomes of the checks that a shim stack moves: the stacks to lay, margins, remedies, for many lanes."""

from collections.abc import Sequence
from functools import cached_property
from typing import Any

import numpy as np

from bomcheck.screen.curing import cures_of
from bomcheck.screen.found import Found
from bomcheck.screen.known import affine, stripped
from bomcheck.screen.lanes import Array, Index
from bomcheck.screen.moved import Moved
from bomcheck.screen.ranges import Ranges, margins
from bomcheck.screen.ready import Ready
from bomcheck.screen.severities import APART, FITS, MACHINING, NO, PARTS
from bomcheck.screen.sizes import Sizes
from bomcheck.screen.stacks import nearest
from bomcheck.screen.tightened import tighten


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
