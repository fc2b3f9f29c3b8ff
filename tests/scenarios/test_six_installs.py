"""Six complete installs, each list written out by hand before the program was asked. Common practice, no source.

Each list is what two corners of an axle take with nothing at hand: every item is asked for, and none that is not here. What
stays on the car or comes fitted in the kit's parts stands apart.
"""

from collections import Counter
from dataclasses import replace
from typing import Any

import pytest

from bomcheck.assess import assess
from bomcheck.model.job import Job
from bomcheck.model.line import ASK, ON_CAR
from tests.helpers.jobs import good_job

EXACT = {
    "ear_face_position": (91.0, 0.0), "bracket_offset": (-48.0, 0.0), "rotor_plane_position": (42.0, 0.0),
    "ear_height": (97.5, 0.0), "bracket_rise": (37.0, 0.0), "caliper_pad_top": (30.0, 0.0), "rotor_diameter": (330.0, 0.0),
}  # fmt: skip
LINE = {"line_clip": "no", "banjo_screw_length": 24.0, "caliper_inlet_depth": 16.0, "banjo_thickness": 9.0, "sealing_washer_thickness": 1.0}  # fmt: skip
SCREWS = {"hat_screw_count": 10, "hat_screw_thread": "M8x1.25", "hat_screw_length": 28.0, "hat_screw_class": "10.9", "hat_nut_height": 8.0, "hat_screw_condition": "dry", "hat_screw_drilled": "no"}  # fmt: skip
DRY = {
    "bracket_screw_condition": "threadlocker",
    "caliper_screw_condition": "dry",
    "caliper_nut_kind": "all-metal lock",
}
# What every axle takes: rotors, brackets with two screws and two washers at each corner, 0.3 mL of locker a screw, calipers, four
# pads, hoses with banjo, clip, 1.3 L of fluid, 5 g of anti-seize a hub, caps, ties, paint, cleaner.
EVERY = {
    "rotor": 2, "bracket": 2, "bracket screw": 4, "threadlocker": 1.2, "caliper": 2, "pad set": 1, "hose": 2, "sealing washer": 4,
    "banjo screw": 2, "line clip": 2, "fluid": 1.3, "anti-seize": 10, "line cap": 2, "cable tie": 4, "torque paint": 1, "cleaner": 2,
}  # fmt: skip
# A fixed caliper on two studs with lock nuts, a washer at each bracket screw and each nut; pins, clips, spring, grease.
FIXED = {"caliper stud": 4, "caliper nut": 4, "washer": 8, "pad pin": 4, "pad clip": 4, "anti-rattle spring": 2, "grease": 10, "bleed screw cap": 4}  # fmt: skip
# A sliding caliper on two screws that go into it, with locker: 0.3 x 4 more; its pins, boots, screws, clips, 5 g of grease each.
SLIDING = {"caliper screw": 4, "washer": 8, "guide pin": 4, "slide boot": 4, "slide pin screw": 4, "pad clip": 8, "grease": 10, "bleed screw cap": 2}  # fmt: skip
SLIDES = {"caliper_build": "sliding", "caliper_fastening": "screw into caliper", "caliper_material": "iron", "caliper_screw_condition": "threadlocker", "caliper_thread": "M10x1.25", "caliper_thread_depth": 20.0, "bracket_caliper_thickness": 14.0, "caliper_screw_length": 34.0, "caliper_nut_kind": "none"}  # fmt: skip
ONE_PIECE = {"rotor_build": "one-piece", "rotor_height": 63.0, "hat_washer_count": None, "hat_joint": None}
NOTHING = {"kit_comes_fitted": "none"}
FLANGE = {"rotor_plane_position": None, "hat_flange_thickness": (7.0, 0.0), "rotor_thickness": (28.0, 0.0)}


def corner(**typed: Any) -> Job:
    """Both corners with an empty box and no price list."""
    return good_job(box=(), **{**EXACT, **LINE, **DRY, **NOTHING, **typed})


def counted(job: Job) -> tuple[dict[str, float], dict[str, float], list[str]]:
    """What must be had, what is there already, and what is asked first."""
    needed, there, asked = Counter[str](), Counter[str](), []
    for line in assess(job).parts:
        (there if line.status == ON_CAR else needed)[line.role] += line.needed  # type: ignore[assignment]
        asked += [line.note] if line.status == ASK and not line.needed else []
    return {role: round(n, 6) for role, n in needed.items() if n}, dict(there), asked


INSTALLS: dict[str, tuple[Job, dict[str, float], dict[str, float]]] = {}


