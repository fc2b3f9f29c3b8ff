"""Bodies of one true corner as sets of points, held against each other without any formula of the product.

A standing body is sampled at 161 points along each edge, corners among them; a turning one is asked of each point
whether it comes nearer than the air along both directions at once. The caliper under the wheel is a block, or an outline, of
points sideways as well. All sizes are plain numbers; the trade's figures are common practice, no source.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import combinations
from typing import Any

import numpy as np

True_sizes = dict[str, Any]
STEP = 0.5
HAIR = 1e-6
SIDE = np.linspace(0.0, 1.0, 161)
ROUND = (  # the four edges of a square
    np.concatenate([SIDE, SIDE, np.zeros_like(SIDE), np.ones_like(SIDE)]),
    np.concatenate([np.zeros_like(SIDE), np.ones_like(SIDE), SIDE, SIDE]),
)


@dataclass(frozen=True)
class Rect:
    """A box seen in the plane through the axle: x along it, r from it [mm]."""

    x0: float
    x1: float
    r0: float
    r1: float

    def edge_points(self) -> tuple[Any, Any]:
        """Points round the box."""
        return self.x0 + (self.x1 - self.x0) * ROUND[0], self.r0 + (self.r1 - self.r0) * ROUND[1]

    def comes_near(self, x: Any, r: Any, air: float) -> bool:
        """Whether any of the points is nearer than `air` both along the axle and away from it."""
        beside = (x > self.x0 - air + HAIR) & (x < self.x1 + air - HAIR)
        return bool(np.any(beside & (r > self.r0 - air + HAIR) & (r < self.r1 + air - HAIR)))


def disc(t: True_sizes) -> Rect:
    half = t["rotor_thickness"] / 2
    return Rect(t["plane"] - half, t["plane"] + half, t["rotor_ring_inner_diameter"] / 2, t["rotor_diameter"] / 2)


def hat(t: True_sizes) -> list[Rect]:
    """Flange, wall, and in a hat of its own the screws through the ring's ears."""
    outer, inner = t["hat_outer_diameter"] / 2, t["hat_inner_diameter"] / 2
    found = [Rect(-t["hat_flange_thickness"], 0.0, 0.0, outer), Rect(0.0, t["hat_end"], inner, outer)]
    reach = t["hat_screw_reach"]
    return (
        [*found, Rect(t["plane"] - reach, t["plane"] + reach, inner, outer)]
        if t["rotor_build"] == "two-piece"
        else found
    )


def hub(t: True_sizes) -> Rect:
    return Rect(0.0, t["hub_flange_thickness"], 0.0, t["hub_flange_diameter"] / 2)


def laid(t: True_sizes) -> float | None:
    """The stack [mm] that leaves the caliper as far beside the disc as this corner has it; None: no stack that may be laid does,
    of at most MOST, as in `stacks`."""
    if t["axial_shim_joint"] != "ear":
        return 0.0
    toward = 1.0 if t["ear_side"] == "inboard" else -1.0
    stack = toward * (t["off"] + t["plane"] - t["ear_face_position"] - t["bracket_offset"])
    return float(stack) if 0 <= stack <= MOST + HAIR else None


MOST = 3.0  # mm at one screw where the kit's maker prints nothing: common practice, no source
PIECES = (
    1.0,
    1.0,
    1.0,
    1.0,
    0.5,
    0.5,
)  # mm: what the good corner's box of "1.0x16; 0.5x8" holds for one of four screws


def stacks() -> list[float]:
    """Every thickness of at most four of these pieces and MOST."""
    return sorted({sum(some) for count in range(5) for some in combinations(PIECES, count) if sum(some) <= MOST})


def places(t: True_sizes) -> Iterator[dict[str, float]]:
    """Where stacks of the box leave the caliper, centred and flush as it must be; as it stands where none brings it there."""
    toward = 1.0 if t["ear_side"] == "inboard" else -1.0
    offs = [t["ear_face_position"] + t["bracket_offset"] + toward * stack - t["plane"] for stack in stacks()]
    low = t["ear_height"] + t["bracket_rise"] + t["caliper_pad_top"] - t["rotor_diameter"] / 2
    beside = [off for off in offs if abs(off) <= t["off_allowed"] + HAIR] or [t["off"]]
    edges = [low + stack for stack in stacks() if -1.5 - HAIR <= low + stack <= HAIR] or [t["flush"]]
    yield from ({"off": off, "flush": flush} for off in beside for flush in edges)


def holes(t: True_sizes) -> tuple[float, float]:
    """Distance of either ear hole from the axis, laid out on paper: the line of the holes, and the two points on it."""
    at = [t["ears_sideways"] + t["ear_spacing"] / 2, t["ears_sideways"] - t["ear_spacing"] / 2]
    return float(np.hypot(at[0], t["ear_height"])), float(np.hypot(at[1], t["ear_height"]))


def _round(t: True_sizes, ends: tuple[float, float], half: float) -> list[Rect]:
    return [Rect(min(ends), max(ends), hole - half, hole + half) for hole in holes(t)]


