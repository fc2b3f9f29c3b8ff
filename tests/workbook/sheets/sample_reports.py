"""Reports to draw: invented corners, typed into the cells where the job workbook has them, and assessed."""

from dataclasses import replace
from typing import Any

from bomcheck import notation
from bomcheck.assess import assess
from bomcheck.io import layout
from bomcheck.model.errors import Fault, Place
from bomcheck.model.job import Job, Part, Value
from bomcheck.model.report import Report
from bomcheck.tables.fields import Field, fields, section_fields

READERS = {
    "thread": notation.read_thread,
    "bolt circle": notation.read_bolt_circle,
    "bolt circles": notation.read_bolt_circles,
    "line end": notation.read_line_end,
    "shims": notation.read_shims,
    "bores": notation.read_bores,
    "pairs": notation.read_pairs,
}
VAN: dict[str, Any] = {
    "vehicle_label": "Camper van, blue",
    "axle": "front",
    "corners": 2,
    "corner_side": "both",
    "duty": "road",
    "road_use": "yes",
    "currency": "EUR",
    "labour_rate": 72.0,
    "hub_fixing": "stud",
    "hub_bolt_circle": "5x130",
    "hub_bolt_circle_basis": "nominal",
    "hub_stud_thread": "M14x1.5",
    "hub_stud_length": 44.0,
    "hub_stud_shoulder_diameter": 15.6,
    "hub_stud_shoulder_height": 0.0,
    "hub_pilot_diameter": 78.0,
    "hub_pilot_length": 12.0,
    "hub_pilot_fillet": 0.8,
    "hub_flange_diameter": 150.0,
    "hub_flange_thickness": 12.0,
    "hub_face_runout": 0.02,
    "hub_removed": "no",
    "bearing": "sealed unit",
    "nut_thread": "M14x1.5",
    "nut_seat": "cone",
    "nut_closed": "no",
    "nut_thread_depth": 18.0,
    "nut_material": "steel",
    "ear_face_position": 52.0,
    "ear_side": "inboard",
    "ear_spacing": 150.0,
    "ear_height": 95.0,
    "ear_sideways_offset": 0.0,
    "ear_hole": "plain through",
    "ear_hole_diameter": 14.2,
    "ear_thickness": 16.0,
    "ear_material": "iron",
    "shield": "removable",
    "shield_position": 58.0,
    "shield_radius": 150.0,
    "caliper_position_present": "behind",
    "caliper_position_kit": "behind",
    "park_brake": "none",
    "line_end": "M10x1.0 bubble female",
    "line_tube_diameter": 4.75,
    "line_bracket": "yes",
    "line_clip": "no",
    "hose_path_length": 400.0,
    "wheel_bolt_circle": "5x130",
    "wheel_bore": 78.2,
    "wheel_seat": "cone",
    "wheel_seat_depth": 14.0,
    "wheel_centring": "pilot",
    "wheel_rim_width": 6.5,
    "wheel_offset": 55.0,
    "wheel_weight_thickness": 5.0,
    "wheel_spacer_thickness": 0.0,
    "wheel_barrel": "-20:190; 0:192; 60:195; 110:198; 160:202",
    "wheel_spoke": "90:20; 130:34; 170:46; 190:55",
    "kit_number": "K-118",
    "kit_revision": "C",
    "kit_label": "four-piston front kit",
    "rotor_build": "one-piece",
    "rotor_diameter": 322.0,
    "rotor_thickness": 30.0,
    "rotor_min_thickness": 28.0,
    "rotor_ring_inner_diameter": 218.0,
    "rotor_mass": 9.1,
    "rotor_vanes": "directional",
    "rotor_height": 64.0,
    "hat_bolt_circle": "5x130",
    "hat_stud_hole_diameter": 15.4,
    "hat_bore": 78.1,
    "hat_bore_chamfer": 1.2,
    "hat_flange_thickness": 8.0,
    "hat_inner_diameter": 168.0,
    "hat_inner_depth": 30.0,
    "hat_outer_diameter": 200.0,
    "hat_face_diameter": 160.0,
    "kit_park_brake": "none",
    "bracket_offset": -12.2,
    "bracket_rise": 38.0,
    "bracket_material": "steel",
    "bracket_sideways_offset": 0.0,
    "bracket_ear_thickness": 12.0,
    "bracket_caliper_thickness": 14.0,
    "bracket_ear_spacing": 150.0,
    "bracket_ear_hole_diameter": 14.2,
    "bracket_caliper_spacing": 152.0,
    "bracket_screw_thread": "M14x1.5",
    "bracket_screw_class": "10.9",
    "bracket_screw_length": 50.0,
    "bracket_screw_torque": 150.0,
    "bracket_screw_condition": "threadlocker",
    "bracket_washer_thickness": 2.5,
    "bracket_washer_count": 2,
    "bracket_nut_height": 14.0,
    "bracket_nut_kind": "all-metal lock",
    "bracket_screw_into": "nut",
    "caliper_build": "fixed",
    "caliper_mount": "radial",
    "caliper_mount_spacing": 152.0,
    "caliper_hole_diameter": 12.2,
    "caliper_slot_width": 36.0,
    "caliper_pad_top": 27.0,
    "caliper_bridge": 31.5,
    "caliper_body_height": 48.0,
    "caliper_width_outboard": 62.0,
    "caliper_width_inboard": 66.0,
    "caliper_bores": "42+42",
    "caliper_piston_gap": 66.0,
    "caliper_piston_stroke": 24.0,
    "caliper_inlet": "M10x1.0 banjo port",
    "caliper_inlet_depth": 14.0,
    "caliper_fastening": "stud in bracket",
    "caliper_screw_thread": "M12x1.5",
    "caliper_screw_class": "10.9",
    "caliper_screw_length": 55.0,
    "caliper_screw_torque": 110.0,
    "caliper_screw_condition": "threadlocker",
    "caliper_lug_thickness": 24.0,
    "caliper_nut_height": 12.0,
    "caliper_washer_thickness": 2.0,
    "caliper_washer_count": 2,
    "caliper_nut_kind": "all-metal lock",
    "banjo_thickness": 10.0,
    "banjo_screw_length": 22.0,
    "sealing_washer_thickness": 1.0,
    "shim_sizes_axial": "0.8x8; 0.4x8",
    "shim_sizes_radial": "1.0x8; 0.5x8",
    "axial_shim_joint": "ear",
    "pad_shape": "P-41",
    "caliper_pad_shape": "P-41",
    "pad_height": 52.0,
    "pad_thickness": 17.0,
    "pad_backing_thickness": 6.0,
    "pad_min_lining": 2.0,
    "pad_compound": "street",
    "pad_duty": ("road", "fast road"),
    "pad_temperature_low": 20.0,
    "pad_temperature_high": 550.0,
}
HOSTILE = (
    "=1+1",
    "+SUM(A1:A9)",
    "-2+3",
    "@SUM(1)",
    "=cmd|' /C calc'!A0",
    "\ttabbed",
    '=HYPERLINK("http://x","y")',
    "<r><t>bare</t></r></si></sst><r></r>",
    "<b>&amp; \"quoted\" 'too'",
    "line one\nline two\x07",
)


