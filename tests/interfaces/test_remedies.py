"""What cures each failure: the verdict it becomes, the part or the work, and that the cured job passes; by hand."""

from typing import Any

import pytest

from bomcheck.engine.rounds import Round
from bomcheck.engine.settle import settle
from bomcheck.model.job import Part
from bomcheck.model.types import Thread
from bomcheck.model.verdict import Verdict
from tests.helpers.jobs import assessed, finding
from tests.interfaces.test_worked_values import BLIND, BODY, BOLT, INTO, LUG, NUT, REAR, TAPPED, THROUGH

PARTS, MACHINE, NO = Verdict.FITS_WITH_PARTS, Verdict.NEEDS_MACHINING, Verdict.DOES_NOT_FIT
STEEL = {"ear_material": "steel"}

# check, changes, verdict, role asked for ("" for none), words of the remedy, the size that it sets
Case = tuple[str, dict[str, Any], Verdict, str, str, tuple[str, float] | None]
CASES: list[Case] = [
    ("lug_count", {"hat_bolt_circle": "4x112"}, NO, "", "stud count", None),
    ("bolt_circle", {"hat_bolt_circle": "5x112.5"}, MACHINE, "", "drilled", None),  # 0.5 <= 13.5 - 12
    ("bolt_circle", {"hat_bolt_circle": "5x114.3"}, NO, "", "bolt circle", None),  # 2.3 > 1.5
    ("stud_hole", {"hat_stud_hole_diameter": 12.0}, MACHINE, "", "12.5 mm", ("hat_stud_hole_diameter", 12.5)),
    ("pilot_fit", {"hat_bore": (66.3, 0.02)}, MACHINE, "", "66.58 to 66.65", ("hat_bore", 66.61)),
    ("pilot_fit", {"hat_bore": (72.0, 0.02)}, PARTS, "centring ring", "72.00 mm outside and 66.50", None),
    ("bore_wall", {"hat_bore": 90.0}, NO, "", "right bore", None),  # (112 - 13.5 - 90) / 2 = 4.25
    ("pilot_carries_hat", {"hub_pilot_length": 3.0}, PARTS, "centring ring", "longer", None),
    ("fillet_cleared", {"hat_bore_chamfer": 0.0}, MACHINE, "", "Chamfer", ("hat_bore_chamfer", 0.9)),
    ("hub_inside_hat", {"hat_inner_diameter": 140.0}, MACHINE, "", "137.6", ("hub_flange_diameter", 137.6)),
    ("hub_face_true", {"hub_face_runout": 0.10}, MACHINE, "", "Clean the hub face", None),
    ("sensor_ring_inside_hat", {"sensor_ring_diameter": 149.0}, NO, "", "wheel-speed ring", None),
    # 91 - 54 - 42 = -5 at an ear whose shims push inboard: spacer of 4, a shim of 1 makes up the rest
    ("caliper_centred", {"bracket_offset": -54.0, "ear_side": "inboard"}, PARTS, "bracket spacer", "4.00 mm", ("bracket_offset", -50.0)),
    ("caliper_centred", {"bracket_offset": -50.0}, MACHINE, "", "1.00 mm", ("bracket_offset", -49.0)),
    ("caliper_body", {"caliper_slot_width": 29.0}, NO, "", "meets the friction ring", None),
    ("caliper_body", {"caliper_build": "sliding", "caliper_slot_width": 30.0}, NO, "", "meets the friction ring", None),
    ("new_pads_go_in", {"caliper_piston_gap": 59.0}, NO, "", "pads", None),
    ("piston_travel_worn", {"caliper_piston_stroke": 8.0}, NO, "", "wear limits", None),
    ("sliding_piston_travel_worn", {"caliper_build": "sliding", "caliper_piston_stroke": 20.0}, NO, "", "wear limits", None),
    ("dust_shield", {"shield": "removable", "shield_position": 50.0, "shield_radius": 150.0}, PARTS, "labour", "Take the dust shield off", None),
    ("dust_shield", {"shield": "fixed", "shield_position": 50.0, "shield_radius": 150.0}, PARTS, "labour", "Trim", None),
    # rise 28: 95 + 28 + 30 - 165 = -12 without shims, -0.5 wanted: 11.5, of which a shim makes up 1
    ("pad_flush", {"bracket_rise": 28.0}, PARTS, "caliper spacer", "10.50 mm", ("bracket_rise", 38.5)),
    ("pad_flush", {"bracket_rise": 42.0}, MACHINE, "", "2.50 mm", ("bracket_rise", 39.5)),  # +2 over, to -0.5
    ("pad_flush", {"ears_to_pad_top": 58.0}, PARTS, "caliper spacer", "10.50 mm", ("ears_to_pad_top", 68.5)),  # -12 as above
    ("pad_flush", {"ears_to_pad_top": 72.0, "bracket_rise": None}, MACHINE, "", "2.50 mm", ("ears_to_pad_top", 69.5)),
    # 95 + 12 + 30 - 165 = -28: no spacer of 26.5 mm is sold; +12 over is more than is milled off; -62 is a sign typed the wrong way
    ("pad_flush", {"bracket_rise": 12.0}, NO, "", "check the heights", None),
    ("pad_flush", {"bracket_rise": 52.0}, NO, "", "check the heights", None),
    ("caliper_centred", {"bracket_offset": -110.0, "ear_side": "inboard"}, NO, "", "check the signs", None),
    ("caliper_centred", {"bracket_offset": 48.0, "ear_side": "inboard"}, NO, "", "check the signs", None),
    ("pad_flush", {**LUG, "bracket_rise": 28.0}, NO, "", "cannot be raised", None),
    ("caliper_centred", {**LUG, "caliper_lug_side": "inboard", "bracket_offset": -54.0}, PARTS, "bracket spacer", "bracket and caliper lug", ("caliper_spacer_thickness", 4.0)),
    ("caliper_bridge", {"caliper_bridge": 30.0}, NO, "", "bridge", None),
    ("pad_on_ring", {"pad_height": 58.0}, NO, "", "too tall", None),
    ("pads", {"hat_outer_diameter": 228.0}, NO, "", "meets the hat", None),
    ("bracket_square", {"bracket_sideways_offset": 8.0}, MACHINE, "", "5.00 mm to one side", None),
    ("ear_spacing_fits", {"bracket_ear_spacing": 131.2}, MACHINE, "", "ream", None),  # 1.2 - 0.5 = 0.7
    ("ear_spacing_fits", {"bracket_ear_spacing": 133.0}, NO, "", "not made for this knuckle", None),
    ("screw_in_ear_hole", {**NUT, "ear_hole_diameter": 14.0}, PARTS, "stepped sleeve", "14.0 mm outside", None),
    ("screw_in_bracket_hole", {"bracket_ear_hole_diameter": 11.8}, MACHINE, "", "13.0 mm", ("bracket_ear_hole_diameter", 13.0)),
    ("bracket_screw_thread_in_ear", {"ear_thread": "M14x1.5"}, PARTS, "bracket screw", "thread inserts", None),
    ("bracket_screw_thread_in_ear", {"ear_thread": "M10x1.5"}, MACHINE, "", "tapped M12x1.5", None),
    ("screw_thread_in_bracket", {**TAPPED, "bracket_thread": "M12x1.75"}, PARTS, "bracket screw", "M12x1.75", None),
    ("engagement_in_ear", {**STEEL, "bracket_screw_length": 28.0}, PARTS, "bracket screw", "bracket screws", None),
    ("engagement_in_ear", {"ear_thread_depth": 15.0}, MACHINE, "", "thread insert", None),  # iron needs 18
    ("engagement_in_blind_ear", {**BLIND, "bracket_screw_length": 28.0}, PARTS, "bracket screw", "bracket screws", None),
    ("screw_bottoms_in_ear", {**BLIND, "bracket_screw_length": 45.0}, PARTS, "bracket screw", "instead of 45", None),
    ("engagement_in_bracket", {**TAPPED, "bracket_screw_length": 40.0}, PARTS, "bracket screw", "instead of 40", None),
    ("bracket_nut_on_thread", {**NUT, "bracket_screw_length": 50.0}, PARTS, "bracket screw", "instead of 50", None),
    ("caliper_spacing_fits", {"caliper_mount_spacing": 132.0}, NO, "", "do not belong together", None),
    ("caliper_thread_in_bracket", {"bracket_thread": "M10x1.5"}, PARTS, "caliper stud", "M10x1.5", None),
    ("caliper_nut_on_stud", {"caliper_screw_length": 48.0}, PARTS, "caliper stud", "instead of 48", None),
    ("caliper_nut_on_lug_stud", {**LUG, "bracket_offset": -48.5, "caliper_screw_length": 46.0}, PARTS, "caliper stud", "46", None),
    ("caliper_nut_on_screw", {**THROUGH, "caliper_screw_length": 62.0}, PARTS, "caliper screw", "instead of 62", None),
    ("caliper_nut_on_lug_screw", {**LUG, **THROUGH, "bracket_offset": -48.5, "caliper_screw_length": 61.0}, PARTS, "caliper screw", "61", None),
    ("caliper_screw_in_bracket", {**INTO, "caliper_screw_length": 52.0}, PARTS, "caliper screw", "instead of 52", None),
    ("caliper_screw_in_bracket", {**INTO, "bracket_thread_depth": 15.0}, MACHINE, "", "14.7 mm deep", None),
    ("caliper_lug_screw_in_bracket", {**LUG, **INTO, "bracket_offset": -48.5, "caliper_screw_length": 52.0}, PARTS, "caliper screw", "52", None),
    ("screw_in_caliper", {**BODY, "caliper_screw_length": 34.0}, PARTS, "caliper screw", "instead of 34", None),
    ("screw_in_caliper", {**BODY, "caliper_thread_depth": 15.0}, NO, "", "14.7 mm deep", None),
    ("lug_screw_in_caliper", {**LUG, **BODY, "bracket_offset": -48.5, "caliper_screw_length": 34.0}, PARTS, "caliper screw", "34", None),
    # 2.5 + 15 + 20 + at least 0.5 of shims - 40 of shank = -2: 0.75 more than that, 1.3 of ±, 0.25 of the new screw's
    ("bracket_shank_in_grip", {**NUT, "bracket_screw_thread_length": 20.0}, PARTS, "bracket screw", "25 mm of thread", ("bracket_screw_thread_length", 25.0)),
    ("caliper_shank_in_grip", {"caliper_screw_thread_length": 16.0}, PARTS, "caliper stud", "threaded throughout", None),
    ("caliper_lug_shank_in_grip", {**LUG, "bracket_offset": -48.5, "caliper_screw_thread_length": 16.0}, PARTS, "caliper stud", "threaded throughout", None),
    ("stud_and_nut", {"nut_thread": "M12x1.25"}, PARTS, "wheel nut", "M12x1.5", None),
    ("stud_engagement", {"hub_stud_length": 26.0}, PARTS, "wheel stud", "longer studs", None),
    ("closed_nut_bottoms", {"nut_closed": "yes"}, PARTS, "wheel nut", "open wheel nuts", None),
    # 25 - 7 - 10 = 8 of 12, 1.2 of ± at worst: 5.2 more; 45 - 17 - 20 = 8 too long, 1.4 of ±: 9.4 less
    ("bolt_engagement", {**BOLT, "wheel_bolt_length": 25.0}, PARTS, "wheel bolt", "31 mm long", ("wheel_bolt_length", 31.0)),
    ("bolt_bottoms", {**BOLT, "wheel_bolt_length": 45.0}, PARTS, "wheel bolt", "35 mm long", ("wheel_bolt_length", 35.0)),
    ("nut_seat_matches", {"nut_seat": "ball"}, PARTS, "wheel nut", "cone seat", None),
    ("nut_shank_enters", {"nut_shank_diameter": 15.5}, PARTS, "wheel nut", "14.7 mm", ("nut_shank_diameter", 14.7)),
    ("wheel_lug_count", {"wheel_bolt_circle": "4x112"}, NO, "", "does not belong", None),
    ("wheel_circle", {"wheel_bolt_circle": "5x114.3"}, NO, "", "does not belong", None),
    ("wheel_bore_fit", {"wheel_bore": 72.6}, PARTS, "centring ring", "72.60 mm outside", None),
    ("wheel_bore_fit", {"wheel_bore": 66.0}, NO, "", "smaller than the hub's pilot", None),
    ("pilot_left_for_wheel", {"wheel_spacer_thickness": 6.0}, PARTS, "wheel extension", "extension", None),
    ("wheel_pad_carried", {"hat_face_diameter": 135.0}, NO, "", "larger face", None),
    ("caliper_in_wheel", {"wheel_barrel": "0:190; 150:190"}, NO, "", "larger wheel", None),
    ("caliper_in_wheel", {"wheel_spoke": "60:40; 205:-12"}, PARTS, "wheel spacer", "spacer of", None),
    ("pad_shape_matches", {"pad_shape": "P2"}, PARTS, "pad set", "shape P1", None),
    ("pad_compound_suits", {"pad_duty": "race"}, PARTS, "pad set", "road use", None),
    ("parking_brake_kept", {**REAR, "kit_park_brake": "none"}, NO, "", "parking brake", None),
    ("park_shoes_reach", {**REAR, "hat_park_drum_diameter": 160.0}, PARTS, "park shoe set", "160.0 mm", None),
]  # fmt: skip


