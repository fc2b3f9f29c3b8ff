"""Bores of a caliper's pistons: "42+38+34", "4x44.45", "2x1.88/1.75 in"."""

import re

from bomcheck.notation.clean import refuse, split_list
from bomcheck.notation.list_parts import list_text, one_size, other_unit, unit_at_end
from bomcheck.notation.number import fraction
from bomcheck.notation.quantity import split_number

SMALLEST_BORE, LARGEST_BORE = 10.0, 120.0
"""[mm]; no disc-brake piston is smaller or larger (common practice, no source)."""


def read_bores(typed: object, cell_unit: str | None = None) -> tuple[float, ...] | None:
    """Piston bores [mm], largest first; None for a blank cell. Raises Unreadable.

    "42+38+34" are three bores, "4x44.45" are four, "2x1.88/1.75 in" are two of each.
    """
    text = list_text(typed, "mm")
    if text is None:
        return None
    text = re.sub(r"\s*(?:[+&]|\band\b)\s*", "; ", text)
    shared = unit_at_end(text) or cell_unit
    bores = [bore for item in split_list(text) for bore in _counted_bores(item, shared, typed)]
    if not bores:
        raise refuse(typed, "there is no bore in this", "Type the bores of one side, for example 42+38+34")
    return tuple(sorted(bores, reverse=True))


def _counted_bores(item: str, shared: str | None, typed: object) -> list[float]:
    counted = re.fullmatch(r"(\d{1,2})\s*(?:[x*]|off|pcs|no\.?)\s*(.+)", item, re.I)
    count, sizes = (int(counted[1]), counted[2]) if counted else (1, item)
    if not 1 <= count <= 12:
        raise refuse(typed, f"{count} pistons are not 1 to 12", "Type count x bore, for example 4x44.45")
    is_one = "/" not in sizes or fraction(split_text(sizes)) is not None
    return [_bore(size, shared, typed) for size in ([sizes] if is_one else sizes.split("/"))] * count


def split_text(text: str) -> str:
    """The text of the number that plain text begins with, without its unit."""
    unit = split_number(text).unit
    return text[: len(text) - len(unit)].strip() if unit and text.endswith(unit) else text


def _bore(text: str, shared: str | None, typed: object) -> float:
    bore = one_size(text.strip(), "mm", shared, typed)
    if bore <= 0:
        raise refuse(typed, "a bore is larger than 0", "Type the bores of one side, for example 42+38+34")
    if not SMALLEST_BORE <= bore <= LARGEST_BORE:
        other = f"{bore:g} in" if bore < SMALLEST_BORE else f"{bore / 25.4:g} mm"
        raise other_unit(typed, f"{bore:g} mm is no bore of a brake piston", other)
    return bore
