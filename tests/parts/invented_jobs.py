"""Four invented jobs, in code, for the tests of the parts list; and the box that holds just what one of them needs."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from bomcheck.model.job import Job, Part, Value
from bomcheck.model.types import Pieces
from bomcheck.notation.bolt_circle import read_bolt_circle
from bomcheck.notation.line_end import read_line_end
from bomcheck.notation.thread import read_thread
from bomcheck.supply.stock import Wanted

FRONT: dict[str, Any] = {
    "axle": "front", "corners": 2, "corner_side": "both", "road_use": "yes", "duty": "road",
    "hub_removed": "no", "hub_in_kit": "no", "corner_extras": ("none",), "spindle_nut_lock": "cotter pin", "bearing": "sealed unit", "line_bracket": "yes", "line_clip": "no",
    "caliper_position_present": "behind",
    "line_end": "M10x1.0 bubble female", "hose_path_length": 380.0, "caliper_inlet": "M10x1.0 banjo port",
    "rotor_build": "two-piece", "hat_joint": "screws", "hat_washer_count": 0, "rotor_vanes": "directional", "rotor_diameter": 330.0, "rotor_thickness": 28.0,
    "rotor_plane_position": 45.0, "hat_screw_count": 10, "hat_screw_thread": "M8x1.25", "hat_screw_class": "10.9",
    "hat_screw_length": 28.0, "hat_nut_height": 8.0, "hat_screw_drilled": "no", "hat_screw_condition": "dry",
    "ear_face_position": 100.0, "ear_side": "outboard", "ear_height": 90.0, "axial_shim_joint": "ear",
    "bracket_offset": -53.4, "bracket_rise": 39.0,
    "bracket_screw_thread": "M12x1.5", "bracket_screw_class": "10.9", "bracket_screw_length": 45.0,
    "bracket_screw_into": "ear", "bracket_screw_condition": "threadlocker", "bracket_washer_count": 2,
    "bracket_washer_thickness": 2.5, "caliper_build": "fixed", "caliper_mount": "radial",
    "caliper_fastening": "stud in bracket", "caliper_screw_thread": "M10x1.25", "caliper_screw_class": "10.9",
    "caliper_screw_length": 60.0, "caliper_screw_condition": "dry", "caliper_nut_kind": "all-metal lock",
    "caliper_washer_count": 2, "caliper_washer_thickness": 2.0, "caliper_slot_width": 38.0, "caliper_pad_top": 34.5,
    "shim_sizes_axial": (Pieces(0.8, 8), Pieces(0.4, 8)), "shim_sizes_radial": (Pieces(1.0, 8),),
    "banjo_screw_length": 20.0, "pad_shape": "S-7", "caliper_pad_shape": "S-7", "pad_compound": "F2",
    "pad_duty": ("road", "fast road"), "kit_comes_fitted": ("anti-rattle springs", "bleed screw caps"),
}  # fmt: skip

REAR: dict[str, Any] = {
    **FRONT, "axle": "rear", "rotor_build": "one-piece", "rotor_vanes": "straight", "hub_removed": "yes",
    "bearing": "tapered pair", "caliper_build": "sliding",
    "kit_comes_fitted": ("guide pins", "slide boots", "slide pin screws", "bleed screw caps"), "caliper_fastening": "screw into caliper", "caliper_material": "aluminium",
    "caliper_screw_condition": "threadlocker", "park_brake": "drum in hat", "park_lever": "cable", "kit_park_brake": "drum in hat",
    "hat_park_drum_diameter": 190.0, "rotor_diameter": 300.0, "rotor_thickness": 20.0, "line_clip": "yes",
    "rotor_height": 66.0, "hat_flange_thickness": 7.0, "bracket_rise": 24.5, "bracket_offset": -51.8,
}  # fmt: skip

ONE_CORNER: dict[str, Any] = {
    **FRONT, "corners": 1, "corner_side": "left", "hat_screw_drilled": "yes", "hat_nut_height": 0.0,
    "caliper_fastening": "screw and nut", "caliper_nut_kind": "nylon lock", "caliper_screw_condition": "threadlocker",
    "line_end": "3/8-24 inverted flare female", "caliper_inlet": "1/8-27 NPT female", "line_bracket": "no",
}  # fmt: skip

INCH: dict[str, Any] = {
    **FRONT, "hub_in_kit": "yes", "hub_removed": "yes", "hub_fixing": "stud", "hub_bolt_circle": read_bolt_circle("5x4.75"),
    "kit_comes_fitted": ("anti-rattle springs", "bleed screw caps", "wheel studs"), "bearing": "tapered pair", "rotor_vanes": "straight",
    "bracket_screw_thread": "1/2-20", "bracket_screw_class": "grade 8", "bracket_screw_length": 50.8,
    "bracket_screw_into": "nut", "bracket_nut_kind": "all-metal lock", "caliper_screw_thread": "3/8-24",
    "caliper_screw_class": "grade 8", "line_end": "3/8-24 inverted flare female", "caliper_inlet": "3/8-24 banjo port",
    "hat_screw_thread": "5/16-24", "hat_screw_class": "grade 5",
}  # fmt: skip

JOBS = {"front": FRONT, "rear": REAR, "one corner": ONE_CORNER, "inch": INCH}
LINE_PARTS = (
    ("hose", "M10x1.0 bubble male", "M10x1.0 banjo eye", 420.0),
    ("hose", "3/8-24 inverted flare male", "-3 37 female", 420.0),
    ("hose", "3/8-24 inverted flare male", "3/8-24 banjo eye", 420.0),
    ("adapter", "-3 37 male", "1/8-27 NPT male", None),
)
THREADS, ENDS = ("thread",), ("line_end", "caliper_inlet")


def job(values: Mapping[str, Any], box: tuple[Part, ...] = (), prices: tuple[Part, ...] = ()) -> Job:
    """A job of typed values; texts of threads and line ends are read. Nothing carries a ±."""
    return Job(
        {key: Value(key, _read(key, value)) for key, value in values.items()}, box=box, prices=(*prices, *line_parts())
    )


def _read(key: str, value: Any) -> Any:
    if key.endswith(THREADS):
        return read_thread(value)
    return read_line_end(value) if key in ENDS else value


def line_parts() -> tuple[Part, ...]:
    """Hoses and adapters of the price list that close each of the jobs' lines."""
    return tuple(
        Part(role, f"L-{number}", f"{role} {number}", "Line shop", end_a=read_line_end(a), end_b=read_line_end(b),
             length=length, road_marked="yes" if role == "hose" else "", unit_price=10.0 + number)
        for number, (role, a, b, length) in enumerate(LINE_PARTS)
    )  # fmt: skip


