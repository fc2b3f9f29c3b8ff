"""Of every check: straight lines in each size, monotone where physics says so; left equals right, units do not matter."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bomcheck.engine.rounds import Round
from bomcheck.engine.settle import settle
from bomcheck.model.affine import Affine, Most, pieces
from bomcheck.model.rule import Check
from bomcheck.model.verdict import Verdict
from bomcheck.notation import read_quantity
from bomcheck.rules import all_checks
from tests.helpers.jobs import GOOD, assessed, good_job, hose
from tests.interfaces.test_worked_values import BLIND, INTO, LUG, NUT, REAR, TAPPED

CHECKS = [check for check in all_checks().values() if check.kind == "range"]
FIXED = {"shim_direction": (-1.0, 1.0), "shims_in_ear_joint": (0.0, 1.0), "shims_in_lug_joint": (0.0, 1.0)}
DIVISORS = (
    "stud_diameter",
    "bracket_screw_diameter",
    "caliper_screw_diameter",
    "bracket_screw_pitch",
    "caliper_screw_pitch",
    "hat_screw_diameter",
    "hat_screw_pitch",
    "banjo_diameter",
)

# More of it makes room (+), or takes it (-): how each check's value moves, by the trade's own reasoning
RISES = {
    "stud_hole": "hat_stud_hole_diameter", "pilot_fit": "hat_bore", "bore_wall": "hat_innermost_circle",
    "pilot_carries_hat": "hub_pilot_length hat_flange_thickness", "fillet_cleared": "hat_bore_chamfer",
    "hub_inside_hat": "hat_inner_diameter", "hub_face_true": "hub_face_runout", "sensor_ring_inside_hat": "hat_inner_diameter",
    "caliper_centred": "ear_face_position bracket_offset", "new_pads_go_in": "caliper_piston_gap",
    "piston_travel_worn": "caliper_piston_stroke rotor_min_thickness pad_min_lining pad_backing_thickness",
    "sliding_piston_travel_worn": "caliper_piston_stroke rotor_min_thickness pad_min_lining pad_backing_thickness",
    "pistons_stay_in": "caliper_piston_stroke rotor_min_thickness pad_backing_thickness",
    "sliding_pistons_stay_in": "caliper_piston_stroke rotor_min_thickness pad_backing_thickness",
    "pad_flush": "hub_axis_to_ears pad_top_from_ears radial_shim_stack",
    "lining_at_wear_limit": "pad_min_lining",
    "pad_on_ring": "hub_axis_to_ears pad_top_from_ears radial_shim_stack",
    "bracket_square": "ears_sideways",
    "screw_in_ear_hole": "ear_hole_diameter", "screw_in_bracket_hole": "bracket_ear_hole_diameter",
    "engagement_in_ear": "bracket_screw_length ear_thread_depth ear_thickness",
    "engagement_in_blind_ear": "bracket_screw_length ear_thread_depth", "screw_bottoms_in_ear": "ear_thread_depth axial_shim_stack bracket_ear_thickness bracket_washers spacer_at_ear",
    "screw_bottoms_in_bracket": "depth_at_ear axial_shim_stack ear_thickness bracket_washers spacer_at_ear",
    "engagement_in_bracket": "bracket_screw_length depth_at_ear", "bracket_nut_on_thread": "bracket_screw_length",
    "caliper_nut_on_stud": "caliper_screw_length", "caliper_nut_on_lug_stud": "caliper_screw_length",
    "caliper_nut_on_screw": "caliper_screw_length", "caliper_nut_on_lug_screw": "caliper_screw_length",
    "caliper_screw_in_bracket": "caliper_screw_length depth_at_caliper",
    "caliper_lug_screw_in_bracket": "caliper_screw_length depth_at_caliper",
    "caliper_screw_bottoms_in_bracket": "depth_at_caliper caliper_washers spacer_at_caliper caliper_lug_thickness radial_shim_stack",
    "caliper_lug_screw_bottoms_in_bracket": "depth_at_caliper caliper_washers spacer_at_caliper caliper_lug_thickness axial_shim_stack",
    "screw_bottoms_in_caliper": "caliper_thread_depth caliper_washers spacer_at_caliper bracket_caliper_thickness radial_shim_stack",
    "lug_screw_bottoms_in_caliper": "caliper_thread_depth caliper_washers spacer_at_caliper bracket_caliper_thickness axial_shim_stack",
    "stud_root_in_bracket": "caliper_stud_root_length depth_at_caliper", "stud_root_bottoms_in_bracket": "depth_at_caliper",
    "hat_nut_on_thread": "hat_screw_length", "hat_screw_engaged": "hat_screw_length hat_thread_depth",
    "hat_screw_bottoms": "hat_thread_depth hat_clamped_thickness", "hat_shank_in_grip": "hat_clamped_thickness hat_screw_thread_length",
    "banjo_engaged": "banjo_screw_length caliper_inlet_depth", "banjo_bottoms": "caliper_inlet_depth banjo_thickness banjo_washers",
    "screw_in_caliper_hole": "caliper_hole_diameter", "screw_in_bracket_caliper_hole": "bracket_caliper_hole_diameter",
    "screw_in_ear_hole_covered": "bracket_bearing", "screw_in_bracket_hole_covered": "bracket_bearing",
    "screw_in_caliper_hole_covered": "caliper_bearing", "screw_in_bracket_caliper_hole_covered": "caliper_bearing",
    "bracket_shank_in_grip": "bracket_clamped axial_shim_stack bracket_screw_thread_length",
    "caliper_shank_in_grip": "caliper_clamped radial_shim_stack caliper_screw_thread_length",
    "caliper_lug_shank_in_grip": "caliper_clamped axial_shim_stack caliper_screw_thread_length",
    "lug_screw_in_caliper": "caliper_screw_length caliper_thread_depth",
    "screw_in_caliper": "caliper_screw_length caliper_thread_depth", "stud_engagement": "hub_stud_length nut_thread_depth",
    "closed_nut_bottoms": "nut_thread_depth hat_flange_thickness wheel_spacer_thickness_now wheel_seat_depth", "bolt_engagement": "wheel_bolt_length hub_thread_depth",
    "bolt_bottoms": "hub_thread_depth hat_flange_thickness wheel_spacer_thickness_now wheel_seat_depth", "nut_shank_enters": "wheel_hole_diameter", "stud_in_wheel_hole": "wheel_hole_diameter",
    "shank_centres_wheel": "wheel_hole_diameter", "wheel_circle": "wheel_circle_diameter", "wheel_bore_fit": "wheel_bore", "pilot_left_for_wheel": "wheel_pilot_length",
    "wheel_pad_carried": "hat_face_diameter", "track_change": "hat_flange_thickness wheel_spacer_thickness_now",
    "wheel_past_step": "hat_flange_thickness wheel_spacer_thickness_now wheel_bore wheel_bore_chamfer",
}  # fmt: skip
BOTH_WAYS = (
    "bolt_circle",
    "disc_for_caliper",
    "ear_spacing_fits",
    "caliper_spacing_fits",
    "park_shoes_reach",
)  # too much either way fails
NEITHER = {"stud_hole": ("hub_circle_diameter", "hat_circle_high", "hat_circle_low"),
           "pilot_carries_hat": ()}  # fmt: skip


def as_affine(check: Check, numbers: dict[str, float], fixed: dict[str, float]) -> Any:
    """The check's result with every number a measured size."""
    given_ = {key: Affine(0.0, {key: 1.0}) for key in numbers}
    return check.function(**given_, **fixed)