def standing(t: True_sizes) -> Iterator[tuple[str, list[Rect]]]:
    """Every standing body that is a heap of boxes. Away: the sense in which the ear lies from the bracket, + inboard."""
    away = 1.0 if t["ear_side"] == "outboard" else -1.0
    face, stack = t["ear_face_position"], laid(t)
    yield "ear", _round(t, (face, face + away * t["ear_thickness"]), t["ear_width"] / 2)
    if stack is not None:
        seat = face - away * stack
        back = seat - away * t["bracket_ear_thickness"]
        yield "bracket_boss", _round(t, (seat, back), t["bracket_boss_width"] / 2)
        yield "bracket_screws", _screws(t, away, back)
    yield from _caliper(t)
    outer, inner = disc(t).x0, disc(t).x1
    top, thick = t["rotor_diameter"] / 2 + t["flush"], t["pad_thickness"]
    low = top - t["pad_height"]
    yield "pads", [Rect(outer - thick, outer, low, top), Rect(inner, inner + thick, low, top)]
    if t["shield"] != "none":
        yield "dust_shield", [Rect(t["shield_position"], t["shield_position"] + 1.0, 0.0, t["shield_radius"])]


def _screws(t: True_sizes, away: float, back: float) -> list[Rect]:
    """Head and shank from where the head sits; it points toward what holds its thread."""
    size, washers = t["bracket_screw_diameter"], t["washers"]
    if t["bracket_screw_into"] == "bracket":
        seat, points = t["ear_face_position"] + away * (t["ear_thickness"] + washers), -away
    else:
        seat, points = back - away * washers, away
    head = _round(t, (seat, seat - points * t["head_height"]), size)
    return head + _round(t, (seat, seat + points * t["bracket_screw_length"]), size / 2)


def _caliper(t: True_sizes) -> Iterator[tuple[str, list[Rect]]]:
    centre = t["plane"] + (t["off"] if t["caliper_build"] == "fixed" else 0.0)
    mount, slot = mounting(t), t["caliper_slot_width"] / 2
    bottom, top = mount + t["caliper_lowest"], mount + t["caliper_body_height"]
    yield (
        "caliper_body",
        [
            Rect(centre - t["caliper_width_outboard"], centre - slot, bottom, top),
            Rect(centre + slot, centre + t["caliper_width_inboard"], bottom, top),
        ],
    )
    yield "caliper_bridge", [Rect(centre - slot, centre + slot, mount + t["caliper_bridge"], top)]


def mounting(t: True_sizes) -> float:
    return float(t["rotor_diameter"] / 2 + t["flush"] - t["caliper_pad_top"])


AIR = {  # mm
    "ear": (3.0, 3.0, 1.0), "bracket_boss": (3.0, 3.0, 1.0), "bracket_screws": (3.0, 3.0, 1.0),
    "caliper_body": (1.5, 3.0, 1.0), "caliper_bridge": (2.0, None, None), "pads": (None, 2.0, 1.0),
    "dust_shield": (2.0, None, None),
}  # fmt: skip


def clear(t: True_sizes) -> dict[str, bool]:
    """Of each standing body, whether it stands clear of disc, hat and hub flange; and of the caliper in the wheel."""
    found = {}
    for name, boxes in standing(t):
        points = [box.edge_points() for box in boxes]
        pairs = zip(([disc(t)], hat(t), [hub(t)]), AIR[name], strict=True)
        found[name] = not any(
            box.comes_near(x, r, air) for turning, air in pairs if air is not None for box in turning for x, r in points
        )
    found["caliper_in_wheel"] = in_wheel(t)
    found |= {name: seen(t) for name, seen in POINTED.items() if all(key in t for key in NEEDS[name])}
    return found


def _beside_disc(t: True_sizes, points: Any, plane: float) -> bool:
    """Points (radius, distance from a plane) 3 mm off the disc, along the axle or away from it."""
    radii, at = (np.array(column, dtype=float) for column in zip(*points, strict=True))
    return not disc(t).comes_near(plane + at, radii, 3.0)


def _under_barrel(t: True_sizes, x: Any, radii: Any, weight: float = 0.0) -> bool:
    """Points x inboard of the hub face at these radii, 3 mm below the barrel and what is stuck on it."""
    bx, br = (np.array(column, dtype=float) for column in zip(*t["wheel_barrel"], strict=True))
    at = x + t["hat_flange_thickness"] + t["wheel_spacer_thickness"]
    assert bx[0] <= at.min() and at.max() <= bx[-1], "the table must reach as far as the points"  # noqa: PT018
    return bool(np.all(np.interp(at, bx, br) - weight - radii >= 3.0 - HAIR))


def bracket_arm(t: True_sizes) -> bool:
    return _beside_disc(t, t["bracket_arm"], t["plane"] + t["off"])


