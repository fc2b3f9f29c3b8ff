"""Shims on a whole job: likely stack, what may be needed, what the box covers, and one stack for all it moves."""

import pytest

from bomcheck.model.verdict import Verdict
from tests.helpers.jobs import assessed, finding, hose

FITS, PARTS, UNKNOWN, MACHINE, NO = (
    Verdict.FITS, Verdict.FITS_WITH_PARTS, Verdict.NOT_KNOWN, Verdict.NEEDS_MACHINING, Verdict.DOES_NOT_FIT,
)  # fmt: skip


def test_pieces_for_one_screw_are_a_quarter_of_the_box() -> None:
    """1.0 mm are wanted at each of 4 screws of the axle: 4 pieces cover it for sizes without ±, 3 do not."""
    exact = {"ear_face_position": (91.0, 0.0), "bracket_offset": (-48.0, 0.0), "rotor_plane_position": (42.0, 0.0)}
    four, three = (assessed(**exact, shim_sizes_axial=f"1.0x{count}") for count in (4, 3))
    assert finding("caliper_centred", four).verdict is FITS
    assert four.plans["axial"].covered is True
    assert finding("caliper_centred", three).verdict is PARTS
    assert three.plans["axial"].covered is False


def test_what_may_be_needed_follows_the_plus_minus() -> None:
    """Ear face 40 ± 0.2, offset 3 ± 0.1, plane 42 ± 0.1: 0.6 to 1.4 mm is ideal; of halves 0.5, 1.0 and 1.5 lie nearest."""
    plan = assessed(shim_sizes_axial="0.5x32").plans["axial"]
    assert [stack.thickness for stack in (plan.least, plan.likely, plan.most)] == [0.5, 1.0, 1.5]


def test_the_parts_list_asks_for_the_thickest_stack_only() -> None:
    """1.5 mm may be needed at the ear, one 1.0 and one 0.5 at each of 4 screws M12: 4 of each, not a full set."""
    at_ear = [line for line in assessed().parts if line.role == "shim" and "inside diameter 12 " in line.spec]
    assert sorted((line.spec.split(" to ")[0], line.needed) for line in at_ear) == [
        ("thickness 0.48", 4),
        ("thickness 0.98", 4),
    ]


def test_no_shims_counted_yet_asks_to_count_them() -> None:
    """Shims would centre it, whether the kit has them is not written down."""
    found = finding("caliper_centred", assessed(shim_sizes_axial=None))
    assert found.verdict is UNKNOWN
    assert found.asks == ("shim_sizes_axial",)


def test_an_empty_box_orders_them() -> None:
    """The same where the box is known to hold none: fits with parts."""
    found = finding("caliper_centred", assessed(shim_sizes_axial=()))
    assert found.verdict is PARTS
    assert "order the shims" in found.do


def test_the_makers_maximum_of_nothing_is_nothing() -> None:
    """A maker that allows no shims (0) allows none: what needs 1 mm does not get it."""
    assert finding("caliper_centred", assessed(shim_stack_max_axial=0.0)).verdict in (MACHINE, PARTS)
    assert "shims alone" in finding("caliper_centred", assessed(shim_stack_max_axial=0.0)).do


def test_a_stack_at_an_axial_lug_cannot_raise_the_caliper() -> None:
    """Axial lug: 95 + 37 + 30 - 165 = -3 stays -3, shims in the box or not."""
    lug = {"caliper_mount": "axial lug", "axial_shim_joint": "lug", "caliper_lug_side": "outboard"}
    assert finding("pad_flush", assessed(**lug, bracket_rise=37.0)).verdict is NO
    assert finding("pad_flush", assessed(**lug, bracket_rise=39.4)).verdict is FITS
    blank = finding("pad_flush", assessed(caliper_mount=None))
    assert blank.verdict is UNKNOWN
    assert blank.asks == ("caliper_mount",)


def test_a_check_that_any_stack_meets_is_settled_though_the_stack_is_not() -> None:
    """Ear face by tape, 91 ± 2: centring is not known, but air to the wheel is air with any stack."""
    report = assessed(ear_face_position=(91.0, 2.0), shim_sizes_axial="0.25x4")
    assert finding("caliper_centred", report).verdict is UNKNOWN
    assert finding("caliper_in_wheel", report).verdict is FITS


def test_without_the_flush_edge_no_stack_is_taken_for_granted() -> None:
    """Ear height blank: which radial stack is laid is not known. A stud that carries 0 but not 3 mm of shims stays open
    and asks for the ear height; one that carries all of 3 mm fits.

    58 - 36 - 2 - 9 = 11 less 3 = 8, 2.5 are needed: fits. At 51.5: 4.5 with none, 1.5 with 3 mm: open.
    """
    assert finding("caliper_nut_on_stud", assessed(ear_height=None)).verdict is FITS
    short = finding("caliper_nut_on_stud", assessed(ear_height=None, caliper_screw_length=51.5))
    assert short.verdict is UNKNOWN
    assert "ear_height" in short.asks