def split(check: Check, numbers: dict[str, float]) -> tuple[dict[str, float], dict[str, float]]:
    """Measured sizes, and those that are counts, directions or nominal diameters."""
    fixed = {
        k: FIXED[k][int(abs(v)) % 2] if k in FIXED else 1.0 + abs(v)
        for k, v in numbers.items()
        if k in FIXED or k in DIVISORS
    }
    return {k: v for k, v in numbers.items() if k not in fixed}, fixed


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.name)
@settings(max_examples=25, deadline=None)
@given(data=st.data())
def test_straight_in_each_size(check: Check, data: st.DataObject) -> None:
    """The value read off its slopes is the value of the arithmetic at any point: the corners of the box are its ends."""
    numbers = {key: data.draw(st.floats(-200, 200)) for key in check.parameters}
    sizes, fixed = split(check, numbers)
    result = as_affine(check, sizes, fixed)
    pick = max if isinstance(result, Most) else min
    assert pick(piece.at(sizes) for piece in pieces(result)) == pytest.approx(
        check.function(**sizes, **fixed), abs=1e-8
    )


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.name)
def test_monotone_where_physics_says_so(check: Check) -> None:
    """More thread, air or depth never takes room; whatever is not named as making room takes it or leaves it."""
    if check.name in BOTH_WAYS:
        slopes = [
            piece.slopes for piece in pieces(as_affine(check, *split(check, dict.fromkeys(check.parameters, 1.0))))
        ]
        assert any(a.get(key, 0) * b.get(key, 0) < 0 for a in slopes for b in slopes for key in a)
        return
    assert check.name in RISES, f'add to RISES: "{check.name}": "the sizes, more of which makes room"; or to BOTH_WAYS'
    rises = RISES[check.name].split()
    sizes, fixed = split(check, dict.fromkeys(check.parameters, 1.0))
    for piece in pieces(as_affine(check, sizes, fixed)):
        for key, slope in piece.slopes.items():
            if key in NEITHER.get(check.name, ()) or (key == "axial_shim_stack" and "shim_direction" in fixed):
                continue
            assert slope * (1 if key in rises else -1) >= 0, (check.name, key)
    used = {key for piece in pieces(as_affine(check, sizes, fixed)) for key in piece.slopes}
    assert set(rises) <= used


