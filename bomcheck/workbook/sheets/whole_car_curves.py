"""The lines of the Whole car sheet's charts."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from bomcheck.job import Job
from bomcheck.system.series import HeatCurves, StrokeBudget, heat_curves, stroke_budget
from bomcheck.system.series_balance import GripCurves, ShareCurves, grip_curves, share_curves
from bomcheck.verdict.inputs import Inputs
from bomcheck.workbook import palette

SHARE_AXES = ("deceleration, in g", "front share")


@dataclass(frozen=True, slots=True)
class Curve:
    """One line of a chart: name, figures across and up (None: off the chart), colour, dash."""

    name: str
    across: tuple[float, ...]
    up: tuple[float | None, ...]
    colour: str
    dash: str = "solid"


def charts_of(job: Job, sizes: Inputs) -> Iterator[tuple[str, list[Curve], tuple[str, str]]]:
    """Title, lines and the two axes' names of each chart that can be drawn."""
    grip, heat, stroke = grip_curves(job, sizes), heat_curves(job, sizes), stroke_budget(job, sizes)
    if grip:
        yield "Grip that each axle uses, against deceleration", list(_grip(grip)), ("deceleration, in g", "grip used")
    share = share_curves(job, sizes)
    if share:
        yield "Front axle's share of the braking, against deceleration", list(_share(share)), SHARE_AXES
    if heat:
        yield "Rotor and fluid over the stops of this duty", list(_heat(heat)), ("seconds", "°C")
    if stroke:
        yield "Stroke of the master cylinder, added up", list(_stroke(stroke)), ("part of the stroke", "mm")


def _grip(curves: GripCurves) -> Iterator[Curve]:
    yield Curve("both axles alike", curves.rates, curves.ideal, palette.QUIET, "dash")
    pairs = (
        ("front, now", curves.front_now, palette.SKY, "square_dot"),
        ("rear, now", curves.rear_now, palette.ORANGE, "square_dot"),
        ("front, with the kit", curves.front_kit, palette.BLUE, "solid"),
        ("rear, with the kit", curves.rear_kit, palette.VERMILLION, "solid"),
    )
    for name, up, colour, dash in pairs:
        if up:
            yield Curve(name, curves.rates, up, colour, dash)
    if curves.tyre_grip is not None:
        yield _level("grip of the road", curves.rates, curves.tyre_grip, palette.INK)


def _share(curves: ShareCurves) -> Iterator[Curve]:
    yield Curve("uses the grip of both axles alike", curves.rates, curves.ideal, palette.QUIET, "dash")
    if curves.now:
        yield Curve("now", curves.rates, curves.now, palette.SKY, "square_dot")
    if curves.kit:
        yield Curve("with the kit", curves.rates, curves.kit, palette.BLUE)


def _heat(curves: HeatCurves) -> Iterator[Curve]:
    if curves.rotor_now:
        yield Curve("rotor, now", curves.times, curves.rotor_now, palette.ORANGE, "square_dot")
    yield Curve("rotor, with the kit" if curves.rotor_now else "rotor", curves.times, curves.rotor, palette.VERMILLION)
    yield Curve("fluid in the caliper", curves.times, curves.fluid, palette.BLUE)
    levels = (
        ("pad works from", curves.pad_low, palette.GREEN),
        ("pad works up to", curves.pad_high, palette.INK),
        ("fluid boils, dry", curves.fluid_dry, palette.SKY),
        ("fluid boils, wet", curves.fluid_wet, palette.PURPLE),
    )
    for name, level, colour in levels:
        if level is not None:
            yield _level(name, curves.times, level, colour)


def _stroke(budget: StrokeBudget) -> Iterator[Curve]:
    steps = tuple(float(number) for number in range(len(budget.kit) + 1))
    if budget.now:
        yield Curve("now", steps, _added(budget.now), palette.SKY, "square_dot")
    yield Curve("with the kit", steps, _added(budget.kit), palette.BLUE)
    if budget.there_is is not None:
        yield _level("stroke there is", steps, budget.there_is, palette.INK)
    if budget.most is not None:
        yield _level("most of it to use", steps, budget.most, palette.ORANGE)


def _added(parts: Sequence[float]) -> tuple[float, ...]:
    return tuple(sum(parts[:count]) for count in range(len(parts) + 1))


def _level(name: str, across: tuple[float, ...], level: float, colour: str) -> Curve:
    return Curve(name, (across[0], across[-1]), (level, level), colour, "long_dash")
