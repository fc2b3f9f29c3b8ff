"""The rules of the wheel in plain numbers; see `brute_force`."""

from tests.promises.brute_force import True_sizes, ruling


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
def stud_in_wheel_hole(t: True_sizes, s: float) -> float | None:
    return t["wheel_hole_diameter"] - t["hub_stud_thread"].diameter - 0.2 if "wheel_hole_diameter" in t else None


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


@ruling()
def shank_centres_wheel(t: True_sizes, s: float) -> float | None:
    if "nut_shank_diameter" not in t or t["wheel_centring"] != "nuts" or t["nut_seat"] != "flat":
        return None
    return 0.5 - (t["wheel_hole_diameter"] - t["nut_shank_diameter"])


@ruling()
def wheel_past_step(t: True_sizes, s: float) -> float | None:
    """A ring of the step's height and diameter pushed into the wheel's chamfered bore."""
    if "hub_wheel_pilot_diameter" not in t:
        return None
    proud = t["hub_pilot_length"] - behind_wheel(t)
    thick = (t["hub_pilot_diameter"] - t["wheel_bore"]) / 2
    return max(-proud, -thick, t["wheel_bore_chamfer"] - proud - thick)
