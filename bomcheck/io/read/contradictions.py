"""Entries that cannot both be true. Both are named, neither is used: the field's value is rejected."""

import re
from collections.abc import Callable, Sequence
from itertools import product
from operator import add
from typing import Any

from bomcheck import notation
from bomcheck.engine.adjust import passes
from bomcheck.io.read.found import Found
from bomcheck.io.read.tables import PartLine
from bomcheck.model.errors import Fault
from bomcheck.model.job import Part, Value
from bomcheck.model.stack import other_stack
from bomcheck.model.types import NOISE, LineEnd, Pieces, Thread
from bomcheck.rules.joint_table import condition, listed
from bomcheck.tables import rows
from bomcheck.tables.fields import fields, part_fields

MEASURE = "Measure it and correct the one that is wrong"
SUMS = (
    (("ears_to_pad_top", "bracket_rise", "caliper_pad_top"), ("ears_to_pad_top",)),
    (("pad_min_thickness", "pad_backing_thickness", "pad_min_lining"), ("pad_min_thickness", "pad_min_lining")),
)
"""Fields of which the first is the other two together; and those that are used no more where it is not."""
TINY = 1e-9
OFF_MIDDLE = 3.0  # mm by which a piston may press beside the middle of the pad: common practice, no source


def find_contradictions(found: Found, system: str) -> None:
    """All contradictions among the fields themselves; `found` holds the values of all sheets."""
    _ear_height(found, system)
    _rotor_plane(found, system)
    for sizes, held in SUMS:
        if (values := _have(found, *sizes)) is not None:
            _must_follow(found, system, values, add, values[1:], held)
    _effective_radius(found)
    _caliper_bottom(found, system)
    _words_apart(found)
    _bores(found)
    _rim(found, system)
    known = {key: value.value for key, value in found.values.items()}
    for row in rows("sizes_in_order"):
        if row["instead"] not in known and all(known.get(key) in held for key, held in condition(row["when"]).items()):
            _wrong_order(found, row["smaller"], row["larger"], system)


def _caliper_bottom(found: Found, system: str) -> None:
    """A body that ends above its own pistons, which press on the middle of the pad: most often a forgotten minus sign."""
    values = _have(found, "caliper_lowest", "caliper_pad_top", "pad_height", "caliper_bores")
    if values is None:
        return
    lowest, top, height, bores = values
    middle = top.value + top.plus_minus - (height.value - height.plus_minus) / 2
    end = middle - max(bores.value) / 2
    if lowest.value - lowest.plus_minus > end + OFF_MIDDLE:
        wrong = f"{at(lowest)} is {_show(lowest.value, lowest, system)}, but the largest piston goes down to {_show(end, lowest, system)}"
        disagree(
            found,
            ("caliper_lowest",),
            wrong,
            "Look at the sign: below the mount it is negative; else correct the one that is wrong",
        )


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
        found.hold(distances, found.rejected[clashing[0][0]])


def _apart(value: Value, spread: tuple[float, float]) -> bool:
    low, high = value.value - value.plus_minus, value.value + value.plus_minus
    return bool(low > spread[1] + TINY or high < spread[0] - TINY)


def _rotor_plane(found: Found, system: str) -> None:
    """A one-piece rotor's plane follows from its height; where it is typed too, both must agree."""
    build = found.values.get("rotor_build")
    values = _have(found, "rotor_plane_position", "rotor_height", "hat_flange_thickness", "rotor_thickness")
    if values is not None and build is not None and build.value == "one-piece":
        plane = lambda height, flange, thickness: height - flange - thickness / 2  # noqa: E731
        _must_follow(found, system, values, plane, values[1:2], ("rotor_plane_position", "rotor_height"))


