"""Each range check's value on a whole job, worked out by hand from the sizes of `good_job`; common practice, no source.

Good job: flange 7, rotor 330 x 28 at 42, ear face 91 (outboard), bracket offset -48, ears 95, rise 38, pad top 30, shims 1.0
axial and 1.5 radial.
"""

from typing import Any

import pytest

from bomcheck.rules import all_checks
from tests.helpers.jobs import assessed, finding

LUG = {"caliper_mount": "axial lug", "axial_shim_joint": "lug", "caliper_lug_side": "outboard", "bracket_rise": 39.5}
BLIND = {"ear_hole": "tapped blind", "bracket_screw_length": 36.5, "ear_material": "steel"}
NUT = {"ear_hole": "plain through", "bracket_screw_into": "nut", "ear_hole_diameter": 12.4, "bracket_nut_height": 12.0,
       "bracket_screw_length": 60.0}  # fmt: skip
TAPPED = {"ear_hole": "plain through", "bracket_screw_into": "bracket", "ear_hole_diameter": 12.4,
          "bracket_thread": "M12x1.5", "bracket_thread_depth": 30.0, "bracket_ear_tapping": "blind", "bracket_screw_length": 50.0}  # fmt: skip
BOLT = {"hub_fixing": "bolt", "wheel_bolt_length": 35.0, "hub_thread_depth": 20.0}
INTO = {
    "caliper_fastening": "screw into bracket",
    "bracket_thread_depth": 25.0,
    "bracket_caliper_tapping": "blind",
    "caliper_screw_length": 62.0,
}
THROUGH = {
    "caliper_fastening": "screw and nut",
    "bracket_caliper_thickness": 15.0,
    "bracket_caliper_hole_diameter": 10.5,
    "caliper_screw_length": 75.0,
}
BODY = {"caliper_fastening": "screw into caliper", "caliper_material": "aluminium", "bracket_caliper_thickness": 15.0, "caliper_thread_depth": 25.0, "caliper_tapping": "blind", "bracket_caliper_hole_diameter": 10.5,
        "caliper_screw_length": 42.0}  # fmt: skip
REAR = {"axle": "rear", "park_brake": "drum in hat", "kit_park_brake": "drum in hat", "hat_park_drum_diameter": 172.0,
        "park_shoe_diameter_min": 170.0, "park_shoe_diameter_max": 175.0}  # fmt: skip
SLIDING = {"caliper_build": "sliding", "caliper_piston_stroke": 40.0}

