"""Joints that once passed and must not: each by hand, the wrong one, the right one, what cures it; common practice, no source.

Good job: bracket screw M12x1.5 x 40 into an ear, studs M10x1.25 in the bracket, banjo port M10x1.0.
"""

from typing import Any

import pytest

from bomcheck.engine.rounds import Round
from bomcheck.engine.settle import settle
from bomcheck.model.job import Part
from bomcheck.model.report import Report
from bomcheck.model.verdict import Verdict
from bomcheck.rules import all_checks
from bomcheck.rules.joint_table import grips
from tests.helpers.jobs import assessed, finding, good_job
from tests.interfaces.test_worked_values import BODY, BOLT, INTO, NUT, TAPPED

FITS, PARTS, MACHINE, OPEN = (
    Verdict.FITS, Verdict.FITS_WITH_PARTS, Verdict.NEEDS_MACHINING, Verdict.NOT_KNOWN,
)  # fmt: skip
BANJO = {"banjo_screw_length": 24.0, "sealing_washer_thickness": (1.0, 0.0), "caliper_inlet_depth": 15.0}


def first(check: str, **changes: Any) -> Any:
    """The finding before any remedy."""
    return Round(settle(good_job(**changes))).findings[check]


def ordered(report: Report, role: str) -> list[Any]:
    return [line for line in report.parts if line.role == role and line.needed > 0]


# banjo: eye + two washers + depth -------------------------------------------------------------------------------------


def test_two_millimetres_of_banjo_screw_in_the_port() -> None:
    """24 - 20 - 2 x 1 = 2 mm of ten: longer screws, 32.something at least, clear of the bottom at 15 - 1."""
    found = first("banjo_engaged", **BANJO, banjo_thickness=20.0)
    assert found.value.middle == pytest.approx(0.2)
    assert found.verdict is not FITS
    assert first("banjo_engaged", **BANJO, banjo_thickness=10.0).verdict is FITS


def test_a_banjo_screw_that_bottoms() -> None:
    """24 - 10 - 2 = 12 mm in a port 10 deep: it is tight before the eye is."""
    short = {**BANJO, "caliper_inlet_depth": 10.0}
    assert first("banjo_bottoms", **short, banjo_thickness=10.0).verdict is not FITS
    assert first("banjo_bottoms", **BANJO, banjo_thickness=10.0).verdict is FITS


@pytest.mark.parametrize(
    "key", ["banjo_thickness", "sealing_washer_thickness", "caliper_inlet_depth", "banjo_screw_length"]
)
def test_every_size_of_the_banjo_counts(key: str) -> None:
    """Eye, washer, port and screw each move the value."""
    sizes = {**BANJO, "banjo_thickness": 10.0, "caliper_inlet_depth": 11.5}
    stated = sizes[key][0] if isinstance(sizes[key], tuple) else sizes[key]
    names = ("banjo_engaged", "banjo_bottoms")
    before = [first(name, **sizes).value.middle for name in names]
    assert before != [first(name, **{**sizes, key: stated + 1.0}).value.middle for name in names]


# two threads in one bracket -------------------------------------------------------------------------------------------


def test_m12_at_the_ear_and_m10_at_the_caliper() -> None:
    """Each joint has its own thread: neither studs nor screws are exchanged."""
    own = {**TAPPED, "bracket_thread": None, "bracket_ear_thread": "M12x1.5", "bracket_caliper_thread": "M10x1.25"}
    report = assessed(**own)
    assert finding("screw_thread_in_bracket", report).verdict is FITS
    assert finding("caliper_thread_in_bracket", report).verdict is FITS


def test_an_old_sheet_s_one_thread_counts_for_both_and_says_so() -> None:
    """M12x1.5 typed once: right at the ear, wrong for M10 studs; both findings say that it counts for both joints."""
    report = assessed(**TAPPED)
    ear, caliper = finding("screw_thread_in_bracket", report), first("caliper_thread_in_bracket", **TAPPED)
    assert (ear.verdict, caliper.verdict) == (FITS, PARTS)
    assert all("it counts for both joints" in found.said for found in (ear, caliper))


