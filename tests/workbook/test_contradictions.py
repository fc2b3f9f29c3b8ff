"""Entries that contradict each other are both named and neither is used; those that can both be true are left alone."""

from typing import Any

import pytest

from bomcheck.io.read.contradictions import height_of_triangle, sideways_of_triangle
from tests.workbook.reading import only_fault, read

NO_BOX: dict[str, Any] = {"box": []}


def held(**changes: Any) -> list[str]:
    return sorted(read(**{**NO_BOX, **changes}).rejected)


@pytest.mark.parametrize(
    ("kit", "line", "keys"),
    [
        ({"bracket_screw_length": 40}, {"role": "bracket screw", "length": 40.4}, []),
        ({"bracket_screw_length": 40}, {"role": "bracket screw", "length": 45}, ["bracket_screw_length"]),
        ({"bracket_screw_length": 40}, {"role": "caliper screw", "length": 45}, []),
        ({"bracket_screw_thread": "M12x1.5"}, {"role": "bracket screw", "thread": "M12"}, []),
        (
            {"bracket_screw_thread": "M12x1.5"},
            {"role": "bracket screw", "thread": "M12x1.25"},
            ["bracket_screw_thread"],
        ),
        ({"bracket_screw_thread": "3/8-24"}, {"role": "bracket screw", "thread": "M10x1.0"}, ["bracket_screw_thread"]),
        ({"caliper_screw_length": 58}, {"role": "caliper stud", "length": 65}, ["caliper_screw_length"]),
        ({"hat_screw_length": 20}, {"role": "hat screw", "length": 25}, ["hat_screw_length"]),
        ({"hat_screw_thread": "M8x1.25"}, {"role": "hat screw", "thread": "M6x1.0"}, ["hat_screw_thread"]),
        ({"rotor_diameter": 330}, {"role": "rotor", "outer_diameter": 320}, ["rotor_diameter"]),
        ({"rotor_thickness": 28}, {"role": "rotor", "thickness": 32}, ["rotor_thickness"]),
        ({"caliper_inlet": "M10x1.0 banjo port"}, {"role": "caliper", "end_a": "10x1"}, []),
        ({"caliper_inlet": "M10x1.0 banjo port"}, {"role": "caliper", "end_a": "3/8-24"}, ["caliper_inlet"]),
        (
            {"caliper_inlet": "M10x1.0 bubble female"},
            {"role": "caliper", "end_a": "M10x1.0 bubble male"},
            ["caliper_inlet"],
        ),
        ({"banjo_screw_length": 20}, {"role": "banjo screw", "length": 26}, ["banjo_screw_length"]),
    ],
)
def test_a_box_line_against_the_kit(kit: dict[str, Any], line: dict[str, Any], keys: list[str]) -> None:
    """A field of the kit that the box denies is held; what differs within the ±, or is not stated, denies nothing."""
    job = read(kit=kit, box=[{**line, "quantity": 4}])
    assert sorted(job.rejected) == keys
    assert len(job.box) == 1
    for fault in job.faults:
        assert fault.kind == "entries disagree"
        assert "Kit!" in fault.wrong
        assert "Box contents!" in fault.wrong


def test_one_line_that_agrees_is_enough() -> None:
    """A box with two lengths of screw: one of them is the kit's."""
    lines = [{"role": "bracket screw", "length": length, "quantity": 2} for length in (45, 40)]
    assert not read(kit={"bracket_screw_length": 40}, box=lines).rejected


@pytest.mark.parametrize(
    ("axial", "radial", "boxed", "keys"),
    [
        ("0.8x8; 0.4x8", None, [(0.8, 8), (0.4, 8)], []),
        ("0.8x8; 0.4x8", None, [(0.8, 8)], []),
        ("0.8x8; 0.4x8", None, [(0.8, 6), (0.4, 8)], ["shim_sizes_axial"]),
        ("0.8x8", None, [(0.8, 4), (0.8, 4)], []),
        ("0.8x8", None, [(0.8, 8), (0.8, 6)], []),
        ("0.8x8", "0.8x6", [(0.8, 14)], []),
        ("0.8x8", "0.8x6", [(0.8, 8), (0.8, 8)], ["shim_sizes_axial", "shim_sizes_radial"]),
        ("0.8x8", "0.5x6", [(0.8, 8), (0.5, 4)], ["shim_sizes_radial"]),
        ("0.8x8", None, [], []),
    ],
)
def test_shims(axial: str, radial: str | None, boxed: list[tuple[float, int]], keys: list[str]) -> None:
    """Pieces of a thickness on the sheet and in the box; a thickness that the box lacks is a shortage, not a denial."""
    box = [{"role": "shim", "thickness": thickness, "quantity": count} for thickness, count in boxed]
    assert held(kit={"shim_sizes_axial": axial, "shim_sizes_radial": radial}, box=box) == keys


