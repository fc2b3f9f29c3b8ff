"""Whole jobs of our own, each verdict and part worked out by hand in the docstring. Invented sizes; no outside source."""

from typing import Any

from bomcheck.assess import assess
from bomcheck.model.report import Report
from bomcheck.model.verdict import Verdict
from tests.helpers.jobs import finding, good_job

FITS, PARTS, UNKNOWN, MACHINE, NO = (
    Verdict.FITS, Verdict.FITS_WITH_PARTS, Verdict.NOT_KNOWN, Verdict.NEEDS_MACHINING, Verdict.DOES_NOT_FIT,
)  # fmt: skip
BOX: tuple[Any, ...] = ()


def report(**changes: Any) -> Report:
    return assess(good_job(**changes))


def needed(result: Report, role: str) -> float:
    """How many of a role the parts list needs."""
    return sum(line.needed for line in result.parts if line.role == role and line.status != "surplus")


def verdicts(result: Report, *names: str) -> list[Verdict]:
    return [finding(name, result).verdict for name in names]


def troubles(result: Report) -> dict[str, Verdict]:
    """All checks that do not simply fit, but for the contents of the box, which these jobs leave open."""
    easy = (FITS, Verdict.DOES_NOT_APPLY)
    return {f.check: f.verdict for f in result.findings if f.verdict not in easy and f.check != "parts_complete"}


def test_the_complete_corner_fits() -> None:
    """Engagement (45 - 7 - 10 = 28, nut 22) / 12 = 1.83; bore 66.60 - 66.50 = 0.10; centred with 1.0, flush with 1.5 mm."""
    result = report()
    assert troubles(result) == {}
    assert result.plans["axial"].likely.thickness == 1.0
    assert result.plans["radial"].likely.thickness == 1.5


def test_a_thick_hat_makes_the_studs_too_short() -> None:
    """Hat flange 26: 45 - 26 - 10 = 9 mm of thread, 12 are needed. 26 + 10 + 12 = 48, the ± of flange (0.1) and seat (0.5)
    on top: 48.6, so studs of at least 49 mm, 5 a corner. The pilot of 14 mm is used up: 14 - 26 - 1 = -13, extension."""
    result = report(hat_flange_thickness=26.0)
    assert troubles(result) == {"stud_engagement": PARTS, "pilot_left_for_wheel": PARTS}
    stud = next(line for line in result.parts if line.role == "wheel stud")
    assert stud.needed == 10
    assert 49 <= float(finding("stud_engagement", result).do.split("at least ")[1].split(" mm")[0]) <= 50
    assert needed(result, "wheel extension") == 2


def test_from_spoke_to_spacer_to_studs() -> None:
    """The spoke's back at 195 mm is 7 mm inboard: 42 - 45 + 7 - 7 = -3, 3 are needed: 6 mm short, with all ± 8 to 9, so a
    spacer of 10. Studs of 35 then show 35 - 7 - 10 - 10 = 8 of 12 mm: longer ones; of the hub's pilot 14 - 7 - 10 - 1 = -4
    would be left, but the spacer brings its own: 14 - 7 - 1 = 6. Track change is not judged."""
    result = report(wheel_spoke="60:10; 180:-6; 210:-8", hub_stud_length=35.0)
    assert troubles(result) == {"caliper_in_wheel": PARTS, "stud_engagement": PARTS}
    assert "spacer of 10 mm" in finding("caliper_in_wheel", result).do
    told = " ".join(finding("caliper_in_wheel", result).chain)
    assert "longer studs" in told
    assert "extension" not in told
    assert (needed(result, "wheel spacer"), needed(result, "wheel stud")) == (2, 10)
    assert result.passes <= 5
    assert result.settled


def test_a_bore_too_small_with_wall_enough() -> None:
    """66.30 - 66.50 = -0.20: bored to 66.60; wall (112 - 13.5 - 66.6) / 2 = 15.95, 6 are needed."""
    result = report(hat_bore=(66.3, 0.02))
    assert troubles(result) == {"pilot_fit": MACHINE}
    assert "66.58 to 66.65" in finding("pilot_fit", result).do
    assert needed(result, "machining") == 2  # a hat at each corner
    (line,) = (line for line in result.parts if line.role == "machining")
    assert (line.reason, line.unit) == ("without it this fails: pilot fit", "each")


def test_a_bore_too_small_and_no_wall_left() -> None:
    """Circle 98, holes 13.5, pilot 72.5, bore 72.3: wall now (98 - 13.5 - 72.3) / 2 = 6.10; bored to 72.6 it is 5.95 < 6."""
    circle = {"hub_bolt_circle": "5x98", "hat_bolt_circle": "5x98", "wheel_bolt_circle": "5x98"}
    exact = {"hub_pilot_diameter": (72.5, 0.0), "hat_bore": (72.3, 0.0), "hat_stud_hole_diameter": (13.5, 0.0)}
    result = report(**circle, **exact, wheel_bore=72.6)
    assert finding("bore_wall", result).verdict is NO
    assert result.verdict is NO
    assert any("ore" in step for step in finding("pilot_fit", result).chain)


def test_look_alike_circles() -> None:
    """5x120 and 5x120.65 are 0.65 apart. Holes 13.5 on 12 mm studs give 1.5: can be drilled anew. Holes of 12.4 give 0.4: no."""
    hub = {"hub_bolt_circle": "5x120", "wheel_bolt_circle": "5x120", "hat_bolt_circle": "5x120.65"}
    assert finding("bolt_circle", report(**hub)).verdict is MACHINE
    assert finding("bolt_circle", report(**hub, hat_stud_hole_diameter=12.4)).verdict is NO


