"""Entries that contradict each other."""

from typing import Any

from tests.faulty.faulty_job import Made, cell_of, faulty, sheet_of
from tests.faulty.making import (
    job_bytes,
)


def disagreeing(key: str, **changes: Any) -> Made:
    """The good job with changes that contradict one another; the fault is to name the cell of `key`."""
    data = job_bytes(**changes)
    return Made(data, sheet_of(key), cell_of(key))


@faulty("entries disagree", "bracket_screw_length")
def screw_length_in_kit_and_box() -> Made:
    box = [{"role": "bracket screw", "part_number": "S-1", "quantity": 4, "length": 45}]
    return disagreeing("bracket_screw_length", kit={"bracket_screw_length": 40}, box=box)


@faulty("entries disagree", "caliper_screw_thread")
def screw_thread_in_kit_and_box() -> Made:
    box = [{"role": "caliper stud", "quantity": 4, "thread": "M10x1.5"}]
    return disagreeing("caliper_screw_thread", kit={"caliper_screw_thread": "M10x1.25"}, box=box)


@faulty("entries disagree", "shim_sizes_axial")
def shim_pieces_in_kit_and_box() -> Made:
    box = [{"role": "shim", "thickness": 0.8, "quantity": 6}]
    return disagreeing("shim_sizes_axial", kit={"shim_sizes_axial": "0.8x8; 0.4x8"}, box=box)


@faulty("entries disagree", "caliper_inlet")
def inlet_in_kit_and_box() -> Made:
    return disagreeing("caliper_inlet", box=[{"role": "caliper", "quantity": 2, "end_a": "1/8 NPT female"}])


@faulty("entries disagree", "ear_height")
def ear_height_and_distances() -> Made:
    corner = {"ear_spacing": 120, "ear_distance_upper": 100, "ear_distance_lower": 100, "ear_height": 85}
    return disagreeing("ear_height", corner=corner)


@faulty("entries disagree", "ear_distance_upper")
def ear_distances_of_no_triangle() -> Made:
    corner = {"ear_spacing": 250, "ear_distance_upper": 60, "ear_distance_lower": 60}
    return disagreeing("ear_distance_upper", corner=corner)


@faulty("entries disagree", "rotor_plane_position")
def rotor_plane_and_height() -> Made:
    kit = {"rotor_build": "one-piece", "rotor_plane_position": 30, "rotor_height": 60, "hat_flange_thickness": 7,
           "rotor_thickness": 28}  # fmt: skip
    return disagreeing("rotor_plane_position", kit=kit)


@faulty("entries disagree", "rotor_min_thickness")
def worn_rotor_thicker_than_new() -> Made:
    kit = {"rotor_thickness": 26, "rotor_min_thickness": 28}
    return disagreeing("rotor_min_thickness", kit=kit, box=[])


@faulty("entries disagree", "corners")
def one_corner_on_both_sides() -> Made:
    return disagreeing("corners", job={"corners": 1})
