"""Corners of one axle that have a sheet each: what one check of both may use, and what it may not.

Measured sizes that differ become one interval that holds both, so a verdict for all of it holds on either side; threads,
choices and tables that differ are held.
"""

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
        elif (left := each[0]) is not None and (right := each[1]) is not None and _are_sizes(key, left, right):
            _both_sizes(whole, key, left, right)
        elif first is not None:
            _differs(whole, key, first, each)


def _of_side(found: Found | None, key: str, common: dict[str, Value]) -> Value | None:
    return (found.values.get(key) if found else None) or common.get(key)


def _same(left: Value | None, right: Value | None) -> bool:
    if left is None or right is None:
        return False
    return (left.value, left.plus_minus) == (right.value, right.plus_minus)


def _are_sizes(key: str, left: Value, right: Value) -> bool:
    """Whether both are measured sizes, between which every size can be judged."""
    measured = fields()[key].notation == "number" and fields()[key].takes_plus_minus
    return measured and isinstance(left.value, float) and isinstance(right.value, float)


def _both_sizes(whole: Found, key: str, left: Value, right: Value) -> None:
    """One interval that holds the true size of either side: what fits for all of it fits on both."""
    low = min(one.value - one.plus_minus for one in (left, right))
    high = max(one.value + one.plus_minus for one in (left, right))
    typed = f"{left.typed} left, {right.typed} right"
    whole.values[key] = Value(key, (low + high) / 2, (high - low) / 2, typed, left.place, "typed")
    wrong = (
        f"{fields()[key].label} is {left.typed} on the left ({left.place.sheet}!{left.place.cell}) and {right.typed} on the right "
        f"({right.place.sheet}!{right.place.cell}); both are judged at once, for every size from one to the other"
    )
    instead = f"Nothing to do where the verdict is plain. Else: {ONE_AT_A_TIME[:1].lower()}{ONE_AT_A_TIME[1:]}"
    whole.faults.append(Fault("entries disagree", left.place, left.typed, wrong, instead, key, False))


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