def _neighbours(key: str) -> Callable[[True_sizes], bool]:
    def seen(t: True_sizes) -> bool:
        radii, at = (np.array(column, dtype=float) for column in zip(*t[key], strict=True))
        return _beside_disc(t, t[key], 0.0) and _under_barrel(t, at, radii)

    return seen


def _moves(t: True_sizes) -> tuple[float, ...]:
    """How far the body is from its place when new: at its place, and with all worn."""
    return (0.0, t["worn_shift"]) if t["caliper_build"] == "sliding" else (0.0,)


def _centre(t: True_sizes) -> float:
    return float(t["plane"] + (t["off"] if t["caliper_build"] == "fixed" else 0.0))


def _fitting(axial: str, height: str) -> Callable[[True_sizes], bool]:
    """What stands on the caliper's body, as wide as it may be, under the barrel."""

    def seen(t: True_sizes) -> bool:
        wide = np.linspace(-t["fitting_half"], t["fitting_half"], 33)
        radius = np.full_like(wide, mounting(t) + t[height])
        moves = [_centre(t) + moved + t[axial] + wide for moved in _moves(t)]
        return all(_under_barrel(t, x, radius, t["wheel_weight_thickness"]) for x in moves)

    return seen


def at_valve(t: True_sizes) -> bool:
    """The valve's point over the body's top, wherever both are at once, as the wheel turns."""
    outline = t.get("caliper_envelope") or (
        (-t["caliper_width_outboard"], t["caliper_body_height"]), (t["caliper_width_inboard"], t["caliper_body_height"]),
    )  # fmt: skip
    us, hs = (np.array(column, dtype=float) for column in zip(*outline, strict=True))
    valve = t["wheel_valve_position"] - t["hat_flange_thickness"] - t["wheel_spacer_thickness"]
    for moved in _moves(t):
        wide = valve + np.linspace(-t["fitting_half"], t["fitting_half"], 65) - _centre(t) - moved
        over = wide[(wide >= us[0]) & (wide <= us[-1])]
        reach = np.hypot(mounting(t) + np.interp(over, us, hs), t["caliper_top_width"] / 2)
        if np.any(t["wheel_valve_radius"] - reach < 3.0 - HAIR):
            return False
    return True


POINTED: dict[str, Callable[[True_sizes], bool]] = {
    "bracket_arm": bracket_arm, "neighbours": _neighbours("neighbours"), "neighbours_at_lock": _neighbours("neighbours_at_lock"),
    "hose_end": _fitting("caliper_inlet_axial", "caliper_inlet_height"),
    "bleed_screw": _fitting("caliper_bleeder_axial", "caliper_bleeder_height"), "caliper_at_valve": at_valve,
}  # fmt: skip
NEEDS = {
    "bracket_arm": ("bracket_arm",), "neighbours": ("neighbours",), "neighbours_at_lock": ("neighbours_at_lock",),
    "hose_end": ("caliper_inlet_axial", "caliper_inlet_height"),
    "bleed_screw": ("caliper_bleeder_axial", "caliper_bleeder_height"),
    "caliper_at_valve": ("wheel_valve_position", "wheel_valve_radius"),
}  # fmt: skip


def in_wheel(t: True_sizes) -> bool:
    """The body's points under the barrel and behind the spokes, new and worn."""
    outline = t.get("caliper_envelope") or (
        (-t["caliper_width_outboard"], t["caliper_body_height"]), (t["caliper_width_inboard"], t["caliper_body_height"]),
    )  # fmt: skip
    us, hs = (np.array(column, dtype=float) for column in zip(*outline, strict=True))
    along = np.unique(np.concatenate([np.arange(us[0], us[-1], STEP), us]))
    tops = mounting(t) + np.interp(along, us, hs)
    radii = np.hypot(tops, t["caliper_top_width"] / 2)
    beside = t["off"] if t["caliper_build"] == "fixed" else 0.0
    new = t["plane"] + beside + t["hat_flange_thickness"] + t["wheel_spacer_thickness"]
    bx, br = (np.array(column, dtype=float) for column in zip(*t["wheel_barrel"], strict=True))
    for moved in (0.0, t["worn_shift"]) if t["caliper_build"] == "sliding" else (0.0,):
        at = np.concatenate([along, bx - new - moved])
        at = at[(at >= us[0]) & (at <= us[-1])]
        room = np.interp(at + new + moved, bx, br) - np.interp(at, along, radii)
        if np.any(room - t["wheel_weight_thickness"] < 3.0 - HAIR):
            return False
    sr, sb = (np.array(column, dtype=float) for column in zip(*t["wheel_spoke"], strict=True))
    bottom = mounting(t) + t["caliper_lowest"]
    steps = np.arange(bottom, max(bottom, radii.max()) + 2.0, 2.0)
    least = np.minimum.accumulate(np.interp(steps, sr, sb))  # of all radii from the bottom up to each
    below = least[np.maximum(np.searchsorted(steps, radii) - 1, 0)]
    behind = np.minimum(below, np.interp(radii, sr, sb))
    return not np.any(along + new + behind < 3.0 - HAIR)
