"""The rules of screws, studs and nuts in plain numbers; see `brute_force`."""

from tests.promises.brute_force import METAL, True_sizes, ruling


def _washers(t: True_sizes, where: str) -> float:
    count = t[f"{where}_washer_count"]
    return count * t[f"{where}_washer_thickness"] if count else 0.0


def _beyond_bracket_head(t: True_sizes) -> float:
    return t["bracket_screw_length"] - _washers(t, "bracket")


def _ear_shims(t: True_sizes, s: float) -> float:
    """Shims and spacer in the ear joint."""
    return (s if t["axial_shim_joint"] == "ear" else 0.0) + float(t.get("bracket_spacer_thickness", 0.0))


def _lug_shims(t: True_sizes, s: float) -> float:
    return (s if t["axial_shim_joint"] == "lug" else 0.0) + float(t.get("caliper_spacer_thickness", 0.0))


def _radial(t: True_sizes, s: float) -> float:
    return s + float(t.get("caliper_spacer_thickness", 0.0))


def _depth(t: True_sizes, where: str) -> float:
    """The joint's own depth, or the one that serves both."""
    own = f"bracket_{where}_thread_depth"
    return float(t[own] if own in t else t["bracket_thread_depth"])


# ears -----------------------------------------------------------------------------------------------------------------


@ruling()
def ear_spacing_fits(t: True_sizes, s: float) -> float:
    plain = {"ear": ["bracket_ear"], "bracket": ["ear"], "nut": ["bracket_ear", "ear"]}[t["bracket_screw_into"]]
    play = sum(t[f"{part}_hole_diameter"] - t["bracket_screw_thread"].diameter for part in plain)
    return play - abs(t["bracket_ear_spacing"] - t["ear_spacing"])


def _play(hole: float, screw: float) -> float:
    """From a hole as large as the screw to ISO 273's medium hole at the upper end of H13."""
    most = 0.82 if screw <= 7 else 1.27 if screw <= 11.5 else 1.77 if screw <= 17 else 2.33
    return min(hole - screw, most - (hole - screw))


WASHERS = {8.0: 16.0, 9.525: 20.6, 10.0: 20.0, 12.0: 24.0, 12.7: 27.0}  # outside of a plain washer, mm
HEADS = {8.0: 11.47, 9.525: 13.0, 10.0: 14.47, 12.0: 16.47, 12.7: 17.4}  # bearing face of a hexagon head, mm


def _covered(t: True_sizes, joint: str, hole: str) -> float:
    screw = round(t[f"{joint}_screw_thread"].diameter, 4)
    wide = (WASHERS if t[f"{joint}_washer_count"] else HEADS)[screw]
    return (wide - t[hole]) / 2 - 1.0


@ruling()
def screw_in_ear_hole(t: True_sizes, s: float) -> float | None:
    if t["ear_hole"] != "plain through":
        return None
    return _play(t["ear_hole_diameter"], t["bracket_screw_thread"].diameter)


@ruling()
def screw_in_bracket_hole(t: True_sizes, s: float) -> float | None:
    if t["bracket_screw_into"] == "bracket":
        return None
    return _play(t["bracket_ear_hole_diameter"], t["bracket_screw_thread"].diameter)


@ruling()
def screw_in_ear_hole_covered(t: True_sizes, s: float) -> float | None:
    return None if t["ear_hole"] != "plain through" else _covered(t, "bracket", "ear_hole_diameter")


@ruling()
def screw_in_bracket_hole_covered(t: True_sizes, s: float) -> float | None:
    return None if t["bracket_screw_into"] == "bracket" else _covered(t, "bracket", "bracket_ear_hole_diameter")


def _calipers_own(t: True_sizes) -> bool:
    return t["caliper_fastening"] != "screw into caliper"


def _through_flange(t: True_sizes) -> bool:
    return t["caliper_fastening"] in ("screw and nut", "screw into caliper")


@ruling()
def screw_in_caliper_hole(t: True_sizes, s: float) -> float | None:
    return _play(t["caliper_hole_diameter"], t["caliper_screw_thread"].diameter) if _calipers_own(t) else None


@ruling()
def screw_in_caliper_hole_covered(t: True_sizes, s: float) -> float | None:
    return _covered(t, "caliper", "caliper_hole_diameter") if _calipers_own(t) else None


@ruling()
def screw_in_bracket_caliper_hole(t: True_sizes, s: float) -> float | None:
    return _play(t["bracket_caliper_hole_diameter"], t["caliper_screw_thread"].diameter) if _through_flange(t) else None


@ruling()
def screw_in_bracket_caliper_hole_covered(t: True_sizes, s: float) -> float | None:
    return _covered(t, "caliper", "bracket_caliper_hole_diameter") if _through_flange(t) else None


@ruling("axial")
def engagement_in_ear(t: True_sizes, s: float) -> float | None:
    if t["bracket_screw_into"] != "ear" or t["ear_hole"] != "tapped through":
        return None
    reach = _beyond_bracket_head(t) - t["bracket_ear_thickness"] - _ear_shims(t, s)
    held = min(reach, t["ear_thread_depth"], t["ear_thickness"])
    return held / t["bracket_screw_thread"].diameter - METAL[t["ear_material"]]


