"""Corners and kits by the thousand, invented: each belongs to a family of cars, and a kit is laid out for one family.

A pair of one family nearly fits, with the odd size that is out; one of different families mostly fails where hubs and knuckles
differ. All figures are drawn from ranges that are common in the trade (common practice, no source); seeded, so the same table
comes each time.
"""

import csv
import random
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from bomcheck.tables.fields import fields

Row = dict[str, Any]

PATTERNS = ("4x100", "4x108", "5x100", "5x108", "5x112", "5x114.3", "5x120", "5x4.75", "6x139.7", "5x130")
STUDS = ("M12x1.5", "M12x1.25", "M14x1.5", "1/2-20")
PILOTS = (54.1, 57.1, 60.1, 63.4, 64.1, 65.1, 66.6, 67.1, 70.5, 72.6)

EAR_THREADS = ("M10x1.5", "M12x1.5", "M12x1.75", "M12x1.25", "M14x1.5")
LINE_ENDS = (
    "M10x1.0 bubble male",
    "M10x1.0 bubble female",
    "3/8-24 inverted flare male",
    "3/8-24 inverted flare female",
)
INLETS = ("M10x1.0 banjo port", "M10x1.0 bubble female", "1/8-27 NPT female", "3/8-24 inverted flare female")
DUTIES = ("road", "fast road", "track", "race")
SHIMS = ("1.0x16; 0.5x8", "0.8x8; 0.4x8", "1.0x8; 0.5x8; 0.25x8", "0.5x16", None)


class Family:
    """Sizes that the corners of one invented family of cars share, and its kits are laid out for."""

    def __init__(self, number: int) -> None:
        draw = random.Random(f"family {number}")
        self.pattern, self.stud, self.pilot = draw.choice(PATTERNS), draw.choice(STUDS), draw.choice(PILOTS)
        self.spacing, self.thread = round(draw.uniform(168, 330)) / 2, draw.choice(EAR_THREADS)
        self.face = round(draw.uniform(30, 50), 1)
        self.height = round(draw.uniform(88, 104), 1)
        self.sideways = round(draw.uniform(-6, 6), 1)
        self.rear = draw.random() < 0.3
        self.bolts = draw.random() < 0.2
        self.hole = draw.choices(("tapped through", "tapped blind", "plain through"), (5, 2, 3))[0]
        self.park = draw.choice(("drum in hat", "in caliper")) if self.rear else "none"
        self.drum = round(draw.uniform(160, 200), 1)
        self.line_end = draw.choice(LINE_ENDS)
        self.diameter = float(draw.choice((300, 310, 320, 330, 340, 355)))
        self.plane = round(self.face + draw.uniform(2, 8), 1)
        self.bore = round(self.pilot + 0.1, 2)
        self.inboard = draw.choices((60.0, 46.0, 20.0), (12, 2, 1))[0]  # of the disc: far, near, or in it


