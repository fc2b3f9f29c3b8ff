"""Corners of one axle that have a sheet each: what one check of both may use, and what it may not."""

from bomcheck.errors import Fault
from bomcheck.fields import fields
from bomcheck.job import Value
from bomcheck.workbook.found import Found

ONE_AT_A_TIME = "Check one side at a time: set Side on the Job sheet to left or right"


def both_sides(whole: Found, sides: dict[str, Found]) -> None:
    """Takes over what the sheets of the sides say, as far as it is true of both corners; the rest is held.

    whole: holds the values of the sheet that describes both. sides: by "left" and "right".
    """
    common, held = dict(whole.values), dict(whole.held)
    for found in sides.values():
        whole.faults.extend(found.faults)
    for key in dict.fromkeys(key for found in sides.values() for key in (*found.values, *found.held)):
        each = [_of_side(sides.get(side), key, common) for side in ("left", "right")]
        fault = next((found.held[key] for found in sides.values() if key in found.held), held.get(key))
        first = next(value for value in (*each, None) if value is not None or fault is not None)
        if fault is not None:
            whole.hold([key], fault)
        elif _same(*each) and first is not None:
            whole.values[key] = first
        elif first is not None:
            _differs(whole, key, first, each)


def _of_side(found: Found | None, key: str, common: dict[str, Value]) -> Value | None:
    return (found.values.get(key) if found else None) or common.get(key)


def _same(left: Value | None, right: Value | None) -> bool:
    if left is None or right is None:
        return False
    return (left.value, left.plus_minus) == (right.value, right.plus_minus)


def _differs(whole: Found, key: str, first: Value, each: list[Value | None]) -> None:
    """One check cannot serve two corners that differ."""
    said = [
        f"{side} {value.typed} ({value.place.sheet}!{value.place.cell})" if value else f"{side} blank"
        for side, value in zip(("left", "right"), each, strict=True)
    ]
    wrong = f"{fields()[key].label} is not the same on both sides, {said[0]} and {said[1]}"
    fault = Fault("entries disagree", first.place, first.typed, wrong, ONE_AT_A_TIME, key)
    whole.faults.append(fault)
    whole.hold([key], fault)


def unused_side(whole: Found, found: Found, side: str) -> None:
    """Remarks that a side's sheet was not used, as that corner is not converted."""
    if not found.values and not found.held:
        return
    wrong = f"this sheet was not used: the {side} corner is not converted"
    instead = 'Set Side on the Job sheet to "both" if it is'
    whole.faults.append(Fault("not allowed here", found.place(""), "", wrong, instead, "", False))