@ruling("axial")
def engagement_in_blind_ear(t: True_sizes, s: float) -> float | None:
    if t["bracket_screw_into"] != "ear" or t["ear_hole"] != "tapped blind":
        return None
    reach = _beyond_bracket_head(t) - t["bracket_ear_thickness"] - _ear_shims(t, s)
    return min(reach, t["ear_thread_depth"]) / t["bracket_screw_thread"].diameter - METAL[t["ear_material"]]


@ruling("axial")
def screw_bottoms_in_ear(t: True_sizes, s: float) -> float | None:
    if t["bracket_screw_into"] != "ear" or t["ear_hole"] != "tapped blind":
        return None
    return t["ear_thread_depth"] - (_beyond_bracket_head(t) - t["bracket_ear_thickness"] - _ear_shims(t, s))


@ruling("axial")
def engagement_in_bracket(t: True_sizes, s: float) -> float | None:
    if t["bracket_screw_into"] != "bracket":
        return None
    reach = _beyond_bracket_head(t) - t["ear_thickness"] - _ear_shims(t, s)
    held = min(reach, _depth(t, "ear"))
    return held / t["bracket_screw_thread"].diameter - METAL[t["bracket_material"]]


@ruling("axial")
def screw_bottoms_in_bracket(t: True_sizes, s: float) -> float | None:
    if t["bracket_screw_into"] != "bracket" or t["bracket_ear_tapping"] != "blind":
        return None
    return _depth(t, "ear") - (_beyond_bracket_head(t) - t["ear_thickness"] - _ear_shims(t, s))


@ruling("axial")
def bracket_nut_on_thread(t: True_sizes, s: float) -> float | None:
    if t["bracket_screw_into"] != "nut":
        return None
    grip = t["bracket_ear_thickness"] + t["ear_thickness"] + _ear_shims(t, s)
    return (_beyond_bracket_head(t) - grip - t["bracket_nut_height"]) / t["bracket_screw_thread"].pitch - 2.0


# caliper --------------------------------------------------------------------------------------------------------------


@ruling()
def caliper_spacing_fits(t: True_sizes, s: float) -> float | None:
    holes = [t["caliper_hole_diameter"]] if _calipers_own(t) else []
    holes += [t["bracket_caliper_hole_diameter"]] if _through_flange(t) else []
    play = sum(hole - t["caliper_screw_thread"].diameter for hole in holes)
    return play - abs(t["bracket_caliper_spacing"] - t["caliper_mount_spacing"])


def _shows(t: True_sizes, grip: float) -> float:
    beyond = t["caliper_screw_length"] - grip - _washers(t, "caliper") - t["caliper_nut_height"]
    return beyond / t["caliper_screw_thread"].pitch - 2.0


@ruling("radial")
def caliper_nut_on_stud(t: True_sizes, s: float) -> float | None:
    if (t["caliper_fastening"], t["caliper_mount"]) != ("stud in bracket", "radial"):
        return None
    return _shows(t, t["caliper_lug_thickness"] + _radial(t, s))


@ruling("axial")
def caliper_nut_on_lug_stud(t: True_sizes, s: float) -> float | None:
    if (t["caliper_fastening"], t["caliper_mount"]) != ("stud in bracket", "axial lug"):
        return None
    return _shows(t, t["caliper_lug_thickness"] + _lug_shims(t, s))


@ruling("radial")
def caliper_nut_on_screw(t: True_sizes, s: float) -> float | None:
    if (t["caliper_fastening"], t["caliper_mount"]) != ("screw and nut", "radial"):
        return None
    return _shows(t, t["caliper_lug_thickness"] + t["bracket_caliper_thickness"] + _radial(t, s))


@ruling("axial")
def caliper_nut_on_lug_screw(t: True_sizes, s: float) -> float | None:
    if (t["caliper_fastening"], t["caliper_mount"]) != ("screw and nut", "axial lug"):
        return None
    return _shows(t, t["caliper_lug_thickness"] + t["bracket_caliper_thickness"] + _lug_shims(t, s))


def _held(t: True_sizes, clamped: float, depth: float) -> float:
    reach = t["caliper_screw_length"] - _washers(t, "caliper") - clamped
    return min(reach, depth) / t["caliper_screw_thread"].diameter


@ruling("radial")
def caliper_screw_in_bracket(t: True_sizes, s: float) -> float | None:
    if (t["caliper_fastening"], t["caliper_mount"]) != ("screw into bracket", "radial"):
        return None
    return _held(t, t["caliper_lug_thickness"] + _radial(t, s), _depth(t, "caliper")) - METAL[t["bracket_material"]]


@ruling("axial")
def caliper_lug_screw_in_bracket(t: True_sizes, s: float) -> float | None:
    if (t["caliper_fastening"], t["caliper_mount"]) != ("screw into bracket", "axial lug"):
        return None
    clamped = t["caliper_lug_thickness"] + _lug_shims(t, s)
    return _held(t, clamped, _depth(t, "caliper")) - METAL[t["bracket_material"]]


