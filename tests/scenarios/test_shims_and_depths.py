"""More whole jobs of our own, worked by hand: shims that conflict, threads too shallow, tape measure only. No outside source."""

from bomcheck.model.verdict import Verdict
from tests.helpers.jobs import assessed, finding, hose


def test_a_blind_ear_too_shallow_for_any_screw() -> None:
    """Iron ear M12: 18 mm are needed, the thread is 14 ± 0.3 deep: no screw helps, a thread insert or the kit maker. The
    screw of 40 also bottoms: 40 - 2.5 - 15 - 1 = 21.5 > 14."""
    report = assessed(ear_hole="tapped blind", ear_thread_depth=14.0)
    assert finding("engagement_in_blind_ear", report).verdict is Verdict.NEEDS_MACHINING
    assert "13.7 mm deep, 18.0 mm are needed" in finding("engagement_in_blind_ear", report).do
    assert report.verdict is Verdict.NEEDS_MACHINING


def test_a_blind_ear_with_one_length_to_spare() -> None:
    """Steel ear, thread 18 deep, screw 34.5: 34.5 - 2.5 - 15 - 1 = 16: engaged 1.33 diameters, 2 mm above the bottom; with
    0.5 mm of shims, which may be enough, 1.5 above: fits, no screw is ordered beyond the kit's own four."""
    report = assessed(ear_hole="tapped blind", ear_material="steel", ear_thread_depth=18.0, bracket_screw_length=34.5)
    assert finding("screw_bottoms_in_ear", report).verdict is Verdict.FITS
    assert finding("engagement_in_blind_ear", report).verdict is Verdict.FITS
    assert [line.needed for line in report.parts if line.role == "bracket screw"] == [4]


def test_the_axial_stack_pulls_two_ways() -> None:
    """Nuts behind the ear: centring wants 3.0 mm of shims (91 - 46 - 42), the nut shows 56 - 2.5 - 15 - 20 - 3 - 12 = 3.5 mm,
    2 x 1.5 = 3.0 are needed; with ± it may be less: not known, and a closer screw length or washer settles nothing alone.
    A screw of 60 settles it."""
    nut = {"ear_hole": "plain through", "bracket_screw_into": "nut", "ear_hole_diameter": 12.4, "bracket_nut_height": 12.0,
           "bracket_offset": -46.0, "shim_sizes_axial": "1.0x16; 0.5x8"}  # fmt: skip
    short, long = (assessed(**nut, bracket_screw_length=size) for size in (56.0, 60.0))
    assert finding("bracket_nut_on_thread", short).verdict is Verdict.NOT_KNOWN
    assert finding("bracket_nut_on_thread", long).verdict is not Verdict.DOES_NOT_FIT
    assert short.plans["axial"].likely.thickness == 3.0


def test_tape_measure_only_still_settles_what_is_plain() -> None:
    """Everything on the knuckle by tape, ±2: centring (1 mm of shims, -1 to 3) and spacing stay open and ask for the ears;
    spokes, threads, counts, circle, pilot and pads are settled all the same. At ±1 shims of 0 to 2 mm serve whatever is
    true: fits, once they are bought."""
    report = assessed(
        ear_face_position=(91.0, 2.0), ear_height=(95.0, 2.0), ear_spacing=(130.0, 2.0), shim_sizes_axial="1.0x4"
    )
    nearer = assessed(ear_face_position=(91.0, 0.8), shim_sizes_axial="1.0x4")
    assert finding("caliper_centred", nearer).verdict is Verdict.FITS_WITH_PARTS
    settled = (
        "caliper_in_wheel",
        "bracket_screw_thread_in_ear",
        "lug_count",
        "bolt_circle",
        "pilot_fit",
        "new_pads_go_in",
    )
    assert [finding(name, report).verdict for name in settled] == [Verdict.FITS] * len(settled)
    assert finding("caliper_centred", report).verdict is Verdict.NOT_KNOWN
    assert finding("ear_spacing_fits", report).verdict is Verdict.NOT_KNOWN
    asked = {question.key for question in report.questions}
    assert {"ear_face_position", "ear_spacing"} <= asked
    assert len(asked) == len(report.questions)


def test_one_stack_for_ring_stud_and_flush_edge() -> None:
    """The pad's inner edge needs at least 1.65 mm, the stud allows at most 1.70, flush takes 0.5 to 2.0: with 0.25, 0.5 and 1.0 pieces
    there is 1.5 and 1.75 and nothing between. A kit that adds shims of 0.85 has 1.7: it fits."""
    exact = {key: (size, 0.0) for key, size in {
        "ear_height": 95.0, "bracket_rise": 38.0, "caliper_pad_top": 30.0, "rotor_diameter": 330.0, "rotor_ring_inner_diameter": 225.3,
        "pad_height": 52.0,
        "caliper_screw_length": 51.2, "caliper_lug_thickness": 36.0, "caliper_washer_thickness": 2.0, "caliper_nut_height": 9.0,
    }.items()}  # fmt: skip
    without = assessed(**exact, shim_sizes_radial="1.0x16; 0.5x16; 0.25x16", box=(hose(),))
    assert finding("radial_stack_together", without).verdict is Verdict.DOES_NOT_FIT
    added = assessed(**exact, shim_sizes_radial="1.0x16; 0.5x16; 0.85x8", box=(hose(),))
    assert finding("radial_stack_together", added).verdict is Verdict.FITS
    assert str(added.plans["radial"].likely) == "1.70 mm (2 x 0.85 mm)"
