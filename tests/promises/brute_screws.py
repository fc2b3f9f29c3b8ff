"""The rules of screws, studs and nuts in plain numbers; see `brute_force`."""

from tests.promises.brute_force import METAL, True_sizes, ruling


def _washers(t: True_sizes, where: str) -> float:
    count = t[f"{where}_washer_count"]
    return count * t[f"{where}_washer_thickness"] if count else 0.0


def _beyond_bracket_head(t: True_sizes) -> float:
    return t["bracket_screw_length"] - _washers(t, "bracket")


def _ear_shims(t: True_sizes, s: float) -> float:
    return s if t["axial_shim_joint"] == "ear" else 0.0


def _lug_shims(t: True_sizes, s: float) -> float:
    return s if t["axial_shim_joint"] == "lug" else 0.0


# ears -----------------------------------------------------------------------------------------------------------------


@ruling()
def ear_spacing_fits(t: True_sizes, s: float) -> float:
    plain = {"ear": ["bracket_ear"], "bracket": ["ear"], "nut": ["bracket_ear", "ear"]}[t["bracket_screw_into"]]
    play = sum(t[f"{part}_hole_diameter"] - t["bracket_screw_thread"].diameter for part in plain)
    return play - abs(t["bracket_ear_spacing"] - t["ear_spacing"])


def _play(hole: float, screw: float) -> float:
    return min(hole - screw, 0.6 - (hole - screw))


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
    held = min(reach, t["bracket_thread_depth"])
    return held / t["bracket_screw_thread"].diameter - METAL[t["bracket_material"]]


@ruling("axial")
def bracket_nut_on_thread(t: True_sizes, s: float) -> float | None:
    if t["bracket_screw_into"] != "nut":
        return None
    grip = t["bracket_ear_thickness"] + t["ear_thickness"] + _ear_shims(t, s)
    return (_beyond_bracket_head(t) - grip - t["bracket_nut_height"]) / t["bracket_screw_thread"].pitch - 2.0


# caliper --------------------------------------------------------------------------------------------------------------


@ruling()
def caliper_spacing_fits(t: True_sizes, s: float) -> float | None:
    if t["caliper_fastening"] not in ("stud in bracket", "screw into bracket"):
        return None
    play = t["caliper_hole_diameter"] - t["caliper_screw_thread"].diameter
    return play - abs(t["bracket_caliper_spacing"] - t["caliper_mount_spacing"])


def _shows(t: True_sizes, grip: float) -> float:
    beyond = t["caliper_screw_length"] - grip - _washers(t, "caliper") - t["caliper_nut_height"]
    return beyond / t["caliper_screw_thread"].pitch - 2.0


@ruling("radial")
def caliper_nut_on_stud(t: True_sizes, s: float) -> float | None:
    if (t["caliper_fastening"], t["caliper_mount"]) != ("stud in bracket", "radial"):
        return None
    return _shows(t, t["caliper_lug_thickness"] + s)


@ruling("axial")
def caliper_nut_on_lug_stud(t: True_sizes, s: float) -> float | None:
    if (t["caliper_fastening"], t["caliper_mount"]) != ("stud in bracket", "axial lug"):
        return None
    return _shows(t, t["caliper_lug_thickness"] + _lug_shims(t, s))


@ruling("radial")
def caliper_nut_on_screw(t: True_sizes, s: float) -> float | None:
    if (t["caliper_fastening"], t["caliper_mount"]) != ("screw and nut", "radial"):
        return None
    return _shows(t, t["caliper_lug_thickness"] + t["bracket_caliper_thickness"] + s)


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
    return _held(t, t["caliper_lug_thickness"] + s, t["bracket_thread_depth"]) - METAL[t["bracket_material"]]


@ruling("axial")
def caliper_lug_screw_in_bracket(t: True_sizes, s: float) -> float | None:
    if (t["caliper_fastening"], t["caliper_mount"]) != ("screw into bracket", "axial lug"):
        return None
    clamped = t["caliper_lug_thickness"] + _lug_shims(t, s)
    return _held(t, clamped, t["bracket_thread_depth"]) - METAL[t["bracket_material"]]


@ruling("radial")
def screw_in_caliper(t: True_sizes, s: float) -> float | None:
    if (t["caliper_fastening"], t["caliper_mount"]) != ("screw into caliper", "radial"):
        return None
    return _held(t, t["bracket_caliper_thickness"] + s, t["caliper_thread_depth"]) - METAL["aluminium"]