SHANK_ENDS: list[tuple[dict[str, Any], float]] = [
    ({}, 3.0),  # 2.5 + 15 + 1 - (40 - 26) = 4.5 of 1.5
    (BLIND, 8.0 / 1.5),  # 2.5 + 15 + 1 - 10.5
    (TAPPED, -1.0 / 3),  # 2.5 + 20 + 1 - (50 - 26) = -0.5: the shank meets the thread
    (NUT, 3.0),  # 2.5 + 15 + 20 + 1 - (60 - 26) = 4.5
]
WORKED: list[tuple[str, dict[str, Any], float]] = [
    ("bolt_circle", {"hat_bolt_circle": "5x112.1"}, 0.1),
    ("bolt_circle", {"hat_bolt_circle": "5x100-114.3 slotted"}, 0.0),  # inside the slot: nothing off
    ("bolt_circle", {"hat_bolt_circle": "5x100; 5x112.05"}, 0.05),  # the nearer of two
    ("stud_hole", {}, 0.75),  # (13.5 - 12) / 2
    (
        "stud_hole",
        {"hub_stud_shoulder_height": 2.0, "hub_stud_shoulder_diameter": 13.0},
        0.25,
    ),  # the knurl stands proud
    ("stud_hole", {"hat_bolt_circle": "5x112.1"}, 0.70),  # less half of what the circles differ
    ("pilot_fit", {}, 0.10),
    ("bore_wall", {}, 15.95),  # (112 - 13.5 - 66.6) / 2
    ("pilot_carries_hat", {}, 7.0),  # the flange, not 14 - 0.5
    ("pilot_carries_hat", {"hub_pilot_length": 6.0}, 5.5),
    ("fillet_cleared", {}, 1.0),
    ("hub_inside_hat", {}, 5.0),
    ("hub_face_true", {}, 0.02),
    ("sensor_ring_inside_hat", {"sensor_ring_diameter": 144.0}, 3.0),
    ("caliper_centred", {}, 0.0),  # 91 - 48 - 1 - 42
    (
        "caliper_centred",
        {"bracket_offset": -50.0, "ear_side": "inboard"},
        0.0,
    ),  # 91 - 50 + 1 - 42: inboard of the ear pushes in
    ("caliper_centred", {**LUG, "bracket_offset": -48.5}, 0.0),  # toward the lug's side: 91 - 48.5 - 0.5 - 42
    ("caliper_centred", {"rotor_build": "one-piece", "rotor_height": 63.0}, 0.0),  # 63 - 7 - 14 = 42 again
    ("new_pads_go_in", {}, 1.5),  # 61.5 - 28 - 32
    ("piston_travel_worn", {}, 9.25),  # 20 - (61.5 - 26 - 10 - 4) / 2
    ("sliding_piston_travel_worn", SLIDING, 18.5),  # 40 - 21.5: one piston takes up both sides
    ("pad_flush", {}, -0.5),  # 95 + 38 + 1.5 + 30 - 165
    ("pad_flush", {"ear_height": None, "ear_distance_upper": 115.1, "ear_distance_lower": 115.1}, -0.5),  # see below
    (
        "pad_flush",
        {"ears_to_pad_top": 68.2},
        -0.3,
    ),  # one figure of the drawing goes before its two parts: 95 + 68.2 + 1.5 - 165
    ("lining_at_wear_limit", {"pad_min_lining": 2.5}, 2.5),
    ("pad_on_ring", {}, 2.5),  # 164.5 - 52 - 110
    ("pad_on_ring", {"ears_to_pad_top": 68.2, "caliper_pad_top": None}, 2.7),
    ("bracket_square", {"bracket_sideways_offset": 2.6}, 0.4),
    ("ear_spacing_fits", {"bracket_ear_spacing": 130.2}, -0.3),  # 0.2 off, 0.5 of float in the bracket's holes
    ("ear_spacing_fits", {**NUT, "bracket_ear_spacing": 130.2}, -0.7),  # float of both: 0.4 + 0.5
    ("ear_spacing_fits", {**TAPPED, "bracket_ear_spacing": 129.8}, -0.2),  # float of the ear alone: 0.4
    ("screw_in_ear_hole", NUT, 0.4),
    ("screw_in_bracket_hole", {}, 0.5),
    ("engagement_in_ear", {}, 20.0 / 12),  # reach 40 - 2.5 - 15 - 1 = 21.5, thread and ear 20
    ("engagement_in_ear", {"ear_thread_depth": 30.0, "ear_thickness": 18.5}, 18.5 / 12),  # the ear is thinner
    ("engagement_in_ear", {"bracket_screw_length": 37.0}, 18.5 / 12),
    ("engagement_in_ear", {"bracket_washer_count": 2, "bracket_screw_length": 39.5}, 18.5 / 12),
    ("engagement_in_blind_ear", BLIND, 18.0 / 12),  # 36.5 - 2.5 - 15 - 1
    ("screw_bottoms_in_ear", BLIND, 2.0),  # 20 - 18
    ("engagement_in_bracket", TAPPED, 26.5 / 12),  # 50 - 2.5 - 20 - 1
    ("bracket_nut_on_thread", NUT, 9.5 / 1.5),  # 60 - 2.5 - 15 - 20 - 1 - 12
    ("caliper_spacing_fits", {"caliper_mount_spacing": 130.3}, -0.2),
    ("caliper_nut_on_stud", {}, 9.5 / 1.25),  # 58 - 36 - 1.5 - 2 - 9
    ("caliper_nut_on_lug_stud", {**LUG, "bracket_offset": -48.5}, 10.5 / 1.25),  # 58 - 36 - 0.5 - 2 - 9
    ("caliper_nut_on_screw", THROUGH, 11.5 / 1.25),  # 75 - 36 - 15 - 1.5 - 2 - 9
    ("caliper_nut_on_lug_screw", {**LUG, **THROUGH, "bracket_offset": -48.5}, 12.5 / 1.25),
    ("caliper_screw_in_bracket", INTO, 2.25),  # (62 - 36 - 1.5 - 2) / 10
    ("caliper_lug_screw_in_bracket", {**LUG, **INTO, "bracket_offset": -48.5}, 2.35),  # (62 - 36 - 0.5 - 2) / 10
    ("screw_in_caliper", BODY, 2.35),  # (42 - 15 - 1.5 - 2) / 10
    ("lug_screw_in_caliper", {**LUG, **BODY, "bracket_offset": -48.5}, 2.45),  # (42 - 15 - 0.5 - 2) / 10
    *(("bracket_shank_in_grip", {**how, "bracket_screw_thread_length": 26.0}, grip) for how, grip in SHANK_ENDS),
    ("caliper_shank_in_grip", {"caliper_screw_thread_length": 25.0}, 5.2),  # 36 + 2 + 1.5 - 33 = 6.5 of 1.25
    ("caliper_shank_in_grip", {**THROUGH, "caliper_screw_thread_length": 25.0}, 3.6),  # 36 + 15 + 2 + 1.5 - 50 = 4.5
    ("caliper_shank_in_grip", {**INTO, "caliper_screw_thread_length": 25.0}, 2.0),  # 36 + 2 + 1.5 - 37 = 2.5
    ("caliper_shank_in_grip", {**BODY, "caliper_screw_thread_length": 25.0}, 1.2),  # 15 + 2 + 1.5 - 17 = 1.5
    (
        "caliper_lug_shank_in_grip",
        {**LUG, "bracket_offset": -48.5, "caliper_screw_thread_length": 25.0},
        4.4,
    ),  # 36 + 2 + 0.5 - 33 = 5.5
    ("stud_engagement", {}, 22.0 / 12),  # 28 stand out, the nut has 22
    ("stud_engagement", {"wheel_spacer_thickness": 10.0}, 18.0 / 12),
    ("closed_nut_bottoms", {"nut_closed": "yes", "nut_thread_depth": 32.0}, 4.0),  # 32 - 28
    ("bolt_engagement", BOLT, 1.5),  # (35 - 7 - 10) / 12
    ("bolt_bottoms", BOLT, 2.0),  # 20 - 18
    ("nut_shank_enters", {"nut_shank_diameter": 14.0}, 1.0),
    ("stud_in_wheel_hole", {}, 3.0),  # a hole of 15 over M12
    ("stud_in_wheel_hole", {**BOLT, "wheel_hole_diameter": 11.5}, -0.5),
    ("wheel_circle", {"wheel_bolt_circle": "5x112.1"}, 0.1),
    ("wheel_bore_fit", {}, 0.1),
    ("wheel_bore_fit", {"hub_wheel_pilot_diameter": 66.4}, 0.2),  # the wheel's own step
    ("pilot_left_for_wheel", {}, 6.0),  # 14 - 7 - 0 - 1
    ("pilot_left_for_wheel", {"hub_wheel_pilot_length": 20.0, "wheel_spacer_thickness": 5.0}, 7.0),
    ("wheel_pad_carried", {}, 5.0),
    ("track_change", {"stock_rotor_flange_thickness": 6.0, "wheel_spacer_thickness": 3.0}, 4.0),
    ("park_shoes_reach", REAR, 2.0),  # 172 - 170, and 3 to the other end
]
ELSEWHERE = {
    "pistons_stay_in", "sliding_pistons_stay_in", "disc_for_caliper", "shank_centres_wheel",
    "screw_bottoms_in_bracket", "caliper_screw_bottoms_in_bracket", "caliper_lug_screw_bottoms_in_bracket",
    "screw_bottoms_in_caliper", "lug_screw_bottoms_in_caliper", "stud_root_in_bracket",
    "stud_root_bottoms_in_bracket", "hat_nut_on_thread", "hat_screw_engaged", "hat_screw_bottoms",
    "hat_shank_in_grip", "banjo_engaged", "banjo_bottoms", "screw_in_ear_hole_covered",
    "screw_in_bracket_hole_covered", "screw_in_caliper_hole", "screw_in_caliper_hole_covered",
    "screw_in_bracket_caliper_hole", "screw_in_bracket_caliper_hole_covered", "wheel_past_step",
}  # fmt: skip
"""Worked out by hand in the tests of joints, screws and space, or in their manual page only; none may be added."""


