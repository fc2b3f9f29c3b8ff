"""Lists of sizes: "212; 210", pairs "20:212; 60:210", and two sizes in one, "330x28"."""

import re

from bomcheck.notation.clean import refuse, split_list
from bomcheck.notation.list_parts import list_text, one_size, unit_at_end
from bomcheck.notation.number import fraction


def read_numbers(typed: object, unit: str, cell_unit: str | None = None) -> tuple[float, ...] | None:
    """A list of sizes in `unit`, "212; 210"; None for a blank cell. A unit at the end serves those that have none."""
    text = list_text(typed, unit)
    if text is None:
        return None
    items = [part for item in split_list(text) for part in _slashed(item)]
    shared = (unit_at_end(text) if unit == "mm" else None) or cell_unit
    return tuple(one_size(item, unit, shared, typed) for item in items)


def _slashed(item: str) -> list[str]:
    """ ".030/.060" as two sizes; a fraction and a unit such as km/h stay whole."""
    return re.split(r"\s*/\s*", item) if re.search(r"[.,]\d+\s*/\s*[.\d]", item) else [item]


def read_pair_sizes(typed: object, cell_unit: str | None = None) -> tuple[float, float] | None:
    """Two sizes [mm], a rotor's diameter and thickness: "330x28", "12.19 x .81 in"; None for a blank cell."""
    text = list_text(typed, "mm")
    if text is None:
        return None
    parts = re.split(r"\s*[x*]\s*", text, flags=re.I)
    if len(parts) == 1 and fraction(text) is None:
        parts = re.split(r"\s*/\s*", text)
    if len(parts) != 2:
        raise refuse(typed, "two sizes belong here", "Type for example 330x28")
    shared = unit_at_end(parts[1]) or unit_at_end(parts[0]) or cell_unit
    return one_size(parts[0], "mm", shared, typed), one_size(parts[1], "mm", shared, typed)


def read_pairs(typed: object, cell_unit: str | None = None) -> tuple[tuple[float, float], ...] | None:
    """Points of a profile [mm], "20:212; 60:210", sorted by the first; None for a blank cell. Raises Unreadable."""
    text = list_text(typed, "mm")
    if text is None:
        return None
    shared = unit_at_end(text) or cell_unit
    points = [_point(item, shared, typed) for item in split_list(text)]
    firsts = [first for first, _ in points]
    twice = next((first for first in firsts if firsts.count(first) > 1), None)
    if twice is not None:
        raise refuse(typed, f"there are two points at {twice:g} mm", "Type one of them", "entries disagree")
    return tuple(sorted(points))


def _point(item: str, shared: str | None, typed: object) -> tuple[float, float]:
    parts = re.split(r"\s*[:=]\s*", item)
    if len(parts) != 2:
        raise refuse(typed, f'"{item[:30]}" is no pair', "Type both figures with a colon, for example 20:212; 60:210")
    return one_size(parts[0], "mm", shared, typed), one_size(parts[1], "mm", shared, typed)
