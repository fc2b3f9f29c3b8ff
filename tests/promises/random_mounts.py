"""Random knuckles, brackets and calipers for `random_corners`."""

from typing import TYPE_CHECKING, Any

from bomcheck.model.types import Thread
from bomcheck.notation import read_line_end, read_thread

if TYPE_CHECKING:
    from tests.promises.random_corners import Dice

BANJO_PORT = read_line_end("M10x1.0 banjo port")
METALS = ("steel", "iron", "aluminium")
BRACKET_SCREWS = ("M12x1.5", "M12x1.75", "M10x1.25", "1/2-20")
CALIPER_SCREWS = ("M10x1.25", "M10x1.5", "M8x1.25", "3/8-24")
FASTENINGS = ("stud in bracket", "screw and nut", "screw into bracket", "screw into caliper")
TIMES = {"steel": 1.0, "iron": 1.5, "aluminium": 2.0}


def thread(text: str) -> Thread:
    found = read_thread(text)
    assert found is not None
    return found


def mounts(dice: "Dice", typed: dict[str, Any]) -> dict[str, Any]:
    """Everything between knuckle and caliper."""
    from tests.promises.random_corners import shims

    found: dict[str, Any] = {
        "caliper_build": dice.choice(("fixed", "fixed", "sliding")),
        "caliper_mount": dice.choice(("radial", "radial", "axial lug")),
        "ear_side": dice.choice(("outboard", "inboard")),
        "caliper_lug_side": dice.choice(("outboard", "inboard")),
        "ear_material": dice.choice(METALS),
        "bracket_material": dice.choice(METALS),
    }
    found["axial_shim_joint"] = dice.choice(("ear", "lug")) if found["caliper_mount"] == "axial lug" else "ear"
    for name in ("axial", "radial"):
        if dice.yes(0.85):
            found[f"shim_sizes_{name}"] = shims(dice)
        if dice.yes(0.3):
            found[f"shim_stack_max_{name}"] = dice.choice((0.0, 1.0, 2.0, 5.0))
    if dice.yes(0.2):
        found["axial_tolerance"] = dice.choice((0.3, 1.0))
    return (
        found
        | _axial(dice, typed, found)
        | _radial(dice, typed)
        | _ears(dice)
        | _bracket_screw(dice, found)
        | _caliper(dice)
    )


def _axial(dice: "Dice", typed: dict[str, Any], found: dict[str, Any]) -> dict[str, Any]:
    if "rotor_height" in typed:
        plane = typed["rotor_height"] - typed["hat_flange_thickness"] - typed["rotor_thickness"] / 2
    else:
        plane = typed["rotor_plane_position"]
    toward = found["ear_side"] if found["axial_shim_joint"] == "ear" else found["caliper_lug_side"]
    wanted = dice.choice((-1.0, 0.0, 0.0, 0.5, 1.0, 1.3, 2.0, 4.0)) * (1 if toward == "inboard" else -1)
    offset = dice.choice((-12.0, 3.0, 20.0))
    shield = {"shield": dice.choice(("none", "fixed", "removable"))}
    return shield | {
        "bracket_offset": offset, "ear_face_position": dice.near(plane - offset - wanted), "rotor_plane_position_used": plane,
        "caliper_slot_width": dice.past(typed["rotor_thickness"] + 3.5),
        "shield_position": dice.past(plane + typed["rotor_thickness"] / 2 + 2),
    }  # fmt: skip


def _radial(dice: "Dice", typed: dict[str, Any]) -> dict[str, Any]:
    top, rise, pad = dice.choice((30.0, 34.0)), dice.choice((20.0, 38.0)), dice.choice((48.0, 52.0))
    wanted = dice.choice((-1.0, 0.0, 0.0, 0.5, 1.0, 1.5, 2.5, 5.0))
    height = dice.near(typed["rotor_diameter"] / 2 - 0.5 - wanted - top - rise)
    sideways = dice.choice((0.0, 3.0, -12.0, 38.0))
    found = {
        "caliper_pad_top": top, "bracket_rise": rise, "caliper_bridge": dice.past(top + 2.5), "pad_height": pad,
        "bracket_sideways_offset": dice.near(sideways),
    }  # fmt: skip
    spacing = dice.choice((100.0, 130.0))
    if dice.yes(0.4):
        upper, lower = sideways + spacing / 2, sideways - spacing / 2
        found |= {"ear_distance_upper": round((height**2 + upper**2) ** 0.5, 2)}
        found |= {"ear_distance_lower": round((height**2 + lower**2) ** 0.5, 2)}
    else:
        found |= {"ear_height": height, "ear_sideways_offset": sideways}
    return found | {"ear_spacing": spacing, "bracket_ear_spacing": dice.near(spacing)}


