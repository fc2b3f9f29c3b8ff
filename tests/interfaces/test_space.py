"""Bodies in space, each example worked out by hand; geometry, the air between bodies is common practice, no source."""

import pytest

from bomcheck.model.sizes import Span
from bomcheck.model.verdict import Verdict
from bomcheck.rules.body_sizes import corner_radius, sliding_shift
from bomcheck.rules.wheel_on_hub import wheel_past_step
from tests.helpers.jobs import assessed, finding, verdict

NO, UNKNOWN, FITS = Verdict.DOES_NOT_FIT, Verdict.NOT_KNOWN, Verdict.FITS


def test_a_boss_inside_the_disc() -> None:
    """Ear face 60, boss 15 thick: it begins at 60 - 1 - 15 = 44, the disc ends at 42 + 14 = 56: 12 mm inside."""
    found = finding("bracket_boss", assessed(ear_face_position=60.0, bracket_offset=-17.0))
    assert found.verdict is NO
    assert found.value is not None
    assert found.value.middle == pytest.approx(-12.0, abs=0.1)
    assert {pair.turning for pair in found.pairs} == {"friction ring", "hat", "hub flange"}


def test_a_screw_through_a_thin_ear_reaches_the_disc() -> None:
    """Ear inboard-faced at 66, 7 thick; boss 15, washer 2.5, shims 1: seat at 84.5, a screw of 35 ends at 49.5, in the disc."""
    thin = {"ear_side": "inboard", "ear_face_position": 66.0, "bracket_offset": -25.0, "ear_thickness": 7.0}
    assert finding("bracket_screws", assessed(**thin, bracket_screw_length=35.0)).verdict is NO
    assert finding("bracket_screws", assessed(**thin, bracket_screw_length=22.0)).verdict is FITS


def test_a_far_corner_reaches_further_than_the_middle() -> None:
    """184.5 high, 80 to either side: the square root of 184.5² + 80² is 201.1, more than a barrel of 200.5."""
    assert corner_radius(184.5, 160.0) == pytest.approx(201.1, abs=0.01)


def test_a_wheel_on_a_step() -> None:
    """Step 72.5 x 10, flange 8, wheel opening 68.6: the step stands 2 mm proud and 1.95 mm wider on each side."""
    assert wheel_past_step(72.5, 10.0, 8.0, 0.0, 68.6, 0.0) == pytest.approx(-1.95)


def test_a_sliding_caliper_moves_inboard_as_it_wears() -> None:
    """14 - 5 - 2 = 7 of lining and 1 to 2 of a disc that loses 2."""
    at = [Span(size, size) for size in (14.0, 5.0, 2.0, 24.0, 22.0)]
    assert sliding_shift(*at) == (8.0, 9.0)


def test_a_blank_that_cannot_matter_is_not_asked() -> None:
    """An ear 35 mm inboard of the disc fits whatever its thickness; a blank wheel spacer is a question."""
    ear = finding("ear", assessed(ear_thickness=None, ear_width=None))
    assert ear.verdict is FITS
    assert ear.asks == ()
    assert finding("caliper_in_wheel", assessed(wheel_spacer_thickness=None)).verdict is UNKNOWN


def test_a_rim_tells_what_is_likely_of_a_barrel_that_was_not_measured() -> None:
    """17 in: 215.9 nominal, its barrel usually 15 less: 200.9. The block's top is 165 - 30 + 60 = 195, its corner 35 beside the
    middle reaches 198.1: about 2.8 left, less than 3. An 18 in rim leaves 15.5. Neither ever "fits"."""
    blank = {"wheel_barrel": None}
    tight, clear = (finding("caliper_in_wheel", assessed(**blank, wheel_rim_code=code)) for code in (17.0, 18.0))
    assert (tight.verdict, clear.verdict) == (UNKNOWN, UNKNOWN)
    assert "likely tight, about 3 mm" in tight.said
    assert "likely clear by 15 mm" in clear.said
    assert clear.do.startswith("Hold the kit's template in the wheel")
    assert finding("caliper_in_wheel", assessed(**blank, wheel_rim_code=13.0)).verdict is NO


def test_a_wheel_smaller_than_the_maker_names() -> None:
    """Not known until its barrel is measured, or the template held in."""
    small = {"wheel_rim_code": 17.0, "wheel_smallest": 18.0}
    assert finding("wheel_maker_names", assessed(**small, wheel_barrel=None)).verdict is UNKNOWN
    assert finding("wheel_maker_names", assessed(**small)).verdict is FITS
    assert finding("wheel_maker_names", assessed(wheel_rim_code=18.0, wheel_smallest=18.0)).verdict is FITS


def test_a_table_that_ends_too_soon_is_told_how_far_it_must_go() -> None:
    """Spokes: the body from 165 - 1.5 - 30 - 25, less 1.15 of ±, to its corner at 198.9. Barrel: centre at 42 + 7, 45.5 of width
    and ± outboard; 60.5 inboard, half a millimetre of centring."""
    spokes = finding("caliper_in_wheel", assessed(wheel_spoke="180:20; 205:16"))
    assert (spokes.verdict, spokes.reason) == (UNKNOWN, "outside the table")
    assert "needed from 107 to 199 mm" in spokes.said
    barrel = finding("caliper_in_wheel", assessed(wheel_barrel="20:208; 60:206"))
    assert "needed from 2 to 111 mm" in barrel.said


