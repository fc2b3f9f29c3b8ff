"""Every rule of the trade once more, in plain numbers for one true corner; shares no code with the product's checks.

A rule takes the true sizes `t` (a dict of numbers and words) and the shim stack `s` [mm] and returns the room to its limit: at
least zero where it fits. It returns None where the arrangement does not have what the rule is about, and raises KeyError
where a size is not given. Limits: the house's, as the trade has them (common practice, no source).
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

True_sizes = dict[str, Any]
Rule = Callable[[True_sizes, float], float | None]
METAL = {"steel": 1.0, "iron": 1.5, "aluminium": 2.0}  # engagement in screw diameters


@dataclass(frozen=True)
class Ruling:
    """stack: the shims that move it, "axial", "radial" or ""."""

    rule: Rule
    stack: str


RULINGS: dict[str, Ruling] = {}


def ruling(stack: str = "") -> Callable[[Rule], Rule]:
    def write(rule: Rule) -> Rule:
        RULINGS[rule.__name__] = Ruling(rule, stack)
        return rule

    return write


def between(low: float, value: float, high: float) -> float:
    return min(value - low, high - value)


# hub ------------------------------------------------------------------------------------------------------------------


def off_circle(t: True_sizes) -> float:
    """How far the hub's circle lies from the nearest pattern of the hat that serves its studs."""
    serving = [p for p in t["hat_bolt_circle"] if p.count % t["hub_count"] == 0] or t["hat_bolt_circle"]
    return min(max(p.low - t["hub_circle"], t["hub_circle"] - p.high, 0.0) for p in serving)


@ruling()
def bolt_circle(t: True_sizes, s: float) -> float:
    return 0.15 - off_circle(t)


def stud_fill(t: True_sizes) -> float:
    thread = t["hub_stud_thread"].diameter
    return max(thread, t["hub_stud_shoulder_diameter"]) if t["hub_stud_shoulder_height"] > 0 else thread


@ruling()
def stud_hole(t: True_sizes, s: float) -> float:
    return (t["hat_stud_hole_diameter"] - stud_fill(t) - off_circle(t)) / 2 - 0.1


@ruling()
def pilot_fit(t: True_sizes, s: float) -> float:
    return between(0.02, t["hat_bore"] - t["hub_pilot_diameter"], 0.2)


@ruling()
def bore_wall(t: True_sizes, s: float) -> float:
    nearest = min(pattern.low for pattern in t["hat_bolt_circle"])
    return (nearest - t["hat_stud_hole_diameter"] - t["hat_bore"]) / 2 - 6.0


@ruling()
def pilot_carries_hat(t: True_sizes, s: float) -> float:
    return min(t["hub_pilot_length"] - t["hub_pilot_fillet"], t["hat_flange_thickness"]) - 3.0


@ruling()
def fillet_cleared(t: True_sizes, s: float) -> float:
    return t["hat_bore_chamfer"] - t["hub_pilot_fillet"]


@ruling()
def hub_inside_hat(t: True_sizes, s: float) -> float:
    return (t["hat_inner_diameter"] - t["hub_flange_diameter"]) / 2 - 1.0


@ruling()
def hub_face_true(t: True_sizes, s: float) -> float:
    return 0.05 - 2 * t["hub_face_runout"]


@ruling()
def sensor_ring_inside_hat(t: True_sizes, s: float) -> float | None:
    if "sensor_ring_diameter" not in t:
        return None
    return (t["hat_inner_diameter"] - t["sensor_ring_diameter"]) / 2 - 1.5


# axial ----------------------------------------------------------------------------------------------------------------


def rotor_plane(t: True_sizes) -> float:
    if t.get("rotor_build") == "one-piece" and {"rotor_height", "hat_flange_thickness", "rotor_thickness"} <= t.keys():
        return t["rotor_height"] - t["hat_flange_thickness"] - t["rotor_thickness"] / 2
    return t["rotor_plane_position"]


def caliper_plane(t: True_sizes, s: float) -> float:
    """At the ear the shims push away from the ear's face, at a lug toward the side the lug is on; + is inboard."""
    toward = t["ear_side"] if t["axial_shim_joint"] == "ear" else t["caliper_lug_side"]
    return t["ear_face_position"] + t["bracket_offset"] + (s if toward == "inboard" else -s)


