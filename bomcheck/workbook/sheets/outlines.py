"""The parts of the corner as outlines in mm, to be drawn to scale. Pure geometry; what a blank size hides is named.

Side view: (axial position, radius), hub face at 0, + inboard. Hub face view: (sideways, upward) from the hub axis.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import cos, pi, sin
from typing import Any

from bomcheck.derived import DERIVATIONS
from bomcheck.report import Report
from bomcheck.verdict.inputs import Inputs, Missing

Point = tuple[float, float] | None
"""None lifts the pen."""


@dataclass(frozen=True, slots=True)
class Outline:
    """A part as it is drawn."""

    name: str
    points: tuple[Point, ...]


class Sizes:
    """The sizes of the corner with all remedies and the likely shims. Raises Missing for a blank one."""

    def __init__(self, report: Report) -> None:
        self.inputs = Inputs(report.cured, DERIVATIONS)
        self.plans = report.plans

    def __getitem__(self, key: str) -> float:
        return self.inputs.number(key)

    def any(self, key: str) -> Any:
        """A value of any kind."""
        return self.inputs[key]

    def stack(self, name: str) -> float:
        """Thickness of the likely shims."""
        return self.plans[name].likely.thickness if name in self.plans else 0.0

    @property
    def caliper_centre(self) -> float:
        return self["ear_face_position"] + self["bracket_offset"] + self["shim_direction"] * self.stack("axial")

    @property
    def mounting_plane(self) -> float:
        return self["hub_axis_to_ears"] + self["bracket_rise"] + self.stack("radial")

    @property
    def wheel_face(self) -> float:
        return -(self["hat_flange_thickness"] + self["wheel_spacer_thickness"])


def _closed(*points: tuple[float, float]) -> tuple[Point, ...]:
    return (*points, points[0])


def _box(x0: float, x1: float, r0: float, r1: float) -> tuple[Point, ...]:
    return _closed((x0, r0), (x1, r0), (x1, r1), (x0, r1))


def _hub(s: Sizes) -> tuple[Point, ...]:
    pilot, flange = s["hub_pilot_diameter"] / 2, s["hub_flange_diameter"] / 2
    long, thick = s["hub_pilot_length"], s["hub_flange_thickness"]
    return ((-long, 0.0), (-long, pilot), (0.0, pilot), (0.0, flange), (thick, flange), (thick, 0.0))


def _hat(s: Sizes) -> tuple[Point, ...]:
    flange, bore, outer, inner = (
        -s["hat_flange_thickness"],
        s["hat_bore"] / 2,
        s["hat_outer_diameter"] / 2,
        s["hat_inner_diameter"] / 2,
    )
    end = s["rotor_plane"] + s["rotor_thickness"] / 2
    return _closed((0.0, bore), (flange, bore), (flange, outer), (end, outer), (end, inner), (0.0, inner))


def _rotor(s: Sizes) -> tuple[Point, ...]:
    half = s["rotor_thickness"] / 2
    inner, outer = s["rotor_ring_inner_diameter"] / 2, s["rotor_diameter"] / 2
    return _box(s["rotor_plane"] - half, s["rotor_plane"] + half, inner, outer)


def _pads(s: Sizes) -> tuple[Point, ...]:
    plane, half, thick = s["rotor_plane"], s["rotor_thickness"] / 2, s["pad_thickness"]
    top = s.mounting_plane + s["caliper_pad_top"]
    low = top - s["pad_height"]
    return (
        *_box(plane - half - thick, plane - half, low, top),
        None,
        *_box(plane + half, plane + half + thick, low, top),
    )


def _caliper(s: Sizes) -> tuple[Point, ...]:
    centre, plane, slot = s.caliper_centre, s.mounting_plane, s["caliper_slot_width"] / 2
    out, into = centre - s["caliper_width_outboard"], centre + s["caliper_width_inboard"]
    top, bridge = plane + s["caliper_body_height"], plane + s["caliper_bridge"]
    low = plane + s["caliper_pad_top"] - s["pad_height"]
    inside = ((centre + slot, low), (centre + slot, bridge), (centre - slot, bridge), (centre - slot, low))
    return _closed((out, low), (out, top), (into, top), (into, low), *inside)


def _ear(s: Sizes) -> tuple[Point, ...]:
    face, height, half = s["ear_face_position"], s["hub_axis_to_ears"], s["ear_hole_diameter"]
    other = face + s["ear_thickness"] * (1 if s.any("ear_side") == "outboard" else -1)
    return _box(min(face, other), max(face, other), height - half, height + half)


def _barrel(s: Sizes) -> tuple[Point, ...]:
    return tuple((s.wheel_face + along, radius) for along, radius in _table(s, "wheel_barrel"))


def _spokes(s: Sizes) -> tuple[Point, ...]:
    return tuple((s.wheel_face - away, radius) for radius, away in _table(s, "wheel_spoke"))


def _table(s: Sizes, key: str) -> Sequence[tuple[float, float]]:
    found = s.any(key)
    points: Sequence[tuple[float, float]] = getattr(found, "points", found)
    return points


def _shield(s: Sizes) -> tuple[Point, ...]:
    return ((s["shield_position"], s["hub_flange_diameter"] / 2), (s["shield_position"], s["shield_radius"]))


SIDE: dict[str, Callable[[Sizes], tuple[Point, ...]]] = {
    "wheel barrel": _barrel,
    "spokes": _spokes,
    "hub": _hub,
    "hat": _hat,
    "rotor": _rotor,
    "pads": _pads,
    "caliper": _caliper,
    "ear": _ear,
    "dust shield": _shield,
}


def _circle(radius: float, x: float = 0.0, y: float = 0.0, steps: int = 72) -> tuple[Point, ...]:
    angles = [2 * pi * step / steps for step in range(steps + 1)]
    return tuple((x + radius * cos(angle), y + radius * sin(angle)) for angle in angles)


def _holes(count: int, circle: float, diameter: float) -> tuple[Point, ...]:
    """Holes on a circle, the first one at the top."""
    points: list[Point] = []
    for number in range(count):
        angle = pi / 2 + 2 * pi * number / count
        points += [*_circle(diameter / 2, circle / 2 * cos(angle), circle / 2 * sin(angle), 20), None]
    return tuple(points[:-1])


def _studs(s: Sizes) -> tuple[Point, ...]:
    return _holes(s.any("hub_bolt_circle").count, s["hub_circle_diameter"], s["stud_fill_diameter"])


def _hat_holes(s: Sizes) -> tuple[Point, ...]:
    return _holes(
        s.any("hat_pattern").count, (s["hat_circle_low"] + s["hat_circle_high"]) / 2, s["hat_stud_hole_diameter"]
    )


FACE: dict[str, Callable[[Sizes], tuple[Point, ...]]] = {
    "hub flange": lambda s: _circle(s["hub_flange_diameter"] / 2),
    "hub pilot": lambda s: _circle(s["hub_pilot_diameter"] / 2),
    "hat bore": lambda s: _circle(s["hat_bore"] / 2),
    "hub studs": _studs,
    "hat holes": _hat_holes,
    "bolt circle": lambda s: _circle(s["hub_circle_diameter"] / 2),
}


def outlines(
    report: Report, view: dict[str, Callable[[Sizes], tuple[Point, ...]]]
) -> tuple[list[Outline], dict[str, tuple[str, ...]]]:
    """(what can be drawn, {part: blank fields that it needs}). view: SIDE or FACE."""
    sizes, drawn, lacking = Sizes(report), [], {}
    for name, outline in view.items():
        try:
            drawn.append(Outline(name, outline(sizes)))
        except Missing as missing:
            lacking[name] = missing.keys
    return drawn, lacking
