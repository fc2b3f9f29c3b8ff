"""Whether a value lies in the plausible range of its field, as `schemas/` states it, and what it looks like if not.

The ranges are those of the JSON Schema. Loading jsonschema costs more time than reading a whole workbook, so the
comparison is made here; a test proves for every field that both always agree.
"""

from collections.abc import Iterator
from typing import Any

from bomcheck import notation
from bomcheck.errors import Unreadable
from bomcheck.fields import Field
from bomcheck.notation.types import BoltCircle, Pieces, Thread
from bomcheck.workbook.read_value import WITH_UNIT
from bomcheck.workbook.unit_slip import Bounded, looks_like

MOST_BORES = 8
MOST_SHIMS = 200
LEAST_POINTS = 2
NOT_MEASURED = (
    "unit_price",
    "quantity",
    "on_hand",
    "lead_days",
    "freight",
    "minimum_order",
    "labour_rate",
    "tax_percent",
)
"""Figures that are counted, or looked up on paper."""


def refuse_implausible(field: Field, value: Any, typed: str, unit: str | None, system: str) -> None:
    """Raises Unreadable for a value outside of its plausible range. unit: the one that its figures were typed in."""
    _refuse_number_of(field, value, typed)
    _refuse_percent(field, value, typed)
    figures = list(bounded(field, value))
    outside = next((one for one in figures if not one.inside()), None)
    if outside is None:
        return
    said = _range_text(field, outside, system)
    seen = [] if field.notation not in WITH_UNIT else looks_like(figures, field, unit, system)
    if seen:
        wrong = f"{said}; this looks like {', or like '.join(seen)}"
        raise Unreadable("looks like another unit", typed, wrong, "Type the figure again with its unit behind it")
    raise Unreadable("out of range", typed, said, _instead(field, outside))


def bounded(field: Field, value: Any) -> Iterator[Bounded]:
    """Every figure of a value that has a plausible range."""
    if field.pair_ranges:
        for pair in value:
            yield from (Bounded(figure, *bounds) for figure, bounds in zip(pair, field.pair_ranges, strict=True))
    if field.low is None or field.high is None:
        return
    for figure in _figures(value):
        yield Bounded(figure, field.low, field.high)


def _figures(value: Any) -> Iterator[float]:
    if isinstance(value, tuple):
        for one in value:
            yield from _figures(one)
    elif isinstance(value, Pieces):
        yield value.thickness
    elif isinstance(value, Thread):
        yield value.diameter
    elif isinstance(value, BoltCircle):
        yield from (end for end in (value.low, value.high) if end is not None)
    elif isinstance(value, int | float):
        yield value


def _refuse_number_of(field: Field, value: Any, typed: str) -> None:
    """How many bores, points or shims there may be."""
    if field.notation == "bores" and len(value) > MOST_BORES:
        raise Unreadable(
            "out of range", typed, f"{len(value)} bores are more than {MOST_BORES}", "Type the bores of one side"
        )
    if field.notation == "pairs" and len(value) < LEAST_POINTS:
        raise Unreadable(
            "part of it missing", typed, "one point is no profile", "Type at least two points, better three"
        )
    if field.notation == "shims" and any(shim.count > MOST_SHIMS for shim in value):
        wrong = f"more than {MOST_SHIMS} pieces of one thickness"
        raise Unreadable("out of range", typed, wrong, "Type thickness x pieces, for example 0.8x8; 0.4x8")


def _refuse_percent(field: Field, value: Any, typed: str) -> None:
    """A spreadsheet stores "20%" as 0.2, and no tax is below 1 percent."""
    if field.unit == "%" and 0 < value < 1:
        wrong = f"{value:g} is less than 1 percent; this looks like {value * 100:g} percent stored as a share"
        raise Unreadable("looks like another unit", typed, wrong, "Type the percentage as a plain number, such as 20")


def _range_text(field: Field, outside: Bounded, system: str) -> str:
    shown, low, high = (_show(field, figure, system) for figure in (outside.figure, outside.low, outside.high))
    what = "a diameter of " if field.notation in ("thread", "bolt circle", "bolt circles") else ""
    return f"{what}{shown} is outside of what is plausible, {low} to {high}"


def _show(field: Field, figure: float, system: str) -> str:
    unit = "-" if field.notation == "count" else field.unit
    return notation.show_number(figure, unit, system or "metric")


def _instead(field: Field, outside: Bounded) -> str:
    if field.key == "pack_size" and outside.figure <= 0:
        return "Type how many one pack holds, or leave the cell blank for 1"
    if field.key in NOT_MEASURED and outside.figure < 0:
        return "Type 0 or more, or leave the cell blank"
    if field.key in NOT_MEASURED:
        return "Type the right figure, or leave the cell blank"
    if field.key == "corners":
        return "Type 1 or 2: a whole car is two jobs, one for each axle"
    return "Measure or read it again and type the right figure"