@ruling("axial")
def caliper_centred(t: True_sizes, s: float) -> float:
    allowed = t.get("axial_tolerance", {"fixed": 0.5, "sliding": 2.0}[t["caliper_build"]])
    return allowed - abs(caliper_plane(t, s) - rotor_plane(t))


@ruling()
def new_pads_go_in(t: True_sizes, s: float) -> float:
    return t["caliper_piston_gap"] - t["rotor_thickness"] - 2 * t["pad_thickness"] - 0.3


def _worn(t: True_sizes) -> float:
    return t["caliper_piston_gap"] - t["rotor_min_thickness"] - 2 * (t["pad_backing_thickness"] + t["pad_min_lining"])


@ruling()
def piston_travel_worn(t: True_sizes, s: float) -> float | None:
    return t["caliper_piston_stroke"] - _worn(t) / 2 - 2.0 if t["caliper_build"] == "fixed" else None


@ruling()
def sliding_piston_travel_worn(t: True_sizes, s: float) -> float | None:
    return t["caliper_piston_stroke"] - _worn(t) - 2.0 if t["caliper_build"] == "sliding" else None


@ruling()
def pistons_stay_in(t: True_sizes, s: float) -> float | None:
    if t["caliper_build"] != "fixed":
        return None
    return t["caliper_piston_stroke"] - (_worn(t) + 2 * t["pad_min_lining"]) / 2


@ruling()
def sliding_pistons_stay_in(t: True_sizes, s: float) -> float | None:
    return t["caliper_piston_stroke"] - _worn(t) - 2 * t["pad_min_lining"] if t["caliper_build"] == "sliding" else None


# radial ---------------------------------------------------------------------------------------------------------------


def ears_foot(t: True_sizes) -> tuple[float, float]:
    """(hub axis to the line of the holes, midpoint beside the foot), measured or from the triangle of two distances."""
    if "ear_height" in t:
        return t["ear_height"], t.get("ear_sideways_offset", float("nan"))
    r1, r2, spacing = t["ear_distance_upper"], t["ear_distance_lower"], t["ear_spacing"]
    cosine = (r1 * r1 + spacing * spacing - r2 * r2) / (2 * r1 * spacing)
    return r1 * (1 - cosine * cosine) ** 0.5, r1 * cosine - spacing / 2


def mount_radius(t: True_sizes, s: float) -> float:
    return ears_foot(t)[0] + t["bracket_rise"] + s


@ruling()
def lining_at_wear_limit(t: True_sizes, s: float) -> float:
    return t["pad_min_lining"] - 1.6


@ruling("radial")
def pad_flush(t: True_sizes, s: float) -> float:
    return between(-1.5, mount_radius(t, s) + t["caliper_pad_top"] - t["rotor_diameter"] / 2, 0.0)


@ruling("radial")
def pad_on_ring(t: True_sizes, s: float) -> float:
    return mount_radius(t, s) + t["caliper_pad_top"] - t["pad_height"] - t["rotor_ring_inner_diameter"] / 2


@ruling()
def disc_for_caliper(t: True_sizes, s: float) -> float | None:
    if "caliper_disc_least" not in t or "caliper_disc_most" not in t:
        return None
    return min(t["rotor_diameter"] - t["caliper_disc_least"], t["caliper_disc_most"] - t["rotor_diameter"])


@ruling()
def bracket_square(t: True_sizes, s: float) -> float:
    sideways = t["ear_sideways_offset"] if "ear_sideways_offset" in t else ears_foot(t)[1]
    return 1.0 - abs(sideways - t["bracket_sideways_offset"])


@ruling()
def park_shoes_reach(t: True_sizes, s: float) -> float | None:
    if t["axle"] != "rear" or t["park_brake"] != "drum in hat" or t["kit_park_brake"] != "drum in hat":
        return None
    return between(t["park_shoe_diameter_min"], t["hat_park_drum_diameter"], t["park_shoe_diameter_max"])