def corner(number: int, families: int) -> Row:
    """One corner of a family, as it might be measured."""
    draw = random.Random(f"corner {number}")
    family = Family(draw.randrange(families))
    screw = float(family.thread.split("x")[0][1:])
    row: Row = {
        "vehicle_label": f"Corner {number:06d}", "axle": "rear" if family.rear else "front", "corners": 2,
        "corner_side": "both", "duty": draw.choices(DUTIES, (6, 3, 2, 1))[0], "road_use": draw.choice(("yes", "yes", "no")),
        "hub_fixing": "bolt" if family.bolts else "stud", "hub_bolt_circle": family.pattern,
        "hub_bolt_circle_basis": "nominal", "hub_stud_thread": family.stud, "hub_stud_shoulder_height": 0.0,
        "hub_stud_shoulder_diameter": 13.5, "hub_pilot_diameter": round(family.pilot + draw.gauss(0, 0.02), 2),
        "hub_pilot_length": round(draw.uniform(9, 16), 1), "hub_pilot_fillet": draw.choice((0.5, 0.8, 1.0)),
        "hub_flange_diameter": round(draw.uniform(132, 146), 1), "hub_face_runout": round(draw.uniform(0.0, 0.014), 2),
        "nut_thread": family.stud, "nut_seat": draw.choice(("cone", "cone", "ball")), "nut_closed": draw.choice(("yes", "no", "no")),
        "nut_seat_angle": 60.0, "nut_seat_radius": 14.0, "wheel_seat_angle": 60.0,
        "nut_thread_depth": round(draw.uniform(18, 30), 1), "nut_material": draw.choice(("steel", "steel", "aluminium")),
        "hub_removed": "no", "ear_face_position": round(family.face + family.inboard + draw.gauss(0, 0.3), 1), "ear_side": "outboard",
        "ear_spacing": round(family.spacing + draw.gauss(0, 0.05), 2), "ear_height": round(family.height + draw.gauss(0, 0.2), 1),
        "ear_sideways_offset": round(family.sideways + draw.gauss(0, 0.2), 1), "ear_hole": family.hole,
        "ear_thread_depth": round(draw.uniform(18, 26), 1), "ear_thickness": round(draw.uniform(16, 22), 1),
        "caliper_position_present": "behind",
        "ear_material": draw.choice(("steel", "iron", "iron", "aluminium")),
        "shield": draw.choice(("none", "removable", "fixed")), "shield_position": round(family.plane + draw.uniform(15, 24), 1),
        "line_end": family.line_end, "line_bracket": "yes", "line_clip": draw.choice(("yes", "no")),
        "hose_path_length": float(draw.randrange(320, 460, 5)), "wheel_bolt_circle": family.pattern,
        "wheel_bore": round(family.pilot + draw.choice((0.1, 0.1, 0.1, 3.5)), 2), "wheel_bore_chamfer": 1.0,
        "wheel_seat": "cone", "wheel_seat_depth": round(draw.uniform(8, 14), 1), "wheel_hole_diameter": 15.0,
        "wheel_pad_diameter": round(draw.uniform(138, 150), 1), "wheel_centring": draw.choice(("pilot", "pilot", "nuts")),
        "wheel_weight_thickness": draw.choice((0.0, 0.0, 3.0)), "wheel_spacer_thickness": 0.0,
        "wheel_barrel": _barrel(draw), "wheel_spoke": _spoke(draw),
    }  # fmt: skip
    if family.bolts:
        row |= {"wheel_bolt_length": round(draw.uniform(32, 42), 1), "hub_thread_depth": round(draw.uniform(18, 26), 1)}
    else:
        row["hub_stud_length"] = round(draw.uniform(36, 50), 1)
    plain = family.hole == "plain through"
    row["ear_hole_diameter"] = round(screw + draw.uniform(0.2, 0.5) if plain else screw - 1.4, 1)
    if not plain:
        row["ear_thread"] = family.thread
    if family.rear:
        row |= {
            "park_brake": family.park,
            "park_shoe_diameter_min": family.drum - 2.0,
            "park_shoe_diameter_max": family.drum + 2.0,
        }
    if draw.random() < 0.2:
        row["sensor_ring_diameter"] = round(draw.uniform(110, 142), 1)
    return _with_gaps(row, draw, 0.15)


def _barrel(draw: random.Random) -> str:
    size = draw.choice((203, 208, 215, 221))
    return f"0:{size}; 60:{size - 2}; 150:{size - 5}"


def _spoke(draw: random.Random) -> str:
    back = draw.uniform(14, 44)
    return f"60:{back + 22:.0f}; 180:{back + 4:.0f}; 225:{back:.0f}"