@pytest.mark.parametrize(
    ("check", "changes", "verdict", "role", "words", "size"), CASES, ids=lambda one: one if isinstance(one, str) else ""
)
def test_remedy(
    check: str, changes: dict[str, Any], verdict: Verdict, role: str, words: str, size: tuple[str, float] | None
) -> None:
    """The finding names the cure, the parts list holds it, and on the cured job the check no longer fails."""
    report = assessed(**changes)
    found = finding(check, report)
    assert found.verdict is verdict, (found.said, found.do)
    assert words in found.do
    if role:
        assert any(line.role == role and line.needed > 0 for line in report.parts)
    if size is not None:
        assert report.cured.get(size[0]) == pytest.approx(size[1], abs=0.01)
    cured = Round(settle(report.cured))
    if check in cured.cures:
        assert not cured.cures[check].changes, "a remedy that changes a size has not cured its check"


def test_moving_stick_on_weights_cures_the_barrel() -> None:
    """The body's top stands at 165 - 30 + 60 = 195, less 0 to 1.5 of flush. Barrel 198.5 - weights 3 - 193.5 = 2.0 and
    ±0.45 on top at best; 3 are needed; 3.5 to 5 without the weights."""
    report = assessed(wheel_barrel=(((0.0, 198.5), (150.0, 198.5)), 0.1), wheel_weight_thickness=(3.0, 0.1),
                      rotor_diameter=(330.0, 0.1), caliper_pad_top=(30.0, 0.05), caliper_body_height=(60.0, 0.05),
                      caliper_top_width=(0.0, 0.0))  # fmt: skip
    found = finding("caliper_in_wheel", report)
    assert found.verdict is PARTS
    assert "weights moved" in found.do