def written(text: str) -> str:
    """How a text stands in a workbook. XML has no sign for a bell; ISO/IEC 29500-1 22.9.2.19 writes it so."""
    return text.replace("\x07", "_x0007_")


def end(text: str) -> Any:
    return notation.read_line_end(text)


def thread(text: str) -> Any:
    return notation.read_thread(text)


BOX = (
    Part("rotor", "R-322-L", "Rotor 322 x 30", side="left", quantity=1),
    Part("rotor", "R-322-R", "Rotor 322 x 30", side="right", quantity=1),
    Part("caliper", "C-4-L", "Caliper, four pistons", side="left", quantity=1),
    Part("caliper", "C-4-R", "Caliper, four pistons", side="right", quantity=1),
    Part("bracket", "B-118", "Bracket", quantity=2, thickness=12.0),
    Part("bracket screw", "S-14-50", "Screw M14x1.5 x 50", thread=thread("M14x1.5"), length=50.0, strength_class="10.9", quantity=4),
    Part("pad set", "P-41-S", "Pads, street compound", quantity=1),
    Part("shim", "SH-08", "Shim 0.8", thickness=0.8, quantity=8),
    Part("shim", "SH-04", "Shim 0.4", thickness=0.4, quantity=8),
    Part("shim", "SH-10", "Shim 1.0", thickness=1.0, quantity=8),
    Part("hose", "H-OLD", "Hose from another kit", end_a=end("3/8-24 inverted flare male"), end_b=end("M10x1.0 banjo eye"), length=410.0, road_marked="yes", quantity=2),
    Part("safety wire", "", "Safety wire", quantity=1),
)  # fmt: skip
PRICES = (
    Part("hose", "H-420", "Hose 420, bubble to banjo", "North Fittings", end_a=end("M10x1.0 bubble male"), end_b=end("M10x1.0 banjo eye"), length=420.0, road_marked="yes", unit_price=31.50, lead_days=3),
    Part("hose", "H-450", "Hose 450, bubble to banjo", "Valley Hydraulics", end_a=end("M10x1.0 bubble male"), end_b=end("M10x1.0 banjo eye"), length=450.0, road_marked="yes", unit_price=34.0, lead_days=9),
    Part("sealing washer", "W-10", "Copper washer 10", "North Fittings", inner_diameter=10.1, unit_price=0.35, pack_size=10, lead_days=3),
    Part("fluid", "F-4", "Brake fluid, glycol", "North Fittings", unit="L", pack_size=0.5, unit_price=14.0, lead_days=1),
    Part("line clip", "LC-1", "Line clip", "North Fittings", unit_price=0.9, lead_days=3),
    Part("threadlocker", "0010", "Threadlocker, high strength", "North Fittings", unit_price=9.8, lead_days=1),
)  # fmt: skip


