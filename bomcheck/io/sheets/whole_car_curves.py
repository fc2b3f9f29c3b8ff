"""The lines of the Whole car sheet's charts. Dash and mark tell them apart without colour.

Solid: with the kit; dotted: now; dashes: the fluid, and what they are held against. Marks: the rear axle.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from bomcheck.car.figures import scales
from bomcheck.car.series import (
    GripCurves,
    HeatCurves,
    ShareCurves,
    StrokeBudget,
    grip_curves,
    heat_curves,
    share_curves,
    stroke_budget,
)
from bomcheck.car.states import Beside
from bomcheck.engine.inputs import Inputs
from bomcheck.io import layout as palette
from bomcheck.model.job import Job
from bomcheck.model.records import dataclass

NOW, KIT, ALIKE = "round_dot", "solid", "dash"
RATE = "deceleration, in g"


@dataclass(frozen=True, slots=True)
class Curve:
    """One line of a chart: name, figures or names across, figures up (None: off the chart), colour, dash.

    mark: "" for none, else a form at each point, filled or hollow. width [pt].
    """

    name: str
    across: tuple[float | str, ...]
    up: tuple[float | None, ...]
    colour: str
    dash: str = KIT
    mark: str = ""
    filled: bool = True
    width: float = 2.0


@dataclass(frozen=True, slots=True)
class Chart:
    """title; curves; across, up: names of the axes. shown: number format of the axis that goes up."""

    title: str
    curves: tuple[Curve, ...]
    across: str
    up: str
    shown: str = "General"

    @property
    def by_name(self) -> bool:
        """Whether names, not figures, stand along the bottom."""
        return isinstance(self.curves[0].across[0], str)


def charts_of(job: Job, sizes: Inputs, system: str = "metric", beside: Beside = ()) -> Iterator[Chart]:
    """Each chart that can be drawn. system: "metric" or "inch". beside: the other axle where it gets a kit too."""
    known = job, sizes, beside
    grip, heat, stroke = grip_curves(*known), heat_curves(*known), stroke_budget(*known)
    if grip:
        yield Chart("Grip that each axle uses, against deceleration", tuple(_grip(grip)), RATE, "grip used", "0.0")
    share = share_curves(*known)
    if share:
        title = "Front axle's share of the braking, against deceleration"
        yield Chart(title, tuple(_share(share)), RATE, "front share", "0%")
    if heat:
        title, (curves, unit) = "Rotor and fluid over the stops of this duty", _in_unit(_heat(heat), "°C", system)
        yield Chart(title, curves, "seconds", unit, "0")
    if stroke:
        title, (curves, unit) = "Stroke of the master cylinder, added up", _in_unit(_stroke(stroke), "mm", system)
        yield Chart(title, curves, "after this part of the stroke", unit, "0.0" if system == "inch" else "0")


def _in_unit(curves: Iterator[Curve], unit: str, system: str) -> tuple[tuple[Curve, ...], str]:
    """The curves in the job's unit, and its name."""
    scale = scales(unit, system)[0]
    turned = (replace(one, up=tuple(None if y is None else scale.of(y) for y in one.up)) for one in curves)
    return tuple(turned), scale.name


def _grip(curves: GripCurves) -> Iterator[Curve]:
    yield Curve("both axles alike", curves.rates, curves.ideal, palette.QUIET, ALIKE, width=1.25)
    made = (
        Curve("front, now", curves.rates, curves.front_now, palette.SKY, NOW),
        Curve("rear, now", curves.rates, curves.rear_now, palette.ORANGE, NOW, "triangle", filled=False),
        Curve("front, with the kit", curves.rates, curves.front_kit, palette.BLUE),
        Curve("rear, with the kit", curves.rates, curves.rear_kit, palette.VERMILLION, KIT, "circle"),
    )
    yield from (curve for curve in made if curve.up)
    if curves.tyre_grip is not None:
        yield _level("grip of the road", curves.rates, curves.tyre_grip, palette.INK)


def _share(curves: ShareCurves) -> Iterator[Curve]:
    yield Curve("suits both axles' grip", curves.rates, curves.ideal, palette.QUIET, ALIKE, width=1.25)
    if curves.now:
        yield Curve("now", curves.rates, curves.now, palette.SKY, NOW)
    if curves.kit:
        yield Curve("with the kit", curves.rates, curves.kit, palette.BLUE)


def _heat(curves: HeatCurves) -> Iterator[Curve]:
    if curves.rotor_now:
        yield Curve("rotor, now", curves.times, curves.rotor_now, palette.ORANGE, NOW)
    yield Curve("rotor, with the kit" if curves.rotor_now else "rotor", curves.times, curves.rotor, palette.VERMILLION)
    yield Curve("fluid in the caliper", curves.times, curves.fluid, palette.BLUE, "long_dash_dot")
    levels = (
        ("pad works from", curves.pad_low, palette.GREEN, "square_dot"),
        ("pad works up to", curves.pad_high, palette.INK, "long_dash"),
        ("fluid boils, dry", curves.fluid_dry, palette.SKY, "dash"),
        ("fluid boils, wet", curves.fluid_wet, palette.PURPLE, "dash_dot"),
    )
    for name, level, colour, dash in levels:
        if level is not None:
            yield _level(name, curves.times, level, colour, dash)


def _stroke(budget: StrokeBudget) -> Iterator[Curve]:
    names = budget.parts
    if budget.now:
        yield Curve("now", names, _added(budget.now), palette.SKY, NOW, "circle", filled=False)
    yield Curve("with the kit", names, _added(budget.kit), palette.BLUE, KIT, "square")
    for name, level, colour, dash in (
        ("stroke there is", budget.there_is, palette.INK, "long_dash"),
        ("most of it to use", budget.most, palette.ORANGE, "dash_dot"),
    ):
        if level is not None:
            yield Curve(name, names, (level,) * len(names), colour, dash)


def _added(parts: Sequence[float]) -> tuple[float, ...]:
    return tuple(sum(parts[: count + 1]) for count in range(len(parts)))


def _level(name: str, across: Sequence[float], level: float, colour: str, dash: str = "long_dash") -> Curve:
    """A line across, with points at which its name may stand."""
    left, right = across[0], across[-1]
    points = tuple(left + (right - left) * part for part in (0.0, 0.15, 0.35, 0.5, 0.65, 0.85, 1.0))
    return Curve(name, points, (level,) * len(points), colour, dash, width=1.25)
