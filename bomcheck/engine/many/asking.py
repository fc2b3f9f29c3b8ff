"""What to measure first where a pair is not known, as the deciding finding of a single job names it.

A size whose range lies across the limit is named from the lane's own box; what is blank is looked up once for all pairs that
are alike in what is filled in.
"""

from collections.abc import Sequence
from typing import cast

import numpy as np

from bomcheck.engine.clearance import judge_space
from bomcheck.engine.judge import judge_match, judge_range, with_deciding
from bomcheck.engine.judge import prepare as prepare_one
from bomcheck.engine.many.adjusting import Adjusted
from bomcheck.engine.many.checking import judge
from bomcheck.engine.many.known import array
from bomcheck.engine.many.lanes import Array, Index
from bomcheck.engine.many.ready import Ready, pieces_of, prepare
from bomcheck.engine.many.rounds import LINE, Cascade, joint_name
from bomcheck.engine.many.sizes import PairSizes, Sizes
from bomcheck.engine.many.ways import View, as_inputs
from bomcheck.engine.many.world import Pairing, World
from bomcheck.engine.sight import JobSight
from bomcheck.model.affine import Affine
from bomcheck.model.box import Box, Range
from bomcheck.model.finding import Finding
from bomcheck.model.job import Job, Value
from bomcheck.model.records import replace
from bomcheck.model.rule import STACKS
from bomcheck.model.verdict import UNKNOWN, Verdict
from bomcheck.rules import all_checks
from bomcheck.rules.derived import DERIVATIONS


class Boxed:
    """As much of a lane's sizes as the naming of the deciding one looks at."""

    def __init__(self, box: Box, sizes: Sizes, lane: int) -> None:
        self.box = Box(box.middle, {key: half for key, half in box.half.items() if half > 0})
        self.job = View(sizes, np.array([lane])).job
        self.trail = {key: source_of(key, sizes) for key in self.box.half}
        names = dict.fromkeys(name for trail in self.trail.values() for name in trail)
        self.job.values = {name: Value(name, 0.0, _width(sizes, name, lane)) for name in names}


def _width(sizes: Sizes, name: str, lane: int) -> float:
    """The ± of a typed size in one lane."""
    column = sizes.typed(name)
    return 0.0 if column is None else float(sizes.flat(column.halves, np.array([lane]))[0])


def source_of(key: str, sizes: Sizes) -> tuple[str, ...]:
    """The typed fields behind a size, the first that matters first."""
    column = sizes.typed(key)
    if column is not None:
        return (column.source or key,)
    found: list[str] = []
    for way in DERIVATIONS.get(key, ())[:1]:
        for name in way.parameters:
            found.extend(source_of(name, sizes) if name in DERIVATIONS or sizes.typed(name) is not None else ())
    return tuple(dict.fromkeys(found)) or (key,)


def _finding(world: World, job: Job, name: str) -> Finding | None:
    check = all_checks()[name]
    if LINE in check.parameters:
        world.solve_line(job)
    sizes = world.inputs(job)
    if check.kind == "space":
        return judge_space(check, JobSight(sizes))[0]
    one = prepare_one(check, sizes)
    if one.settled is not None or check.stack:
        return one.settled
    return (judge_match(one, sizes) if check.kind == "match" else judge_range(one, sizes, {}))[0]


ACROSS = Finding("", "", "", Verdict.NOT_KNOWN, value=Range(0.0, 0.0, 0.0))


