"""Cells that hold several figures: lists, tables of pairs, shims, bores."""

import re
from datetime import date

from bomcheck.model.errors import Unreadable
from bomcheck.model.types import Pieces
from bomcheck.notation.dates import refuse_date
from bomcheck.notation.quantity import NOUN, read_quantity, split_number
from bomcheck.notation.text import fraction, is_blank, plain, refuse, split_list


def list_text(typed: object, unit: str) -> str | None:
    """Plain text of a cell, one item a line read as ";", None for a blank. Raises for a date and for True or False."""
    if isinstance(typed, date):
        raise refuse_date(typed, unit)
    if isinstance(typed, bool):
        raise refuse(typed, "this is no size", "Type a number")
    if typed is None:
        return None
    text = plain(str(typed).replace("\n", "; ") if isinstance(typed, str) else typed)
    return None if is_blank(text) else text


def unit_at_end(text: str) -> str | None:
    found = re.search(r'([a-zμ]+|")\.?$', NOUN.sub("", text.strip()), re.I)
    return found[1] if found else None


def one_size(text: str, unit: str, shared: str | None, typed: object) -> float:
    """One size of a list; a fault names the whole cell."""
    try:
        value = read_quantity(text, unit, shared)
    except Unreadable as fault:
        wrong = fault.wrong if text == str(typed) else f'in "{text[:30]}": {fault.wrong}'
        raise refuse(typed, wrong, fault.instead, fault.kind) from None
    if value is None:
        raise refuse(
            typed,
            f'"{text[:30]}" is no size',
            "Leave the whole cell blank, or type every size of the list",
            "part of it missing",
        )
    return value


def other_unit(typed: object, wrong: str, other: str) -> Unreadable:
    return refuse(typed, wrong, f"If {other} is meant, type the unit behind the figures", "looks like another unit")


def read_numbers(typed: object, unit: str, cell_unit: str | None = None) -> tuple[float, ...] | None:
    """A list of sizes in `unit`, "212; 210"; None for a blank cell. A unit at the end serves those that have none."""
    text = list_text(typed, unit)
    if text is None:
        return None
    items = split_list(re.sub(r"([.,]\d+)\s*/\s*(?=[.\d])", r"\1; ", text))  # ".030/.060" are two sizes
    shared = (unit_at_end(text) if unit == "mm" else None) or cell_unit
    return tuple(one_size(item, unit, shared, typed) for item in items)


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


THINNEST_SHIM, THICKEST_SHIM = 0.05, 5.0
"""[mm]; a thicker plate is a spacer, so "8x1" is most likely 8 pieces (common practice, no source)."""
_TIMES = re.compile(r"\s*(?:[x*@]|\boff\b|\bpcs\.? of\b|\bpieces of\b)\s*", re.I)
_COUNTED = re.compile(r"\d+\s*(?:shims?|washers?|pcs|pieces?|pc|off|each|ea|plates?|spacers?)\b.*", re.I)
_LAID = re.compile(r"(?:(\d+)\s*x\s*)?([^x+]+)")
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


def read_stack(typed: object, cell_unit: str | None = None) -> float | None:
    """How thick a stack of shims at one screw is [mm]; 0 for "no shims", None for a blank cell. Raises Unreadable.

    >>> read_stack("1.30 mm (1 x 1.00 mm + 1 x 0.30 mm)"), read_stack("2 x 0.5 + 0.3"), read_stack("0.030 in")
    (1.3, 1.3, 0.762)
    >>> read_stack("1.0 + 0.5 mm", "in"), read_stack("0.020+0.010 in", "mm")
    (1.5, 0.762)
    """
    before, _, inside = str(typed).partition("(")
    text = list_text(before.strip(), "mm")
    if text is None or text.lower() in ("none", "no shims"):
        return None if text is None else 0.0
    pieces = [_LAID.fullmatch(item.strip()) for item in text.split("+")]
    if None in pieces or _COUNTED.fullmatch(text):
        raise refuse(typed, "this cannot be read as a stack of shims", "Type its thickness, 1.30 mm, or 2 x 0.5 + 0.3")
    unit = unit_at_end(text) or cell_unit
    laid = [(int(one[1] or 1), one_size(one[2], "mm", unit, typed)) for one in pieces if one]
    for count, thickness in laid:
        if 0 < thickness < THINNEST_SHIM:
            _thin(thickness, count, typed)
    thick = round(sum(count * thickness for count, thickness in laid), 6)
    made_of = read_stack(inside.rstrip(") "), cell_unit) if inside else None
    if made_of is not None and abs(made_of - thick) > THINNEST_SHIM / 2:
        raise refuse(
            typed, "the pieces in brackets are not that thick together", "Type its thickness, 1.30 mm, or 2 x 0.5 + 0.3"
        )
    return thick