ARRANGEMENTS: list[dict[str, Any]] = [
    {}, BLIND, NUT, {**TAPPED, "bracket_offset": -47.6}, INTO, {**LUG, "bracket_offset": -48.5}, REAR, {"hat_bore": 67.0},
    {"bracket_screw_thread_length": 22.0, "caliper_screw_thread_length": 18.5},
    {"hub_stud_length": 26.0}, {"ear_height": None}, {"bracket_offset": -50.0}, {"ear_height": 95.0},
]  # fmt: skip


def said(**changes: Any) -> dict[str, str]:
    """Verdicts by check, without the parts of the box, which name their side."""
    return {f.check: str(f.verdict) for f in assessed(**changes).findings if f.check != "parts_complete"}


@pytest.mark.parametrize("changes", ARRANGEMENTS)
def test_left_equals_right(changes: dict[str, Any]) -> None:
    """One corner, whichever side it is on, gets the same verdicts."""
    box = (hose(),)
    assert said(**changes, corners=1, corner_side="left", box=box) == said(
        **changes, corners=1, corner_side="right", box=box
    )


@pytest.mark.parametrize("changes", ARRANGEMENTS)
def test_the_unit_of_the_cell_does_not_matter(changes: dict[str, Any]) -> None:
    """The same sizes typed in inches, to thirteen places: some stand just on a limit, and the sheets set to inches: the same verdicts."""
    inches = {}
    for key, typed in {**GOOD, **changes}.items():
        size, half = typed if isinstance(typed, tuple) and isinstance(typed[1], float) else (typed, None)
        if isinstance(size, float):
            read = read_quantity(f"{size / 25.4:.13f} in", "mm")
            assert read == pytest.approx(size, abs=1e-9)
            inches[key] = read if half is None else (read, half)
    assert said(**{**changes, **inches, "units": "inch"}) == said(**changes)


@pytest.mark.parametrize("offset", [-50.0, -49.0, -48.0, -47.4, -45.0])
def test_the_mirror_image_does_not_matter(offset: float) -> None:
    """Everything axial turned round, ear face and shims as well: the same verdicts, the same stack, off centre the other way."""
    turned = {
        "ear_face_position": -91.0,
        "bracket_offset": -offset,
        "rotor_plane_position": -42.0,
        "ear_side": "inboard",
    }
    wide = {"wheel_barrel": "-200:220; 200:220", "wheel_spoke": "60:150; 210:150"}  # the wheel has no mirror image
    here, there = assessed(bracket_offset=offset, **wide), assessed(**turned, **wide)
    assert [f.verdict for f in here.findings if f.interface in ("axial", "mount")] == [
        f.verdict for f in there.findings if f.interface in ("axial", "mount")
    ]
    mine, other = here.plans["axial"], there.plans["axial"]
    assert mine == replace(other, leaves=pytest.approx(-other.leaves, abs=1e-9))


@pytest.mark.parametrize("changes", ARRANGEMENTS)
def test_a_wider_plus_minus_never_turns_a_verdict_round(changes: dict[str, Any]) -> None:
    """Half the ± everywhere may settle what was open; what was settled by the wider ± stays as it was."""
    job = good_job(**changes)
    halved = replace(
        job, values={key: replace(value, plus_minus=value.plus_minus / 2) for key, value in job.values.items()}
    )
    wide, narrow = Round(settle(job)).findings, Round(settle(halved)).findings
    for name, found in wide.items():
        if name.endswith("_together"):
            continue
        if found.verdict is Verdict.FITS:
            assert narrow[name].verdict is Verdict.FITS, name
        if found.verdict in (Verdict.DOES_NOT_FIT, Verdict.NEEDS_MACHINING):
            assert narrow[name].verdict is found.verdict, name
