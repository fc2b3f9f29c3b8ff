"""Wheel offsets as they are stamped and said: ET45, +45, offset 45, 45P."""

import re

from bomcheck.notation.clean import is_blank, plain, refuse
from bomcheck.notation.quantity import read_quantity

INCH = 25.4
FLANGES = 1.0
"""[in]; both rim flanges together, by which a rim is wider than its stamped width (common practice, no source)."""

_OFFSET = re.compile(r"(?:et|offset|o/s|is)?\s*=?\s*([+-]?\s*[\d.,]+)\s*(p|n|mm)?(?:\s*(?:et|offset))?", re.I)
_BACKSPACE = re.compile(r"([\d.,/ -]+)\s*(?:\"|in\.?)?\s*(?:b\.?s\.?|backspac(?:e|ing))", re.I)


def read_wheel_offset(typed: object, rim_width: float | None = None) -> float | None:
    """Offset of a wheel [mm], + when its mounting face is outboard of the rim's middle; None for a blank cell.

    rim_width: stamped width [mm], which a backspace ("5.5 BS", inches) needs. Raises Unreadable.

    >>> read_wheel_offset("ET45"), read_wheel_offset("45P")
    (45.0, 45.0)
    """
    if typed is None or (isinstance(typed, str) and is_blank(plain(typed))):
        return None
    text = plain(typed)
    if backspace := _BACKSPACE.fullmatch(text):
        return _from_backspace(backspace[1], rim_width, typed)
    found = _OFFSET.fullmatch(text)
    if not found or (found[2] or "").lower() not in ("p", "n", "mm", ""):
        return read_quantity(typed, "mm")
    value = read_quantity(found[1], "mm")
    return None if value is None else -abs(value) if (found[2] or "").lower() == "n" else value


def _from_backspace(text: str, rim_width: float | None, typed: object) -> float:
    """Backspace minus half of the overall width."""
    backspace = read_quantity(text, "mm", "in")
    if rim_width is None or backspace is None:
        wrong = "this is a backspace, not an offset"
        raise refuse(typed, wrong, "Type the offset in mm: (backspace - (rim width + 1) / 2) x 25.4, all in inches")
    return round(backspace - (rim_width + FLANGES * INCH) / 2, 3)
