"""Entries that cannot both be true. Both are named, neither is used: the field's value is held."""

from collections.abc import Callable
from itertools import product

from bomcheck import notation
from bomcheck.errors import Fault
from bomcheck.fields import fields
from bomcheck.job import Value
from bomcheck.workbook.found import Found

MEASURE = "Measure it and correct the one that is wrong"
SMALLER_FIRST = (
    ("rotor_min_thickness", "rotor_thickness"),
    ("rotor_ring_inner_diameter", "rotor_diameter"),
    ("park_shoe_diameter_min", "park_shoe_diameter_max"),
    ("pad_temperature_low", "pad_temperature_high"),
    ("pad_min_thickness", "pad_thickness"),
    ("pad_backing_thickness", "pad_thickness"),
    ("fluid_wet_boiling", "fluid_dry_boiling"),
    ("stop_speed_to", "stop_speed_from"),
)
"""Pairs of fields of which the first is never the larger."""

TINY = 1e-9


def find_contradictions(found: Found, system: str) -> None:
    """All contradictions among the fields themselves; `found` holds the values of all sheets."""
    _ear_height(found, system)
    _rotor_plane(found, system)
    _corners(found)
    _thread_lengths(found, system)
    for smaller, larger in SMALLER_FIRST:
        _wrong_order(found, smaller, larger, system)


def disagree(found: Found, keys: tuple[str, ...], wrong: str, instead: str = MEASURE) -> Fault:
    """Holds the fields and writes down one fault, at the first of them."""
    first = found.values[keys[0]]
    fault = Fault("entries disagree", first.place, first.typed, wrong, instead, keys[0])
    found.faults.append(fault)
    found.hold(keys, fault)
    return fault


def at(value: Value) -> str:
    """A value's name and cell, for a sentence: "rotor thickness (Kit!B12)"."""
    return f"{fields()[value.key].label} ({value.place.sheet}!{value.place.cell})"


def _show(figure: float, value: Value, system: str) -> str:
    return notation.show_number(figure, fields()[value.key].unit, system or "metric")


def _have(found: Found, *keys: str) -> list[Value] | None:
    """The values of all these fields, None where one is missing."""
    values = [found.values[key] for key in keys if key in found.values]
    return values if len(values) == len(keys) else None


def _spread(values: list[Value], size: Callable[..., float | None]) -> tuple[float, float] | None:
    """Least and greatest of a size that is monotone in each of its inputs; None where no true sizes give one."""
    ends = [(value.value - value.plus_minus, value.value + value.plus_minus) for value in values]
    sizes = [found for corner in product(*ends) if (found := size(*corner)) is not None]
    return (min(sizes), max(sizes)) if sizes else None


def height_of_triangle(upper: float, lower: float, spacing: float) -> float | None:
    """Hub axis to the line of the ear holes [mm] from its distance to each hole; None where no triangle closes.

    >>> height_of_triangle(100.0, 100.0, 120.0)
    80.0
    """
    foot = (spacing**2 + upper**2 - lower**2) / (2 * spacing)
    square = upper**2 - foot**2
    return None if square < 0 else float(square**0.5)


def sideways_of_triangle(upper: float, lower: float, spacing: float) -> float:
    """Midpoint of the ear holes beside the hub axis [mm], + toward the upper hole.

    >>> sideways_of_triangle(100.0, 100.0, 120.0)
    0.0
    """
    return (upper**2 - lower**2) / (2 * spacing)


def plane_of_height(height: float, flange: float, thickness: float) -> float:
    """Centre of a one-piece rotor's disc from the hub face, + inboard [mm]."""
    return height - flange - thickness / 2


def _ear_height(found: Found, system: str) -> None:
    """The ears' place typed twice: as height and offset, and as the distance of each hole from the hub axis."""
    three = _have(found, "ear_distance_upper", "ear_distance_lower", "ear_spacing")
    if three is None:
        return
    distances = ("ear_distance_upper", "ear_distance_lower")
    if _spread(three, height_of_triangle) is None:
        names = ", ".join(at(value) for value in three[1:])
        disagree(found, distances, f"this does not go together with {names}: no triangle has these sides")
        return
    clashing = []
    for key, size in (("ear_height", height_of_triangle), ("ear_sideways_offset", sideways_of_triangle)):
        direct, spread = found.values.get(key), _spread(three, size)
        if direct is not None and spread is not None and _apart(direct, spread):
            clashing.append((key, direct, size))
    for key, direct, size in clashing:
        middle = _show(size(*(value.value for value in three)) or 0.0, direct, system)
        wrong = f"{at(direct)} says {_show(direct.value, direct, system)}, but {at(three[0])} and {at(three[1])} give {middle}"
        disagree(found, (key,), wrong)
    if clashing:
        found.hold(distances, found.held[clashing[0][0]])


def _apart(value: Value, spread: tuple[float, float]) -> bool:
    low, high = value.value - value.plus_minus, value.value + value.plus_minus
    return bool(low > spread[1] + TINY or high < spread[0] - TINY)


def _rotor_plane(found: Found, system: str) -> None:
    """A one-piece rotor's plane follows from its height; where it is typed too, both must agree."""
    build = found.values.get("rotor_build")
    values = _have(found, "rotor_plane_position", "rotor_height", "hat_flange_thickness", "rotor_thickness")
    if values is None or build is None or build.value != "one-piece":
        return
    plane, height = values[:2]
    spread = _spread(values[1:], plane_of_height)
    if spread is not None and _apart(plane, spread):
        middle = _show(plane_of_height(*(value.value for value in values[1:])), plane, system)
        wrong = f"{at(plane)} says {_show(plane.value, plane, system)}, but {at(height)} gives {middle}"
        disagree(found, ("rotor_plane_position", "rotor_height"), wrong)


def _corners(found: Found) -> None:
    both = _have(found, "corners", "corner_side")
    if both is None:
        return
    count, side = both
    if (count.value == 1) == (side.value == "both"):
        wrong = f"{at(count)} says {count.value}, but {at(side)} says {side.value}"
        disagree(found, ("corners", "corner_side"), wrong, "Correct one of the two")


def _thread_lengths(found: Found, system: str) -> None:
    """No screw has more thread than its length; a stud's length does not count what is screwed in, so it may."""
    _wrong_order(found, "bracket_screw_thread_length", "bracket_screw_length", system)
    fastening = found.values.get("caliper_fastening")
    if fastening is not None and fastening.value != "stud in bracket":
        _wrong_order(found, "caliper_screw_thread_length", "caliper_screw_length", system)


def _wrong_order(found: Found, smaller: str, larger: str, system: str) -> None:
    both = _have(found, smaller, larger)
    if both is None:
        return
    low, high = both
    if low.value - low.plus_minus > high.value + high.plus_minus + TINY:
        shown = [_show(value.value, value, system) for value in both]
        disagree(found, (smaller, larger), f"{at(low)} is {shown[0]}, more than {at(high)} with {shown[1]}")
