"""What a torque asks of its screw: preload, use of the proof strength, and what the nut factor's scatter makes of both."""

from typing import Any

from bomcheck.notation.types import Thread
from bomcheck.report import Report
from bomcheck.screws.assembly import tightened
from bomcheck.screws.figures import both_units
from bomcheck.screws.preload import nut_factors_seen, preload, proof_load, proof_use


def strength_of(report: Report, joint: str) -> str:
    """ "49 % of the screw's proof strength, 49.7 kN; ..." with what the nut factor's scatter makes of it."""
    values: list[Any] = [
        report.cured.get(f"{joint}_screw_{what}") for what in ("torque", "thread", "class", "condition")
    ]
    if any(value is None for value in values[:3]):
        return ""
    torque, thread, grade, condition = values
    use, load = proof_use(torque, thread, str(grade), condition), proof_load(thread, str(grade))
    if use is None or load is None:
        return ""
    tension = _span(use.low * load / 1000, use.high * load / 1000, 1)
    said = f"{_percent(use.low, use.high)} of the screw's proof strength, {tension} kN"
    return f"{said}; {_scatter(torque, thread, load, condition)}{_book(thread, str(grade))}"


def _scatter(torque: float, thread: Thread, load: float, condition: str | None) -> str:
    """What the nut factors that are seen for this condition make of the figure; an unknown one is a range already."""
    slick, rough = nut_factors_seen(condition)
    factors = f"nut factors of {_span(slick, rough, 2)}"
    if condition is None:
        return f"condition not known, so for {factors}; a wrench scatters by a quarter besides"
    low, high = (preload(torque, thread.diameter, factor) / load for factor in (rough, slick))
    return f"{factors} are seen for {condition}: {_percent(low, high)}; a wrench scatters by a quarter besides"


def _span(low: float, high: float, digits: int) -> str:
    first, last = f"{low:.{digits}f}", f"{high:.{digits}f}"
    return first if first == last else f"{first} to {last}"


def _percent(low: float, high: float) -> str:
    return f"{_span(low * 100, high * 100, 0)} %"


def _book(thread: Thread, grade: str) -> str:
    """What the friction formula allows a metric screw at most, for comparison only."""
    most = tightened(thread, grade)
    return f"; the screw takes at most {both_units(round(most.torque))} by VDI 2230 at friction 0.12" if most else ""
