"""What is drawn of a corner: exactly the bodies that the verdict sees, and what stands too close; what a blank size hides is named.

Side view: (axial position, radius), hub face at 0, + inboard. Hub face, and along the axle: (sideways, upward) from the hub axis. All in mm.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import field
from itertools import compress, pairwise
from math import cos, inf, pi, sin
from operator import not_
from typing import Any

from bomcheck.engine.clearance import fields_behind, standing, too_near
from bomcheck.engine.inputs import Inputs
from bomcheck.engine.sight import JobSight
from bomcheck.engine.space import Look, edges_of
from bomcheck.io.sheets.words import lower
from bomcheck.model.affine import NOISE, Affine
from bomcheck.model.body import Body, Part, Space
from bomcheck.model.records import dataclass
from bomcheck.model.report import Report
from bomcheck.model.sizes import Missing
from bomcheck.rules.bodies import BODIES, FIXED, TURNING
from bomcheck.rules.body_sizes import corner_radius
from bomcheck.rules.derived import DERIVATIONS
from bomcheck.rules.wheel_shape import FITTING

Point = tuple[float, float] | None
"""None lifts the pen."""
Points = tuple[Point, ...]
FAINT = ", least and most"
TOO_CLOSE = "too close"
DOT = 1.0  # mm to each side of a point that was measured beside the disc


@dataclass(frozen=True, slots=True)
class Gap:
    """Between two bodies, from start to end, as far as value [mm]; room: how much more than is asked for. aside: how far to either side
    it is the same [mm]."""

    start: tuple[float, float]
    end: tuple[float, float]
    value: float
    room: float
    aside: float = 0.0


@dataclass
class View:
    """drawn: outlines by part. faint, lacking: blank fields of what is drawn with its least and most, and of what is not drawn.
    gaps: of each body that stands still, to what turns nearest to it."""

    drawn: dict[str, Points] = field(default_factory=dict)
    faint: dict[str, tuple[str, ...]] = field(default_factory=dict)
    lacking: dict[str, tuple[str, ...]] = field(default_factory=dict)
    gaps: list[Gap] = field(default_factory=list)


class Sizes:
    """The sizes of the corner with all remedies, the caliper where its shims bring it. Raises Missing for a blank one."""

    def __init__(self, report: Report) -> None:
        self.sight = JobSight(Inputs(report.cured, DERIVATIONS), report.plans)

    def __getitem__(self, key: str) -> float:
        size = self.sight.sizes[key]
        return self.sight.ends(size).middle if isinstance(size, Affine) else float(size)

    @property
    def wheel_face(self) -> float:
        return -(self["hat_flange_thickness"] + self["wheel_spacer_thickness"])

    def any(self, key: str) -> Any:
        """A value of any kind; of a table its points."""
        found = self.sight.sizes[key]
        return getattr(found, "points", found)


def _box(x0: float, x1: float, r0: float, r1: float) -> Points:
    return ((x0, r0), (x1, r0), (x1, r1), (x0, r1), (x0, r0))


def _joined(pieces: Sequence[Points]) -> Points:
    """All with the pen lifted between them."""
    return tuple(point for piece in pieces for point in (*piece, None))[:-1]


WHEN = {box: body.when for body, _ in BODIES for box in body.boxes}


def side_view(report: Report) -> View:
    """Everything that turns, everything that stands still, the wheel, and on top what is too close."""
    sizes, view = Sizes(report), View()
    for name in dict.fromkeys(part.body for part in (*TURNING, *FIXED)):
        _add_body(view, name, sizes.sight)
    others = outlines(sizes, BESIDE)
    view.lacking |= {name: keys for name, keys in others.lacking.items() if not NEEDS.get(name, set()) & set(keys)}
    view.drawn |= others.drawn
    zones = _zones(sizes, view.drawn)
    view.drawn |= {TOO_CLOSE: _joined(zones)} if zones else {}
    view.gaps = list(_gaps(sizes, view.drawn))
    return view


def _add_body(view: View, name: str, sight: JobSight) -> None:
    """Its boxes: at the middle of each edge, or where a size is blank with least and most; named where even those say nothing."""
    sharp: list[Points] = []
    faint: list[Points] = []
    for part in (part for part in (*TURNING, *FIXED) if part.body == name):
        sure, maybe, blank = standing(part, WHEN.get(name, {}), sight)
        if not maybe:
            continue
        x0, x1, r0, r1 = (sight.edge_ends(edge) for edge in (part.x0, part.x1, part.r0, part.r1))
        if not blank:
            sharp.append(_box(x0.middle, x1.middle, r0.middle, r1.middle))
            continue
        told = view.faint if x0.high <= x1.low and r0.high <= r1.low else view.lacking
        told[name] = tuple(dict.fromkeys((*told.get(name, ()), *blank)))
        if told is view.faint:
            faint += [_box(x0.high, x1.low, r0.high, r1.low)] if sure else []
            faint.append(_box(x0.low, x1.high, r0.low, r1.high))
    view.drawn |= {title: _joined(boxes) for title, boxes in ((name, sharp), (name + FAINT, faint)) if boxes}


def _corners(s: Sizes) -> Points:
    """What the caliper's corners reach round the axis, by its outline, or by its body."""
    if s.sight.sizes.has("caliper_envelope"):
        points = s.any("caliper_envelope")
    else:
        points = [(x, s["caliper_body_height"]) for x in (-s["caliper_width_outboard"], s["caliper_width_inboard"])]
    centre, mount, width = s["caliper_centre"], s["mount_plane"], s["caliper_top_width"]
    return tuple((centre + x, corner_radius(mount + height, width)) for x, height in points)


