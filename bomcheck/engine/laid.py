"""What a shim stack does to the checks that it moves: their verdicts before any remedy, the stack to lay, their ranges.

Each moved check is judged together with the one that the stack is there for (centring, flush edge). Written once for the
numbers of one job and of many at once; verdicts are their severities.
"""

from collections.abc import Sequence
from functools import cached_property

from bomcheck.engine.space import ANYWHERE, Window
from bomcheck.engine.stacks import Counting, Moved, Steps, Together, demands_of, ideal_thickness
from bomcheck.model.affine import Affine
from bomcheck.model.box import Box, Range
from bomcheck.model.numbers import Number, Truth, greater, isnt, lesser, pick, some
from bomcheck.model.verdict import FITS, NO, PARTS, UNKNOWN, holds, margin

WINDOW = "where bodies need the caliper"


class Laid:
    """One stack. moved: the checks. blocked: where the check that the stack is there for is itself not known, so that it is not
    known either which stack will be laid. held: stacks from the kit's box, known: where they are. trade: with more bought.

    window: where bodies ask that the leading check comes to. free: checks, by name, that hold with any stack. severity: of each
    check, where it is ready. hopeless: where some check fails with any stack that serves the leading one.
    """

    def __init__(
        self, key: str, moved: Sequence[Moved], blocked: Truth, box: Box, held: Steps, known: Truth, trade: Steps,
        window: Window = ANYWHERE,
    ) -> None:  # fmt: skip
        self.key, self.box, self.known, self.blocked = key, box, known, blocked
        self.moved = {one.check: one for one in moved}
        self.lead = next((one for one in moved if one.target is not None and some(one.ready)), None)
        self.window = window
        asked = [] if self.lead is None else [Moved(WINDOW, self.lead.pieces, window, self.lead.ready & window.asked)]
        demands = demands_of((*moved, *asked), key, box)
        self.held, self.trade = Together(demands, held, box.shape), Together(demands, trade, box.shape)
        self.led: Truth = False if self.lead is None else self.lead.ready
        self.free = {one.check: self._holds_with_any(one) for one in moved}
        self._found: dict[frozenset[str], Number] = {}
        self.hopeless: Truth = False
        self._curable: dict[str, Truth] = {}
        self.severity = {one.check: self._judged(one) for one in moved}

    def verdict(self, *names: str) -> Number:
        """Severity: whether for every true size there is a stack that serves the checks, with parts or without; or for none."""
        mark = frozenset(names)
        if mark not in self._found:
            self._found[mark] = self._find(
                {name: isnt(self.free[name]) for name in names if some(isnt(self.free[name]))}
            )
        return self._found[mark]

    def _find(self, counting: Counting) -> Number:
        fits = self.held.always(counting)
        rest = isnt(fits)
        if not some(rest):
            return pick(fits, FITS, UNKNOWN)
        never = self.trade.never(counting, rest)
        rest = rest & isnt(never)
        parts = rest & self.known & self.trade.always(counting) if some(rest & self.known) else False
        return pick(fits, FITS, pick(never, NO, pick(parts, PARTS, UNKNOWN)))

    def _judged(self, one: Moved) -> Number:
        """Severity of one check with the leading one, and whether it counts when the stack is chosen."""
        alone = self.verdict(one.check)
        if self.lead is None:
            return self._said(one, alone)
        fails = self.led & (self.verdict(self.lead.check) == NO)
        if one is self.lead:
            self._curable[one.check] = True
            return self._said(one, alone)
        pair = pick(self.led, self.verdict(self.lead.check, one.check), alone)
        self._curable[one.check] = isnt(fails) & (pair != NO)
        self.hopeless = self.hopeless | (one.ready & (pair == NO))
        return self._said(one, pick(fails, alone, pair))

    def _said(self, one: Moved, found: Number) -> Number:
        found = pick(self.blocked & (found != NO), UNKNOWN, found)
        return found if one is self.lead else pick(self.free[one.check], FITS, found)

    def _holds_with_any(self, one: Moved) -> Truth:
        """Where a check holds for every true size with any stack."""
        held: Truth = one.ready
        for end in (
            lesser(self.held.steps.thickness[0], self.trade.steps.thickness[0]),
            greater(self.held.thickest, self.trade.thickest),
        ):
            if not some(held):
                return held
            held = held & holds(self.range_at(one, end), one.limit)[0]
        return held

    # the stack to lay ------------------------------------------------------------------------------------------------------

    @cached_property
    def counting(self) -> dict[str, Truth]:
        """The leading check and all that some stack may serve with it; what no stack serves does not choose the shims."""
        return {**self._own, WINDOW: self.served} if some(self.served) else self._own

    @cached_property
    def _own(self) -> dict[str, Truth]:
        return {name: counts & isnt(self.free[name]) for name, counts in self._curable.items() if some(counts)}

    @cached_property
    def served(self) -> Truth:
        """Where every true size finds a stack that brings the leading check into the window, and serves all else that counts:
        out of the kit's box, or bought where shims must be bought anyway."""
        asked = self.led & self.window.asked & self.known & isnt(self.blocked)
        if self.lead is None or not some(asked):
            return False
        both = {**self._own, WINDOW: asked}
        served = asked & self.held.always(both)
        bought = asked & isnt(served) & (self.severity[self.lead.check] == PARTS)
        return served | (bought & self.trade.always(both)) if some(bought) else served

    @cached_property
    def covered(self) -> Truth:
        """Where the pieces of the box serve every true size."""
        return self.led & self.known & self.held.always(self.counting)

    @cached_property
    def ideal(self) -> tuple[Number, Number, Number]:
        """Thickness that would bring the leading check to its target: least, as stated, greatest."""
        assert self.lead is not None
        return ideal_thickness(self.lead, self.key, self.box)

    @cached_property
    def thickness(self) -> Number:
        """The stack to lay for the sizes as stated."""
        if self.lead is None:
            return 0.0
        found = [
            stacks.nearest(stacks.as_stated(self.counting), self.ideal[1]) if some(where) else 0.0
            for stacks, where in ((self.held, self.covered), (self.trade, self.led & isnt(self.covered)))
        ]
        return pick(self.led, pick(self.covered, *found), 0.0)

    def ends(self, where: Truth = True) -> tuple[Number, Number]:
        """The thinnest and the thickest stack that may be needed, in some lanes."""
        found = []
        for wanted in (self.ideal[0], self.ideal[2]):
            each = [
                stacks.nearest_serving(self.counting, wanted, here) if some(here) else 0.0
                for stacks, here in (
                    (self.held, where & self.covered),
                    (self.trade, where & self.led & isnt(self.covered)),
                )
            ]
            found.append(pick(self.led, pick(self.covered, *each), 0.0))
        return found[0], found[1]

    @cached_property
    def ends_of_hopeless(self) -> tuple[Number, Number]:
        """The same where a check fails: only there both ends are looked at for its remedy."""
        return self.ends(self.hopeless)

    @property
    def leaves(self) -> Number:
        """Where that stack brings the leading check."""
        return 0.0 if self.lead is None else self.pieces_at(self.lead, self.thickness)[0].at(self.box.middle)

    # ranges ----------------------------------------------------------------------------------------------------------------

    def pieces_at(self, one: Moved, thickness: Number) -> list[Affine]:
        """A check's pieces with the stack at a thickness."""
        parts = (piece.split(self.key) for piece in one.pieces)
        return [rest + slope * thickness for rest, slope in parts]

    def range_at(self, one: Moved, thickness: Number) -> Range:
        """A check's range with the stack at a thickness."""
        return self.box.range(self.pieces_at(one, thickness), one.ready)

    def shown_at(self, one: Moved) -> Number:
        """The stack with which a check's value is stated: none where the stack itself has failed."""
        return pick(self.severity[one.check] == NO, 0.0, self.thickness) if one is self.lead else self.thickness

    def margin_of(self, one: Moved, value: Range) -> Number:
        """Room to the limit in the worst case; as stated where shims take up the rest."""
        worst, stated = margin(value.low, value.high, one.limit), margin(value.middle, value.middle, one.limit)
        return pick(self.severity[one.check] <= PARTS, stated, worst)

    def worst(self, one: Moved, value: Range, where: Truth = True) -> Range:
        """Range over the box, and over the stacks that may be needed unless the stack itself has failed."""
        low, high = value.low, value.high
        where = where & self.led
        if self.lead is not None and one is not self.lead and some(where):
            for thickness in self.ends_of_hopeless:
                other = self.range_at(one, thickness)
                low, high = pick(where, lesser(low, other.low), low), pick(where, greater(high, other.high), high)
        return Range(low, value.middle, high)
