"""Joints that no blank can save, one length where two remedies want bolts, weights before wheels; common practice, no source.

Good job: flange 7, seat 10, M12 in the wheel; bracket screw M12 x 40 under a washer of 2.5 and a bracket of 15."""

from typing import Any

import pytest

from bomcheck.engine.rounds import Round
from bomcheck.engine.settle import settle
from bomcheck.model.finding import Finding
from bomcheck.model.verdict import Verdict
from bomcheck.rules.joint_table import Grip, grips
from bomcheck.tables.fields import fields
from tests.helpers.jobs import assessed, finding, good_job
from tests.interfaces.test_worked_values import BLIND, BODY, BOLT, INTO, NUT, TAPPED

NO, MACHINE, OPEN, PARTS, FITS = (
    Verdict.DOES_NOT_FIT, Verdict.NEEDS_MACHINING, Verdict.NOT_KNOWN, Verdict.FITS_WITH_PARTS, Verdict.FITS,
)  # fmt: skip
BANJO = {
    "banjo_screw_length": 14.0,
    "banjo_thickness": 10.0,
    "sealing_washer_thickness": 1.0,
    "caliper_inlet_depth": 15.0,
}


def first(check: str, **changes: Any) -> Finding:
    """The finding before any remedy."""
    return Round(settle(good_job(**changes))).findings[check]


# A joint, the blank, and by hand: the most that the value can be over the blank's whole range, against its limit.
SURE: list[tuple[str, dict[str, Any], str]] = [
    ("hat_nut_on_thread", {"hat_screw_thread": "M6x1.0", "hat_screw_length": 8.0, "hat_nut_height": 6.0}, "hat_clamped_thickness"),  # 8 - 2 - 6 = 0 of 2
    ("engagement_in_ear", {"bracket_screw_length": 20.0}, "bracket_washer_count"),  # 20 - 0 - 15 = 5 of 18
    ("engagement_in_ear", {"bracket_screw_length": 20.0}, "bracket_washer_thickness"),
    ("screw_bottoms_in_ear", {**BLIND, "bracket_screw_length": 70.0}, "bracket_washer_thickness"),  # 20 - (70 - 6 - 15 - 3) = -26
    ("bracket_nut_on_thread", {**NUT, "bracket_screw_length": 40.0}, "bracket_nut_height"),  # 40 - 37.5 - 3 = -0.5 of 3
    ("bracket_shank_in_grip", {**NUT, "bracket_screw_thread_length": 5.0}, "bracket_washer_count"),  # 35 + 15 + 3 - 55 = -2
    ("caliper_nut_on_stud", {"caliper_screw_length": 40.0}, "caliper_nut_height"),  # 40 - 36 - 2 - 3 = -1 of 2.5
    ("caliper_screw_in_bracket", {**INTO, "caliper_screw_length": 38.0}, "bracket_material"),  # 38 - 36 - 2 = 0 of 10
    ("screw_in_ear_hole_covered", {**NUT, "ear_hole_diameter": 30.0}, "bracket_washer_count"),  # washer 24 over a hole of 30
    ("stud_engagement", {"hub_stud_length": 18.0}, "wheel_spacer_thickness"),  # 18 - 7 - 10 = 1 of 12
    ("stud_engagement", {"hub_stud_length": 18.0}, "nut_material"),
    ("closed_nut_bottoms", {"nut_closed": "yes", "hub_stud_length": 90.0}, "nut_thread_depth"),  # 60 - 73 = -13
    ("bolt_bottoms", {**BOLT, "wheel_bolt_length": 80.0}, "wheel_seat_depth"),  # 20 - (80 - 7 - 40) = -13
    ("banjo_engaged", BANJO, "sealing_washer_thickness"),  # 14 - 10 - 1 = 3 of 10
    ("banjo_engaged", BANJO, "banjo_thickness"),  # 14 - 5 - 2 = 7 of 10
    ("banjo_bottoms", {**BANJO, "banjo_screw_length": 44.0, "caliper_inlet_depth": 10.0}, "sealing_washer_thickness"),
]  # fmt: skip


@pytest.mark.parametrize(("check", "changes", "blank"), SURE, ids=lambda one: one if isinstance(one, str) else "")
def test_a_blank_that_cannot_save_the_joint_is_said_not_to(check: str, changes: dict[str, Any], blank: str) -> None:
    """It fails at both ends of the blank's range, and says so while it is blank; what is asked is only what must be bought."""
    found = first(check, **{**changes, blank: None})
    assert found.said.startswith("It fails: "), found.said
    assert "whatever" in found.said
    assert fields()[blank].question in found.do
    field = fields()[blank]
    span = field.choices or ((field.low, field.high) if field.notation == "number" else range(int(field.high or 0) + 1))
    for size in span:
        assert first(
            check, **{**changes, blank: (float(size), 0.0) if field.notation == "number" else size}
        ).verdict not in (FITS, OPEN)