def test_a_large_bore_takes_a_ring_on_each_side() -> None:
    """67.00 - 66.50 = 0.50 > 0.20: rings 67.00 outside, 66.50 inside, 2 of them."""
    result = report(hat_bore=(67.0, 0.02))
    assert troubles(result) == {"pilot_fit": PARTS}
    assert needed(result, "centring ring") == 2


def test_rear_axle_with_shoes_of_another_drum() -> None:
    """Drum 172, shoes 176 to 180: 172 - 176 = -4 < 0: shoes and hardware for a drum of 172, one set each for the axle."""
    rear = {
        "axle": "rear",
        "park_brake": "drum in hat",
        "kit_park_brake": "drum in hat",
        "hat_park_drum_diameter": 172.0,
    }
    result = report(**rear, park_shoe_diameter_min=176.0, park_shoe_diameter_max=180.0)
    assert troubles(result) == {"park_shoes_reach": PARTS}
    assert (needed(result, "park shoe set"), needed(result, "park hardware set")) == (1, 1)


def test_clear_of_the_barrel_but_not_of_the_spokes() -> None:
    """Spokes 42 mm inboard: 42 - 45 + 7 - 42 = -38; no spacer sold gives 41 mm. The barrel stays 206 - 195 = over 3."""
    result = report(wheel_spoke="60:10; 180:-41; 210:-43")
    pairs = {pair.turning: pair.verdict for pair in finding("caliper_in_wheel", result).pairs}
    assert pairs == {"wheel barrel": FITS, "spokes": NO}
    assert result.verdict is NO


def test_poor_data_settles_what_it_can() -> None:
    """Pilot by rule ±0.5: 0.10 ±0.52 is not known and asks for the pilot; ear height blank: flush edge asks for it; the
    threads, counts and the centring of the caliper are settled all the same."""
    result = report(hub_pilot_diameter=(66.5, 0.5), ear_height=None)
    assert verdicts(result, "pilot_fit", "pad_flush", "lug_count", "caliper_centred") == [UNKNOWN, UNKNOWN, FITS, FITS]
    asked = [question.key for question in result.questions]
    assert "hub_pilot_diameter" in asked
    assert "ear_height" in asked
    assert result.verdict is UNKNOWN


def test_two_shims_fewer_and_two_more() -> None:
    """A start of two 0.8 mm pieces at either place; on this car the first takes none, the second four.

    As designed: offset -47.4 needs 91 - 47.4 - 42 = 1.6 mm, rise 37.9 needs 165 - 0.5 - 95 - 37.9 - 30 = 1.6 mm: two pieces
    each. This car: ear face 89.4, so 89.4 - 47.4 - 42 = 0; ear height 93.4, so 3.2 mm: four pieces, if the maker allows 4 mm.
    Common practice, no source.
    """
    kit = {"shim_sizes_axial": "0.8x16", "shim_sizes_radial": "0.8x16", "bracket_offset": -47.4, "bracket_rise": 37.9,
           "shim_stack_max_radial": 4.0}  # fmt: skip
    start = report(**kit).plans
    assert (start["axial"].likely.count, start["radial"].likely.count) == (2, 2)
    car = report(**kit, ear_face_position=89.4, ear_height=(93.4, 0.2)).plans
    assert (car["axial"].likely.count, car["radial"].likely.count) == (0, 4)


def test_shims_on_the_wrong_side() -> None:
    """Offset -50: 91 - 50 - 42 = -1, and shims on the ear's outboard face push further outboard: metal must come off. On
    the inboard face they push inboard: 1 mm of shims and it fits."""
    wrong = report(bracket_offset=-50.0)
    assert finding("caliper_centred", wrong).verdict is MACHINE
    assert "Shims cannot cure this" in finding("caliper_centred", wrong).do
    right = report(bracket_offset=-50.0, ear_side="inboard")
    assert finding("caliper_centred", right).verdict is FITS
    assert right.plans["axial"].likely.thickness == 1.0


def test_a_screw_that_bottoms_in_a_blind_ear() -> None:
    """Steel ear, depth 18: 40 - 2.5 - 15 - 1 = 21.5 > 18: the screw bottoms. 3.5 mm and the ± shorter, about 35 mm, still
    engages (35 - 18.5) / 12 = 1.4 diameters, 1.0 are needed: shorter screws, 2 a corner."""
    result = report(ear_hole="tapped blind", ear_material="steel", ear_thread_depth=18.0)
    assert finding("screw_bottoms_in_ear", result).verdict is PARTS
    assert finding("engagement_in_blind_ear", result).verdict is FITS
    assert result.verdict is PARTS
    assert needed(result, "bracket screw") == 4


def test_a_screw_too_short_for_the_shims() -> None:
    """Iron ear: 30 - 2.5 - 15 - 1 = 11.5 mm, 1.5 x 12 = 18 are needed: 6.5 mm and the ± longer, 37 to 39 mm."""
    result = report(bracket_screw_length=30.0)
    assert finding("engagement_in_ear", result).verdict is PARTS
    length = float(finding("engagement_in_ear", result).do.split("screws ")[1].split(" mm")[0])
    assert 37 <= length <= 39
    assert finding("axial_stack_together", result).verdict is FITS
    assert result.verdict is PARTS


def test_race_pads_and_no_hose_on_a_road_car() -> None:
    """The box holds no hose and pads for race only: one pad set for road use, two hoses bubble female to banjo eye of at
    least 400 + 5 + 12 = 417 mm, four sealing washers, two banjo screws."""
    result = report(pad_duty="race", box=())
    assert verdicts(result, "pad_compound_suits", "line_closes") == [PARTS, PARTS]
    assert "at least 417 mm" in finding("line_closes", result).do
    assert [needed(result, role) for role in ("pad set", "hose", "sealing washer", "banjo screw")] == [1, 2, 4, 2]
