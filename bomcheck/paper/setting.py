"""Where to start with the shims and how to go on from there."""

from collections.abc import Sequence

from bomcheck.engine.inputs import Inputs
from bomcheck.model.limits import limit_for
from bomcheck.model.records import dataclass
from bomcheck.model.report import Report
from bomcheck.model.sizes import Missing
from bomcheck.model.stack import FOR, Stack, StackPlan
from bomcheck.rules.derived import DERIVATIONS


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
    lug = report.cured.get("caliper_mount") == "axial lug"  # nothing can be laid there that raises it
    made = {"axial": _axial} if lug else {"axial": _axial, "radial": _radial}
    return tuple(made[name](report, plan) for name, plan in report.plans.items() if name in made)


def lengths(values: Sequence[float], system: str) -> str:
    """One length [mm] or a span of two in the job's units; hundredths of a mm, thousandths where the size has them.

    >>> lengths((0.762,), "inch"), lengths((0.0, 1.5), "metric"), lengths((0.762,), "metric")
    ('0.030 in', '0 to 1.50 mm', '0.762 mm')
    """
    fine = system == "inch" or any(abs(value - round(value, 2)) > 1e-6 for value in values)
    factor, unit = (25.4, "in") if system == "inch" else (1.0, "mm")
    return f"{' to '.join(f'{value / factor:.{3 if fine else 2}f}' if value else '0' for value in values)} {unit}"


def stack_words(stack: Stack, system: str) -> str:
    """ "0.80 mm (2 x 0.40 mm)", "0.030 in (1 x 0.030 in)", "no shims"."""
    if not stack.pieces:
        return "no shims"
    inner = " + ".join(f"{count} x {lengths((size,), system)}" for size, count in stack.pieces)
    return f"{lengths((stack.thickness,), system)} ({inner})"


def _system(report: Report) -> str:
    return "inch" if report.job.get("units") == "inch" else "metric"


def _axial(report: Report, plan: StackPlan) -> Shims:
    build = report.cured.get("caliper_build")
    within = (
        f" until it is within {_gap(limit_for(f'axial_error_{build}', report.cured).high or 0.0, report)}"
        if build in ("fixed", "sliding")
        else ""
    )
    way = _direction(report)
    adjust = (
        "With the bracket snug, measure the gap between rotor and caliper on both sides with feelers, at three points of the rotor.",
        f"Move the caliper by half the difference{within}.{way}",
        SAME,
    )
    return Shims(FOR["axial"], stack_words(plan.likely, _system(report)), _span(plan, _system(report)), adjust)


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
            f"{_gap(abs(edge.high or 0.0), report, bare=True)} to {_gap(abs(edge.low or 0.0), report)} inside, never above."
        ),
        "More shims move the pads outward, fewer inward, by as much as their thickness.",
        SAME,
    )
    return Shims(FOR["radial"], stack_words(plan.likely, _system(report)), _span(plan, _system(report)), adjust)


def _gap(value: float, report: Report, bare: bool = False) -> str:
    """A gap to be measured [mm] in the job's units, without needless zeros in mm; bare: without the unit."""
    words = lengths((value,), "inch") if _system(report) == "inch" else f"{value:g} mm"
    return words.partition(" ")[0] if bare else words


def _span(plan: StackPlan, system: str) -> str:
    least, most = plan.least.thickness, plan.most.thickness
    return "no other expected" if least == most else lengths((least, most), system)
