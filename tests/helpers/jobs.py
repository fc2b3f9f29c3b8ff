"""Jobs made in code: a complete corner that fits, and the same with changes, values with ± as they would be typed."""

from collections.abc import Callable
from typing import Any

from bomcheck import notation
from bomcheck.assess import assess
from bomcheck.model.finding import Finding
from bomcheck.model.job import Job, Part, TypedLimit, Value
from bomcheck.model.report import Report
from bomcheck.tables.fields import Field, fields

READERS: dict[str, Callable[[str], Any]] = {
    "thread": notation.read_thread,
    "bolt circle": notation.read_bolt_circle,
    "bolt circles": notation.read_bolt_circles,
    "line end": notation.read_line_end,
    "shims": lambda text: notation.read_shims(text, "mm"),
    "pairs": lambda text: notation.read_pairs(text, "mm"),
    "bores": lambda text: notation.read_bores(text, "mm"),
}

JOB = {"units": "metric", "axle": "front", "corners": 2, "corner_side": "both", "duty": "road", "road_use": "yes"}
HUB = {
    "hub_fixing": "stud", "hub_bolt_circle": "5x112", "hub_bolt_circle_basis": "nominal", "hub_stud_thread": "M12x1.5",
    "hub_stud_length": 45.0, "hub_stud_shoulder_height": 0.0, "hub_pilot_diameter": 66.5, "hub_pilot_length": 14.0,
    "hub_pilot_fillet": 0.5, "hub_flange_diameter": 140.0, "hub_face_runout": 0.01, "nut_thread": "M12x1.5",
    "nut_seat": "cone", "nut_seat_angle": 60.0, "wheel_seat_angle": 60.0, "nut_closed": "no", "nut_thread_depth": 22.0, "nut_material": "steel", "hub_removed": "no",
}  # fmt: skip
KNUCKLE = {
    "ear_face_position": 91.0, "ear_side": "outboard", "ear_spacing": 130.0, "ear_height": (95.0, 0.2),
    "ear_sideways_offset": (3.0, 0.3), "ear_hole": "tapped through", "ear_thread": "M12x1.5", "ear_thread_depth": 20.0,
    "ear_thickness": 20.0, "ear_material": "iron", "shield": "none", "caliper_position_present": "behind",
}  # fmt: skip
LINE = {
    "line_end": "M10x1.0 bubble male", "corner_extras": "none", "line_bracket": "yes", "line_clip": "yes", "hose_path_length": 400.0,
}  # fmt: skip
WHEEL = {
    "wheel_bolt_circle": "5x112", "wheel_bore": 66.6, "wheel_bore_chamfer": 1.0, "wheel_seat": "cone",
    "wheel_seat_depth": 10.0, "wheel_hole_diameter": 15.0, "wheel_pad_diameter": 145.0, "wheel_centring": "pilot",
    "wheel_weight_thickness": 0.0, "wheel_spacer_thickness": (0.0, 0.0), "wheel_barrel": "0:208; 60:206; 150:203",
    "wheel_spoke": "60:40; 180:20; 205:16",
}  # fmt: skip
ROTOR = {
    "rotor_build": "two-piece", "hat_joint": "screws", "hat_washer_count": 0, "rotor_diameter": 330.0, "rotor_thickness": 28.0, "rotor_min_thickness": 26.0,
    "rotor_ring_inner_diameter": 220.0, "rotor_vanes": "straight", "rotor_plane_position": 42.0,
    "hat_bolt_circle": "5x112", "hat_stud_hole_diameter": 13.5, "hat_bore": (66.6, 0.02), "hat_bore_chamfer": 1.5,
    "hat_flange_thickness": 7.0, "hat_inner_diameter": 150.0, "hat_outer_diameter": 205.0, "hat_face_diameter": 150.0,
}  # fmt: skip
BRACKET = {
    "bracket_offset": -48.0, "bracket_rise": 38.0, "bracket_material": "aluminium", "bracket_sideways_offset": 3.0,
    "bracket_ear_thickness": 15.0, "bracket_ear_spacing": 130.0, "bracket_ear_hole_diameter": 12.5,
    "bracket_caliper_spacing": 130.0, "bracket_thread": "M10x1.25", "bracket_screw_thread": "M12x1.5",
    "bracket_screw_class": "10.9", "bracket_screw_length": 40.0, "bracket_washer_thickness": 2.5,
    "bracket_washer_count": 1, "bracket_screw_into": "ear",
}  # fmt: skip
CALIPER = {
    "caliper_build": "fixed", "kit_comes_fitted": "anti-rattle springs; bleed screw caps", "caliper_mount": "radial", "caliper_mount_spacing": 130.0, "caliper_hole_diameter": 10.5,
    "caliper_fastening": "stud in bracket", "caliper_screw_thread": "M10x1.25", "caliper_screw_length": 58.0,
    "caliper_screw_class": "10.9", "caliper_nut_kind": "plain", "caliper_lug_thickness": 36.0, "caliper_nut_height": 9.0,
    "caliper_washer_thickness": 2.0, "caliper_washer_count": 1, "caliper_slot_width": 36.0, "caliper_pad_top": 30.0,
    "caliper_bridge": 36.0, "caliper_body_height": 60.0, "caliper_lowest": -25.0, "caliper_top_width": 70.0, "caliper_width_outboard": 45.0, "caliper_width_inboard": 60.0,
    "caliper_piston_gap": 61.5, "caliper_piston_stroke": 20.0, "caliper_inlet": "M10x1.0 banjo port",
    "shim_sizes_axial": "1.0x16; 0.5x8", "shim_sizes_radial": "1.0x16; 0.5x8", "axial_shim_joint": "ear",
}  # fmt: skip
PADS = {
    "pad_shape": "P1", "caliper_pad_shape": "P1", "pad_height": 52.0, "pad_thickness": 16.0,
    "pad_backing_thickness": 5.0, "pad_min_lining": 2.0, "pad_compound": "x", "pad_duty": "road",
}  # fmt: skip
GOOD = {**JOB, **HUB, **KNUCKLE, **LINE, **WHEEL, **ROTOR, **BRACKET, **CALIPER, **PADS}