def van(system: str = "metric", without: tuple[str, ...] = (), **typed: Any) -> Job:
    """The van with some cells typed otherwise or left blank."""
    given = {key: value for key, value in {**VAN, **typed}.items() if key not in without}
    cells = _cells()
    values = {key: _value(fields()[key], typed_as, cells[key]) for key, typed_as in given.items()}
    values["units"] = Value("units", system, place=cells["units"])
    return Job(values, _placed(layout.BOX, BOX), _placed(layout.PRICES, PRICES), source="van.xlsx")


def _value(field: Field, typed: Any, place: Place) -> Value:
    reader = READERS.get(field.notation)
    value = reader(typed) if reader else typed
    return Value(field.key, value, field.plus_minus if field.takes_plus_minus else 0.0, str(typed), place, "usual")


def _cells() -> dict[str, Place]:
    """Where the job workbook has each field."""
    found = {}
    for sheet, section in layout.FIELD_SHEETS.items():
        row = layout.FIRST_ROW
        for members in layout.groups(section).values():
            for field in members:
                row += 1
                found[field.key] = Place("van.xlsx", sheet, f"B{row + 1}")
            row += 1
        assert len(section_fields(section)) <= row
    return found


def _placed(sheet: str, parts: tuple[Part, ...]) -> tuple[Part, ...]:
    return tuple(replace(part, place=Place("van.xlsx", sheet, f"A{row}")) for row, part in enumerate(parts, start=3))


def fitting() -> Report:
    """All fits, with a hose and small parts to buy."""
    return assess(van())


def half_measured() -> Report:
    """Much is blank or read too roughly."""
    job = van(without=("hub_stud_length", "ear_face_position", "caliper_bridge", "wheel_spoke", "line_end"))
    return assess(replace(job, blank={"hub_stud_length": Place("van.xlsx", "Corner", "B10")}))


def failing() -> Report:
    """A bore to machine, a bolt circle that does not fit, no hose that closes the line, in inches."""
    job = van(
        "inch", hat_bore=77.6, hat_bolt_circle="5x120", line_end="3/8-24 inverted flare female", hub_pilot_length=9.0
    )
    fault = Fault(
        "unit missing",
        Place("van.xlsx", "Kit", "B40"),
        "110",
        "a torque needs its unit",
        'Type "110 N·m"',
        "caliper_screw_torque",
    )
    held = replace(job, rejected={"caliper_screw_torque": fault}, faults=(fault,), prices=job.prices[2:])
    return assess(replace(held, values={k: v for k, v in held.values.items() if k != "caliper_screw_torque"}))


def hostile() -> Report:
    """Texts that a spreadsheet would take for formulas, in every place where a text of the user can stand."""
    report = fitting()
    lines = tuple(
        replace(line, description=text, note=text, part_number=text, supplier=text, reason=text, key=f"{text} {number}")
        for number, (line, text) in enumerate(zip(report.parts, HOSTILE * 20, strict=False))
    )
    findings = tuple(
        replace(finding, title=text, said=text, do=text, source=text, formula=text, chain=(text,))
        for finding, text in zip(report.findings, HOSTILE * 20, strict=False)
    )
    faults = tuple(Fault("unreadable text", Place("van.xlsx", "Kit", "B3"), text, text, text) for text in HOSTILE)
    values = {**report.job.values, "vehicle_label": Value("vehicle_label", "=2+2")}
    job = replace(report.job, faults=faults, values=values)
    return replace(report, parts=lines, findings=findings, deciding=findings[:2], job=job)


SAMPLES = {"fitting": fitting, "half_measured": half_measured, "failing": failing, "hostile": hostile}