def test_a_spacer_with_its_own_pilot_asks_for_no_extension() -> None:
    """Spokes 12 mm too near: the spacer uses up the hub's pilot, but brings one of its own, so nothing else is bought for it."""
    report = assessed(wheel_spoke="60:40; 205:-12")
    roles = [line.role for line in report.parts if line.needed]
    assert "wheel spacer" in roles
    assert "wheel extension" not in roles
    bare = finding("pilot_left_for_wheel", assessed(wheel_spoke="60:120; 205:120"))
    assert finding("pilot_left_for_wheel", report).value == bare.value, (
        "as much stands out of it as out of the hub before"
    )
    assert finding("pilot_left_for_wheel", assessed(wheel_spacer_thickness=12.0)).verdict is PARTS


def test_directional_rotors_come_as_a_pair() -> None:
    """Two left rotors: one is exchanged; one of each fits; rotors without a side are asked about."""

    def rotors(*sides: str) -> str:
        box = tuple(Part("rotor", side=side, quantity=1.0) for side in sides)
        return str(finding("rotors_handed", assessed(rotor_vanes="directional", box=box)).verdict)

    assert rotors("left", "left") == "fits with parts"
    assert rotors("left", "right") == "fits"
    assert rotors("either", "either") == "not known"


@pytest.mark.parametrize(
    ("changes", "verdict", "words"),
    [
        ({"caliper_position_kit": "ahead"}, Verdict.FITS, ""),
        ({"caliper_position_kit": None}, Verdict.FITS, "Look where the kit puts the caliper"),
        ({"caliper_position_present": "drum"}, Verdict.FITS, "bleed screw stands uppermost"),
        ({"caliper_bores": ((40.0, 40.0), 0.0)}, Verdict.FITS, "left caliper body on the right"),
        ({"caliper_bores": ((38.0, 32.0, 28.0), 0.0)}, Verdict.NOT_KNOWN, "largest piston where the disc enters"),
        ({"caliper_bores": None}, Verdict.NOT_KNOWN, "made for that side"),
        ({"caliper_bores": ((40.0, 40.0), 0.0), "corners": 1, "corner_side": "left"}, Verdict.NOT_KNOWN, "other side's body"),
    ],
)  # fmt: skip
def test_a_caliper_moved_behind_the_axle_minds_its_bleed_screw(changes, verdict, words) -> None:
    """Alike pistons: the bodies change sides. Of several sizes, the largest would lead; of one corner the body is not there.
    Common practice, no source."""
    moved = {"caliper_position_present": "ahead", "caliper_position_kit": "behind", **changes}
    found = finding("bleed_screw_up", assessed(**moved))
    assert found.verdict is verdict
    assert words in found.do if words else found.do == ""