def test_a_bridge_is_judged_where_the_shims_can_bring_it() -> None:
    """The bridge stands 165 - 30 + f + height from the axis, f from -1.5 to 0: 33.6 leaves 2.1 to 3.6 wherever the pad is flush.
    33.2 needs f from -1.2 to 0, which shims in steps of 0.5 always find; 32.1 needs -0.1 to 0, which they may miss; 31.5 leaves
    at most 1.5."""
    exact = {key: (size, 0.0) for key, size in {"caliper_pad_top": 30.0, "rotor_diameter": 330.0}.items()}
    said = [
        finding("caliper_bridge", assessed(**exact, caliper_bridge=(size, 0.0))).verdict
        for size in (33.6, 33.2, 32.1, 31.5)
    ]
    assert said == [FITS, FITS, UNKNOWN, NO]


def test_three_that_fit_in_pairs_but_not_together() -> None:
    """Flush takes 0.5 to 2.0 mm. The ring 225.3 needs 95 + 38 + s + 30 - 52 >= 112.65, so s >= 1.65. The stud 51.2 shows
    51.2 - 36 - s - 2 - 9 >= 2.5, so s <= 1.7. Shims of 0.25, 0.5 and 1.0 give 1.5 or 1.75: each finds one with the flush
    edge, none serves both: one stack must serve all, so the kit's maker is asked."""
    exact = {key: (size, 0.0) for key, size in {
        "ear_height": 95.0, "bracket_rise": 38.0, "caliper_pad_top": 30.0, "rotor_diameter": 330.0, "rotor_ring_inner_diameter": 225.3,
        "pad_height": 52.0,
        "caliper_screw_length": 51.2, "caliper_lug_thickness": 36.0, "caliper_washer_thickness": 2.0, "caliper_nut_height": 9.0,
    }.items()}  # fmt: skip
    report = assessed(**exact, shim_sizes_radial="1.0x16; 0.5x16; 0.25x16", box=(hose(),))
    assert finding("pad_on_ring", report).verdict is FITS
    assert finding("caliper_nut_on_stud", report).verdict is FITS
    together = finding("radial_stack_together", report)
    assert together.verdict is NO
    assert "ask the kit maker" in together.do


@pytest.mark.parametrize(("height", "pieces"), [(95.0, 1), (95.5, 1), (94.0, 2)])
def test_the_likely_stack_is_nearest_the_middle_then_fewest_pieces(height: float, pieces: int) -> None:
    """Aim -0.5: 95 wants 1.5 (one piece of 1.5 rather than 1.0 + 0.5), 95.5 wants 1.0, 94 wants 2.5 (1.5 + 1.0)."""
    plan = assessed(ear_height=(height, 0.2), shim_sizes_radial="1.5x8; 1.0x8; 0.5x8").plans["radial"]
    assert plan.likely.thickness == 165 - 0.5 - height - 38 - 30
    assert plan.likely.count == pieces


@pytest.mark.parametrize("height", [94.7, 94.85, 95.0, 95.15, 95.3])
def test_the_stack_to_start_with_is_one_that_may_be_needed(height: float) -> None:
    """ "Start with 1.30 mm; 0.85 to 1.00 mm may be needed" would contradict itself."""
    plans = assessed(ear_height=(height, 0.2), shim_sizes_radial="1.0x16; 0.85x8; 0.3x8").plans
    for plan in plans.values():
        assert plan.least.thickness <= plan.likely.thickness <= plan.most.thickness


def test_one_chained_height_settles_what_two_leave_open() -> None:
    """No shims, window -1.5 to 0 (half 0.75). Ears 95 ±0.25, disc 330 ±0.2: 0.35. With rise and pad top ±0.25 each 0.85,
    never settled; with both in one figure of ±0.25 it is 0.60: -0.75 ±0.60 lies inside. Common practice, no source."""
    apart = {
        "bracket_rise": (39.25, 0.25),
        "caliper_pad_top": (30.0, 0.25),
        "shim_sizes_radial": None,
        "shim_stack_max_radial": 0.0,
    }
    sizes = {"ear_height": (95.0, 0.25), "rotor_diameter": (330.0, 0.2), **apart}
    assert finding("pad_flush", assessed(**sizes)).verdict is UNKNOWN
    assert finding("pad_flush", assessed(**sizes, ears_to_pad_top=(69.25, 0.25))).verdict is FITS