HOLES = {"bracket_screw_thread": "M12x1.5", "caliper_screw_thread": "M10x1.25", "axial_shim_joint": "ear"}
BOTH_KEYS = ["shim_sizes_axial", "shim_sizes_radial"]


@pytest.mark.parametrize(
    ("axial", "radial", "boxed", "keys"),
    [
        ("0.8x8", "0.8x6", [("", 12.2, 8), ("", 10.2, 6)], []),
        ("0.8x8", "0.8x6", [("", 12.2, 6), ("", 10.2, 8)], BOTH_KEYS),  # right in all, but not for each joint
        ("0.8x8", None, [("", 12.2, 4), ("", 10.2, 8)], ["shim_sizes_axial"]),  # eight of them go on M10 only
        ("0.8x8", None, [("", 12.2, 8), ("", 10.2, 6)], []),
        ("0.8x8", None, [("", 10.2, 6)], []),  # none that goes on M12: a shortage, no denial
        ("0.8x8", "0.8x6", [("axial shim", None, 8), ("radial shim", None, 6)], []),
        ("0.8x8", "0.8x6", [("axial shim", None, 6), ("radial shim", None, 8)], BOTH_KEYS),
        ("0.8x8", "0.8x6", [("axial shim", None, 8), ("radial shim", None, 4)], ["shim_sizes_radial"]),
        ("0.8x8", "0.8x6", [("axial shim", None, 4), ("", None, 10)], []),  # four of the ten may be axial too
        (
            "0.8x8",
            "0.8x6",
            [("axial shim", None, 10), ("", None, 4)],
            BOTH_KEYS,
        ),  # ten axial ones where the sheet has eight
        ("0.8x8", None, [("radial shim", None, 8)], []),
    ],
)
def test_shims_by_hole_and_by_what_they_say(
    axial: str, radial: str | None, boxed: list[tuple[str, float | None, int]], keys: list[str]
) -> None:
    """Pieces of one thickness go on one joint's screw only, or say for which joint they are: each joint is counted by itself."""
    box = [
        {"role": "shim", "thickness": 0.8, "description": said, "inner_diameter": hole, "quantity": count}
        for said, hole, count in boxed
    ]
    box = [{key: value for key, value in line.items() if value not in ("", None)} for line in box]
    assert held(kit={**HOLES, "shim_sizes_axial": axial, "shim_sizes_radial": radial}, box=box) == keys


def test_pairs_are_counted_as_two() -> None:
    """Four pairs are eight pieces."""
    line = {"role": "shim", "thickness": 0.8, "quantity": 4, "unit": "pair"}
    assert not held(kit={"shim_sizes_axial": "0.8x8"}, box=[line])


def test_the_triangle() -> None:
    """Height and foot of a 3-4-5 triangle doubled: sides 6, 8 and base 10 give height 4.8 (Euclid, I.47)."""
    assert height_of_triangle(6, 8, 10) == pytest.approx(4.8)
    assert sideways_of_triangle(6, 8, 10) == pytest.approx(-1.4)
    assert height_of_triangle(3, 3, 10) is None


EARS = {"ear_spacing": 120, "ear_distance_upper": 100, "ear_distance_lower": 100}


@pytest.mark.parametrize(
    ("more", "keys"),
    [
        ({}, []),
        ({"ear_height": 80}, []),
        ({"ear_height": 80.8}, []),
        ({"ear_height": 83}, ["ear_distance_lower", "ear_distance_upper", "ear_height"]),
        ({"ear_sideways_offset": 5}, ["ear_distance_lower", "ear_distance_upper", "ear_sideways_offset"]),
        ({"ear_height": 90, "ear_sideways_offset": 5},
         ["ear_distance_lower", "ear_distance_upper", "ear_height", "ear_sideways_offset"]),
    ],
)  # fmt: skip
def test_ears_measured_twice(more: dict[str, Any], keys: list[str]) -> None:
    """Height and offset against the two distances: held only where no true sizes within the ± go together."""
    assert held(corner={**EARS, **more}) == keys


def test_a_wide_plus_minus_lets_both_be_true() -> None:
    """A tape's ± of 3 mm makes 83 possible beside 80."""
    assert held(corner={**EARS, "ear_height": 83}, plus_minus={"ear_height": 3}) == []


ONE_PIECE = {"rotor_build": "one-piece", "rotor_height": 60, "hat_flange_thickness": 7, "rotor_thickness": 28}


@pytest.mark.parametrize(("plane", "build", "disagrees"), [(39, "one-piece", False), (39.3, "one-piece", False),
                                                        (40, "one-piece", True), (40, "two-piece", False)])  # fmt: skip