@pytest.mark.parametrize(
    ("check", "changes", "blank"),
    [
        ("engagement_in_ear", {}, "ear_thickness"),  # good in an ear of 20
        ("stud_engagement", {}, "wheel_spacer_thickness"),
        ("hat_nut_on_thread", {"hat_screw_thread": "M6x1.0", "hat_screw_length": 30.0, "hat_nut_height": 6.0}, "hat_clamped_thickness"),
        ("bolt_engagement", {**BOLT, "wheel_bolt_length": 18.0}, "hub_thread_depth"),  # never enough, but longer bolts, or another hub
    ],
)  # fmt: skip
def test_a_blank_that_matters_is_asked(check: str, changes: dict[str, Any], blank: str) -> None:
    """Where one value fits, or where what cures it depends on the blank."""
    found = first(check, **{**changes, blank: None})
    assert found.verdict is OPEN
    assert found.asks == (blank,)
    assert found.said.startswith("It fails") is (check == "bolt_engagement")


# By hand: hole 6 over a screw of 12 needs 6 of room whatever the holes' spacing; 5 of thread are 0.42 x 12, of 1.0 (steel) to 2.0.
RULED: list[tuple[str, dict[str, Any], str, Verdict]] = [
    ("bolt_engagement", {**BOLT, "hub_thread_depth": 6.0}, "wheel_seat_depth", NO),  # 6 / 12 = 0.5 of 1.0, no hub is cut deeper
    ("bolt_engagement", {**BOLT, "hub_thread_depth": 6.0}, "wheel_spacer_thickness", NO),
    ("piston_travel_worn", {"caliper_piston_gap": 120.0}, "pad_min_lining", NO),
    ("bore_wall", {"hat_bore": 180.0}, "hat_stud_hole_diameter", NO),  # bore past its own bolt circle
    ("engagement_in_ear", {"ear_thread_depth": 5.0}, "bracket_washer_count", MACHINE),
    ("engagement_in_ear", {"ear_thread_depth": 5.0, "ear_thickness": 30.0}, "ear_material", MACHINE),  # metal for any material's depth
    ("caliper_centred", {"ear_face_position": -40.0}, "rotor_plane_position", NO),  # 48 mm off at the least, and 3 of shims
]  # fmt: skip


@pytest.mark.parametrize(("check", "changes", "blank", "verdict"), RULED)
def test_what_no_answer_changes_is_the_verdict(
    check: str, changes: dict[str, Any], blank: str, verdict: Verdict
) -> None:
    """The verdict stands while the blank is there; it is asked only where it says how much metal must go."""
    report = assessed(**{**changes, blank: None})
    found = next(one for one in report.findings if one.check == check)
    assert (found.verdict, found.said[:9]) == (verdict, "It fails:")
    assert report.verdict is NO or report.verdict is verdict
    assert found.asks == ((blank,) if verdict is MACHINE else ())
    if verdict is MACHINE:
        assert blank in [question.key for question in report.questions]


HAT = {
    "hat_screw_thread": "M6x1.0",
    "hat_screw_length": 30.0,
    "hat_nut_height": 6.0,
    "hat_clamped_thickness": 14.0,
    "hat_screw_count": 10,
}


@pytest.mark.parametrize(
    ("blank", "asked", "changes"),
    [
        ("hub_stud_thread", "hub_stud_thread", {}), ("hub_stud_thread", "hub_stud_thread", BOLT), ("nut_thread", "nut_thread", {}),
        ("ear_thread", "ear_thread", {}), ("bracket_screw_thread", "bracket_screw_thread", {}), ("bracket_screw_thread", "bracket_screw_thread", NUT),
        ("caliper_screw_thread", "caliper_screw_thread", {}), ("caliper_screw_thread", "caliper_screw_thread", INTO),
        ("bracket_thread", "bracket_caliper_thread", {}), ("hat_screw_thread", "hat_screw_thread", HAT),
    ],
)  # fmt: skip
def test_a_joint_whose_thread_is_blank_is_not_known_and_asked(blank: str, asked: str, changes: dict[str, Any]) -> None:
    """No check of it drops out as if the joint were not there, none of them goes on saying that it fits, and the cell is asked."""
    before, after = assessed(**changes), assessed(**{**changes, blank: None})
    told = {found.check: found.verdict for found in after.findings}
    changed = [one.check for one in before.findings if one.check in told and told[one.check] is not one.verdict]
    assert changed
    assert {told[name] for name in changed} == {OPEN}
    assert asked in [question.key for question in after.questions]
    assert {found.check for found in before.findings} - told.keys() <= {"axial_stack_together"}  # of one check alone