def _ears(dice: "Dice") -> dict[str, Any]:
    screw = thread(dice.choice(BRACKET_SCREWS))
    return {
        "bracket_screw_thread": screw, "ear_thread": screw, "ear_thickness": dice.past(18.0),
        "ear_thread_depth": dice.past(18.0), "ear_hole_diameter": round(screw.diameter + dice.choice((-0.1, 0.0, 0.3, 1.0, 1.26, 1.75, 2.47, 5.0)), 2),
        "bracket_ear_hole_diameter": round(screw.diameter + dice.choice((-0.1, 0.0, 0.3, 1.0, 1.26, 1.75, 3.0, 6.0)), 2),
        "bracket_washer_count": dice.choice((0, 1, 2)), "bracket_washer_thickness": 2.5, "bracket_ear_thickness": 15.0,
        "bracket_nut_height": 10.0, "bracket_thread_depth": dice.past(15.0), "bracket_ear_tapping": dice.choice(("through", "blind")),
        **({"bracket_ear_thread_depth": dice.past(18.0)} if dice.yes(0.5) else {}),
        **({"bracket_spacer_thickness": dice.choice((1.0, 4.0))} if dice.yes(0.15) else {}),
    }  # fmt: skip


def _bracket_screw(dice: "Dice", found: dict[str, Any]) -> dict[str, Any]:
    into = dice.choice(("ear", "ear", "bracket", "nut"))
    hole = dice.choice(("tapped through", "tapped blind")) if into == "ear" else "plain through"
    under = {"ear": 15.0, "bracket": 18.0, "nut": 15.0 + 18.0 + 10.0}[into] + 2.5
    need = 3.0 if into == "nut" else 12 * TIMES[found["ear_material" if into == "ear" else "bracket_material"]]
    return {"bracket_screw_into": into, "ear_hole": hole, "bracket_screw_length": dice.past(under + need)}


def _caliper(dice: "Dice") -> dict[str, Any]:
    screw, fastening = thread(dice.choice(CALIPER_SCREWS)), dice.choice(FASTENINGS)
    lug, flange = dice.choice((18.0, 36.0)), 14.0
    grip = {
        "stud in bracket": lug + 9,
        "screw and nut": lug + flange + 9,
        "screw into bracket": lug,
        "screw into caliper": flange,
    }[fastening]
    return {
        "caliper_fastening": fastening, "caliper_material": "iron" if lug == 36.0 else "aluminium", "caliper_screw_thread": screw, "bracket_thread": screw, "caliper_lug_thickness": lug,
        "bracket_caliper_thickness": flange, "caliper_nut_height": 9.0, "caliper_washer_count": dice.choice((0, 1, 2)),
        "caliper_washer_thickness": 2.0, "caliper_thread_depth": dice.past(20.0), "caliper_mount_spacing": dice.near(130.0),
        "bracket_caliper_spacing": 130.0, "caliper_hole_diameter": round(screw.diameter + dice.choice((0.0, 0.3, 0.5, 1.25, 2.9, 5.0)), 2),
        "bracket_caliper_hole_diameter": round(screw.diameter + dice.choice((0.0, 0.3, 0.5, 1.25, 2.9, 5.0)), 2),
        "bracket_caliper_tapping": dice.choice(("through", "blind")), "caliper_tapping": dice.choice(("through", "blind")),
        **({"bracket_caliper_thread_depth": dice.past(20.0)} if dice.yes(0.5) else {}),
        **({"caliper_spacer_thickness": dice.choice((1.0, 4.0))} if dice.yes(0.15) else {}),
        **({"caliper_stud_root_length": dice.past(18.0)} if dice.yes(0.5) else {}), **_hat(dice), **_banjo(dice),
        "caliper_screw_length": dice.past(grip + 2 + (3.0 if "nut" in fastening or "stud" in fastening else 18.0)),
        **_park(dice),
    }  # fmt: skip


def _hat(dice: "Dice") -> dict[str, Any]:
    """Hat screws with nuts, or tapped in."""
    screw = thread(dice.choice(("M8x1.25", "M6x1.0", "1/4-28")))
    found: dict[str, Any] = {
        "hat_screw_thread": screw, "hat_screw_length": dice.past(26.0), "hat_clamped_thickness": 16.0, "hat_tapping": dice.choice(("through", "blind")),
        "hat_thread_material": dice.choice(METALS),
    }  # fmt: skip
    if dice.yes(0.5):
        found["hat_screw_thread_length"] = dice.past(11.0)
    return found | ({"hat_nut_height": dice.near(7.0)} if dice.yes(0.5) else {"hat_thread_depth": dice.past(9.0)})


def _banjo(dice: "Dice") -> dict[str, Any]:
    return {
        "caliper_inlet": BANJO_PORT, "banjo_screw_length": dice.past(22.5), "banjo_thickness": 10.0, "sealing_washer_thickness": 1.0,
        "caliper_inlet_depth": dice.past(12.0),
    }  # fmt: skip


def _park(dice: "Dice") -> dict[str, Any]:
    drum = dice.near(dice.choice((180.0, 185.0, 185.7, 187.0)))
    return {
        "park_brake": dice.choice(("none", "drum in hat", "drum in hat", "in caliper", "separate")),
        "kit_park_brake": dice.choice(("drum in hat", "drum in hat", "in caliper")), "park_lever": "cable",
        "hat_park_drum_diameter": drum, "park_shoe_diameter_min": 185.0, "park_shoe_diameter_max": 186.5,
    }  # fmt: skip
