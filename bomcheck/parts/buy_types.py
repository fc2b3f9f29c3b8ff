"""What a purchase is made of: needs, offers, suppliers' terms, and the plan that comes out. Pure data."""

from collections.abc import Mapping
from dataclasses import dataclass, field

PRICE_STEPS = 10_000  # prices are added as whole ten-thousandths, so that the order of adding never decides


@dataclass(frozen=True, slots=True)
class Supplier:
    """Terms of one supplier.

    freight [currency]: for one order, whatever is in it. minimum [currency]: an order of goods below it is charged as
    the minimum.
    """

    name: str
    freight: float = 0.0
    minimum: float = 0.0


@dataclass(frozen=True, slots=True)
class Need:
    """quantity: how many of the unit are to be bought under this name."""

    key: str
    quantity: float


@dataclass(frozen=True, slots=True)
class Offer:
    """One line of a price list.

    serves: keys of the needs that it serves, substitutes included; the pieces of one pack may be shared among them.
    pack_size [the needs' unit]. price [currency]: of one pack. least_packs: fewest that are sold. lead_days: None if
    not stated. kind: a need is served by offers of one kind only; which kinds there are is for the caller to say.
    """

    part_number: str
    supplier: str
    serves: frozenset[str]
    pack_size: float
    price: float
    least_packs: int = 1
    lead_days: float | None = None
    description: str = ""
    kind: str = ""


@dataclass(frozen=True, slots=True)
class Order:
    """packs of one offer."""

    offer: Offer
    packs: int

    @property
    def total(self) -> float:
        """Price of the packs [currency]."""
        return round(self.packs * self.offer.price, 4)


@dataclass(frozen=True)
class Plan:
    """The cheapest purchase.

    cost [currency]: goods, freight and what is added up to a supplier's minimum. topped_up [currency]: the last, by
    supplier. lead_days: until the last of it is there, None if some offer does not state it. unmet: needs that no
    offer serves in time. exact: False if the search was cut short; then nothing cheaper than `at_least` exists.
    """

    cost: float
    orders: tuple[Order, ...]
    freight: Mapping[str, float] = field(default_factory=dict)
    topped_up: Mapping[str, float] = field(default_factory=dict)
    lead_days: float | None = 0.0
    unmet: tuple[str, ...] = ()
    exact: bool = True
    at_least: float = 0.0

    @property
    def suppliers(self) -> tuple[str, ...]:
        """Who gets an order."""
        return tuple(sorted({order.offer.supplier for order in self.orders}))


def steps(money: float) -> int:
    """An amount of money as whole ten-thousandths."""
    return round(money * PRICE_STEPS)
