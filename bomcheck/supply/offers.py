"""The best offer of the price list for what is still to be ordered."""

from collections.abc import Iterable
from math import inf

from bomcheck.model.demand import Demand
from bomcheck.model.job import Part
from bomcheck.model.line import cents, price_per
from bomcheck.model.records import dataclass
from bomcheck.supply.counting import per_unit, up
from bomcheck.supply.spec import Fit, fit

BOTTLE = "bottle"  # or tube, or spool: one is enough for any car


@dataclass(frozen=True, slots=True)
class Purchase:
    """One offer and how many packs of it. pack_size [demand's unit]; unit_price [currency] of one pack, None if not
    priced. fit: what the offer does not state. per: what the price is for. container: what one is, where its contents do
    not count."""

    part: Part
    packs: float
    pack_size: float
    unit_price: float | None
    fit: Fit
    per: str
    container: str = ""

    @property
    def total(self) -> float | None:
        """Price of all packs [currency]."""
        return None if self.unit_price is None else cents(self.packs * self.unit_price)


def best_offer(short: float, demand: Demand, prices: Iterable[Part], soonest: bool = False) -> Purchase | None:
    """The cheapest way to buy `short` [demand's unit] from one line of the price list, whole packs counted.

    Offers that state all that matters come first, then those with a price, then the lowest total, then the shortest
    lead time; with `soonest` the shortest lead time goes before the total. None if no offer serves.
    """
    offers = [purchase_of(part, short, demand, answer) for part in prices if (answer := fit(part, demand)).serves]
    return min(offers, key=_soonest if soonest else _rank, default=None)


def purchase_of(part: Part, short: float, demand: Demand, answer: Fit) -> Purchase:
    """The price of a line is that of one of what is counted; a pack holds `pack_size` of them."""
    factor = per_unit(part.role, part.unit, demand.unit) or 0.0
    pack = part.pack_size or 1.0
    price = None if part.unit_price is None else round(part.unit_price * pack, 4)
    if factor == inf:
        return Purchase(part, 1.0, short, price, answer, BOTTLE, BOTTLE)
    size = round(pack * factor, 6)
    return Purchase(part, max(1.0, up(short / size)), size, price, answer, price_per(demand.unit, size))


def _soonest(one: Purchase) -> tuple[object, ...]:
    questions, unpriced, total, lead, *names = _rank(one)
    return questions, unpriced, lead, total, *names


def _rank(one: Purchase) -> tuple[object, ...]:
    part = one.part
    open_questions = [text for text in one.fit.unstated if text != "contents"]
    lead = inf if part.lead_days is None else part.lead_days
    total = inf if one.total is None else one.total
    return (len(open_questions), one.unit_price is None, total, lead, part.supplier, part.part_number, part.description)