def test_ordered_screws_of_the_tapped_thread_are_judged_again() -> None:
    """Studs M10x1.5 for a bracket tapped so: the cured job has them."""
    report = assessed(bracket_caliper_thread="M10x1.5")
    assert report.cured.get("caliper_screw_thread").name == "M10x1.5"
    assert ordered(report, "caliper stud")


# blind threads --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("check", "changes"),
    [
        ("screw_bottoms_in_bracket", {**TAPPED, "bracket_thread_depth": 14.0}),  # 50 - 2.5 - 20 - 1 = 26.5 in 14
        ("screw_bottoms_in_caliper", {**BODY, "caliper_screw_length": 60.0}),  # 60 - 15 - 2 - 1.5 = 41.5 in 25
        (
            "caliper_screw_bottoms_in_bracket",
            {**INTO, "caliper_screw_length": 81.0, "bracket_thread_depth": 26.0},
        ),  # 41.5 in 26
    ],
)
def test_a_screw_that_bottoms_is_never_said_to_fit(check: str, changes: dict[str, Any]) -> None:
    """Blind: another length; through: the check does not apply; not stated: it is asked."""
    key = {"screw_bottoms_in_bracket": "bracket_ear_tapping", "screw_bottoms_in_caliper": "caliper_tapping"}.get(
        check, "bracket_caliper_tapping"
    )
    assert first(check, **changes).verdict is PARTS
    assert first(check, **{**changes, key: "through"}).verdict is Verdict.DOES_NOT_APPLY
    assert first(check, **{**changes, key: None}).asks == (key,)


def test_a_shorter_screw_is_ordered_and_clears_the_bottom() -> None:
    """60 mm into a caliper 25 deep: the cured job's screw ends above the bottom and holds two diameters."""
    report = assessed(**{**BODY, "caliper_screw_length": 60.0})
    cured = Round(settle(report.cured)).findings
    assert cured["screw_bottoms_in_caliper"].verdict is FITS
    assert cured["screw_in_caliper"].verdict is FITS


def test_a_screw_that_bottoms_is_not_shortened_below_what_must_hold() -> None:
    """20 deep, two diameters of M10 in aluminium are 20 too: no length clears the bottom and holds for all true sizes, so it is chosen on
    the car; in steel one diameter is enough, and a length is ordered."""
    for metal, chosen in (("aluminium", True), ("steel", False)):
        report = assessed(
            **{**BODY, "caliper_screw_length": 60.0, "caliper_thread_depth": 20.0, "caliper_material": metal}
        )
        told = finding("screw_bottoms_in_caliper", report)
        assert told.verdict is PARTS
        assert told.do.startswith("Choose the length") is chosen


# remedies cut metal ---------------------------------------------------------------------------------------------------


def test_a_spacer_lengthens_the_grip_of_a_tapped_bracket() -> None:
    """Spacer 4: 50 - 2.5 - 20 - 4 - shims stay in the thread, 4 mm less than before."""
    before = first("engagement_in_bracket", **TAPPED, bracket_ear_thread_depth=40.0)
    after = first("engagement_in_bracket", **TAPPED, bracket_ear_thread_depth=40.0, bracket_spacer_thickness=(4.0, 0.0))
    assert after.value.middle == pytest.approx(before.value.middle - 4.0 / 12)


def test_facing_takes_boss_and_thread_along() -> None:
    """2 mm off the face of a bracket tapped 30 deep: boss 13, thread 28, judged again."""
    report = assessed(**TAPPED, bracket_offset=-51.0)
    cut = 42.0 - (91.0 - 51.0)
    assert finding("caliper_centred", report).verdict is MACHINE
    assert report.cured.get("bracket_ear_thickness") == pytest.approx(15.0 - cut)
    assert report.cured.get("bracket_ear_thread_depth") == pytest.approx(30.0 - cut)