def part_for(wanted: Wanted, quantity: float | None = None) -> Part:
    """A part that states all that the line asks for, as many as it needs."""
    demand, spec = wanted.demand, wanted.demand.spec
    sizes = {
        key: _inside(spec[key]) for key in ("length", "thickness", "inner_diameter", "outer_diameter") if key in spec
    }
    ends = {key: read_line_end(spec[key]) for key in ("end_a", "end_b") if key in spec}
    texts = [
        str(spec[key]) for key in ("shape", "use", "duty", "kind", "position", "form", "seat", "pattern") if key in spec
    ]
    texts += [
        said.format(spec[key]) for key, said in (("seat_radius", "R{:g}"), ("seat_angle", "{:g}°")) if key in spec
    ]
    texts += ["with its own pilot"] if "own_pilot" in spec else []
    known = ("class", "compound")
    strength = next((str(spec[key]) for key in known if key in spec), "DOT 4" if "fluid" in spec else "")
    return Part(
        demand.role, wanted.key, " ".join([demand.said or demand.role, *texts]), side=demand.side,
        thread=read_thread(spec["thread"]) if "thread" in spec else None, strength_class=strength,
        road_marked=spec.get("road_marked", ""), quantity=wanted.need if quantity is None else quantity,
        unit=demand.unit, axle=demand.axle, **sizes, **ends,
    )  # fmt: skip


def _inside(bounds: tuple[float | None, float | None]) -> float:
    low, high = bounds
    if low is None or high is None:
        return low if low is not None else high or 0.0
    return (low + high) / 2


def without(box: tuple[Part, ...], gone: Part) -> tuple[Part, ...]:
    """The box with one line taken out."""
    return tuple(part for part in box if part is not gone)


def with_box(given: Job, box: tuple[Part, ...]) -> Job:
    """The same job with another box; of a car's two axles each gets what is its own or either's."""
    axles = tuple(
        replace(one, box=tuple(part for part in box if part.axle in ("", str(one.get("axle"))))) for one in given.axles
    )
    return replace(given, box=box, axles=axles)
