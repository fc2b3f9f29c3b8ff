"""Rows of the box, the shelf and the price list as items that can be links of a chain, each with what it costs."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf
from typing import NamedTuple

from bomcheck.job import Part
from bomcheck.notation.types import LineEnd

# Only these are links: valves, tees and unions are screwed to rigid tubes, which a hose chain does not have.
LINKS = ("hose", "adapter")
# Prices are added as whole ten-thousandths, so that the order of adding never decides.
PRICE_STEPS = 10_000
# What is counted in pairs is there twice.
PIECES = {"pair": 2}
SOURCES = ("box", "shelf", "order")


class Rank(NamedTuple):
    """What one item adds to a chain, least first: unpriced [-], price [1/10000], lead [days], then fixed tie-breaks."""

    unpriced: int
    price: int
    lead: float
    unsided: int
    names: tuple[str, ...]


Row = tuple[int, Part, str]
"""Number of a row among all rows, what stands in it, and its source."""


class Item:
    """One row that can be a link.

    row: its number among all rows. left [-]: how many there are. ask: what is missing about its ends, "" if nothing.
    """

    __slots__ = ("ask", "end_a", "end_b", "left", "part", "rank", "row", "source")

    def __init__(self, row: Row, end_a: LineEnd, end_b: LineEnd, ask: str = "") -> None:
        self.row, part, source = row
        self.part, self.source, self.end_a, self.end_b, self.ask = part, source, end_a, end_b, ask
        self.left = inf if source == "order" else count(part, source)
        self.rank = _rank(part, source)


@dataclass(frozen=True, slots=True)
class Supply:
    """Where parts come from: box of the kit and shelf of the shop cost nothing, the price list is ordered from."""

    box: tuple[Part, ...] = ()
    shelf: tuple[Part, ...] = ()
    prices: tuple[Part, ...] = ()

    def rows(self) -> Iterator[Row]:
        """Every row, numbered; what is on hand of a priced part counts as on the shelf."""
        return ((number, part, source) for number, (part, source) in enumerate(self._all()))

    def _all(self) -> Iterator[tuple[Part, str]]:
        yield from ((part, "box") for part in self.box)
        yield from ((part, "shelf") for part in self.shelf)
        yield from ((part, "shelf") for part in self.prices if part.on_hand)
        yield from ((part, "order") for part in self.prices)


def count(part: Part, source: str) -> float:
    """Whole pieces of a row that is there; a row without a quantity stands for the one piece that it names."""
    stated = part.on_hand if source == "shelf" and part.on_hand is not None else part.quantity
    return 1 if stated is None else int(stated * PIECES.get(part.unit, 1))


def _rank(part: Part, source: str) -> Rank:
    unsided = 0 if part.side in ("left", "right") else 1
    ends = (part.end_a.name, part.end_b.name, str(part.length))
    names = (str(SOURCES.index(source)), part.part_number, part.supplier, part.description, *ends)
    if source != "order":
        return Rank(0, 0, 0.0, unsided, names)
    price = 0 if part.unit_price is None else round(part.unit_price * PRICE_STEPS)
    lead = inf if part.lead_days is None else part.lead_days
    return Rank(int(part.unit_price is None), price, lead, unsided, names)