def test_facing_that_leaves_too_little_thread_is_said() -> None:
    """5 mm off a thread of 26: 21 mm of 24 that two diameters take in aluminium."""
    report = assessed(**{**TAPPED, "bracket_thread_depth": 26.0}, bracket_offset=-54.0)
    assert finding("engagement_in_bracket", report).verdict is not FITS


@pytest.mark.parametrize("low", [1.2, 1.5])
def test_lengths_follow_the_limit_in_force(low: float) -> None:
    """The Limits sheet asks for 1.2 or 1.5 diameters: bolts are ordered for that, not for 1.0."""
    report = assessed(
        **{**BOLT, "wheel_bolt_length": 26.0, "hub_thread_depth": 25.0}, limits={"stud_engagement_steel": (low, None)}
    )
    assert report.cured.get("wheel_bolt_length") >= 17.0 + low * 12.0


def test_a_bore_follows_the_limit_in_force() -> None:
    """Own pilot limit 0.02 to 0.06: bored inside it, and no ring is asked for afterwards."""
    report = assessed(hat_bore=(66.3, 0.0), hub_pilot_diameter=(66.5, 0.0), limits={"pilot_clearance": (0.02, 0.06)})
    assert finding("pilot_fit", report).verdict is MACHINE
    assert not ordered(report, "centring ring")
    assert Round(settle(report.cured)).findings["pilot_fit"].verdict is FITS


def test_a_ring_stays_inside_the_flange() -> None:
    """A ring of 25 mm length on an 8 mm flange would hold the wheel off."""
    report = assessed(hat_bore=(72.0, 0.02))
    line = ordered(report, "centring ring")[0]
    assert "length at most 6.9 mm" in line.spec


def test_a_dual_hat_s_wall_is_taken_to_the_nearest_hole() -> None:
    """5x112 used, 5x100 beside it: (100 - 13.5 - 66.6) / 2 = 9.95, not 15.95."""
    assert first("bore_wall", hat_bolt_circle="5x100; 5x112").value.middle == pytest.approx(9.95)


# hat screws -----------------------------------------------------------------------------------------------------------


def test_hat_screws_too_short_for_their_nut() -> None:
    """8 mm of screw under a 6 mm nut leaves 2 mm for hat and ring: never said to fit, whatever they are."""
    hat = {"hat_screw_thread": "M6x1.0", "hat_screw_length": 8.0, "hat_nut_height": 6.0}
    assert first("hat_nut_on_thread", **hat).verdict is not FITS
    assert first("hat_nut_on_thread", **hat, hat_clamped_thickness=12.0).verdict is PARTS
    assert first("hat_nut_on_thread", **{**hat, "hat_screw_length": 22.0}, hat_clamped_thickness=12.0).verdict is FITS


# torque ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("torque", "condition", "expected"),
    [
        (14.7, "oiled", FITS), (14.5, "oiled", OPEN), (32.7, "oiled", FITS), (32.9, "oiled", OPEN), (36.6, "oiled", OPEN),
        (19.6, "dry", FITS), (19.4, "dry", OPEN), (43.6, "dry", FITS), (43.9, "dry", OPEN), (25.0, None, FITS), (30.0, None, OPEN),
    ],
)  # fmt: skip
def test_plausible_torque_is_040_to_090_of_proof(torque: float, condition: str | None, expected: Verdict) -> None:
    """M8x1.25 10.9: proof 36.6 x 830 = 30.4 kN (ISO 898-1). T = K x 8 mm x F: oiled (0.15) 14.6 to 32.8 N·m, dry (0.20) 19.5 to
    43.7; not stated (0.12 to 0.20): both ends inside for 19.5 to 26.3."""
    screw = {"bracket_screw_thread": "M8x1.25", "bracket_screw_torque": torque, "bracket_screw_condition": condition}
    assert first("bracket_screw_torque_plausible", **screw).verdict is expected


def test_above_proof_the_figure_is_never_used() -> None:
    """It says so in words."""
    found = first("bracket_screw_torque_plausible", bracket_screw_torque=400.0, bracket_screw_condition="dry")
    assert found.verdict is OPEN
    assert "never tighten to it" in found.said