@pytest.mark.parametrize(
    ("car", "kit", "verdict"),
    [
        (("in caliper", "electric"), ("drum in hat", None), Verdict.NOT_KNOWN),
        (("in caliper", "electric"), ("drum in hat", "electric"), Verdict.FITS),
        (("in caliper", "electric"), ("drum in hat", "cable"), Verdict.DOES_NOT_FIT),
        (("in caliper", "cable"), ("drum in hat", None), Verdict.FITS),
        (("in caliper", None), ("drum in hat", None), Verdict.NOT_KNOWN),
        (("separate", None), ("drum in hat", "electric"), Verdict.NOT_KNOWN),
        (("separate", "electric"), ("separate", "electric"), Verdict.FITS),
        (("separate", "electric"), ("drum in hat", None), Verdict.NOT_KNOWN),
        (("in caliper", "cable"), ("drum in hat", "electric"), Verdict.DOES_NOT_FIT),
        (("drum in hat", None), ("drum in hat", None), Verdict.FITS),
        (("drum in hat", "cable"), ("drum in hat", "electric"), Verdict.DOES_NOT_FIT),
        (("in drum", "electric"), ("separate", "cable"), Verdict.DOES_NOT_FIT),
        (("in drum", "cable"), ("separate", None), Verdict.NOT_KNOWN),
    ],
)
def test_something_works_the_parking_brake(car, kit, verdict) -> None:
    """Motors that leave with the old calipers pull no shoes; a second caliper clamps the disc that is changed. Common practice, no source."""
    typed = {"park_brake": car[0], "park_lever": car[1], "kit_park_brake": kit[0], "kit_park_lever": kit[1]}
    assert finding("parking_brake_worked", assessed(**{**REAR, **typed})).verdict is verdict
    assert finding("parking_brake_kept", assessed(**{**REAR, **typed})).verdict is Verdict.FITS
    lost = finding("parking_brake_kept", assessed(**{**REAR, **typed, "kit_park_brake": "none"})).verdict
    assert lost is (Verdict.NOT_KNOWN if car[0] == "separate" else Verdict.DOES_NOT_FIT)