def _fitting(s: Sizes, along: str, height: str) -> Points:
    x, radius = s[along] + s["caliper_centre"], s[height] + s["mount_plane"]
    return ((x - FITTING, radius), (x + FITTING, radius))


def _valve(s: Sizes) -> Points:
    x, radius = s.wheel_face + s["wheel_valve_position"], s["wheel_valve_radius"]
    return ((x - FITTING, radius), (x + FITTING, radius))


def _dots(points: Sequence[tuple[float, float]], half: float = DOT) -> Points:
    """points: (radius, position)."""
    return _joined([_box(x - half, x + half, radius - half, radius + half) for radius, x in points])


BESIDE: dict[str, Callable[[Sizes], Points]] = {
    "wheel barrel": lambda s: tuple((s.wheel_face + along, radius) for along, radius in s.any("wheel_barrel")),
    "spokes": lambda s: tuple((s.wheel_face - away, radius) for radius, away in s.any("wheel_spoke")),
    "caliper in the wheel": _corners,
    "bracket arm": lambda s: _dots([(r, s["caliper_centre"] + x) for r, x in s.any("bracket_arm")]),
    "caliper at the wheel's valve": lambda s: _valve(s),
    "hose's end at the caliper": lambda s: _fitting(s, "caliper_inlet_axial", "caliper_inlet_height"),
    "bleed screw": lambda s: _fitting(s, "caliper_bleeder_axial", "caliper_bleeder_height"),
    "neighbours of the disc": lambda s: _dots(s.any("neighbours")),
    "neighbours at full lock": lambda s: _dots(s.any("neighbours_at_lock")),
}
# without these nothing is known to be there, which the list below the chart says
NEEDS = {lower(body.title): set(body.requires) for body, _ in BODIES if body.requires}


def _space(body: Body) -> Space:
    return Space(body, body.parts(FIXED), body.past(TURNING))


def _zones(s: Sizes, drawn: Mapping[str, Points]) -> list[Points]:
    """Of each pair that is nearer than its air as it is drawn, or whatever a blank is, the overlap, or the gap that is too small."""
    found: list[Points] = []
    for body, _ in BODIES:
        for look in too_near(_space(body), s.sight):
            if look.parts:
                found.append(_between(look.parts, s.sight))
            elif lower(body.title) in drawn:
                found.append(_beside(look, drawn[lower(body.title)], s))
    return [zone for zone in found if zone]