def _must_follow(
    found: Found, system: str, values: list[Value], size: Callable[..., float], told: list[Value], held: tuple[str, ...]
) -> None:
    """The first of the values is what the others give. told: those of them that are named. held: what is used no more."""
    direct, spread = values[0], _spread(values[1:], size)
    if spread is not None and _apart(direct, spread):
        middle, names = _show(size(*(value.value for value in values[1:])), direct, system), " and ".join(map(at, told))
        gives = "gives" if len(told) == 1 else "together give"
        disagree(found, held, f"{at(direct)} says {_show(direct.value, direct, system)}, but {names} {gives} {middle}")


def _effective_radius(found: Found) -> None:
    """It lies in the middle half of the pad, whose top edge stands at the disc's: common practice, no source."""
    values = _have(found, "kit_effective_radius", "rotor_diameter", "pad_height")
    if values is None:
        return
    edge, height = values[1].value / 2, values[2].value
    if not edge - 0.75 * height <= values[0].value <= edge - 0.25 * height:
        wrong = f"{at(values[0])} lies outside the middle half of the pad, by {at(values[1])} and {at(values[2])}"
        disagree(found, ("kit_effective_radius",), wrong, "Read it on the kit's sheet again, or leave it blank")


def _words_apart(found: Found) -> None:
    """Words of two fields that cannot both be true."""
    for row in rows("words_apart"):
        when = condition(row["when"])
        both = _have(found, *when)
        if both is not None and all(str(value.value) in when[value.key] for value in both):
            wrong = ", but ".join(f"{at(value)} says {value.value}" for value in both) + row["because"]
            disagree(found, listed(row["held"]), wrong, row["instead"] or "Correct one of the two")