def test_parts_of_the_parking_brake_that_the_kit_brings_are_not_left_over() -> None:
    """From separate to separate: what lies in the box goes on; nothing in the box: the car's stays. A car that had none takes an equaliser."""
    separate = {
        "park_brake": "separate",
        "kit_park_brake": "separate",
        "park_lever": "cable",
        "kit_park_lever": "cable",
    }
    for box, status in (((), "on car"), ((Part("parking caliper", quantity=2.0),), "in kit")):
        lines = assessed(**{**REAR, **separate}, box=box).parts
        assert [line.status for line in lines if line.role == "parking caliper"] == [status]
    for car, status in (("none", "no source known"), ("in caliper", "on car")):
        typed = {
            "park_brake": car,
            "park_lever": None if car == "none" else "cable",
            "kit_park_brake": "in caliper",
            "kit_park_lever": "cable",
        }
        lines = assessed(**{**REAR, **typed}).parts
        assert [line.status for line in lines if line.role == "cable equaliser"] == [status]


@pytest.mark.parametrize(
    ("into", "hole", "verdict"),
    [
        ("ear", "plain through", NO), ("ear", "tapped through", Verdict.FITS), ("ear", "tapped blind", Verdict.FITS),
        ("bracket", "tapped through", NO), ("bracket", "plain through", Verdict.FITS), ("nut", "tapped blind", NO),
        ("nut", "plain through", Verdict.FITS), ("ear", None, Verdict.NOT_KNOWN),
    ],
)  # fmt: skip
def test_something_holds_the_bracket_s_screws(into, hole, verdict) -> None:
    """A screw in a plain hole holds nothing, one in two threads clamps nothing: common practice, no source."""
    assert finding("bracket_screw_held", assessed(bracket_screw_into=into, ear_hole=hole)).verdict is verdict