class Asking:
    """The pairs that one finding leaves not known."""

    def __init__(self, world: World, cascade: Cascade, corner: Index, kit: Index, name: str, lanes: Index) -> None:
        self.world, self.cascade, self.name, self.lanes = world, cascade, name, lanes
        self.corner, self.kit = corner[lanes], kit[lanes]
        self.changed = {key: column.take(lanes) for key, column in cascade.changed.items()}
        self.sizes: PairSizes = world.pairs(self.corner, self.kit, self.changed)

    def fields(self) -> list[str]:
        """The field to measure first in each lane, "" for none."""
        checks = all_checks()
        stack = next((s for s in STACKS if self.name == joint_name(s)), "")
        if stack or (self.name in checks and checks[self.name].stack):
            return self._of_stack(stack or checks[self.name].stack, joint=bool(stack))
        if self.name not in checks:
            return [""] * len(self.lanes)
        ready = prepare(checks[self.name], self.sizes)
        across = np.zeros(len(self.lanes), dtype=bool)
        if ready.value is not None:
            across = (judge(ready, self.sizes, cure=False).severity == UNKNOWN) & ready.ready
        return [
            self._across(ready, pieces_of(ready.value), lane) if across[lane] else self._lacking(self.name, lane)
            for lane in range(len(self.lanes))
        ]

    def _across(self, ready: Ready, pieces: list[Affine], lane: int) -> str:
        """The size that decides where the value lies across its limit."""
        assert ready.limits is not None
        box, single = single_box(pieces, self.sizes, lane)
        limit = ready.limits.each[int(self.sizes.flat(ready.limits.codes, np.array([lane]))[0])]
        found = with_deciding(replace(ACROSS, limit=limit), tuple(single), as_inputs(Boxed(box, self.sizes, lane)))
        return found.asks[0] if found.asks else ""

    # stacks ---------------------------------------------------------------------------------------------------------

    def _of_stack(self, stack: str, joint: bool) -> list[str]:
        ready = [prepare(check, self.sizes) for check in all_checks().values() if check.stack == stack]
        moved = Adjusted(stack, ready, self.sizes, self.world.memo)
        if joint:
            return [self._of_joint(moved, lane) for lane in range(len(self.lanes))]
        number = next(n for n, one in enumerate(ready) if one.check.name == self.name)
        return [self._of_moved(moved, number, lane) for lane in range(len(self.lanes))]

    def _of_joint(self, moved: Adjusted, lane: int) -> str:
        """The first field that one of the stack's findings asks for, else the size that moves the stack most."""
        for number, one in enumerate(moved.ready):
            unknown = moved.severity[one.check.name][lane] == UNKNOWN
            if moved.masks[number][lane] and unknown and (field := self._of_moved(moved, number, lane)):
                return field
        return self._widest(moved, lane)

    def _of_moved(self, moved: Adjusted, number: int, lane: int) -> str:
        one = moved.ready[number]
        if not moved.masks[number][lane]:
            return self._lacking(one.check.name, lane)
        if moved.blocked[lane]:
            lead = next(
                n for n, other in enumerate(moved.ready) if other.check.target is not None and not moved.masks[n][lane]
            )
            return self._lacking(moved.ready[lead].check.name, lane)
        if not moved.box_known[lane] and self._with_shims(moved, one.check.name)[lane]:
            mounted = (
                moved.name != "radial" or self.sizes.flat(self.sizes.get("caliper_mount").known, np.array([lane]))[0]
            )
            return f"shim_sizes_{moved.name}" if mounted else "caliper_mount"
        pieces = moved.laid.pieces_at(moved.laid.moved[one.check.name], moved.laid.thickness)
        reach = single_box(pieces, self.sizes, lane)[0].half
        if not any(reach.values()) and (widest := self._widest(moved, lane)):
            return widest
        return self._across(one, pieces, lane)

    def _with_shims(self, moved: Adjusted, name: str) -> Array:
        """Where every true size finds a stack that can be bought."""
        return np.broadcast_to(array(moved.laid.trade.always({name: True})), self.sizes.shape)

    def _widest(self, moved: Adjusted, lane: int) -> str:
        """The size whose ± moves the leading check most."""
        lead = moved.laid.lead
        if lead is None or not np.broadcast_to(array(lead.ready), self.sizes.shape)[lane]:
            return ""
        box, (piece,) = single_box(lead.pieces[:1], self.sizes, lane)
        half = {key: value for key, value in box.half.items() if value > 0 and piece.slopes.get(key)}
        key = max(half, key=lambda name: abs(piece.slopes[name]) * half[name], default="")
        return source_of(key, self.sizes)[0] if key else ""

    def _lacking(self, name: str, lane: int) -> str:
        """The field that is blank, "" for none; looked up once for all pairs of which the same is filled in, in the same words and
        with the same figures where those decide."""
        pairing = cast(Pairing, self.sizes.pairing)
        mark = ("asked", name, *next(pairing.marks(all_checks()[name], np.array([lane]))))
        if mark not in self.world.memo:
            found = _finding(self.world, pairing.single(lane), name)
            field = found.asks[0] if found is not None and found.asks else ""
            if found is not None and found.value is not None:
                return field
            self.world.memo[mark] = field
        return str(self.world.memo[mark])


def single_box(pieces: Sequence[Affine], sizes: Sizes, lane: int) -> tuple[Box, list[Affine]]:
    """One lane's box and pieces."""
    at = np.array([lane])
    keys = dict.fromkeys(key for piece in pieces for key in piece.slopes if key in sizes.middle)
    box = Box(
        {key: float(sizes.flat(sizes.middle[key], at)[0]) for key in keys},
        {key: float(sizes.flat(sizes.half[key], at)[0]) for key in keys},
    )
    return box, [single_piece(piece, sizes, at) for piece in pieces]


def single_piece(piece: Affine, sizes: Sizes, at: Index) -> Affine:
    """One lane's piece."""
    slopes = {key: float(sizes.flat(slope, at)[0]) for key, slope in piece.slopes.items()}
    return Affine(float(sizes.flat(piece.const, at)[0]), {key: slope for key, slope in slopes.items() if slope})