def test_a_bracket_arm_beside_the_disc() -> None:
    """A point 20 inboard of the caliper's centre, half way up a disc 28 thick: 20 - 14 - 0.5 of centring - 0.5 of ± leaves 5;
    at 16 it leaves 1 at worst and 3 at best, at 12 nothing. Outside the disc's edge it is clear anywhere."""
    exact = {"rotor_thickness": (28.0, 0.0), "rotor_diameter": (330.0, 0.0)}
    arm = lambda points: finding("bracket_arm", assessed(**exact, bracket_arm=points))  # noqa: E731
    assert arm("140:20").verdict is FITS
    assert arm("140:20").value.low == pytest.approx(5.0)  # type: ignore[union-attr]
    assert arm("140:16").verdict is UNKNOWN
    assert arm("140:12").verdict is NO
    assert arm("169:0").verdict is FITS


def test_a_valve_over_the_caliper() -> None:
    """The block's corner reaches 198.1 of 165 - 30 + 60 = 195 and 70 across. A sensor at 210 over it leaves about 12, at 195 it
    stands in it; 20 further inboard than the body ends, nothing passes it."""
    places = ((50.0, 210.0), (50.0, 195.0), (140.0, 195.0))
    said = [assessed(wheel_valve_position=place, wheel_valve_radius=radius) for place, radius in places]
    assert [finding("caliper_at_valve", one).verdict for one in said] == [FITS, NO, FITS]


def test_only_what_settles_it_is_asked_closer() -> None:
    """A point at 58 ± 2 beside a disc that ends at 42 + 14 = 56 ± 0.125: 2 mm where 3 must be. Read to ± 0.5 it is short by at least
    0.37; the disc's own sizes and its edges, 15 mm away, are left alone."""
    near = finding("neighbours", assessed(neighbours=(((150.0, 58.0), (120.0, 70.0)), 2.0)))
    assert (near.verdict, near.asks, near.settle, near.settle_each) == (UNKNOWN, ("neighbours",), 0.5, ())
    assert near.do == "Measure neighbours of the disc to ±0.5 mm or better"
    assert finding("neighbours", assessed(neighbours=(((150.0, 58.0), (120.0, 70.0)), 0.5))).verdict is NO


def test_neighbours_meet_the_wheel_too() -> None:
    """60 inboard of the hub face is 67 from the mounting face: the barrel there is 206 - 3 x 7 / 90 = 205.8. A tie-rod end at 190 is
    clear, at 210 it stands in the barrel; at 150 inboard the table does not reach, but 120 is far inside it."""
    beside = lambda points: finding("neighbours", assessed(neighbours=points))  # noqa: E731
    wheel = {pair.turning: pair for pair in beside("190:60").pairs}["wheel barrel"]
    assert wheel.value.middle == pytest.approx(205.8 - 190.0, abs=0.1)
    assert [beside(one).verdict for one in ("190:60", "210:60", "120:150", "190:150")] == [FITS, NO, FITS, UNKNOWN]


def test_heads_of_hat_screws_stand_beyond_the_disc() -> None:
    """Heads that reach 22 from the disc's middle, a hat 10 deep: a slim caliper half that begins 18 from the middle and reaches
    down to 165 - 30 - 35 = 100 is inside their 102.5; one 10 higher clears them, and so do screws flush with the disc."""
    slim = {"hat_inner_depth": 10.0, "caliper_width_outboard": 22.0}
    heads = {"hat_screw_reach": 22.0, **slim}
    said = [finding("caliper_body", assessed(**heads, caliper_lowest=lowest)) for lowest in (-35.0, -25.0)]
    assert [one.verdict for one in said] == [NO, FITS]
    assert finding("caliper_body", assessed(**slim, caliper_lowest=-35.0)).verdict is FITS


def test_the_lowest_part_of_a_caliper_on_the_hat() -> None:
    """Largest piston 46, wall 7, in the middle of a pad 52 high whose top is 30 above the mount: 30 - 26 - 23 - 7 = -26; with a hat
    of 205 the radius 165 - 1.5 - 30 - 26 = 107.5 leaves 5. A hat of 225 is 5 in its way. A blank lowest point, walls 3 to 12, leaves
    1 to 10 from a hat of 205: not known."""
    wide = {"rotor_ring_inner_diameter": 228.0}
    assert finding("caliper_body", assessed(caliper_lowest=-26.0)).verdict is FITS
    assert finding("caliper_body", assessed(**wide, hat_outer_diameter=225.0, caliper_lowest=-26.0)).verdict is NO
    blank = finding("caliper_body", assessed(caliper_lowest=None, caliper_bores="46+42"))
    assert (blank.verdict, blank.asks[:1]) == (UNKNOWN, ("caliper_lowest",))