def _gaps(s: Sizes, drawn: Mapping[str, Points]) -> Iterator[Gap]:
    """Of each fixed body the least room, where its sizes are known and it is drawn."""
    for body, _ in BODIES:
        near = min(
            _measured(s.sight.looks(_space(body)), s.sight), key=lambda look: look.value.middle - look.air, default=None
        )
        if near is None:
            continue
        room, value = near.value.middle - near.air, near.value.middle
        if near.parts and all({part.body, part.body + FAINT} & drawn.keys() for part in near.parts):
            (x0, r0), (x1, _), (_, r1), *_ = (point for point in _between(near.parts, s.sight) if point)
            x, r = (x0 + x1) / 2, (r0 + r1) / 2
            if _way(near.parts, s.sight) > 1:
                yield Gap((x, r0), (x, r1), value, room, (x1 - x0) / 2)
            else:
                yield Gap((x0, r), (x1, r), value, room, (r1 - r0) / 2)
        elif near.pair.turning == "wheel barrel" and {near.pair.turning, lower(body.title)} <= drawn.keys():
            barrel = [point for point in drawn["wheel barrel"] if point]
            points = [point for point in drawn[lower(body.title)] if point]
            x, top = min(points, key=lambda point: _height_at(barrel, point[0]) - point[1])
            yield Gap((x, top), (x, top + value), value, room)


def _measured(looks: Sequence[Look], sight: JobSight) -> Iterator[Look]:
    """Those without a blank size, but for one beside which a blank may bring the two bodies nearer: the list below tells of it."""
    lacks = [bool(fields_behind(_deciding(look, sight), sight)) for look in looks]
    for look in compress(looks, map(not_, lacks)):
        others = (other.value.low for other in compress(looks, lacks) if other.pair.turning == look.pair.turning)
        if look.value.middle <= min(others, default=inf):
            yield look


def _deciding(look: Look, sight: JobSight) -> tuple[Affine, ...]:
    """The line in which the pair is farthest apart."""
    if not look.parts:
        return look.ways
    far, near = edges_of(*look.parts)[_way(look.parts, sight)][0]
    return (sight.edge(far), sight.edge(near))


def _height_at(line: Sequence[tuple[float, float]], x: float) -> float:
    """Of a line of points along the axle."""
    for (x0, y0), (x1, y1) in pairwise(sorted(line)):
        if x0 <= x <= x1 and x1 > x0:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    return inf


def _way(parts: tuple[Part, ...], sight: JobSight) -> int:
    """In which of the four ways they are farthest apart."""
    stand = [[sight.edge_ends(edge).middle for edge in way[0]] for way in edges_of(*parts)]
    return max(range(4), key=lambda n: stand[n][0] - stand[n][1])


def _between(parts: tuple[Part, ...], sight: JobSight) -> Points:
    """What two boxes share, or the gap between them; of a box with a blank size what it fills at least."""
    ends = [[_end(part, *edges, sight) for part in parts] for edges in (("x0", "x1"), ("r0", "r1"))]
    along, out = (sorted((max(low for low, _ in each), min(high for _, high in each))) for each in ends)
    return _box(along[0], along[1], out[0], out[1])


def _end(part: Part, low: str, high: str, sight: JobSight) -> tuple[float, float]:
    texts = getattr(part, low), getattr(part, high)
    first, last = (sight.edge_ends(one) for one in texts)
    least = first.high <= last.low and fields_behind(tuple(sight.edge(one) for one in texts), sight)
    return (first.high, last.low) if least else (first.middle, last.middle)