def kit(number: int, families: int) -> Row:
    """One kit, laid out for a family; now and then a size is not what it should be."""
    draw = random.Random(f"kit {number}")
    family = Family(draw.randrange(families))
    sliding = draw.random() < 0.25
    screw = float(family.thread.split("x")[0][1:])
    thickness = float(draw.choice((24, 26, 28, 30, 32)))
    pad = round(draw.uniform(14, 17), 1)
    fastening = draw.choice(("stud in bracket", "screw into bracket", "screw and nut", "screw into caliper"))
    lug = draw.random() < 0.2
    axial_slack = draw.uniform(0.2, 1.8)
    top, lug_thickness = round(draw.uniform(28, 34), 1), round(draw.uniform(18, 22) if lug else draw.uniform(34, 38), 1)
    length = {"stud in bracket": lug_thickness + 22, "screw into bracket": lug_thickness + 24,
              "screw and nut": lug_thickness + 20 + 22, "screw into caliper": 20 + 24}[fastening]  # fmt: skip
    into = {"plain through": draw.choice(("bracket", "nut"))}.get(family.hole, "ear")
    grip = {"ear": 15.0 + 22, "bracket": 19.0 + 26, "nut": 15 + 19 + 12 + 8.0}[into]
    extra = draw.choice(PATTERNS)
    two_piece = draw.random() < 0.7
    flange = round(draw.uniform(6, 9), 1)
    row: Row = {
        "kit_number": f"K{number:06d}", "rotor_build": "two-piece" if two_piece else "one-piece", "rotor_diameter": family.diameter,
        "rotor_thickness": thickness, "rotor_min_thickness": thickness - 2, "rotor_ring_inner_diameter": family.diameter - 110,
        "rotor_vanes": draw.choice(("straight", "directional")), "rotor_plane_position": family.plane,
        "hat_bolt_circle": family.pattern if draw.random() < 0.6 else f"{family.pattern}; {extra}",
        "hat_stud_hole_diameter": draw.choice((13.5, 14.5, 15.0, 15.5)), "hat_bore": (round(family.bore + draw.choice((0, 0, 0, 3.0)), 2), 0.02),
        "hat_bore_chamfer": draw.choice((1.0, 1.5, 2.0)), "hat_flange_thickness": flange,
        "hat_inner_diameter": round(draw.uniform(146, 156), 1), "hat_outer_diameter": family.diameter - 125,
        "hat_face_diameter": round(draw.uniform(146, 154), 1), "bracket_offset": round(family.plane - family.face - family.inboard + axial_slack, 1),
        "bracket_rise": round(family.diameter / 2 - family.height - top - draw.uniform(0.5, 2.5), 1),
        "bracket_material": draw.choice(("steel", "aluminium")), "bracket_sideways_offset": family.sideways,
        "bracket_ear_thickness": 15.0, "bracket_caliper_thickness": 20.0, "bracket_ear_spacing": (family.spacing, 0.05),
        "bracket_ear_hole_diameter": round(screw + 0.5, 1), "bracket_caliper_spacing": 130.0,
        "bracket_thread": family.thread if into == "bracket" else "M10x1.25", "bracket_thread_depth": round(draw.uniform(22, 28), 1),
        "bracket_ear_tapping": "through", "bracket_caliper_tapping": "through", "caliper_tapping": "through",
        "bracket_caliper_hole_diameter": 10.5,
        "bracket_screw_thread": family.thread, "bracket_screw_class": "10.9",
        "bracket_screw_length": round(grip + draw.choice((0, 2, 4, 6))), "bracket_washer_thickness": 2.5,
        "bracket_washer_count": draw.choice((0, 1, 2)), "bracket_nut_height": 12.0, "bracket_screw_into": into,
        "bracket_nut_kind": "all-metal lock", "caliper_build": "sliding" if sliding else "fixed",
        "caliper_mount": "axial lug" if lug else "radial", "caliper_mount_spacing": draw.choice((*[130.0] * 14, 136.0)),
        "caliper_hole_diameter": 10.5, "caliper_fastening": fastening, "caliper_material": "aluminium",
        "caliper_screw_thread": family.thread if into == "bracket" and draw.random() < 0.3 else "M10x1.25",
        "caliper_screw_length": round(length + draw.choice((0, 2, 4))), "caliper_screw_class": "10.9",
        "caliper_nut_kind": "plain", "caliper_lug_thickness": lug_thickness, "caliper_thread_depth": 25.0,
        "caliper_nut_height": 9.0, "caliper_washer_thickness": 2.0, "caliper_washer_count": draw.choice((0, 1, 2)),
        "caliper_slot_width": thickness + draw.choice((8.0, 9.0, 10.0)), "caliper_pad_top": top,
        "caliper_bridge": round(top + draw.uniform(3, 8), 1), "caliper_body_height": round(top + draw.uniform(22, 32), 1),
        "caliper_width_outboard": round(draw.uniform(38, 55), 1), "caliper_width_inboard": round(draw.uniform(50, 65), 1),
        "caliper_piston_gap": round(thickness + 2 * pad + draw.uniform(0.2, 3), 1), "caliper_piston_stroke": draw.choice((20.0, 24.0, 45.0)),
        "caliper_inlet": draw.choice(INLETS), "shim_sizes_axial": draw.choice(SHIMS), "shim_sizes_radial": draw.choice(SHIMS[:4]),
        "axial_shim_joint": draw.choice(("ear", "lug")) if lug else "ear", "caliper_lug_side": draw.choice(("outboard", "inboard")),
        "pad_shape": f"P{draw.randrange(6)}", "pad_height": 50.0, "pad_thickness": pad, "pad_backing_thickness": 5.0,
        "pad_min_lining": 2.0, "pad_duty": "; ".join(sorted(draw.sample(DUTIES, draw.choice((1, 2, 3))), key=DUTIES.index)),
        "kit_park_brake": draw.choice((family.park, "none")) if family.rear else "none",
    }  # fmt: skip
    row["caliper_lowest"], row["caliper_top_width"] = (
        round(top - 50 - draw.uniform(-2, 6), 1),
        float(draw.choice((0, 60, 80))),
    )
    row["bracket_screw_count"] = (2, 4, None)[number % 3]
    row["bracket_screw_head_height"] = (None, 7.5, 12.0)[number % 3]
    row["caliper_pad_shape"] = row["pad_shape"] if draw.random() < 0.9 else "P9"
    if not two_piece:
        row["rotor_height"] = round(family.plane + flange + thickness / 2, 1)
    if family.park == "drum in hat":
        row["hat_park_drum_diameter"] = family.drum
    if draw.random() < 0.1:
        row["axial_tolerance"] = draw.choice((0.4, 0.8))
    return _with_gaps(row, draw, 0.15)