def test_a_stud_has_a_root_and_no_head() -> None:
    """Root 8 in aluminium where 2 x 10 = 20 must stand, in a thread 30 deep: 20 and what both may be off, whole mm: 21 (or 20.8)."""
    deep = {"bracket_caliper_thread_depth": 30.0, "bracket_caliper_tapping": "blind", "caliper_stud_root_length": 8.0}
    report = assessed(**deep)
    assert report.cured.get("caliper_stud_root_length") == 21.0
    (stud,) = [line for line in report.parts if line.role == "caliper stud" and line.needed > 0]
    assert "with 21 mm of root in the bracket" in stud.description
    assert "length" not in stud.spec
    short = assessed(caliper_screw_length=46.0)
    texts = [
        *(found.do for found in short.findings),
        *(line.description for line in short.parts if line.role == "caliper stud"),
    ]
    assert any("beyond the bracket" in text for text in texts)
    assert not any("stud" in text and "under the head" in text for text in (*texts, stud.description))


def test_a_shoulder_is_asked_by_its_height_first() -> None:
    """Both cells blank: the height is asked; typed as 0 nothing stands proud and the diameter is not wanted."""
    assert first("stud_hole", hub_stud_shoulder_height=None, hub_stud_shoulder_diameter=None).asks == (
        "hub_stud_shoulder_height",
    )
    assert first("stud_hole", hub_stud_shoulder_height=0.0, hub_stud_shoulder_diameter=None).verdict is FITS
    assert "blank" not in fields()["hub_stud_shoulder_diameter"].help.lower()


@pytest.mark.parametrize("length", [24.0, 35.0, 45.0])
def test_wheel_bolts_and_a_wheel_spacer_name_one_length(length: float) -> None:
    """A spacer of 20 for the spokes, bolts for 7 + 20 + 10 + 12 = 49 and its ±: 50 or 51, whatever they were; it is named once."""
    report = assessed(**{**BOLT, "wheel_bolt_length": length}, wheel_spoke="60:40; 180:20; 205:-25")
    assert report.cured.get("wheel_spacer_thickness") == 20.0
    bolts = [line for line in report.parts if line.role == "wheel bolt" and line.needed > 0]
    bought = report.cured.get("wheel_bolt_length")
    assert [f"{bought:.0f} mm long" in line.description for line in bolts] == [True]
    assert 50.0 <= bought <= 51.0
    told = [found.do for found in report.findings if "Use wheel bolts" in found.do]
    assert len(set(told)) == 1
    assert f"{bought:.0f} mm long" in told[0]
    assert Round(settle(report.cured)).findings["bolt_engagement"].verdict is FITS
    assert Round(settle(report.cured)).findings["bolt_bottoms"].verdict is FITS


def barrel(radius: float, weight: tuple[float, float]) -> Finding:
    """Top of the caliper at 193.5 to 195 under a barrel, all else known: 3 mm of air, behind stick-on weights."""
    exact = {
        "rotor_diameter": (330.0, 0.0),
        "caliper_pad_top": (30.0, 0.0),
        "caliper_body_height": (60.0, 0.0),
        "caliper_top_width": (0.0, 0.0),
    }
    wheel = (((-30.0, radius), (150.0, radius)), 0.0)
    return finding("caliper_in_wheel", assessed(wheel_barrel=wheel, wheel_weight_thickness=weight, **exact))


def test_weights_come_off_before_a_wheel_is_refused() -> None:
    """Weights 4.0 ± 0.5 under 198.2: short by up to 4.8 of 3, 198.2 - 195 = 3.2 without them; under 196.4 without them 1.4 to 2.9."""
    assert "weights moved" in barrel(198.2, (4.0, 0.5)).do
    assert barrel(198.2, (4.0, 0.5)).verdict is PARTS
    assert barrel(196.4, (4.0, 0.5)).verdict is NO
    assert "larger wheel" in barrel(196.4, (4.0, 0.5)).do
    assert "larger wheel" not in barrel(197.0, (4.0, 0.5)).do  # 2.0 to 3.5 without them: it depends


