"""Where to start with the shims and how to go on from there."""

from dataclasses import dataclass

from bomcheck.derived import DERIVATIONS
from bomcheck.report import Report
from bomcheck.verdict.adjust import StackPlan
from bomcheck.verdict.inputs import Inputs, Missing
from bomcheck.verdict.limits import Limit, limit_for


@dataclass(frozen=True, slots=True)
class Shims:
    """title; start: the first stack, the same at every screw. span: what may be needed. adjust: how to go on."""

    title: str
    start: str
    span: str
    adjust: tuple[str, ...]


SAME = "The same stack at every screw of the bracket, against the bracket, never under a head."


def shim_rows(report: Report) -> tuple[Shims, ...]:
    """One entry for each stack that this arrangement has."""
    made = {"axial": _axial, "radial": _radial}
    return tuple(made[name](report, plan) for name, plan in report.plans.items() if name in made)


def _axial(report: Report, plan: StackPlan) -> Shims:
    build = report.cured.get("caliper_build")
    within = (
        f" until it is within {_most(limit_for(f'axial_error_{build}', report.cured)):g} mm"
        if build in ("fixed", "sliding")
        else ""
    )
    way = _direction(report)
    adjust = (
        "With the bracket snug, measure the gap between rotor and caliper on both sides with feelers, at three points of the rotor.",
        f"Move the caliper by half the difference{within}.{way}",
        SAME,
    )
    return Shims("Caliper centred on the rotor", str(plan.likely), _span(plan), adjust)


def _direction(report: Report) -> str:
    """Which way more shims push the caliper."""
    try:
        toward = Inputs(report.cured, DERIVATIONS).number("shim_direction")
    except Missing:
        return " Try one shim to see which way it moves."
    near, far = ("inboard", "outboard") if toward > 0 else ("outboard", "inboard")
    return f" More shims move it {near}, fewer {far}."


def _radial(report: Report, plan: StackPlan) -> Shims:
    edge = limit_for("flush_edge", report.cured)
    adjust = (
        (
            "Look along the rotor's edge at both ends of the pad: its top edge lies "
            f"{abs(edge.high or 0.0):g} to {abs(edge.low or 0.0):g} mm inside, never above."
        ),
        "More shims move the pads outward, fewer inward, by as much as their thickness.",
        SAME,
    )
    return Shims("Pads flush with the rotor's edge", str(plan.likely), _span(plan), adjust)


def _span(plan: StackPlan) -> str:
    least, most = plan.least.thickness, plan.most.thickness
    return "no other expected" if least == most else f"{least:.2f} to {most:.2f} mm"


def _most(limit: Limit) -> float:
    return limit.high or 0.0