def test_plane_and_height_of_a_one_piece_rotor(plane: float, build: str, disagrees: bool) -> None:
    """60 - 7 - 28/2 = 39; the ± of all four sizes together is 0.1 + 0.1 + 0.025 + 0.1."""
    keys = held(kit={**ONE_PIECE, "rotor_build": build, "rotor_plane_position": plane})
    assert keys == (["rotor_height", "rotor_plane_position"] if disagrees else [])


@pytest.mark.parametrize(
    ("radius", "disagrees"),
    [(139, False), (127, False), (151, False), (126, True), (152, True), (114, True), (164, True), (80, True)],
)
def test_an_effective_radius_lies_within_its_pad(radius: float, disagrees: bool) -> None:
    """A disc of 328 and a pad 50 high: it rubs from 114 to 164, in its middle half from 126.5 to 151.5."""
    keys = held(kit={"kit_effective_radius": radius, "rotor_diameter": 328, "pad_height": 50})
    assert keys == (["kit_effective_radius"] if disagrees else [])


@pytest.mark.parametrize(("worn", "disagrees"), [(8, False), (6, True), (7, True), (10, True)])
def test_a_worn_pad_is_its_plate_and_the_lining_left(worn: float, disagrees: bool) -> None:
    """6 + 2 = 8: a worn pad of 6 would be bare metal."""
    keys = held(kit={"pad_min_thickness": worn, "pad_backing_thickness": 6, "pad_min_lining": 2})
    assert keys == (["pad_min_lining", "pad_min_thickness"] if disagrees else [])


@pytest.mark.parametrize(
    ("section", "typed"),
    [
        ("kit", {"rotor_thickness": 26, "rotor_min_thickness": 28}),
        ("kit", {"rotor_diameter": 300, "rotor_ring_inner_diameter": 310}),
        ("corner", {"park_shoe_diameter_min": 180, "park_shoe_diameter_max": 170}),
        ("kit", {"pad_temperature_low": 500, "pad_temperature_high": 300}),
        ("kit", {"pad_thickness": 10, "pad_min_thickness": 12}),
        ("kit", {"bracket_caliper_thread_depth": 22, "bracket_caliper_thickness": 18}),
        ("kit", {"bracket_ear_thread_depth": 26, "bracket_ear_thickness": 14}),
        ("corner", {"park_lever": "none", "park_brake": "in caliper"}),
        ("corner", {"park_lever": "cable", "park_brake": "none"}),
        ("kit", {"pad_backing_thickness": 6, "pad_min_thickness": 5.5}),
        ("system", {"fluid_dry_boiling": 200, "fluid_wet_boiling": 230}),
        ("job", {"corners": 2, "corner_side": "left"}),
        ("job", {"corners": 1, "corner_side": "both"}),
    ],
)
def test_what_cannot_be_in_this_order(section: str, typed: dict[str, Any]) -> None:
    """The smaller one typed larger: both fields are held with one fault."""
    job = read(**{section: typed}, **NO_BOX)
    assert sorted(job.rejected) == sorted(typed)
    assert only_fault(job).kind == "entries disagree"
    assert only_fault(job).stops


@pytest.mark.parametrize(
    ("typed", "keys"),
    [
        ({"bracket_screw_length": 45, "bracket_screw_thread_length": 30}, []),
        ({"bracket_screw_length": 45, "bracket_screw_thread_length": 45.5}, []),  # threaded throughout, within the ±
        ({"bracket_screw_length": 30, "bracket_screw_thread_length": 45}, ["bracket_screw_length", "bracket_screw_thread_length"]),
        (
            {"caliper_screw_length": 40, "caliper_screw_thread_length": 58, "caliper_fastening": "screw and nut"},
            ["caliper_screw_length", "caliper_screw_thread_length"],
        ),
        ({"caliper_screw_length": 40, "caliper_screw_thread_length": 58, "caliper_fastening": "stud in bracket"}, []),
        ({"caliper_screw_length": 40, "caliper_screw_thread_length": 58}, []),
    ],
)  # fmt: skip
def test_no_screw_has_more_thread_than_its_length(typed: dict[str, Any], keys: list[str]) -> None:
    """But a stud may: its length counts from the bracket's face, its thread goes on inside."""
    assert held(kit=typed) == keys


def test_a_parking_brake_at_the_front_is_not_passed_over() -> None:
    """It is judged at a rear axle only, and that is said."""
    job = read(job={"axle": "front"}, corner={"park_brake": "drum in hat", "park_lever": "cable"}, **NO_BOX)
    assert "park_brake" in job.rejected
    assert any("a parking brake is judged at a rear axle only" in fault.wrong for fault in job.faults)
    assert "park_brake" not in read(job={"axle": "front"}, corner={"park_brake": "none"}, **NO_BOX).rejected


