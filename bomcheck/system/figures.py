"""Figures of the system findings as a person reads them: percent, g, degrees, in the units of the job.

A finding keeps its value in internal units; only what is printed is turned here. Where two units are usual the second
stands in brackets: "0.84 g (8.2 m/s²)", in an inch job "93 lbf (412 N)".
"""

from dataclasses import dataclass

from bomcheck import units
from bomcheck.system.balance import G
from bomcheck.verdict.box import Range
from bomcheck.verdict.limits import Limit


@dataclass(frozen=True, slots=True)
class Scale:
    """A unit as it is printed: shown = (value - zero) / factor, with so many decimals."""

    name: str
    digits: int
    factor: float = 1.0
    zero: float = 0.0

    def of(self, value: float) -> float:
        """An internal value on this scale."""
        return (value - self.zero) / self.factor

    def bare(self, value: float) -> str:
        """The same as text, without the unit; a bare 0 where it is exactly that, never "-0"."""
        return "0" if self.of(value) == 0 else f"{round(self.of(value), self.digits) + 0.0:.{self.digits}f}"

    def said(self, value: float) -> str:
        """The same with the unit."""
        return f"{self.bare(value)} {self.name}".rstrip()


def _scale(name: str, quantity: str, digits: int, inside: float = 1.0) -> Scale:
    """A unit of the units table. inside: the table's own unit in one of the findings' ("mL" of 1000 mm³)."""
    unit = units.find(name, quantity)
    assert unit is not None
    return Scale(name, digits, unit.factor / inside, unit.offset)


_METRIC = {
    "-": (Scale("", 2),),
    "share": (Scale("%", 0, 0.01),),
    "points": (Scale("points", 0, 0.01),),
    "rate": (Scale("g", 2),),
    "m/s²": (Scale("g", 2, G), Scale("m/s²", 1)),
    "residual": (Scale("MPa", 3),),
    "K": (Scale("°C", 0),),
    **{name: (Scale(name, 0),) for name in ("N", "N·m", "°C", "m", "mm²", "mm³/(m·MPa)")},
    **{name: (Scale(name, 1),) for name in ("mL", "mm", "MPa")},
}
_FAHRENHEIT = _scale("°F", "temperature", 0)
_PSI = _scale("psi", "pressure", 0)
_INCH = {
    **_METRIC,
    "m/s²": (Scale("g", 2, G), _scale("ft/s²", "acceleration", 1)),
    "residual": (Scale("psi", 1, _PSI.factor), Scale("MPa", 3)),
    "N": (_scale("lbf", "force", 0), Scale("N", 0)),
    "N·m": (_scale("lb·ft", "torque", 0), Scale("N·m", 0)),
    "MPa": (_PSI, Scale("MPa", 1)),
    "°C": (_FAHRENHEIT, Scale("°C", 0)),
    "K": (Scale("°F", 0, _FAHRENHEIT.factor), Scale("°C", 0)),
    "m": (_scale("ft", "length", 0, 1000.0), Scale("m", 0)),
    "mL": (_scale("in³", "volume", 2, 1000.0), Scale("mL", 1)),
    "mm": (_scale("in", "length", 2),),
    "mm²": (_scale("in²", "area", 2),),
}
KINDS = {
    **dict.fromkeys(("front_share", "ideal_share", "best_stop_loss", "master_stroke", "pedal_travel_use"), "share"),
    "lock_order": "points",
    "rate_rule": "rate",
    "residual_valve": "residual",
}
"""Findings whose figures are printed otherwise than their unit says."""
BEHIND = {"single_stop": "hotter", "single_stop_other": "hotter", "fluid_margin": "in hand"}
"""A word behind the unit."""


def scales(unit: str, system: str = "metric", key: str = "") -> tuple[Scale, ...]:
    """The scales of a unit, the one that rules first. key: of the finding; some are printed in a way of their own."""
    table = _INCH if system == "inch" else _METRIC
    return table.get(KINDS.get(key, unit)) or (Scale(unit, 2),)


def one(value: float, unit: str, system: str = "metric", key: str = "") -> str:
    """A single figure.

    >>> one(8.826, "m/s²"), one(500.0, "N", "inch"), one(0.65, "-", key="master_stroke")
    ('0.90 g (8.8 m/s²)', '112 lbf (500 N)', '65 %')
    """
    return shown(Range(value, value, value), unit, system, key)


def shown(value: Range, unit: str, system: str = "metric", key: str = "") -> str:
    """A figure with its range: "412 N (380 to 447)".

    >>> shown(Range(380.2, 411.7, 447.4), "N"), shown(Range(0.72, 0.72, 0.72), "-")
    ('412 N (380 to 447)', '0.72')
    >>> shown(Range(380.2, 411.7, 447.4), "N", "inch"), shown(Range(82.0, 91.0, 101.0), "K", key="single_stop")
    ('93 lbf (85 to 101; 412 N)', '91 °C hotter (82 to 101)')
    """
    first, *more = scales(unit, system, key)
    low, high = first.bare(value.low), first.bare(value.high)
    beside = [] if low == high else [f"{low} to {high}"]
    beside += [scale.said(value.middle) for scale in more]
    named = " ".join(part for part in (first.said(value.middle), BEHIND.get(key, "")) if part)
    return f"{named} ({'; '.join(beside)})" if beside else named


def limit_shown(limit: Limit, system: str = "metric", key: str = "") -> str:
    """A limit in the same digits: "at most 500 N"."""
    if limit.low is not None and limit.high is not None:
        first, *more = scales(limit.unit, system, key)
        beside = ", ".join(f"{scale.bare(limit.low)} to {scale.said(limit.high)}" for scale in more)
        return f"{first.bare(limit.low)} to {first.said(limit.high)}" + (f" ({beside})" if beside else "")
    if limit.low is not None:
        return f"at least {one(limit.low, limit.unit, system, key)}"
    return f"at most {one(limit.high, limit.unit, system, key)}" if limit.high is not None else "any"


def now_and_then(
    before: Range | None, after: Range, limit: Limit | None, unit: str, system: str = "metric", key: str = ""
) -> str:
    """ "110 N now, 46 N with the kit; should be at most 500 N"."""
    said = f"{shown(after, unit, system, key)} with the kit"
    if before:
        said = f"{shown(before, unit, system, key)} now, {said}"
    return f"{said}; should be {limit_shown(limit, system, key)}" if limit else said