def _beside(look: Look, points: Points, s: Sizes) -> Points:
    """The same for a distance that a table says: as high or as wide as what is drawn, as thick as the distance."""
    known = [point for point in points if point]
    x0, x1, top = min(x for x, _ in known), max(x for x, _ in known), max(radius for _, radius in known)
    if look.pair.turning == "wheel barrel":
        barrel = top + look.value.middle
        return _box(x0, x1, min(top, barrel), max(top, barrel))
    if look.pair.turning == "spokes":
        backs = x0 - look.value.middle
        return _box(
            min(x0, backs), max(x0, backs), s.sight.edge_ends("mount_plane + caliper_bottom_outboard").middle, top
        )
    ring = [s.sight.edge_ends(edge).middle for edge in (TURNING[0].x0, TURNING[0].x1, TURNING[0].r0, TURNING[0].r1)]
    centres = [(known[at][1] + DOT, known[at][0] + DOT) for at in range(0, len(known), 5)]
    near = [(r, x) for r, x in centres if max(x - ring[1], ring[0] - x, r - ring[3], ring[2] - r) < look.air - NOISE]
    return _dots(near, 3 * DOT)


def _circle(radius: float, x: float = 0.0, y: float = 0.0, steps: int = 72) -> Points:
    angles = [2 * pi * step / steps for step in range(steps + 1)]
    return tuple((x + radius * cos(angle), y + radius * sin(angle)) for angle in angles)


def _holes(count: int, circle: float, diameter: float) -> Points:
    """Holes on a circle, the first one at the top."""
    turns = [pi / 2 + 2 * pi * number / count for number in range(count)]
    return _joined([_circle(diameter / 2, circle / 2 * cos(turn), circle / 2 * sin(turn), 20) for turn in turns])


FACE: dict[str, Callable[[Sizes], Points]] = {
    "hub flange": lambda s: _circle(s["hub_flange_diameter"] / 2),
    "hub pilot": lambda s: _circle(s["hub_pilot_diameter"] / 2),
    "hat bore": lambda s: _circle(s["hat_bore"] / 2),
    "hub studs": lambda s: _holes(s.any("hub_bolt_circle").count, s["hub_circle_diameter"], s["stud_fill_diameter"]),
    "hat holes": lambda s: _holes(
        s.any("hat_pattern").count, (s["hat_circle_low"] + s["hat_circle_high"]) / 2, s["hat_stud_hole_diameter"]
    ),
    "bolt circle": lambda s: _circle(s["hub_circle_diameter"] / 2),
}


def outlines(sizes: Sizes, parts: Mapping[str, Callable[[Sizes], Points]]) -> View:
    """What no box describes."""
    view = View()
    for name, outline in parts.items():
        try:
            view.drawn[name] = outline(sizes)
        except Missing as missing:
            view.lacking[name] = missing.keys
    return view


def _at_holes(s: Sizes, width: float) -> Points:
    """A circle round either ear hole, the line of the holes above the axis."""
    height, half, aside = s["hub_axis_to_ears"], s["ear_spacing"] / 2, s["ears_sideways"]
    return _joined([_circle(width / 2, aside + end * half, height, 36) for end in (1.0, -1.0)])


def _block(s: Sizes, low: float, high: float) -> Points:
    """The caliper as wide as its top, above the middle of the ear holes."""
    half, mount = s["caliper_top_width"] / 2, s["mount_plane"]
    return _box(s["ears_sideways"] - half, s["ears_sideways"] + half, mount + low, mount + high)


ALONG: dict[str, Callable[[Sizes], Points]] = {
    "friction ring": lambda s: _joined([_circle(s[f"rotor_{end}"] / 2) for end in ("diameter", "ring_inner_diameter")]),
    "hat": lambda s: _circle(s["hat_outer_diameter"] / 2),
    "hub flange": lambda s: _circle(s["hub_flange_diameter"] / 2),
    "ear": lambda s: _at_holes(s, s["ear_width"]),
    "bracket boss": lambda s: _at_holes(s, s["bracket_boss_width"]),
    "bracket screw": lambda s: _at_holes(s, 2 * s["bracket_screw_diameter"]),
    "caliper": lambda s: _block(s, s["caliper_bottom"], s["caliper_body_height"]),
    "caliper in the wheel": lambda s: _circle(
        corner_radius(s["mount_plane"] + s["caliper_body_height"], s["caliper_top_width"])
    ),
    "wheel barrel": lambda s: _circle(min(radius for _, radius in s.any("wheel_barrel"))),
    "dust shield": lambda s: _circle(s["shield_radius"]),
}