def hose(length: float = 430.0) -> Part:
    """Two road-marked hoses, M10x1.0 bubble female to banjo eye."""
    ends = (notation.read_line_end("M10x1.0 bubble female"), notation.read_line_end("M10x1.0 banjo eye"))
    return Part("hose", end_a=ends[0], end_b=ends[1], length=length, road_marked="yes", quantity=2.0)


def value_of(key: str, typed: Any) -> Value:
    """A field's value. typed: the value, its text as typed, or (value, ±)."""
    field = fields()[key]
    half: float | None = None
    if isinstance(typed, tuple) and len(typed) == 2 and isinstance(typed[1], int | float):
        typed, half = typed
    usual = field.plus_minus if half is None else half
    return Value(key, _read(field, typed), usual, plus_minus_from="usual" if half is None else "typed")


def _read(field: Field, typed: Any) -> Any:
    if not isinstance(typed, str):
        return typed
    if field.notation == "choices":
        return notation.read_choices(typed, field.choices)
    reader = READERS.get(field.notation)
    return typed if reader is None else reader(typed)


def job_of(typed: dict[str, Any], box: tuple[Part, ...] = (), limits: dict[str, tuple[Any, Any]] | None = None) -> Job:
    """A job of these values; None leaves a field blank."""
    values = {key: value_of(key, one) for key, one in typed.items() if one is not None}
    rows = {name: TypedLimit(name, *bounds) for name, bounds in (limits or {}).items()}
    return Job(values, box=box, limits=rows)


def good_job(*, box: tuple[Part, ...] | None = None, limits: dict[str, Any] | None = None, **changes: Any) -> Job:
    """A complete corner that fits in every check, with changes: a value, its text, (value, ±), or None for blank."""
    return job_of({**GOOD, **changes}, (hose(),) if box is None else box, limits)


def assessed(**changes: Any) -> Report:
    """The report on `good_job` with changes."""
    return assess(good_job(**changes))


def finding(name: str, report: Report) -> Finding:
    """One check's finding."""
    return next(found for found in report.findings if found.check == name)


def verdict(name: str, **changes: Any) -> str:
    """One check's verdict on `good_job` with changes, as a word."""
    return str(finding(name, assessed(**changes)).verdict)