def test_a_side_that_is_blank_is_asked_where_left_and_right_are_two_parts() -> None:
    """One corner is converted and nobody said which: neither the caliper nor the rotor of one side is taken without a question."""
    box = [Part(role, quantity=1.0, side=side) for role in ("caliper", "rotor") for side in ("left", "right")]
    report = assessed(corners=1, corner_side=None, rotor_vanes="directional", box=box)
    assert finding("rotors_handed", report).asks == ("corner_side",)
    assert any("side" in line.note for line in report.parts if line.role == "caliper")
    report = assessed(corners=1, corner_side="right", rotor_vanes="directional", box=box)
    assert finding("rotors_handed", report).verdict is Verdict.FITS


BRAKES = ("none", "drum in hat", "in caliper", "separate", "in drum")
MOVING = {"parking cable", "cable adapter", "parking actuator"}


@pytest.mark.parametrize("lever", ["cable", "electric"])
@pytest.mark.parametrize("kit", ["drum in hat", "in caliper", "separate"])
@pytest.mark.parametrize("car", BRAKES[1:])
def test_every_change_of_the_parking_brake_lists_what_it_takes(car, kit, lever) -> None:
    """All pairs: what carries it (plates and shoes, or a caliper of its own), and what works it, unless the car's stays. Common practice,
    no source."""
    typed = {"park_brake": car, "park_lever": lever, "kit_park_brake": kit, "kit_park_lever": lever}
    if car == "in drum":
        typed |= {"caliper_position_present": "drum"}
    lines = assessed(**{**REAR, **typed}).parts
    listed = {line.role for line in lines if line.needed and line.status != "on car"}
    on_car = {line.role for line in lines if line.needed} - listed
    if kit == "drum in hat":
        assert ("backing plate" in listed) is (car != kit)
        assert {"park shoe set", "park hardware set"} <= listed | on_car
    assert ("parking caliper" in listed) is ("parking bracket" in listed) is (kit == "separate" != car)
    if car != kit:
        assert listed & MOVING


