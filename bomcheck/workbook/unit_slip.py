"""What an implausible figure looks like: inches typed as millimetres, a radius as a diameter, lb·ft for lb·in.

Nothing is ever converted: the figure is held and every reading of it that would be plausible is named.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from bomcheck import units
from bomcheck.fields import Field
from bomcheck.notation import show_number

TINY = 1e-9
OTHER_UNITS = {
    "length": ("mm", "in", "cm"),
    "torque": ("N·m", "lb·ft", "lb·in"),
    "pressure": ("MPa", "bar", "psi"),
    "mass": ("kg", "lb"),
    "temperature": ("°C", "°F"),
    "speed": ("km/h", "mph", "m/s"),
    "ratio": ("-", "%"),
}
SPOKEN = {
    "mm": "millimetres", "in": "inches", "cm": "centimetres", "bar": "bar", "%": "percent", "kg": "kilograms",
    "lb": "pounds", "-": "a plain number",
}  # fmt: skip
FACTORS: dict[str, tuple[tuple[float, str], ...]] = {
    "length": (
        (25.4, "inches taken for millimetres once too often"),
        (1 / 25.4, "a size converted from inches twice"),
        (10.0, "a decimal point one place too far left"),
        (0.1, "a decimal point one place too far right"),
        (2.0, "half of the size"),
        (0.5, "twice the size"),
    ),
    "torque": ((12.0, "lb·ft taken for lb·in"), (1 / 12, "lb·in taken for lb·ft")),
}
OTHERWISE = ((10.0, "a decimal point one place too far left"), (0.1, "a decimal point one place too far right"))
"""The ways in which figures slip, as factors that put them right; common practice, no source."""


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
    for factor, words in FACTORS.get(inside.quantity, OTHERWISE):
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
    for name in OTHER_UNITS.get(inside.quantity, ()):
        other = units.named(name)
        if other is None or other == unit:
            continue
        typed = [units.convert(one.figure, inside, unit) for one in figures]
        meant = [
            Bounded(units.convert(t, other, inside), one.low, one.high) for t, one in zip(typed, figures, strict=True)
        ]
        if all(one.inside() for one in meant):
            shown = show_number(meant[0].figure, inside.name, system or "metric")
            said.append(f"{SPOKEN.get(name, name)}: {_would_be(typed[0], other, shown)}")
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