@pytest.mark.parametrize(
    ("typed", "wrong"),
    [
        ({"bracket_ear_thickness": 14, "bracket_screw_into": "bracket"}, True),
        ({"bracket_ear_thickness": 28, "bracket_screw_into": "bracket"}, False),
        ({"bracket_ear_thickness": 14, "bracket_screw_into": "nut"}, False),
        ({"bracket_ear_thickness": 14, "bracket_screw_into": "bracket", "bracket_ear_thread_depth": 12}, False),
        ({"bracket_caliper_thickness": 18, "caliper_fastening": "stud in bracket"}, True),
        ({"bracket_caliper_thickness": 18, "caliper_fastening": "screw into caliper"}, False),
    ],
)
def test_one_thread_depth_for_both_joints_is_held_by_the_plate_that_it_is_tapped_in(
    typed: dict[str, Any], wrong: bool
) -> None:
    """26 deep in a bracket of 14 or 18 there; where that joint has its own depth, or no thread in the bracket, it says nothing."""
    assert ("bracket_thread_depth" in held(kit={"bracket_thread_depth": 26, **typed})) is wrong


@pytest.mark.parametrize(
    ("typed", "build", "asked"),
    [
        ("4x1.75 in", "fixed", True), ("6x38", "fixed", True), ("2x45", "fixed", False), ("42+38+34", "fixed", False),
        ("38+38+38+38", "fixed", False), ("2x45", "sliding", False), ("4x28", "sliding", False),
    ],
)  # fmt: skip
def test_counted_bores_of_a_fixed_caliper_are_asked_about(typed: str, build: str, asked: bool) -> None:
    """ "4x1.75 in": all pistons of the caliper, or those of one side? Joined by + they are those of one side, as the cell says."""
    found = read(**NO_BOX, kit={"caliper_bores": typed, "caliper_build": build})
    assert ("caliper_bores" in found.rejected) is asked
    if asked:
        fault = next(fault for fault in found.faults if fault.key == "caliper_bores")
        assert "one side" in fault.wrong
        assert "+" in fault.instead


@pytest.mark.parametrize(
    ("wheel", "keys"),
    [
        ({"wheel_barrel": "0:199; 100:198", "wheel_rim_code": 13}, ["wheel_barrel", "wheel_rim_code"]),
        ({"wheel_barrel": "0:150; 100:148", "wheel_rim_code": 13}, []),
        ({"wheel_barrel": "0:100; 100:98", "wheel_rim_code": 13}, ["wheel_barrel", "wheel_rim_code"]),
        ({"wheel_barrel": "0:199; 140:198", "wheel_rim_width": 7, "wheel_offset": 35}, []),
        ({"wheel_barrel": "0:199; 190:198", "wheel_rim_width": 7, "wheel_offset": 35}, ["wheel_barrel", "wheel_offset"]),
    ],
)  # fmt: skip
def test_a_barrel_that_its_rim_cannot_have(wheel: dict[str, Any], keys: list[str]) -> None:
    """13 in: nominal radius 165.1, so 199 is a barrel of another wheel and 100 no barrel. 7 in wide at an offset of 35 the rim
    ends 88.9 + 35 = 123.9 inboard of the mounting face, its flange some 13 further: 190 lies beyond it. Common practice, no
    source."""
    assert held(corner=wheel) == keys


@pytest.mark.parametrize(
    ("kit", "keys"),
    [
        ({"hat_inner_diameter": 160, "hat_outer_diameter": 150}, ["hat_inner_diameter", "hat_outer_diameter"]),
        ({"caliper_bridge": 60, "caliper_body_height": 50}, ["caliper_body_height", "caliper_bridge"]),
        ({"caliper_lowest": -20, "caliper_body_height": 50}, []),
    ],
)
def test_a_body_with_its_inside_beyond_its_outside(kit: dict[str, Any], keys: list[str]) -> None:
    """Both sizes are named, neither is used."""
    assert held(kit=kit) == keys


@pytest.mark.parametrize(
    ("whole", "keys"), [(68.2, []), (68.5, []), (68.6, ["ears_to_pad_top"]), (60.0, ["ears_to_pad_top"])]
)
def test_one_chained_height_beside_its_parts(whole: float, keys: list[str]) -> None:
    """38 ±0.1 and 30 ±0.2 give 67.7 to 68.3; one figure of ±0.2 agrees up to 68.5."""
    assert held(kit={"bracket_rise": 38, "caliper_pad_top": 30, "ears_to_pad_top": whole}) == keys


def test_a_radius_for_the_friction_faces_inner_edge() -> None:
    """111 mm inside a hat of 205: the friction face begins outside its hat, so a radius was typed for a diameter."""
    assert held(kit={"rotor_ring_inner_diameter": 111, "hat_outer_diameter": 205}) == [
        "hat_outer_diameter", "rotor_ring_inner_diameter",
    ]  # fmt: skip
    assert held(kit={"rotor_ring_inner_diameter": 222, "hat_outer_diameter": 205}) == []