def test_slip_is_a_remark() -> None:
    """Two screws at 70 N·m oiled M12: 2 x 38.9 kN x 0.12 = 9.3 kN; pads 0.45 x 2 x 2519 mm² x 10 MPa = 22.7 kN."""
    found = first("bracket_slip", bracket_screw_torque=70.0, bracket_screw_condition="oiled", caliper_bores="38+42")
    assert found.verdict is FITS
    assert "9.3 kN" in found.said
    assert "22.7 kN" in found.said
    assert "Friction alone" in found.do


def test_threadlocker_with_a_nylon_lock_nut_is_asked() -> None:
    """It softens the nylon; never together."""
    assert (
        first("caliper_locked", caliper_screw_condition="threadlocker", caliper_nut_kind="nylon lock").verdict is OPEN
    )
    assert first("caliper_locked", caliper_screw_condition="threadlocker", caliper_nut_kind="plain").verdict is FITS


# wheel ----------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("seat", "size", "one", "other", "expected"),
    [
        ("cone", "angle", 60.0, 60.0, FITS), ("cone", "angle", 60.0, 90.0, PARTS), ("cone", "angle", None, 60.0, OPEN),
        ("ball", "radius", 14.0, 14.0, FITS), ("ball", "radius", 13.0, 14.0, PARTS), ("ball", "radius", 14.0, None, OPEN),
        ("flat", "angle", None, None, FITS),
    ],
)  # fmt: skip
def test_seats_have_a_size(seat: str, size: str, one: Any, other: Any, expected: Verdict) -> None:
    """A ball its radius, a cone its angle; 60 degrees is not assumed."""
    sizes = {f"nut_seat_{size}": one, f"wheel_seat_{size}": other}
    assert first("nut_seat_matches", nut_seat=seat, wheel_seat=seat, **sizes).verdict is expected


def test_nothing_centres_the_wheel() -> None:
    """Flat nuts without a shank, wheel centred by its nuts: said, and cured on the pilot; cones, or a shank of 14.8 in 15, centre."""
    flat = {"wheel_centring": "nuts", "nut_seat": "flat", "wheel_seat": "flat"}
    found = first("something_centres_wheel", **flat)
    assert found.verdict is PARTS
    assert "nothing centres the wheel" in found.said.lower()
    assert first("something_centres_wheel", **flat, nut_shank_diameter=14.8).verdict is FITS
    assert first("shank_centres_wheel", **flat, nut_shank_diameter=14.8).verdict is FITS
    assert first("shank_centres_wheel", **flat, nut_shank_diameter=14.0).verdict is PARTS
    assert first("something_centres_wheel", wheel_centring="nuts").verdict is FITS


def test_studs_by_their_length_under_the_head() -> None:
    """30 mm from the face through a 12 mm hub flange is a 42 mm stud; the knurl stands beside it."""
    report = assessed(hub_stud_length=26.0, hub_flange_thickness=(12.0, 0.0), hub_stud_knurl_diameter=(12.9, 0.0))
    stud = ordered(report, "wheel stud")[0]
    face = report.cured.get("hub_stud_length")
    assert f"{face + 12:.0f} mm under the head" in stud.description
    assert "knurl 12.90 mm" in stud.description


def test_studs_without_flange_and_knurl_are_asked_about() -> None:
    """Neither is assumed."""
    stud = ordered(assessed(hub_stud_length=26.0), "wheel stud")[0]
    assert stud.status == "ask"
    assert "How thick is the hub flange?" in stud.note
    assert "knurl" in stud.note


# left and right, parking brake, questions ------------------------------------------------------------------------------


def rotors(*sides: str, **changes: Any) -> Any:
    box = tuple(Part("rotor", side=side, quantity=1.0) for side in sides)
    return first("rotors_handed", rotor_vanes="directional", box=box, **changes)