def install(name: str, typed: dict[str, Any], needed: dict[str, float], there: dict[str, float]) -> None:
    """Write one install down."""
    INSTALLS[name] = (corner(**typed), needed, there)


# Two-piece rotors of ten screws with lock nuts; 1.0 of axial shims at the ear's two screws: 4 pieces at both corners.
install("fixed front", {**SCREWS}, {**EVERY, **FIXED, "hat": 2, "hat screw": 20, "hat nut": 20, "shim": 4}, {})
# One-piece rotors; locker also at the caliper's screws: 2.4 mL in all. A sliding caliper centres itself within 2 mm; the fitter starts
# all the same with the stack nearest the middle, 1.0 at the ear's screws.
install("sliding front", {**ONE_PIECE, **FLANGE, **SLIDES}, {**EVERY, **SLIDING, "threadlocker": 2.4, "shim": 4}, {})
# Drums go, hubs come with the kit: two bearings, seal, washer, staked nut, cap, 100 g of grease a hub beside the 5 g a caliper, five studs
# each pressed into the new hub. Backing plates and wheel cylinders come off with the drums and stay off.
install(
    "drum to disc with a new hub",
    {
        **ONE_PIECE, **FLANGE, "hub_removed": "yes", "hub_in_kit": "yes", "bearing": "tapered pair", "spindle_nut_lock": "staked",
        "caliper_position_present": "drum",
    },
    {
        **EVERY, **FIXED, "hub": 2, "wheel bearing": 4, "hub seal": 2, "spindle washer": 2, "spindle nut": 2, "dust cap": 2,
        "grease": 210, "wheel stud": 10, "shim": 4,
    },
    {"backing plate": 2, "wheel cylinder": 2},
)  # fmt: skip
# Shafts out: seal, gasket, four retainer screws, half a litre of oil a side. Shoes and their springs in a drum of 172, on the car's own
# backing plates.
install(
    "live rear axle with shoes in the hat",
    {
        **ONE_PIECE, **FLANGE, "axle": "rear", "hub_removed": "yes", "hub_in_kit": "no", "bearing": "live axle", "park_brake": "drum in hat",
        "kit_park_brake": "drum in hat", "park_lever": "cable", "hat_park_drum_diameter": 172.0, "park_shoe_diameter_min": 168.0,
        "park_shoe_diameter_max": 173.0,
    },
    {
        **EVERY, **FIXED, "hub seal": 2, "axle gasket": 2, "axle screw": 8, "gear oil": 1.0, "park shoe set": 1, "park hardware set": 1,
        "shim": 4,
    },
    {"backing plate": 2},
)  # fmt: skip
# The lever's cable and its equaliser stay, as the car had levers in the calipers before; the springs of the levers come with the kit.
install(
    "rear with the lever in the caliper",
    {
        **ONE_PIECE, **FLANGE, **SLIDES, "axle": "rear", "park_brake": "in caliper", "kit_park_brake": "in caliper", "park_lever": "cable",
        "kit_park_lever": "cable", "kit_comes_fitted": "return springs", "hub_in_kit": "no",
    },
    {**EVERY, **SLIDING, "threadlocker": 2.4, "shim": 4},
    {"return spring": 2, "parking cable": 2, "cable equaliser": 1},
)  # fmt: skip
# Ten bobbins a rotor, each with spring and circlip instead of screw and nut; hat for each; the tab's clip is new each time.
install(
    "race with a floating rotor",
    {"hat_joint": "bobbins and circlips", "hat_screw_count": 10, "duty": "race", "pad_duty": "race", "road_use": "no"},
    {**EVERY, **FIXED, "hat": 2, "bobbin": 20, "bobbin spring": 20, "circlip": 20, "shim": 4},
    {},
)


@pytest.mark.parametrize("name", INSTALLS)
def test_every_item_is_asked_for_and_none_invented(name: str) -> None:
    """The list above, item by item and number by number."""
    job, needed, there = INSTALLS[name]
    found, stays, asked = counted(job)
    assert asked == []
    assert found == needed
    assert stays == there


@pytest.mark.parametrize("name", INSTALLS)
def test_one_corner_takes_half_of_what_counts_by_corner(name: str) -> None:
    """Sets of pads and shoes, an axle's fluid, cans and the pen stay whole; all else is half."""
    job, needed, _ = INSTALLS[name]
    one = {key: replace(job.values[key], value=value) for key, value in {"corners": 1, "corner_side": "left"}.items()}
    found, _, _ = counted(replace(job, values={**job.values, **one}))
    whole = ("pad set", "park shoe set", "park hardware set", "fluid", "cleaner", "torque paint")
    assert found == {role: count if role in whole else count / 2 for role, count in needed.items()}
