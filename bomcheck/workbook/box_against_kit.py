"""Lines of the box that contradict the kit's sheet.

The kit's fields serve the checks and the box's lines the quantities; where they contradict each other neither is right
for sure, so the field is held.
"""

from collections.abc import Sequence
from typing import Any

from bomcheck import notation
from bomcheck.fields import part_fields
from bomcheck.job import Value
from bomcheck.notation.types import LineEnd, Pieces, Thread
from bomcheck.workbook import layout
from bomcheck.workbook.contradictions import at, disagree
from bomcheck.workbook.found import Found
from bomcheck.workbook.read_tables import PartLine

SCREWS = (
    (("bracket screw",), "bracket_screw"),
    (("caliper screw", "caliper stud"), "caliper_screw"),
    (("hat screw",), "hat_screw"),
)
SAME: tuple[tuple[tuple[str, ...], str, str], ...] = (
    *((roles, what, f"{prefix}_{what}") for roles, prefix in SCREWS for what in ("length", "thread")),
    (("rotor",), "outer_diameter", "rotor_diameter"),
    (("rotor",), "thickness", "rotor_thickness"),
    (("caliper",), "end_a", "caliper_inlet"),
    (("banjo screw",), "length", "banjo_screw_length"),
    (("sealing washer",), "thickness", "sealing_washer_thickness"),
)
"""(roles, column of the table, field of the kit) that state the same."""

SHIM_FIELDS = ("shim_sizes_axial", "shim_sizes_radial")
PIECES_IN = {"each": 1, "pair": 2}
CLOSE = 0.005
"""Two shims [mm] count as one thickness; shims are made in steps of 0.05 or more (common practice, no source)."""

TINY = 1e-6


def hold_what_box_denies(found: Found, box: Sequence[PartLine], system: str) -> None:
    """Holds every field of the kit that a line of the box contradicts. `found` has the values of all sheets."""
    for roles, column, key in SAME:
        typed = found.values.get(key)
        lines = [line for line in box if line.part.role in roles and getattr(line.part, column) is not None]
        if typed is not None and lines and not any(_agree(typed, getattr(line.part, column)) for line in lines):
            _denied(found, typed, lines[0], column, system)
    _shims(found, box, system)


def _agree(typed: Value, other: Any) -> bool:
    """Whether a field and a box line can both be true; what one of them does not state contradicts nothing."""
    if isinstance(typed.value, Thread):
        return _same_thread(typed.value, other)
    if isinstance(typed.value, LineEnd):
        return _same_end(typed.value, other)
    return bool(abs(typed.value - other) <= typed.plus_minus + TINY)


def _same_thread(one: Thread, other: Thread) -> bool:
    if one.pitch is None or other.pitch is None:
        return one.form == other.form and abs(one.diameter - other.diameter) < TINY
    return one.name == other.name


def _same_end(one: LineEnd, other: LineEnd) -> bool:
    if one.thread and other.thread and not _same_thread(one.thread, other.thread):
        return False
    if one.seat and other.seat and one.seat != other.seat:
        return False
    return {one.gender, other.gender} not in ({"male", "female"}, {"eye", "port"})


def _denied(found: Found, typed: Value, line: PartLine, column: str, system: str) -> None:
    there = f"{layout.BOX}!{line.cells[column]}"
    label = _small(part_fields()[column].label)
    wrong = (
        f"{at(typed)} says {_shown(typed.value, system)}, but the {line.part.role}'s {label} in {there} "
        f"is {_shown(getattr(line.part, column), system)}"
    )
    disagree(found, (typed.key,), wrong)


def _small(label: str) -> str:
    """A label within a sentence: "End A" is "end A"."""
    return label[:1].lower() + label[1:]


def _shown(value: Any, system: str) -> str:
    return value.name if isinstance(value, Thread | LineEnd) else notation.show_length(value, system or "metric")


def _shims(found: Found, box: Sequence[PartLine], system: str) -> None:
    """Pieces of one thickness, on the kit's sheet and in the box."""
    lines = [
        line for line in box if line.part.role == "shim" and line.part.thickness and line.part.quantity is not None
    ]
    lines = [line for line in lines if line.part.unit in PIECES_IN]
    typed = [found.values[key] for key in SHIM_FIELDS if key in found.values]
    sizes = dict.fromkeys(piece.thickness for value in typed for piece in value.value)
    for thickness in sizes:
        values = [value for value in typed if value.key in found.values and _count(value.value, thickness)]
        there = [line for line in lines if abs((line.part.thickness or 0.0) - thickness) <= CLOSE]
        counted = sum(_count(value.value, thickness) for value in values)
        if values and there and counted not in _possible(there, alone=len(typed) < len(SHIM_FIELDS)):
            _shims_denied(found, values, there, thickness, counted, system)


def _count(pieces: tuple[Pieces, ...], thickness: float) -> int:
    return sum(piece.count for piece in pieces if abs(piece.thickness - thickness) <= CLOSE)


def _possible(lines: Sequence[PartLine], alone: bool) -> set[float]:
    """The pieces that the box may mean; while the other joint's field is blank, one of several lines may be that one's."""
    counts = [(line.part.quantity or 0.0) * PIECES_IN[line.part.unit] for line in lines]
    return {sum(counts), *counts} if alone else {sum(counts)}


def _shims_denied(
    found: Found, values: list[Value], lines: list[PartLine], thickness: float, counted: int, system: str
) -> None:
    cells = ", ".join(f"{layout.BOX}!{line.cells['quantity']}" for line in lines)
    boxed = sum((line.part.quantity or 0.0) * PIECES_IN[line.part.unit] for line in lines)
    names = " and ".join(at(value) for value in values)
    size = notation.show_length(thickness, system or "metric")
    wrong = f"{names} states {counted} shims of {size}, but the box holds {boxed:g} ({cells})"
    disagree(found, tuple(value.key for value in values), wrong, "Count them and correct the one that is wrong")
