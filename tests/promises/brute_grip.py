"""The rules of plain shanks, and of the screw in a caliper's lug, in plain numbers; see `brute_force`."""

from tests.promises.brute_force import METAL, True_sizes, ruling
from tests.promises.brute_screws import _ear_shims, _held, _lug_shims, _radial, _washers


def _beyond_shank(t: True_sizes, joint: str, clamped: float) -> float:
    """Room over half a pitch between the end of the shank and the far side of what is clamped, in pitches."""
    shank = t[f"{joint}_screw_length"] - t[f"{joint}_screw_thread_length"]
    return (_washers(t, joint) + clamped - shank) / t[f"{joint}_screw_thread"].pitch - 0.5


@ruling("axial")
def bracket_shank_in_grip(t: True_sizes, s: float) -> float | None:
    if "bracket_screw_thread_length" not in t:
        return None
    parts = {"ear": ["bracket_ear"], "bracket": ["ear"], "nut": ["bracket_ear", "ear"]}[t["bracket_screw_into"]]
    return _beyond_shank(t, "bracket", sum(t[f"{part}_thickness"] for part in parts) + _ear_shims(t, s))


def _caliper_clamped(t: True_sizes) -> float:
    lug, flange = "caliper_lug_thickness", "bracket_caliper_thickness"
    parts = {
        "stud in bracket": [lug], "screw into bracket": [lug], "screw and nut": [lug, flange], "screw into caliper": [flange],
    }[t["caliper_fastening"]]  # fmt: skip
    return float(sum(t[part] for part in parts))


@ruling("radial")
def caliper_shank_in_grip(t: True_sizes, s: float) -> float | None:
    if "caliper_screw_thread_length" not in t or t["caliper_mount"] != "radial":
        return None
    return _beyond_shank(t, "caliper", _caliper_clamped(t) + _radial(t, s))


@ruling("axial")
def caliper_lug_shank_in_grip(t: True_sizes, s: float) -> float | None:
    if "caliper_screw_thread_length" not in t or t["caliper_mount"] != "axial lug":
        return None
    return _beyond_shank(t, "caliper", _caliper_clamped(t) + _lug_shims(t, s))


@ruling("axial")
def lug_screw_in_caliper(t: True_sizes, s: float) -> float | None:
    if (t["caliper_fastening"], t["caliper_mount"]) != ("screw into caliper", "axial lug"):
        return None
    clamped = t["bracket_caliper_thickness"] + _lug_shims(t, s)
    return _held(t, clamped, t["caliper_thread_depth"]) - METAL[t["caliper_material"]]