def _bores(found: Found) -> None:
    """ "4x44.45" on a fixed caliper may be all its pistons or those of one side; joined by + they are those of one side."""
    both = _have(found, "caliper_bores", "caliper_build")
    if both is None or both[1].value != "fixed":
        return
    counted = re.match(r"\s*(\d+)\s*[x*]", both[0].typed)
    if counted is None or int(counted[1]) < 4 or int(counted[1]) % 2:
        return
    bore = re.sub(r"^\s*\d+\s*[x*]\s*", "", both[0].typed).split()[0]
    one_side = "+".join([bore] * (int(counted[1]) // 2))
    instead = f"Type the pistons of one side joined by +: {one_side} if there are {counted[1]} in all"
    wrong = f"{at(both[0])} may be all pistons of the fixed caliper, or those of one side"
    fault = Fault("both sides or one", both[0].place, both[0].typed, wrong, instead, "caliper_bores")
    found.faults.append(fault)
    found.hold(("caliper_bores",), fault)


INCH = 25.4
RADIUS_LEAST, RADIUS_MOST, BEYOND = 60.0, 3.0, 30.0
"""mm of a barrel's inside below and above its rim's nominal radius, and of a rim beyond its width: common practice, no source."""


def _rim(found: Found, system: str) -> None:
    """A barrel that its rim cannot have: too large or too small for the rim's code, or beyond the rim's edges."""
    if (both := _have(found, "wheel_barrel", "wheel_rim_code")) is not None:
        (barrel, code), seat = both, both[1].value * INCH / 2
        low, high = seat - RADIUS_LEAST - barrel.plus_minus, seat + RADIUS_MOST + barrel.plus_minus
        for radius in [radius for _, radius in barrel.value if not low <= radius <= high][:1]:
            wrong = f"{at(barrel)} has a radius of {_length(radius, system)}, but {at(code)} means about {_length(seat, system)}"
            disagree(
                found, ("wheel_barrel", "wheel_rim_code"), wrong, "Type radii from the axis, or correct the rim's code"
            )
    if (three := _have(found, "wheel_barrel", "wheel_rim_width", "wheel_offset")) is not None:
        barrel, width, offset = three
        half = width.value * INCH / 2 + BEYOND
        for along in [along for along, _ in barrel.value if abs(along - offset.value) > half][:1]:
            wrong = (
                f"{at(barrel)} has a point at {_length(along, system)}, beyond the rim by {at(width)} and {at(offset)}"
            )
            disagree(found, ("wheel_barrel", "wheel_offset"), wrong)


def _wrong_order(found: Found, smaller: str, larger: str, system: str) -> None:
    both = _have(found, smaller, larger)
    if both is None:
        return
    low, high = both
    if low.value - low.plus_minus > high.value + high.plus_minus + TINY:
        shown = [_show(value.value, value, system) for value in both]
        disagree(found, (smaller, larger), f"{at(low)} is {shown[0]}, more than {at(high)} with {shown[1]}")


SHIM_FIELDS = ("shim_sizes_axial", "shim_sizes_radial")
PIECES_IN = {"each": 1, "pair": 2}
CLOSE = 0.005
"""Two shims [mm] count as one thickness; shims are made in steps of 0.05 or more (common practice, no source)."""


def hold_what_box_denies(found: Found, box: Sequence[PartLine], system: str) -> None:
    """Holds every field of the kit that a line of the box contradicts. `found` has the values of all sheets."""
    for row in rows("same_in_box"):
        typed, column = found.values.get(row["field"]), row["column"]
        lines = [
            line for line in box if line.part.role in listed(row["roles"]) and getattr(line.part, column) is not None
        ]
        if typed is not None and lines and not any(_agree(typed, getattr(line.part, column)) for line in lines):
            _denied(found, typed, lines[0], column, system)
    _shims(found, box, system)


def _agree(typed: Value, other: Any) -> bool:
    """Whether a field and a box line can both be true; what one of them does not state contradicts nothing."""
    if isinstance(typed.value, Thread):
        return typed.value.may_be(other)
    if isinstance(typed.value, LineEnd):
        return _same_end(typed.value, other)
    return bool(abs(typed.value - other) <= typed.plus_minus + NOISE)


def _same_end(one: LineEnd, other: LineEnd) -> bool:
    if one.thread and other.thread and not one.thread.may_be(other.thread):
        return False
    if one.seat and other.seat and one.seat != other.seat:
        return False
    return {one.gender, other.gender} not in ({"male", "female"}, {"eye", "port"})


def _denied(found: Found, typed: Value, line: PartLine, column: str, system: str) -> None:
    there = f"{line.part.place.sheet}!{line.cells[column]}"
    label = part_fields()[column].label
    label = label[:1].lower() + label[1:]
    wrong = (
        f"{at(typed)} says {_shown(typed.value, system)}, but the {line.part.role}'s {label} in {there} "
        f"is {_shown(getattr(line.part, column), system)}"
    )
    disagree(found, (typed.key,), wrong)


def _shown(value: Any, system: str) -> str:
    return value.name if isinstance(value, Thread | LineEnd) else _length(value, system)


def _length(size: float, system: str) -> str:
    return notation.show_length(size, system or "metric")


def _shims(found: Found, box: Sequence[PartLine], system: str) -> None:
    """Pieces of one thickness, on the kit's sheet and in the box."""
    lines = [
        line for line in box if line.part.role == "shim" and line.part.thickness and line.part.quantity is not None
    ]
    lines = [line for line in lines if line.part.unit in PIECES_IN]
    typed = [found.values[key] for key in SHIM_FIELDS if key in found.values]
    for thickness in dict.fromkeys(piece.thickness for value in typed for piece in value.value):
        there = [line for line in lines if abs((line.part.thickness or 0.0) - thickness) <= CLOSE]
        own = {key: [line for line in there if _joints(found, line.part) == (key,)] for key in SHIM_FIELDS}
        shared = [line for line in there if _joints(found, line.part) == SHIM_FIELDS]
        values = [value for value in typed if value.key in found.values and _count(value.value, thickness)]
        groups = [values] if shared and values else [[value] for value in values]
        for group in groups:
            mine = [line for value in group for line in own[value.key]]
            counts = [(_count(value.value, thickness), _pieces(own[value.key])) for value in group]
            possible = {_pieces(mine) + more for more in _possible(shared, len(typed) < len(SHIM_FIELDS))}
            possible |= {_pieces(mine)} if mine and len(typed) < len(SHIM_FIELDS) else set()
            denied = sum(said for said, _ in counts) not in possible or any(said < least for said, least in counts)
            if (mine or shared) and (denied or _shared_otherwise(group, shared, thickness)):
                _shims_denied(found, group, [*mine, *shared], thickness, sum(said for said, _ in counts), system)


def _joints(found: Found, part: Part) -> tuple[str, ...]:
    """The fields of the joints where a shim of the box may lie, by what it says and by its hole."""
    lug = "axial_shim_joint" in found.values and found.values["axial_shim_joint"].value == "lug"
    screws = {"axial": "caliper" if lug else "bracket", "radial": "caliper"}
    threads = {name: found.values.get(f"{joint}_screw_thread") for name, joint in screws.items()}
    fit = (name for name, at in threads.items() if passes(part.inner_diameter, at.value if at else None))
    return tuple(f"shim_sizes_{name}" for name in fit if not other_stack(part, name))


def _shared_otherwise(values: Sequence[Value], lines: Sequence[PartLine], thickness: float) -> bool:
    """Whether pieces of one thickness are counted right in all, but not for each joint: their holes tell the joints apart."""
    by_hole: dict[float | None, list[PartLine]] = {}
    for line in lines:
        by_hole.setdefault(line.part.inner_diameter, []).append(line)
    if len(values) < 2 or len(by_hole) < 2 or None in by_hole:
        return False
    return sorted(map(_pieces, by_hole.values())) != sorted(float(_count(value.value, thickness)) for value in values)


def _pieces(lines: Sequence[PartLine]) -> float:
    return sum((line.part.quantity or 0.0) * PIECES_IN[line.part.unit] for line in lines)


def _count(pieces: tuple[Pieces, ...], thickness: float) -> int:
    return sum(piece.count for piece in pieces if abs(piece.thickness - thickness) <= CLOSE)


def _possible(lines: Sequence[PartLine], alone: bool) -> set[float]:
    """The pieces that the box may mean; while the other joint's field is blank, one of several lines may be that one's."""
    counts = [_pieces([line]) for line in lines]
    return {sum(counts), *counts} if alone else {sum(counts)}


def _shims_denied(
    found: Found, values: list[Value], lines: list[PartLine], thickness: float, counted: int, system: str
) -> None:
    cells = ", ".join(f"{line.part.place.sheet}!{line.cells['quantity']}" for line in lines)
    names = " and ".join(at(value) for value in values)
    size = _length(thickness, system)
    wrong = f"{names} states {counted} shims of {size}, but the box holds {_pieces(lines):g} ({cells})"
    disagree(found, tuple(value.key for value in values), wrong, "Count them and correct the one that is wrong")


def sides_differ(common: Found | None, sides: dict[str, Found]) -> bool:
    """Whether the two corners of an axle are not alike. common: the sheet that describes both. sides: by "left" and "right"."""

    def said(side: str, key: str) -> object:
        for found in (sides.get(side), common):
            if found is not None and key in found.rejected:
                return found.rejected[key]
            if found is not None and key in found.values:
                return found.values[key].value, found.values[key].plus_minus
        return None

    keys = {key for found in sides.values() for key in (*found.values, *found.rejected)}
    return any(said("left", key) != said("right", key) for key in keys)


def unused_side(whole: Found, found: Found, side: str) -> None:
    """Remarks that a side's sheet was not used, as that corner is not converted."""
    if not found.values and not found.rejected:
        return
    wrong = f"this sheet was not used: the {side} corner is not converted"
    instead = 'Set Side on the Job sheet to "both" if it is'
    whole.faults.append(Fault("not allowed here", found.place(""), "", wrong, instead, "", False))