KEPT = ("vehicle_label", "kit_number")


def _with_gaps(row: Row, draw: random.Random, chance: float) -> Row:
    """Now and then a few fields are left blank."""
    if draw.random() < chance:
        for key in draw.sample([key for key in row if key not in KEPT], 2):
            row[key] = None
    return {key: value for key, value in row.items() if value is not None}


def corners(count: int, families: int = 120, start: int = 0) -> list[Row]:
    """`count` corners: {field key: number, text, or (number, ±)}."""
    return [corner(number, families) for number in range(start, start + count)]


def kits(count: int, families: int = 120, start: int = 0) -> list[Row]:
    """`count` kits, the same way."""
    return [kit(number, families) for number in range(start, start + count)]


def columns_of(rows: Iterable[Mapping[str, Any]]) -> list[str]:
    """Headings that hold all of the rows: each field, its ± behind it where some row states one."""
    rows = list(rows)
    found = dict.fromkeys(key for row in rows for key in row)
    with_half = {key for row in rows for key, value in row.items() if isinstance(value, tuple)}
    return [name for key in found for name in ((key, f"{key} ±") if key in with_half else (key,))]


def cell(row: Mapping[str, Any], heading: str) -> Any:
    """What a row has under a heading, "" for a blank."""
    key = heading.removesuffix(" ±")
    value = row.get(key, "")
    if isinstance(value, tuple):
        return value[1] if heading.endswith(" ±") else value[0]
    return "" if heading.endswith(" ±") else value


def write_csv(path: Path, rows: Sequence[Mapping[str, Any]], labels: bool = False, units: bool = True) -> Path:
    """A table as a file; headings by key or by label, the units in the second row."""
    headings = columns_of(rows)
    known = fields()
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        shown = [known[h.removesuffix(" ±")].label + (" ±" if h.endswith(" ±") else "") for h in headings]
        writer.writerow(shown if labels else headings)
        if units:
            writer.writerow([_unit(heading) for heading in headings])
        writer.writerows([cell(row, heading) for heading in headings] for row in rows)
    return path


def _unit(heading: str) -> str:
    unit = fields()[heading.removesuffix(" ±")].unit
    return "" if unit == "-" else unit