def test_an_outline_is_followed_in_its_taper() -> None:
    """A body 60 high only in its middle, 40 at its ends, under a barrel that drops to 199 at its inboard end: as a block its corner
    is too near, as an outline it is clear by more than 3."""
    barrel = {"wheel_barrel": ((0.0, 206.0), (80.0, 206.0), (150.0, 193.0))}
    outline = {"caliper_envelope": ((-45.0, 40.0), (0.0, 60.0), (60.0, 30.0))}
    assert finding("caliper_in_wheel", assessed(**barrel)).verdict is not FITS
    assert finding("caliper_in_wheel", assessed(**barrel, **outline)).verdict is FITS


def test_a_sliding_caliper_is_moved_by_wear_into_the_drop_of_a_barrel() -> None:
    """16 - 5 - 2 = 9 of lining and 1 to 2 of disc move the body 10 to 11 inboard: its end goes from 42 + 7 + 60 = 109 to 119 or
    120, where a barrel that is 206 up to 112 has dropped to 196 at 116. Fixed, it never gets there."""
    drop = {"wheel_barrel": ((0.0, 206.0), (112.0, 206.0), (116.0, 196.0), (150.0, 196.0))}
    assert finding("caliper_in_wheel", assessed(**drop)).verdict is FITS
    assert finding("caliper_in_wheel", assessed(**drop, caliper_build="sliding")).verdict is NO


def test_the_spoke_gap_follows_the_rotor() -> None:
    """A sliding caliper's bracket 1 mm outboard takes nothing off its gap to the spokes: it stands where the rotor is."""
    sliding = {"caliper_build": "sliding"}
    gaps = [
        finding("caliper_in_wheel", assessed(**sliding, bracket_offset=offset)).pairs[1].value
        for offset in (-48.0, -49.0)
    ]
    assert gaps[0].middle == pytest.approx(gaps[1].middle)


def test_a_shield_with_and_without_a_window() -> None:
    """A shield behind the disc, 3 mm clear of it, is drawn through caliper and pads unless it is cut out there."""
    shield = {"shield": "fixed", "shield_position": 59.5, "shield_radius": 150.0}
    assert finding("dust_shield", assessed(**shield)).verdict is FITS
    assert verdict("shield_lets_caliper_in", **shield, shield_window="yes") == "fits"
    assert verdict("shield_lets_caliper_in", **shield, shield_window="no") != "fits"


def test_a_one_piece_hat_against_the_pad_s_edge() -> None:
    """Disc's plane 63 - 7 - 14 = 42, pads 16 thick from 28 outboard, their inner edge at 165 - 52 = 113 or up to 1.5 further in: a hat
    of 225 leaves 0.5 at best of the 2 asked for, one of 205 leaves 9 at least."""
    whole = {"rotor_build": "one-piece", "rotor_height": 63.0, "rotor_ring_inner_diameter": 226.0}
    said = [finding("pads", assessed(**whole, hat_outer_diameter=size)) for size in (225.0, 205.0)]
    assert [one.verdict for one in said] == [NO, FITS]


def test_values_stand_at_the_shims_to_start_with() -> None:
    """Ear at 91.2, 1.0 of shims, boss 15 thick: its face at 75.2, the disc's at 42 + 14 = 56: 19.2 apart. The caliper is then 0.2 off
    centre, so of a slot of 36 round a disc of 28 there stay 4.0 - 0.2 on one side (common practice, no source)."""
    report = assessed(ear_face_position=91.2)
    assert report.plans["axial"].likely.thickness == 1.0
    boss, body = (finding(name, report) for name in ("bracket_boss", "caliper_body"))
    assert boss.value is not None
    assert body.value is not None
    assert boss.value.middle == pytest.approx(19.2)
    assert "75.20 − 56.00 = 19.20" in boss.formula
    assert body.value.middle == pytest.approx(3.8)
    assert {pair.turning: pair.value.middle for pair in boss.pairs}["hat"] == pytest.approx(75.2 - 42.0)


def test_the_outer_half_may_end_further_out_than_the_inner() -> None:
    """Mounting plane at 165 - 30 - 0.5 = 134.5. Spokes whose back stands 10 inboard of the wheel's face up to a radius of 118, 20 outboard
    beyond 126: down to -25, at 109.5, the caliper's face at 42 - 45 + 7 = 4 meets them by 6; from 134.5 outward it clears them by
    4 + 20 - 4 x 69 / 79 = 20.5 at its top of 194.5 (common practice, no source)."""
    spoke = "60:-10; 118:-10; 126:20; 205:16"
    low, high = (
        finding(
            "caliper_in_wheel",
            assessed(
                wheel_spoke=spoke, caliper_lowest=-25.0, caliper_lowest_outboard=bottom, caliper_top_width=(0.0, 0.0)
            ),
        )
        for bottom in (None, 0.0)
    )
    assert low.verdict is not FITS
    assert high.verdict is FITS
    assert {pair.turning: pair.value.middle for pair in high.pairs}["spokes"] == pytest.approx(20.5, abs=0.1)
