"""The two shim stacks: which checks each moves, whether one stack serves them all, and what may be needed.

Each moved check is judged together with the one that the stack is there for (centring, flush edge); a last finding says
whether a single stack serves all of them at once.
"""

from collections import Counter
from collections.abc import Sequence
from functools import partial

from bomcheck.engine.inputs import Inputs
from bomcheck.engine.judge import Prepared, cured_by, label_of, measured, with_deciding
from bomcheck.engine.laid import Laid
from bomcheck.engine.space import ANYWHERE, Window
from bomcheck.engine.stacks import HOUSE_SIZES, Counting, Moved, Set, Together, fewest, possible_stacks, steps_of
from bomcheck.model.affine import Affine, pieces
from bomcheck.model.finding import Finding, Reason, limit_text, mm, mm_range, with_unit
from bomcheck.model.job import Job
from bomcheck.model.limits import limit_for
from bomcheck.model.records import dataclass, replace
from bomcheck.model.rule import STACKS, Cure
from bomcheck.model.stack import Stack, StackPlan, other_stack
from bomcheck.model.types import Pieces, Thread
from bomcheck.model.verdict import BY_SEVERITY, NO, Verdict
from bomcheck.rules.joint_table import shim_joint, shim_screws

WASHER_ROOM = 1.5  # mm that the hole of a shim or washer may be larger than its screw: common practice, no source
CORNERS = 2  # the box serves both corners of an axle


@dataclass(frozen=True)
class Choice:
    """Stacks to choose from: out of the kit's box (None: not known), and with more pieces bought."""

    box: list[Stack] | None
    trade: list[Stack]


def choices(name: str, job: Job) -> Choice:
    """The stacks that the box gives at one screw and those that the trade gives, within the maker's maximum."""
    mount = job.get("caliper_mount") if name == "radial" else ""
    if mount == "axial lug":  # its screws run along the axle: nothing can be laid under it to raise it
        return Choice([Stack()], [Stack()])
    count, most = stack_limits(name, job)
    kit = job.get(f"shim_sizes_{name}")
    known = {piece.thickness for piece in kit or ()} | set(listed_shims(name, job)) | set(HOUSE_SIZES)
    trade = possible_stacks([(size, count) for size in sorted(known)], count, most)
    if kit is None or mount is None:
        return Choice(None, trade)
    return Choice(possible_stacks(_held(kit, name, job), count, most), trade)


def stack_limits(name: str, job: Job) -> tuple[int, float]:
    """Most pieces, and greatest thickness [mm], of a stack."""
    printed = job.get(f"shim_stack_max_{name}")
    most = (limit_for("shim_stack", job).high or 0.0) if printed is None else printed
    return int(limit_for("shim_pieces", job).high or 0), most


def listed_shims(name: str, job: Job) -> list[float]:
    """Thicknesses [mm] on the price list and the shelf that go on this joint's screws; a hole that is not stated may."""
    screw: Thread | None = job.get(f"{shim_joint(name, job.get)}_screw_thread")
    there = [part for part in (*job.prices, *job.shelf) if part.role == "shim" and part.thickness]
    mine = (part for part in there if passes(part.inner_diameter, screw) and not other_stack(part, name))
    return [part.thickness for part in mine if part.thickness]


def passes(hole: float | None, screw: Thread | None) -> bool:
    """Whether a shim's hole [mm] goes over a screw and is no larger than it must be."""
    return hole is None or screw is None or screw.diameter <= hole <= screw.diameter + WASHER_ROOM