def test_every_check_is_worked_by_hand() -> None:
    """A range check has a row of its own here."""
    checks = {check.name for check in all_checks().values() if check.kind == "range"}
    lacking = checks - {name for name, _, _ in WORKED} - ELSEWHERE
    assert not lacking, (
        f"add a row to WORKED for {sorted(lacking)}: its name, what differs from good_job, the value by hand"
    )
    assert checks >= ELSEWHERE, f"no longer checks, strike out of ELSEWHERE: {sorted(ELSEWHERE - checks)}"


@pytest.mark.parametrize(("check", "changes", "value"), WORKED, ids=lambda one: one if isinstance(one, str) else "")
def test_worked_by_hand(check: str, changes: dict[str, Any], value: float) -> None:
    """The value stated on the whole job is the one worked out by hand.

    Ears from two distances: sqrt(115.1² - 65²) = 94.99, which leaves the flush edge at -0.51.
    """
    found = finding(check, assessed(**changes))
    assert found.value is not None, found.said
    assert found.value.middle == pytest.approx(value, abs=0.015 if "ear_distance_upper" in changes else 1e-6)


def gap(turning: str, body: str, **changes: Any) -> Any:
    """Distance of a standing body and one that turns, over the ±."""
    return next(pair.value for pair in finding(body, assessed(**changes)).pairs if pair.turning == turning)


