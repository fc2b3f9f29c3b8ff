"""What an implausible figure looks like: inches typed as millimetres, a radius as a diameter, lb·ft for lb·in.

Nothing is ever converted: the figure is held and every reading of it that would be plausible is named.
"""

from collections.abc import Iterator, Sequence
from typing import Any

from bomcheck import notation
from bomcheck.io.read.value import WITH_UNIT
from bomcheck.model.errors import Unreadable
from bomcheck.model.records import dataclass
from bomcheck.model.types import BoltCircle, Pieces, Thread
from bomcheck.notation import show_number, units
from bomcheck.tables import rows
from bomcheck.tables.fields import Field

TINY = 1e-9


def _slips(quantity: str) -> Iterator[tuple[float, str]]:
    """The ways in which figures of a quantity slip, as factors that put them right."""
    own = [row for row in rows("slips") if row["quantity"] == quantity]
    for row in own or [row for row in rows("slips") if not row["quantity"]]:
        top, _, below = row["factor"].partition("/")
        yield float(top) / float(below or 1), row["words"]


@dataclass(frozen=True, slots=True)
class Bounded:
    """A figure in the internal unit and its plausible range."""

    figure: float
    low: float
    high: float

    def inside(self, factor: float = 1.0) -> bool:
        """Whether the figure, multiplied, is plausible."""
        if factor == 1.0:
            return self.low <= self.figure <= self.high
        return self.low - TINY <= self.figure * factor <= self.high + TINY


def looks_like(figures: Sequence[Bounded], field: Field, typed_in: str | None, system: str) -> list[str]:
    """Every slip that would make all figures plausible, as words: "inches: 13 in would be 330.2 mm".

    typed_in: printed name of the unit that the figures were typed in; None: the internal unit.
    """
    inside = units.named(field.unit)
    if inside is None:
        return []
    unit = units.named(typed_in or "") or inside
    figures = sorted(figures, key=Bounded.inside)
    said, factors = _as_other_units(figures, inside, unit, system)
    for factor, words in _slips(inside.quantity):
        known = any(abs(factor / one - 1) < 0.02 for one in factors)
        if not known and inside.quantity != "temperature" and all(one.inside(factor) for one in figures):
            said.append(
                f"{_words(words, field)}: {show_number(figures[0].figure * factor, field.unit, system or 'metric')}"
            )
    return said


def _as_other_units(
    figures: Sequence[Bounded], inside: units.Unit, unit: units.Unit, system: str
) -> tuple[list[str], list[float]]:
    """(words, factors) of the units in which the typed figures would be plausible."""
    said, factors = [], []
    for row in rows("units_mistaken"):
        other = units.named(row["unit"]) if row["quantity"] == inside.quantity else None
        if other is None or other == unit:
            continue
        typed = [units.convert(one.figure, inside, unit) for one in figures]
        meant = [
            Bounded(units.convert(t, other, inside), one.low, one.high) for t, one in zip(typed, figures, strict=True)
        ]
        if all(one.inside() for one in meant):
            shown = show_number(meant[0].figure, inside.name, system or "metric")
            said.append(f"{row['spoken'] or other.name}: {_would_be(typed[0], other, shown)}")
            factors.append(other.factor / unit.factor)
    return said, factors


def _would_be(typed: float, other: units.Unit, shown: str) -> str:
    written = f"{typed:g}" if other.name == "-" else f"{typed:g} {other.name}"
    return written if written == shown else f"{written} would be {shown}"


def _words(words: str, field: Field) -> str:
    """Half of a diameter is a radius, twice a radius a diameter."""
    if words == "half of the size" and ("diameter" in field.key or "bore" in field.key):
        return "a radius in place of the diameter"
    if words == "twice the size" and "radius" in field.key:
        return "a diameter in place of the radius"
    return words


MOST_BORES = 8
MOST_SHIMS = 200
NOT_MEASURED = (
    "unit_price", "quantity", "on_hand", "lead_days", "freight", "minimum_order", "labour_rate", "kit_price",
    "kit_lead_days", "tax_percent",
)  # fmt: skip
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
    if field.notation == "pairs" and len(value) < field.least_points:
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
