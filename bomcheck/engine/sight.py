"""The sizes of one job as bodies in space are looked at: edges with their ranges, pairs, and where shims bring the caliper."""

from collections.abc import Mapping
from functools import cache

from bomcheck.engine.inputs import Inputs
from bomcheck.engine.space import ANYWHERE, PLACED, Look, Window, looks, windows_of
from bomcheck.model.affine import Affine
from bomcheck.model.body import Space, terms
from bomcheck.model.box import Range
from bomcheck.model.limits import limit_for
from bomcheck.model.rule import Check
from bomcheck.model.stack import StackPlan
from bomcheck.rules import all_checks


@cache
def spaces() -> tuple[Space, ...]:
    """Every fixed body."""
    return tuple(check.space for check in all_checks().values() if check.space is not None)


class JobSight:
    """The sizes of one job, as `bomcheck.engine.space` looks at them."""

    def __init__(self, sizes: Inputs, plans: Mapping[str, StackPlan] | None = None) -> None:
        self.sizes = sizes
        self.stands: dict[str, float] = {}
        """Where the shims to start with leave the caliper [mm], once they are known."""
        self.laid(plans or {})
        self.windows: dict[str, Window] = dict.fromkeys(PLACED, ANYWHERE)
        """Where the stacks are sure to bring the caliper, once they are judged."""
        self._looked: dict[str, tuple[list[Look], frozenset[str]]] = {}
        self._edges: dict[str, tuple[Affine, Range, frozenset[str]]] = {}
        self._air: dict[str, float] = {}

    def laid(self, plans: Mapping[str, StackPlan]) -> None:
        """Take in the stacks to start with; what is stated then stands there, inside what may come of them."""
        for name, plan in plans.items():
            allowed = self.ends(Affine(0.0, {PLACED[name]: 1.0})) if self.sizes.has(PLACED[name]) else None
            if allowed is not None:
                self.stands[PLACED[name]] = min(max(plan.leaves, allowed.low), allowed.high)

    def _edge(self, text: str) -> tuple[Affine, Range, frozenset[str]]:
        """An edge, its range, and the keys behind it, which count as touched each time."""
        if text not in self._edges:
            outside, self.sizes.touched = self.sizes.touched, set()
            constant, factors = terms(text)
            slopes: dict[str, float] = {}
            for key, factor in factors:
                size = self.sizes[key]
                if isinstance(size, Affine):
                    constant += factor * size.const
                    for name, slope in size.slopes.items():
                        slopes[name] = slopes.get(name, 0.0) + factor * slope
                else:
                    constant += factor * size
            edge = Affine(constant, slopes)
            self._edges[text] = edge, self.ends(edge), frozenset(self.sizes.touched)
            self.sizes.touched = outside
        found = self._edges[text]
        self.sizes.touched |= found[2]
        return found

    def looks(self, space: Space) -> list[Look]:
        """All pairs of a body that may be there, wherever the shims leave the caliper; found once."""
        name = space.body.name
        if name not in self._looked:
            outside, self.sizes.touched = self.sizes.touched, set()
            found = [look for look in looks(space, self) if look.there]
            self._looked[name] = found, frozenset(self.sizes.touched)
            self.sizes.touched = outside
        self.sizes.touched |= self._looked[name][1]
        return self._looked[name][0]

    def wanted(self) -> dict[str, Window]:
        """Where all bodies together ask that the shims bring the caliper."""
        return windows_of([look for space in spaces() for look in self.looks(space)], self)

    def leans_on_shims(self, check: Check) -> bool:
        """Whether the verdict on a body hangs on where the shims leave the caliper."""
        assert check.space is not None
        unsure = [look for look in self.looks(check.space) if not look.clear and not look.never]
        return any(key in way.slopes for look in unsure for way in look.ways for key in PLACED.values())

    def edge(self, text: str) -> Affine:
        """An edge as it is written in a row."""
        return self._edge(text)[0]

    def ends(self, value: Affine) -> Range:
        """Its range over the ±; as stated with the shims to start with."""
        box = self.sizes.box
        middle, spread, moved = value.const, 0.0, 0.0
        for key, slope in value.slopes.items():
            middle += slope * box.middle[key]
            spread += abs(slope) * box.half[key]
            if key in self.stands:
                moved += slope * (self.stands[key] - box.middle[key])
        return Range(middle - spread, middle + moved, middle + spread)

    def edge_ends(self, text: str) -> Range:
        """The range of an edge, found once."""
        return self._edge(text)[1]

    def holds(self, when: Mapping[str, tuple[str, ...]]) -> tuple[bool, bool]:
        """(surely, maybe): whether an arrangement is there."""
        sure = True
        for key, allowed in when.items():
            if not self.sizes.has(key):
                sure = False
            elif self.sizes[key] not in allowed:
                return False, False
        return sure, True

    def air(self, limit: str) -> float:
        """The least air [mm]."""
        if limit not in self._air:
            self._air[limit] = limit_for(limit, self.sizes.job).low or 0.0
        return self._air[limit]

    def some(self, found: bool) -> bool:
        """Whether it holds."""
        return found

    def greatest(self, values: list[float]) -> float:
        """The greatest of some numbers."""
        return max(values)

    def chosen(self, mask: bool, one: Range, other: Range) -> Range:
        """One of the two."""
        return one if mask else other
