"""Safety wire through drilled heads: how much, how many twists, which screws on one wire."""

from dataclasses import dataclass
from functools import cache
from math import ceil

from bomcheck.tables import rows

INCH = 25.4
LONGEST_IN_GROUP = 24 * INCH  # mm of wire in one group: FAA AC 43.13-1B, p. 7-22
WIDEST_SPAN = 6 * INCH  # mm from one screw to the next: FAA AC 43.13-1B, chapter 7 (seen in public copies)
FOR_A_PAIR = 6 * INCH  # mm of wire for two heads: common practice, no source
SPARE = 1.2


@dataclass(frozen=True, slots=True)
class Wire:
    """diameter [mm]; twists_low, twists_high [per inch]; hole [mm]: smallest hole of the head that takes it."""

    diameter: float
    twists_low: float
    twists_high: float
    hole: float

    def __str__(self) -> str:
        inches = self.diameter / INCH
        return f"{inches:.3f} in ({self.diameter:.2f} mm), {self.twists_low:g} to {self.twists_high:g} twists an inch"


@cache
def wires() -> tuple[Wire, ...]:
    """The sizes of `tables/safety_wire.txt`, thinnest first."""
    return tuple(
        Wire(
            float(row["diameter"]) * INCH,
            float(row["twists_low"]),
            float(row["twists_high"]),
            float(row["hole"]) * INCH,
        )
        for row in rows("safety_wire")
    )


def wire(diameter: float = 0.032 * INCH) -> Wire | None:
    """The wire of this diameter [mm], usual 0.032 in; None if the table has none."""
    return next((one for one in wires() if abs(one.diameter - diameter) < 0.01), None)


def wire_pairs(count: int) -> tuple[tuple[int, ...], ...]:
    """Screws on a circle, numbered 1.. round it, that share a wire: neighbours in pairs, the last three of an odd count.

    >>> wire_pairs(5)
    ((1, 2), (3, 4, 5))
    """
    if count < 2:
        return ((1,),) if count else ()
    groups = [(number, number + 1) for number in range(1, count, 2)]
    return tuple(groups) if count % 2 == 0 else (*groups[:-1], (count - 2, count - 1, count))


def wire_length(count: int) -> float:
    """Wire to buy for so many heads in pairs [mm], with a fifth to spare.

    >>> round(wire_length(8) / INCH, 1)
    28.8
    """
    return ceil(count / 2) * FOR_A_PAIR * SPARE


def span_allowed(span: float, group_length: float) -> bool:
    """Whether heads `span` apart [mm] may share a wire of this length [mm]."""
    return span <= WIDEST_SPAN and group_length <= LONGEST_IN_GROUP