def _held(kit: Sequence[Pieces] | None, name: str, job: Job) -> list[tuple[float, int]]:
    """What the box holds for one screw."""
    return [(piece.thickness, piece.count // (shim_screws(name, job.get) * CORNERS)) for piece in kit or ()]


class Adjusting:
    """One stack of one job: findings of the checks that it moves. window: where bodies want it. blocked: the finding that keeps the stack from being known."""

    def __init__(self, name: str, ready: Sequence[Prepared], sizes: Inputs, window: Window = ANYWHERE) -> None:
        self.name, self.key, self.sizes = name, STACKS[name], sizes
        self.ready = [one for one in ready if one.settled is None]
        self.blocked = next(
            (one.settled for one in ready if one.check.target is not None and one.settled is not None), None
        )
        self.choice = choices(name, sizes.job)
        held = self.choice.box if self.choice.box is not None else [Stack()]
        self.laid = Laid(
            self.key, [_moved(one) for one in self.ready], self.blocked is not None, sizes.box, steps_of(held),
            self.choice.box is not None, steps_of(self.choice.trade), window,
        )  # fmt: skip
        plan = self._plan()
        self.plan = replace(plan, leaves=self.laid.leaves) if plan is not None else None

    def _plan(self) -> StackPlan | None:
        laid = self.laid
        if laid.lead is None:
            return None
        by_thickness = {
            stack.thickness: stack for stack in (self.choice.box if laid.covered else None) or self.choice.trade
        }
        needed = sorted((laid.thickness, *laid.ends()))
        likely, least, most = (by_thickness[one] for one in (laid.thickness, needed[0], needed[-1]))
        if self.choice.box is None or laid.covered:
            return StackPlan(self.name, likely, least, most, laid.covered if self.choice.box is not None else None)
        pieces = self._pieces(likely.pieces)
        if pieces is not None:
            stacks = {stack.thickness: stack for stack in self._stacks(pieces)}
            ready = Together(laid.trade.demands, steps_of(list(stacks.values())))
            ends = sorted((likely.thickness, *(ready.nearest_serving(laid.counting, end) for end in laid.ideal[::2])))
            least, most = stacks[ends[0]], stacks[ends[-1]]
        return StackPlan(self.name, likely, least, most, False, pieces)

    @property
    def pieces(self) -> tuple[tuple[float, int], ...] | None:
        """What must lie at hand for one screw; found late where the box is enough, as it takes a while."""
        if self.plan is None or self.plan.covered is False:
            return self.plan.pieces if self.plan else None
        if self.choice.box is None:
            return () if self.laid.held.always(self.laid.counting) else None
        return self._pieces(
            tuple((Counter(dict(self.plan.likely.pieces)) | Counter(dict(self.plan.most.pieces))).items())
        )

    def _pieces(self, start: Set) -> Set | None:
        """Out of the box as far as that goes, and the fewest beside it. start: some that must be among them."""
        name, job = self.name, self.sizes.job
        held, listed = _held(job.get(f"shim_sizes_{name}"), name, job), listed_shims(name, job)
        if len(self.choice.trade) == 1:  # nothing can be laid here
            return ()
        known = {size for size, _ in held} | set(listed)
        for counting in (self.laid.counting, {self.laid.lead.check: True} if self.laid.lead else {}):
            if self.laid.trade.always(counting):
                serves = partial(self._serve, counting)
                found = fewest(held, sorted(known), start, serves)
                return found or fewest(held, sorted(known | set(HOUSE_SIZES)), start, serves)
        return None

    def _stacks(self, pieces: Set) -> list[Stack]:
        return possible_stacks(pieces, *stack_limits(self.name, self.sizes.job))

    def _serve(self, counting: Counting, pieces: Set) -> bool:
        """Whether every true size finds a stack of these pieces."""
        return bool(Together(self.laid.trade.demands, steps_of(self._stacks(pieces))).always(counting))

    def judge(self) -> list[tuple[Finding, Cure | None]]:
        """All findings of the checks that this stack moves, and one for all of them at once."""
        found = [self._finding(one) for one in self.ready]
        return [*found, *self._joint([finding for finding, _ in found])]

    def _finding(self, one: Prepared) -> tuple[Finding, Cure | None]:
        laid, moved = self.laid, self.laid.moved[one.check.name]
        verdict, thickness = BY_SEVERITY[int(laid.severity[moved.check])], laid.shown_at(moved)
        value = laid.range_at(moved, thickness)
        finding = replace(measured(one, self.sizes, verdict, value, {self.key: thickness}), with_stack=thickness)
        finding = replace(finding, margin=laid.margin_of(moved, value))
        if verdict is Verdict.DOES_NOT_FIT:
            return cured_by(finding, one, self.sizes, laid.worst(moved, value))
        if verdict is Verdict.NOT_KNOWN:
            return self._ask(finding, tuple(laid.pieces_at(moved, thickness))), None
        return self._with_shims(finding, verdict), None

    def _ask(self, finding: Finding, parts: tuple[Affine, ...]) -> Finding:
        if self.blocked is not None:
            return replace(finding, asks=self.blocked.asks, do=self.blocked.do, reason=self.blocked.reason)
        if self.choice.box is None and self.laid.trade.always({finding.check: True}):
            if self.name == "radial" and not self.sizes.has("caliper_mount"):
                return replace(
                    finding,
                    asks=("caliper_mount",),
                    do="Say how the caliper is mounted: on an axial lug shims cannot raise it",
                    reason=Reason.BLANK,
                )
            field = f"shim_sizes_{self.name}"
            do = f"Count the {self.name} shims in the kit's box: sizes and pieces"
            return replace(finding, asks=(field,), do=do, reason=Reason.BLANK)
        if not any(self.sizes.box.half.get(key) for part in parts for key in part.slopes) and self._widest():
            key = self._widest()[0]
            text = f"Measure {label_of(key)} more closely: how thick the shims must be depends on it"
            return replace(finding, asks=(key,), do=text)
        return with_deciding(finding, parts, self.sizes)

    def _with_shims(self, finding: Finding, verdict: Verdict) -> Finding:
        if self.plan is None or finding.value is None or finding.limit is None:
            return finding
        plan = self.plan
        shims = f"{mm(plan.likely.thickness, 2)} of shims" if plan.likely.pieces else "no shims"
        said = f"{with_unit(finding.value.middle, finding.unit)} with {shims}; must be {limit_text(finding.limit)}"
        text = f"Start with {plan.likely} at each screw"
        if plan.least.thickness != plan.most.thickness:
            text += f"; {mm_range(plan.least.thickness, plan.most.thickness, 2)} may be needed"
        if verdict is Verdict.FITS_WITH_PARTS:
            text += "; order the shims that the box does not hold"
        return replace(finding, said=said, do=text)

    def _joint(self, findings: list[Finding]) -> list[tuple[Finding, Cure | None]]:
        if self.laid.lead is None or len(self.ready) < 2:
            return []
        lead = next(one for one in self.ready if one.check.target is not None)
        titles = ", ".join(one.check.title[:1].lower() + one.check.title[1:] for one in self.ready)
        name, title = f"{self.name}_stack_together", f"One {self.name} shim stack that suits all"
        reads = tuple(dict.fromkeys(key for finding in findings for key in finding.reads))
        blank = Finding(name, title, lead.check.interface, Verdict.DOES_NOT_APPLY, reads=reads, source=_SOURCE)
        failing = [one.check.title for one in self.ready if self.laid.verdict(one.check.name) == NO]
        failing += [f.title for f in findings if f.verdict in (Verdict.DOES_NOT_FIT, Verdict.NEEDS_MACHINING)]
        if failing:
            said = f"First cure: {failing[0][:1].lower()}{failing[0][1:]}"
            return [(replace(blank, said=said, reason=Reason.WAITS), None)]
        verdict = BY_SEVERITY[int(self.laid.verdict(*self.laid.moved))]
        asks = next((finding.asks for finding in findings if finding.asks), ()) or self._widest()
        do = _DO.get(verdict, "")
        said, reason = f"One {self.name} stack must serve {titles}", _REASONS.get(verdict, Reason.NONE)
        shared = replace(blank, verdict=verdict, said=said, do=do, reason=reason)
        return [(replace(shared, asks=asks) if verdict is Verdict.NOT_KNOWN else shared, None)]

    def _widest(self) -> tuple[str, ...]:
        """The size whose ± moves the leading check most; empty where there is none."""
        if self.laid.lead is None:
            return ()
        half = self.sizes.box.half
        slopes = self.laid.lead.pieces[0].slopes
        key = max(
            (name for name in half if slopes.get(name)), key=lambda name: abs(slopes[name]) * half[name], default=""
        )
        return self.sizes.trail.get(key, (key,)) if key else ()


def _moved(one: Prepared) -> Moved:
    assert one.limit is not None
    return Moved(one.check.name, pieces(one.check.function(**one.arguments)), one.limit, True, one.check.target)


_DO = {
    Verdict.DOES_NOT_FIT: "No single stack serves all of them: ask the kit maker",
    Verdict.NOT_KNOWN: "Measure more closely: whether one stack serves all of them depends on the true sizes",
    Verdict.FITS_WITH_PARTS: "Order the shims that the box does not hold",
}
_REASONS = {
    Verdict.DOES_NOT_FIT: Reason.NO_COMMON_STACK, Verdict.NOT_KNOWN: Reason.STRADDLES, Verdict.FITS_WITH_PARTS: Reason.SHIMS,
}  # fmt: skip
_SOURCE = "common practice, no source: shims are equal at the screws of a bracket"