def test_shoes_in_the_hat_of_a_car_that_had_none_take_plates_and_cables() -> None:
    """From a cable at the calipers to shoes: a backing plate and a cable with other ends at each corner."""
    typed = {"park_brake": "in caliper", "park_lever": "cable", "kit_park_brake": "drum in hat"}
    needed = {line.role: line.needed for line in assessed(**{**REAR, **typed}).parts}
    assert (needed["backing plate"], needed["parking cable"], needed["park shoe set"]) == (2, 2, 1)


def test_a_tapped_hub_has_no_knurl() -> None:
    """Wheel bolts: their thread is what passes the hat's holes, and nothing is asked of a stud."""
    bolts = finding(
        "stud_hole", assessed(hub_fixing="bolt", hub_stud_shoulder_height=None, hub_stud_shoulder_diameter=None)
    )
    assert (bolts.verdict, bolts.asks) == (Verdict.FITS, ())


@pytest.mark.parametrize(("over", "verdict"), [(0.49, Verdict.NEEDS_MACHINING), (0.51, Verdict.FITS_WITH_PARTS)])
def test_a_centring_ring_has_a_wall(over: float, verdict: Verdict) -> None:
    """Walls of 0.245 and 0.255 mm beside a least one of 0.25 (common practice, no source), in hat and wheel."""
    assert (
        finding("pilot_fit", assessed(hub_pilot_diameter=(66.5, 0.0), hat_bore=(66.5 + over, 0.0))).verdict is verdict
    )
    wheel = {"wheel_centring": "pilot", "hub_wheel_pilot_diameter": (66.5, 0.0), "wheel_bore": (66.5 + over, 0.0)}
    assert finding("wheel_bore_fit", assessed(**wheel)).verdict is verdict


def test_a_pitch_is_asked_never_assumed() -> None:
    """M12 alone is not M12x1.5."""
    found = finding("stud_and_nut", assessed(hub_stud_thread=Thread("M12", "M", 12.0, None)))
    assert found.verdict is Verdict.NOT_KNOWN
    assert found.asks == ("hub_stud_thread",)


def test_a_thread_in_iron_needs_less_than_one_in_aluminium() -> None:
    """17 - 0.3 mm of M10 in the caliper: 1.67 diameters, enough for iron's 1.5, too little for aluminium's 2; blank it is asked."""
    changes = {**BODY, "caliper_tapping": "through", "caliper_thread_depth": 17.0, "caliper_screw_length": 40.0}
    found = {
        metal: finding("screw_in_caliper", assessed(**{**changes, "caliper_material": metal}))
        for metal in ("iron", "aluminium", None)
    }
    assert [one.verdict for one in found.values()] == [Verdict.FITS, NO, Verdict.NOT_KNOWN]
    assert found[None].asks == ("caliper_material",)


def test_a_limit_of_the_user_s_own_rules_the_caliper_s_thread_too() -> None:
    """14.7 mm of thread at worst: too short for two diameters of M10, enough for 1.4 (14 mm) if the kit's sheet allows that;
    what is wrong then are screws of 25 mm, and longer ones cure it."""
    changes = {**BODY, "caliper_tapping": "through", "caliper_thread_depth": 15.0, "caliper_screw_length": 25.0}
    limits = {"screw_engagement_aluminium": (1.4, None)}
    assert finding("screw_in_caliper", assessed(**changes)).verdict is NO
    cured = finding("screw_in_caliper", assessed(**changes, limits=limits))
    assert cured.verdict is PARTS
    assert "Use caliper screws" in cured.do