_SIDE = re.compile(r"\b(left|right|l\.?h\.?s?|r\.?h\.?s?|l|r|both|each)(?![\w-])\.?(?: sides?\b)?", re.I)


def read_stacks(typed: object, cell_unit: str | None = None) -> dict[str, float]:
    """The same by "left", "right" or "both", the side before its stack or behind it. Raises Unreadable.

    >>> read_stacks("0.8"), read_stacks("left 0.8, right 1.2"), read_stacks("0.8 LH / 2 x 0.5 RH"), read_stacks("1 each side")
    ({'both': 0.8}, {'left': 0.8, 'right': 1.2}, {'left': 0.8, 'right': 1.0}, {'both': 1.0})
    """
    parts = _SIDE.split(str(typed))
    texts = [part.strip(" \t\n:=,;/") for part in parts[::2]]
    sides = [{"l": "left", "r": "right"}.get(side[0].lower(), "both") for side in parts[1::2]] or ["both"]
    around = len(texts) > 1 and texts[0] and texts[-1]
    if len(texts) > 1:
        texts = texts[:-1] if texts[0] else texts[1:]
    if around or not all(texts) or len(set(sides)) < len(sides) or ("both" in sides and len(sides) > 1):
        raise refuse(typed, "it is not clear which side has which stack", "Type one for each, as left 0.8, right 1.2")
    stacks = {side: read_stack(text, cell_unit) for side, text in zip(sides, texts, strict=True)}
    if any(stack is None or stack < 0 for stack in stacks.values()):
        raise refuse(typed, "this says no thickness", "Type one, as 0.8, or none where no shims lie there")
    return {side: stack or 0.0 for side, stack in stacks.items()}


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


SIXTEENTH = 25.4 / 16  # mm
SMALLEST_BORE, LARGEST_BORE = 10.0, 120.0
"""[mm]; no disc-brake piston is smaller or larger (common practice, no source)."""


def read_bores(typed: object, cell_unit: str | None = None) -> tuple[float, ...] | None:
    """Piston bores [mm], largest first; None for a blank cell. Raises Unreadable.

    "42+38+34" are three bores, "4x44.45" are four, "2x1.88/1.75 in" are two of each. Two bores that a comma divides look like
    one with a decimal comma, which an inch size in sixteenths has; those of both sides look like more of one: both are asked.
    """
    text = list_text(typed, "mm")
    if text is None:
        return None
    both = re.fullmatch(r"([2-7]\d),([2-7]\d)(?:\s*mm)?", text)
    if (
        both
        and abs(float(f"{both[1]}.{both[2]}") / SIXTEENTH - round(float(f"{both[1]}.{both[2]}") / SIXTEENTH)) > 0.02
    ):
        raise refuse(
            typed, "this is one bore or two", f"Type {both[1]}+{both[2]} or {both[1]}.{both[2]}", "both sides or one"
        )
    sides = [part.strip() for part in text.split("/")]
    if len(sides) == 2 and all(re.search(r"\d\s*\+\s*\d", side) for side in sides):
        raise refuse(
            typed,
            "these look like the pistons of both sides",
            f"Type those of one side: {sides[0]}",
            "both sides or one",
        )
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