def test_barrel_over_box_and_outline() -> None:
    """Barrel 208 at 0, 206 at 60, 203 at 150; the caliper spans 42 + 7 - 45 = 4 to 42 + 7 + 60 = 109, centred ± 0.5.

    Its top stands at 165 - 30 + 60 = 195, less 0 to 1.5 where the pads are flush, with its ± of 0.05 + 0.2 + 0.5. Barrel at
    109: 206 - 49 x 3 / 90 = 204.367, 1 mm further in 204.333. Worst 204.333 - 195.75 - 1.0 - 0.5 (weights) = 7.083. With an
    outline that falls to 40 at its inboard end and is 60 high at 0, the narrowest place is its peak at 49. As stated it stands where
    the shims to start with put it: 95 + 38 + 30 - 165 = -2.0, with 1.5 of shims -0.5, so the peak is at 194.5.
    """
    box = gap("wheel barrel", "caliper_in_wheel", caliper_top_width=(0.0, 0.0))
    plane = 0.2 * 3 / 90  # ± of rotor plane and flange
    assert box.low == pytest.approx(204.367 - 1.0 * 3 / 90 - 195.75 - 1.5 - plane, abs=0.002)
    assert box.high == pytest.approx(204.367 + 1.0 * 3 / 90 - 192.75 + 1.5 + plane, abs=0.002)
    outline = ((-45.0, 50.0), (0.0, 60.0), (60.0, 40.0))
    found = gap("wheel barrel", "caliper_in_wheel", caliper_envelope=outline, caliper_top_width=(0.0, 0.0))
    assert found.middle == pytest.approx(206.367 - 194.5, abs=0.005)


def test_spokes_up_to_the_calipers_outermost_radius() -> None:
    """Back of the spokes 40 at 60, 20 at 180, 16 at 205; the body reaches 165 - 30 + 60 = 195 less 0 to 1.5 of flush.

    Spoke at 195: 20 - 15 x 4 / 25 = 17.6; at 193.5: 17.84, ± their own. 42 - 45 + 7 + 17.72 = 21.72 as stated.
    """
    assert gap("spokes", "caliper_in_wheel", caliper_top_width=(0.0, 0.0)).middle == pytest.approx(21.72, abs=0.03)


@pytest.mark.parametrize(
    ("check", "changes"),
    [
        ("caliper_in_wheel", {"wheel_barrel": "0:208; 60:206"}),
        ("caliper_in_wheel", {"wheel_spoke": "60:40; 180:20"}),
        ("caliper_in_wheel", {"wheel_barrel": "10:208; 150:206"}),
    ],
)
def test_beyond_the_table_is_not_known(check: str, changes: dict[str, Any]) -> None:
    """A table that ends before the caliper does is asked for, never stretched."""
    found = finding(check, assessed(**changes))
    assert found.verdict == "not known"
    assert found.asks[0] in changes
