"""The two shim stacks: which checks each moves, whether one stack serves them all, and what may be needed.

Each moved check is judged together with the one that the stack is there for (centring, flush edge); a last finding says
whether a single stack serves all of them at once.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from bomcheck.engine.inputs import Inputs
from bomcheck.engine.judge import Prepared, cured_by, fix, label_of, measured, with_deciding
from bomcheck.engine.stacks import HOUSE_SIZES, Moved, Together, ideal_thickness, nearest, possible_stacks
from bomcheck.model.affine import Affine, pieces
from bomcheck.model.box import Range
from bomcheck.model.finding import Finding, Reason, limit_text, mm, mm_range, with_unit
from bomcheck.model.limits import limit_for
from bomcheck.model.rule import STACKS, Cure
from bomcheck.model.stack import Stack, StackPlan
from bomcheck.model.verdict import Verdict, inside, margin

SCREWS, CORNERS = 2, 2  # screws of one bracket; the box serves both corners of an axle


@dataclass(frozen=True)
class Choice:
    """Stacks to choose from: out of the kit's box (None: not known), and with more pieces bought."""

    box: list[Stack] | None
    trade: list[Stack]


def choices(name: str, sizes: Inputs) -> Choice:
    """The stacks that the box gives at one screw and those that the trade gives, within the maker's maximum."""
    job = sizes.job
    mount = job.get("caliper_mount") if name == "radial" else ""
    if mount == "axial lug":  # its screws run along the axle: nothing can be laid under it to raise it
        return Choice([Stack()], [Stack()])
    printed = job.get(f"shim_stack_max_{name}")
    most = (limit_for("shim_stack", job).high or 0.0) if printed is None else printed
    count = int(limit_for("shim_pieces", job).high or 0)
    kit = job.get(f"shim_sizes_{name}")
    listed = [part.thickness for part in (*job.prices, *job.shelf) if part.role == "shim" and part.thickness]
    known = {piece.thickness for piece in kit or ()} | set(listed) | set(HOUSE_SIZES)
    trade = possible_stacks([(size, count) for size in sorted(known)], count, most)
    if kit is None or mount is None:
        return Choice(None, trade)
    held = [(piece.thickness, piece.count // (SCREWS * CORNERS)) for piece in kit]
    return Choice(possible_stacks(held, count, most), trade)


class Adjusting:
    """One stack and the checks it moves."""

    def __init__(self, name: str, ready: Sequence[Prepared], sizes: Inputs) -> None:
        self.name, self.key, self.sizes = name, STACKS[name], sizes
        self.ready = [one for one in ready if one.settled is None]
        self.moved = {one.check.name: self._moved(one) for one in self.ready}
        self.lead = next((one for one in self.ready if one.check.target is not None), None)
        self.blocked = next(
            (one.settled for one in ready if one.check.target is not None and one.settled is not None), None
        )
        self.choice = choices(name, sizes)
        self._verdicts: dict[frozenset[str], Verdict] = {}
        self._free: dict[str, bool] = {}
        thicknesses = [stack.thickness for stack in (*self.choice.trade, *(self.choice.box or ()))]
        self._ends = {min(thicknesses), max(thicknesses)}
        self.plan = self._plan()

    def _moved(self, one: Prepared) -> Moved:
        assert one.limit is not None
        return Moved(pieces(one.check.function(**one.arguments)), one.limit)

    def together(self, *names: str) -> Together:
        return Together([self.moved[name] for name in names], self.key, self.sizes.box)

    def _plan(self) -> StackPlan | None:
        if self.lead is None:
            return None
        target = self.lead.check.target or 0.0
        least, middle, most = ideal_thickness(self.moved[self.lead.check.name], self.key, self.sizes.box, target)
        whole = self.together(*self._curable())
        covered = None if self.choice.box is None else whole.always(self.choice.box)
        stacks = self.choice.box if covered and self.choice.box else self.choice.trade
        serving = [stack for stack in stacks if whole.serves_as_stated(stack.thickness)] or stacks
        usable = [stack for stack in stacks if whole.may_serve(stack.thickness)] or stacks
        return StackPlan(self.name, nearest(serving, middle), nearest(usable, least), nearest(usable, most), covered)

    def _curable(self) -> list[str]:
        """The leading check and all that some stack may serve with it; what no stack serves does not choose the shims."""
        assert self.lead is not None
        lead = self.lead.check.name
        if self._verdict(lead) is Verdict.DOES_NOT_FIT:
            return [lead]
        return [name for name in self.moved if self._verdict(lead, name) is not Verdict.DOES_NOT_FIT]

    def judge(self) -> list[tuple[Finding, Cure | None]]:
        """All findings of the checks that this stack moves, and one for all of them at once."""
        lead_name = self.lead.check.name if self.lead else ""
        lead_fails = bool(lead_name) and self._verdict(lead_name) is Verdict.DOES_NOT_FIT
        found = []
        for one in self.ready:
            names = {one.check.name} if lead_fails or not lead_name else {lead_name, one.check.name}
            found.append(self._finding(one, self._verdict_of(one, names)))
        return [*found, *self._joint([finding for finding, _ in found])]

    def _verdict_of(self, one: Prepared, names: set[str]) -> Verdict:
        if one is not self.lead and self._whatever(one.check.name):
            return Verdict.FITS
        found = self._verdict(*names)
        if self.blocked is not None and found is not Verdict.DOES_NOT_FIT:
            return Verdict.NOT_KNOWN  # which stack will be laid is not known yet
        return found

    def _whatever(self, name: str) -> bool:
        """Whether the check holds for every true size with any stack, so that the choice of a stack does not matter."""
        if name not in self._free:
            self._free[name] = self._holds_for_any(self.moved[name])
        return self._free[name]

    def _holds_for_any(self, moved: Moved) -> bool:
        ranges = [self.sizes.box.range([fix(piece, {self.key: end}) for piece in moved.pieces]) for end in self._ends]
        return all(inside(found, moved.limit) for found in ranges)

    def _verdict(self, *names: str) -> Verdict:
        known = frozenset(name for name in names if not self._whatever(name))
        if known not in self._verdicts:
            self._verdicts[known] = self._find_verdict(*known)
        return self._verdicts[known]

    def _find_verdict(self, *names: str) -> Verdict:
        together = self.together(*names)
        box, trade = self.choice.box, self.choice.trade
        if together.always(box if box is not None else [Stack()]):
            return Verdict.FITS
        if together.never(trade):
            return Verdict.DOES_NOT_FIT
        if box is not None and together.always(trade):
            return Verdict.FITS_WITH_PARTS
        return Verdict.NOT_KNOWN

    def _finding(self, one: Prepared, verdict: Verdict) -> tuple[Finding, Cure | None]:
        thickness = self.plan.likely.thickness if self.plan else 0.0
        if verdict is Verdict.DOES_NOT_FIT and one is self.lead:
            thickness = 0.0
        at = {self.key: thickness}
        parts = tuple(fix(piece, at) for piece in self.moved[one.check.name].pieces)
        finding = replace(measured(one, self.sizes, verdict, self.sizes.box.range(parts), at), with_stack=thickness)
        if verdict is Verdict.DOES_NOT_FIT:
            return cured_by(finding, one, self.sizes, self._worst(one, parts))
        if verdict is Verdict.NOT_KNOWN:
            return self._ask(finding, parts), None
        assert finding.value is not None
        assert finding.limit is not None
        as_stated = margin(finding.value.middle, finding.value.middle, finding.limit)  # shims take up the rest
        return self._with_shims(replace(finding, margin=as_stated), verdict), None

    def _worst(self, one: Prepared, parts: tuple[Affine, ...]) -> Range:
        """Range over the box, and over the stacks that may be needed unless the stack itself has failed."""
        ranges = [self.sizes.box.range(parts)]
        if self.plan is not None and one is not self.lead:
            for stack in (self.plan.least, self.plan.most):
                at = {self.key: stack.thickness}
                ranges.append(self.sizes.box.range([fix(p, at) for p in self.moved[one.check.name].pieces]))
        return Range(min(r.low for r in ranges), ranges[0].middle, max(r.high for r in ranges))

    def _ask(self, finding: Finding, parts: tuple[Affine, ...]) -> Finding:
        if self.blocked is not None:
            return replace(finding, asks=self.blocked.asks, do=self.blocked.do, reason=self.blocked.reason)
        if self.choice.box is None and self.together(finding.check).always(self.choice.trade):
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
        if self.lead is None or len(self.ready) < 2:
            return []
        titles = ", ".join(one.check.title[:1].lower() + one.check.title[1:] for one in self.ready)
        name, title = f"{self.name}_stack_together", f"One {self.name} shim stack that suits all"
        reads = tuple(dict.fromkeys(key for finding in findings for key in finding.reads))
        blank = Finding(name, title, self.lead.check.interface, Verdict.DOES_NOT_APPLY, reads=reads, source=_SOURCE)
        failing = [one.check.title for one in self.ready if self._verdict(one.check.name) is Verdict.DOES_NOT_FIT]
        failing += [f.title for f in findings if f.verdict in (Verdict.DOES_NOT_FIT, Verdict.NEEDS_MACHINING)]
        if failing:
            said = f"First cure: {failing[0][:1].lower()}{failing[0][1:]}"
            return [(replace(blank, said=said, reason=Reason.WAITS), None)]
        verdict = self._verdict(*self.moved)
        asks = next((finding.asks for finding in findings if finding.asks), ()) or self._widest()
        do = _DO.get(verdict, "")
        said, reason = f"One {self.name} stack must serve {titles}", _REASONS.get(verdict, Reason.NONE)
        shared = replace(blank, verdict=verdict, said=said, do=do, reason=reason)
        return [(replace(shared, asks=asks) if verdict is Verdict.NOT_KNOWN else shared, None)]

    def _widest(self) -> tuple[str, ...]:
        """The size whose ± moves the leading check most; empty where there is none."""
        if self.lead is None:
            return ()
        half = self.sizes.box.half
        slopes = self.moved[self.lead.check.name].pieces[0].slopes
        key = max(
            (name for name in half if slopes.get(name)), key=lambda name: abs(slopes[name]) * half[name], default=""
        )
        return self.sizes.trail.get(key, (key,)) if key else ()


_DO = {
    Verdict.DOES_NOT_FIT: "No single stack serves all of them: ask the kit maker",
    Verdict.NOT_KNOWN: "Measure more closely: whether one stack serves all of them depends on the true sizes",
    Verdict.FITS_WITH_PARTS: "Order the shims that the box does not hold",
}
_REASONS = {
    Verdict.DOES_NOT_FIT: Reason.NO_COMMON_STACK,
    Verdict.NOT_KNOWN: Reason.STRADDLES,
    Verdict.FITS_WITH_PARTS: Reason.SHIMS,
}
_SOURCE = "common practice, no source: shims are equal at the screws of a bracket"
