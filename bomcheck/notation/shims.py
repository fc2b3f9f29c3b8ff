"""Shims in the box: "0.8x8; 0.4x8" is thickness x pieces."""

import re

from bomcheck.notation.clean import refuse, split_list
from bomcheck.notation.list_parts import list_text, one_size, other_unit
from bomcheck.notation.types import Pieces

THINNEST_SHIM, THICKEST_SHIM = 0.05, 5.0
"""[mm]; a thicker plate is a spacer, so "8x1" is most likely 8 pieces (common practice, no source)."""

_TIMES = re.compile(r"\s*(?:[x*@]|\boff\b|\bpcs\.? of\b|\bpieces of\b)\s*", re.I)
_PIECES = re.compile(r"\s*\(?(?:pcs|pieces|pc|off|each|ea)\.?\)?\s*$", re.I)


def read_shims(typed: object, cell_unit: str | None = None) -> tuple[Pieces, ...] | None:
    """Shims as thickness [mm] x pieces, "0.8x8; 0.4x8"; () for "none", None for a blank cell. Raises Unreadable.

    >>> read_shims("0.8x8, 0.4x8")
    (Pieces(thickness=0.8, count=8), Pieces(thickness=0.4, count=8))
    """
    text = list_text(typed, "mm")
    if text is None:
        return None
    if text.lower() in ("none", "no", "0", "no shims"):
        return ()
    counts: dict[float, int] = {}
    for item in split_list(text):
        shim = _shim(item, cell_unit, typed)
        counts[shim.thickness] = counts.get(shim.thickness, 0) + shim.count
    return tuple(Pieces(thickness, count) for thickness, count in counts.items())


def _shim(item: str, cell_unit: str | None, typed: object) -> Pieces:
    parts = [part for part in _TIMES.split(_PIECES.sub("", item)) if part]
    if len(parts) != 2:
        wrong = "the number of pieces is missing" if len(parts) == 1 else "this cannot be read as shims"
        raise refuse(typed, wrong, "Type thickness x pieces, for example 0.8x8; 0.4x8", "part of it missing")
    first, second = (_PIECES.sub("", part).strip() for part in parts)
    trailing = re.fullmatch(r"(\d{1,3})\s*([a-z\"]+)", second, re.I)
    if trailing and re.fullmatch(r"[\d.,/ -]+", first):
        first, second = f"{first} {trailing[2]}", trailing[1]
    if not re.fullmatch(r"\d{1,3}", second):
        first, second = second, first
    if not re.fullmatch(r"\d{1,3}", second) or int(second) == 0:
        raise refuse(
            typed,
            "the number of pieces is missing",
            "Type thickness x pieces, for example 0.8x8; 0.4x8",
            "part of it missing",
        )
    return _thin(one_size(first, "mm", cell_unit, typed), int(second), typed)


def _thin(thickness: float, count: int, typed: object) -> Pieces:
    if 0 < thickness < THINNEST_SHIM:
        raise other_unit(typed, f"{thickness:g} mm is no thickness of a shim", f"{thickness:g} in")
    if not 0 < thickness <= THICKEST_SHIM:
        raise refuse(
            typed,
            f"{thickness:g} mm is no thickness of a shim",
            "Type the thickness first and then the pieces, for example 0.8x8",
        )
    return Pieces(thickness, count)