@ruling("radial")
def screw_in_caliper(t: True_sizes, s: float) -> float | None:
    if (t["caliper_fastening"], t["caliper_mount"]) != ("screw into caliper", "radial"):
        return None
    return (
        _held(t, t["bracket_caliper_thickness"] + _radial(t, s), t["caliper_thread_depth"])
        - METAL[t["caliper_material"]]
    )


def _tip(t: True_sizes, clamped: float) -> float:
    """How far the caliper's screw comes through."""
    return float(t["caliper_screw_length"] - _washers(t, "caliper") - clamped)


@ruling("radial")
def caliper_screw_bottoms_in_bracket(t: True_sizes, s: float) -> float | None:
    if (t["caliper_fastening"], t["caliper_mount"]) != ("screw into bracket", "radial"):
        return None
    if t["bracket_caliper_tapping"] != "blind":
        return None
    return _depth(t, "caliper") - _tip(t, t["caliper_lug_thickness"] + _radial(t, s))


@ruling("axial")
def caliper_lug_screw_bottoms_in_bracket(t: True_sizes, s: float) -> float | None:
    if (t["caliper_fastening"], t["caliper_mount"]) != ("screw into bracket", "axial lug"):
        return None
    if t["bracket_caliper_tapping"] != "blind":
        return None
    return _depth(t, "caliper") - _tip(t, t["caliper_lug_thickness"] + _lug_shims(t, s))


@ruling("radial")
def screw_bottoms_in_caliper(t: True_sizes, s: float) -> float | None:
    if (t["caliper_fastening"], t["caliper_mount"]) != ("screw into caliper", "radial"):
        return None
    if t["caliper_tapping"] != "blind":
        return None
    return t["caliper_thread_depth"] - _tip(t, t["bracket_caliper_thickness"] + _radial(t, s))


@ruling("axial")
def lug_screw_bottoms_in_caliper(t: True_sizes, s: float) -> float | None:
    if (t["caliper_fastening"], t["caliper_mount"]) != ("screw into caliper", "axial lug"):
        return None
    if t["caliper_tapping"] != "blind":
        return None
    return t["caliper_thread_depth"] - _tip(t, t["bracket_caliper_thickness"] + _lug_shims(t, s))


def _has_root(t: True_sizes) -> bool:
    return t["caliper_fastening"] == "stud in bracket" and "caliper_stud_root_length" in t


@ruling()
def stud_root_in_bracket(t: True_sizes, s: float) -> float | None:
    if not _has_root(t):
        return None
    held = min(t["caliper_stud_root_length"], _depth(t, "caliper"))
    return held / t["caliper_screw_thread"].diameter - METAL[t["bracket_material"]]


@ruling()
def stud_root_bottoms_in_bracket(t: True_sizes, s: float) -> float | None:
    if not _has_root(t) or t["bracket_caliper_tapping"] != "blind":
        return None
    return _depth(t, "caliper") - t["caliper_stud_root_length"]


# hat and ring, banjo --------------------------------------------------------------------------------------------------


def _through_hat(t: True_sizes) -> float:
    return float(t["hat_screw_length"] - t["hat_clamped_thickness"])


def _hat(t: True_sizes, key: str) -> bool:
    return t["rotor_build"] == "two-piece" and key in t


@ruling()
def hat_nut_on_thread(t: True_sizes, s: float) -> float | None:
    if not _hat(t, "hat_nut_height"):
        return None
    return (_through_hat(t) - t["hat_nut_height"]) / t["hat_screw_thread"].pitch - 2.0


@ruling()
def hat_screw_engaged(t: True_sizes, s: float) -> float | None:
    if not _hat(t, "hat_thread_depth"):
        return None
    held = min(_through_hat(t), t["hat_thread_depth"])
    return held / t["hat_screw_thread"].diameter - METAL[t["hat_thread_material"]]


@ruling()
def hat_screw_bottoms(t: True_sizes, s: float) -> float | None:
    if not _hat(t, "hat_thread_depth") or t["hat_tapping"] != "blind":
        return None
    return t["hat_thread_depth"] - _through_hat(t)


@ruling()
def hat_shank_in_grip(t: True_sizes, s: float) -> float | None:
    if not _hat(t, "hat_screw_thread_length"):
        return None
    plain = t["hat_screw_length"] - t["hat_screw_thread_length"]
    return (t["hat_clamped_thickness"] - plain) / t["hat_screw_thread"].pitch - 0.5


def _in_port(t: True_sizes) -> float:
    return float(t["banjo_screw_length"] - t["banjo_thickness"] - 2 * t["sealing_washer_thickness"])


@ruling()
def banjo_engaged(t: True_sizes, s: float) -> float | None:
    if "banjo_screw_length" not in t:
        return None
    return min(_in_port(t), t["caliper_inlet_depth"]) / t["caliper_inlet"].thread.diameter - 1.0


@ruling()
def banjo_bottoms(t: True_sizes, s: float) -> float | None:
    if "banjo_screw_length" not in t:
        return None
    return t["caliper_inlet_depth"] - _in_port(t) - 1.0