THREADS = [grip for grip in grips() if grip.row["thread"]]
ARRANGED: dict[str, dict[str, Any]] = {
    "screw_thread_in_bracket": TAPPED, "caliper_screw_thread_in_caliper": {**BODY, "caliper_thread": "M10x1.25"},
}  # fmt: skip


@pytest.mark.parametrize("grip", THREADS, ids=lambda grip: grip.row["thread"])
@pytest.mark.parametrize(("pitch", "expected"), [("x1.25", FITS), ("x1.5", PARTS), ("", OPEN)])
def test_every_thread_the_same_a_look_alike_and_one_without_pitch(grip: Grip, pitch: str, expected: Verdict) -> None:
    """M10x1.25 held by M10x1.25; M10x1.5 looks alike and never fits; M10 alone is asked. Pitches of ISO 261."""
    tapped = {"thread_at_ear": "bracket_ear_thread", "thread_at_caliper": "bracket_caliper_thread"}.get(
        grip.row["tapped"], grip.row["tapped"]
    )
    name = grip.row["thread"]
    found = first(name, **{**ARRANGED.get(name, {}), tapped: "M10x1.25", grip.row["fitted"]: f"M10{pitch}"})
    assert found.verdict is expected, found.said
    assert found.asks == ((grip.row["fitted"],) if expected is OPEN else ())


@pytest.mark.parametrize("joint", ["hat", "bracket", "caliper"])
@pytest.mark.parametrize(
    ("torque", "expected"), [(23.0, FITS), (14.7, FITS), (14.5, OPEN), (32.7, FITS), (32.9, OPEN), (60.0, OPEN)]
)
def test_every_torque_inside_beside_and_beyond_its_range(joint: str, torque: float, expected: Verdict) -> None:
    """Oiled M8x1.25 10.9: proof 36.6 x 830 = 30.4 kN (ISO 898-1), 0.40 to 0.90 of it at K 0.15 are 14.6 to 32.8 N·m."""
    screw = {"thread": "M8x1.25", "torque": torque, "condition": "oiled", "class": "10.9"}
    found = first(f"{joint}_screw_torque_plausible", **{f"{joint}_screw_{what}": one for what, one in screw.items()})
    assert found.verdict is expected, found.said


@pytest.mark.parametrize("joint", ["hat", "bracket", "caliper"])
def test_what_locks_each_joint_is_said(joint: str) -> None:
    """Threadlocker locks; oil alone does not, and that is a remark, no failure."""
    locked, bare = (first(f"{joint}_locked", **{f"{joint}_screw_condition": how, f"{joint}_nut_kind": "plain"} if joint != "hat" else {"hat_screw_condition": how, "hat_thread_depth": 12.0}) for how in ("threadlocker", "oiled"))  # fmt: skip
    assert (locked.verdict, bare.verdict) == (FITS, FITS)
    assert not locked.do
    assert "Nothing but the torque" in bare.do


def _held(key: str) -> list[str]:
    """Checks of single sizes that hold although the field is blank."""
    found = assessed(**{key: None}).findings
    return [
        one.check
        for one in found
        if one.verdict is FITS and "whatever" in one.said and not one.said.startswith("Nearest")
    ]


BLANKS = [
    key
    for key, field in fields().items()
    if good_job().get(key) is not None and field.notation in ("choice", "number", "count")
]


def test_what_no_answer_changes_is_not_asked() -> None:
    """Over every field of a good job: where a check holds with the field blank, it holds for each word, and for the ends and the
    middle, of what the field may be; among them some that were worked by hand: a fillet of 0 to 5 leaves 7 of 12 of pilot, of 3
    needed; nuts engage 1.8 diameters, of 1.5 in iron; 2 to 12 of backing plate leave 5.8 of travel at the least, of 2."""
    held = {key: checks for key in BLANKS if (checks := _held(key))}
    assert {
        ("hub_pilot_fillet", "pilot_carries_hat"),
        ("nut_material", "stud_engagement"),
        ("pad_backing_thickness", "piston_travel_worn"),
    } <= {(key, check) for key, checks in held.items() for check in checks}
    for key, checks in held.items():
        field = fields()[key]
        number = field.notation == "number"
        span = field.choices or (
            field.low,
            field.high,
            ((field.low or 0.0) + (field.high or 0.0)) / 2 if number else field.low,
        )
        for size in span:
            report = assessed(**{key: (float(size or 0), 0.0) if number else size})
            for check in checks:
                assert finding(check, report).verdict in (FITS, Verdict.DOES_NOT_APPLY), (key, size, check)
