"""The rules of the wheel in plain numbers; see `brute_force`."""

import itertools
from collections.abc import Sequence

from tests.promises.brute_force import True_sizes, caliper_plane, mount_radius, rotor_plane, ruling

Points = Sequence[tuple[float, float]]


def behind_wheel(t: True_sizes) -> float:
    """Hub face to the wheel's mounting face."""
    return t["hat_flange_thickness"] + t["wheel_spacer_thickness"]


def _thread_for_nut(t: True_sizes) -> float:
    return t["hub_stud_length"] - behind_wheel(t) - t["wheel_seat_depth"]


@ruling()
def stud_engagement(t: True_sizes, s: float) -> float | None:
    if t["hub_fixing"] != "stud":
        return None
    held = min(_thread_for_nut(t), t["nut_thread_depth"]) / t["hub_stud_thread"].diameter
    return held - {"steel": 1.0, "aluminium": 1.5}[t["nut_material"]]


@ruling()
def closed_nut_bottoms(t: True_sizes, s: float) -> float | None:
    if t["hub_fixing"] != "stud" or t["nut_closed"] != "yes":
        return None
    return t["nut_thread_depth"] - 2.0 - _thread_for_nut(t)


def _bolt_in_hub(t: True_sizes) -> float:
    return t["wheel_bolt_length"] - behind_wheel(t) - t["wheel_seat_depth"]


@ruling()
def bolt_engagement(t: True_sizes, s: float) -> float | None:
    if t["hub_fixing"] != "bolt":
        return None
    return min(_bolt_in_hub(t), t["hub_thread_depth"]) / t["hub_stud_thread"].diameter - 1.0


@ruling()
def bolt_bottoms(t: True_sizes, s: float) -> float | None:
    return t["hub_thread_depth"] - _bolt_in_hub(t) if t["hub_fixing"] == "bolt" else None


@ruling()
def nut_shank_enters(t: True_sizes, s: float) -> float | None:
    if "nut_shank_diameter" not in t:
        return None
    return t["wheel_hole_diameter"] - t["nut_shank_diameter"] - 0.2


@ruling()
def wheel_circle(t: True_sizes, s: float) -> float:
    return 0.15 - abs(t["wheel_circle"] - t["hub_circle"])


@ruling()
def wheel_bore_fit(t: True_sizes, s: float) -> float | None:
    if t["wheel_centring"] != "pilot":
        return None
    play = t["wheel_bore"] - t.get("hub_wheel_pilot_diameter", t.get("hub_pilot_diameter", float("nan")))
    return min(play, 0.3 - play)


@ruling()
def pilot_left_for_wheel(t: True_sizes, s: float) -> float | None:
    if t["wheel_centring"] != "pilot":
        return None
    length = t["hub_wheel_pilot_length"] if "hub_wheel_pilot_length" in t else t["hub_pilot_length"]
    return length - behind_wheel(t) - t["wheel_bore_chamfer"] - 3.0


@ruling()
def wheel_pad_carried(t: True_sizes, s: float) -> float:
    return t["hat_face_diameter"] - t["wheel_pad_diameter"] + 2.0


# outline --------------------------------------------------------------------------------------------------------------


def along(points: Points, x: float) -> float:
    """Height of a polyline; KeyError beyond its ends."""
    for (x0, y0), (x1, y1) in itertools.pairwise(points):
        if x0 <= x <= x1:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    raise KeyError(x)


def body(t: True_sizes) -> Points:
    """The caliper's outline: axial distance from its centre plane, height above its mounting plane."""
    if "caliper_envelope" in t:
        return list(t["caliper_envelope"])
    height = t["caliper_body_height"]
    return [(-t["caliper_width_outboard"], height), (t["caliper_width_inboard"], height)]


@ruling("radial")
def barrel_clear(t: True_sizes, s: float) -> float:
    """t["centre_error"]: where a centred caliper stands, beside the rotor's plane."""
    shift = rotor_plane(t) + t["centre_error"] + behind_wheel(t)
    outline = [(x + shift, mount_radius(t, s) + height) for x, height in body(t)]
    barrel = t["wheel_barrel"]
    first, last = outline[0][0], outline[-1][0]
    places = [x for x, _ in outline] + [x for x, _ in barrel if first <= x <= last]
    air = min(along(barrel, x) - along(outline, x) for x in places)
    return air - t["wheel_weight_thickness"] - 3.0


@ruling("axial")
def spoke_clear(t: True_sizes, s: float) -> float:
    """t["flush_error"]: where the pad of a flush caliper stands, over the rotor's edge."""
    spoke = t["wheel_spoke"]
    highest = max(height for _, height in body(t))
    outermost = t["rotor_diameter"] / 2 + t["flush_error"] - t["caliper_pad_top"] + highest
    radii = [r for r, _ in spoke if r <= outermost] + [outermost]
    back = min(along(spoke, r) for r in radii)
    reach = -body(t)[0][0] if "caliper_width_outboard" not in t else t["caliper_width_outboard"]
    return caliper_plane(t, s) - reach + behind_wheel(t) + back - 3.0


@ruling()
def shank_centres_wheel(t: True_sizes, s: float) -> float | None:
    if "nut_shank_diameter" not in t or t["wheel_centring"] != "nuts" or t["nut_seat"] != "flat":
        return None
    return 0.5 - (t["wheel_hole_diameter"] - t["nut_shank_diameter"])