def test_one_corner_takes_its_own_rotor() -> None:
    """Left corner with one left rotor fits; with a right one it is exchanged; both corners take one of each."""
    left = {"corners": 1, "corner_side": "left"}
    assert rotors("left", **left).verdict is FITS
    assert rotors("right", **left).verdict is PARTS
    assert rotors("left", "right", **left).verdict is FITS  # the other one lies over
    assert rotors("left", "right").verdict is FITS
    assert rotors("left", "left").verdict is PARTS


def test_an_electric_parking_brake_with_a_cable_kit() -> None:
    """What pulls it must be the same on car and kit; shoes that stay in the hat keep what pulls them."""
    rear = {"axle": "rear", "park_brake": "in caliper", "kit_park_brake": "in caliper", "road_use": "yes"}
    check = "parking_brake_worked"
    assert first(check, **rear, park_lever="electric", kit_park_lever="cable").verdict is Verdict.DOES_NOT_FIT
    assert first(check, **rear, park_lever="electric", kit_park_lever="electric").verdict is FITS
    assert first(check, **rear, park_lever="electric").asks == ("kit_park_lever",)
    shoes = {**rear, "kit_park_brake": "drum in hat"}
    assert first(check, **shoes, park_lever="electric").asks == ("kit_park_lever",)
    assert first(check, **shoes, park_lever="cable").verdict is FITS
    assert first(check, **{**shoes, "park_brake": "drum in hat"}, park_lever="electric").verdict is FITS
    assert (
        first(check, **{**shoes, "park_brake": "drum in hat"}, park_lever="cable", kit_park_lever="electric").verdict
        is Verdict.DOES_NOT_FIT
    )


def test_only_the_washer_s_thickness_is_asked_where_the_count_is_typed() -> None:
    """Two washers of unknown thickness; none needs no thickness."""
    assert first("engagement_in_ear", bracket_washer_count=2, bracket_washer_thickness=None).asks == (
        "bracket_washer_thickness",
    )
    assert first("engagement_in_ear", bracket_washer_count=0, bracket_washer_thickness=None).asks == ()
    assert first("engagement_in_ear", bracket_washer_count=None).asks == ("bracket_washer_count",)


def test_a_wheel_spacer_left_blank_is_a_question() -> None:
    """None is typed as 0."""
    assert "wheel_spacer_thickness" in first("stud_engagement", wheel_spacer_thickness=None).asks


# every joint, every check ---------------------------------------------------------------------------------------------


def test_every_row_is_judged() -> None:
    """Each name of the table is a check, and each holder has an engagement or a nut."""
    for grip in grips():
        names = [grip.row[kind] for kind in ("engaged", "bottoms", "nut", "shank") if grip.row[kind]]
        names += [grip.row["thread"].split(":")[0]] if grip.row["thread"] else []
        assert names
        assert all(name in all_checks() for name in names)


def test_a_nut_joint_counts_the_spacer_too() -> None:
    """60 - 2.5 - 15 - 20 - 1 - 12 = 9.5 shows; with a spacer of 4, 5.5."""
    before = first("bracket_nut_on_thread", **NUT).value.middle
    assert first("bracket_nut_on_thread", **NUT, bracket_spacer_thickness=(4.0, 0.0)).value.middle == pytest.approx(
        before - 4.0 / 1.5
    )


@pytest.mark.parametrize(
    ("meant", "duty", "road", "verdict"),
    [
        ("race", "race", "no", FITS), ("race", "race", "yes", Verdict.NOT_KNOWN), ("road", "race", "yes", Verdict.NOT_KNOWN), ("race; road", "race", "yes", FITS), ("race", "race", None, Verdict.NOT_KNOWN), ("race; road", "race", None, FITS),
        ("race", "road", "yes", PARTS), ("track", "race", "no", PARTS),
    ],
)  # fmt: skip
def test_no_race_pad_alone_on_the_road(meant: str, duty: str, road: str | None, verdict: Verdict) -> None:
    """A compound for races alone does not bite cold: common practice, no source. A maker who says road too is believed."""
    assert first("pad_compound_suits", pad_duty=meant, duty=duty, road_use=road).verdict is verdict
