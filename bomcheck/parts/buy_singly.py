"""Each need from one offer, bought for itself: what a person does with a price list, and the easiest list to read."""

from collections.abc import Iterable, Mapping, Sequence
from math import ceil, inf

from bomcheck.parts.buy_pool import in_time
from bomcheck.parts.buy_types import Need, Offer, Order, Supplier

TINY = 1e-9


def singly(needs: Sequence[Need], offers: Sequence[Offer], days: float | None) -> dict[str, Order]:
    """By need the offer that is cheapest for it alone, of two at one price the sooner; absent where nothing serves in
    time."""
    there = in_time(offers, days)
    best = {need.key: _best(need, there) for need in needs}
    return {key: order for key, order in best.items() if order is not None}


def cost_of(orders: Iterable[Order], suppliers: Sequence[Supplier]) -> float:
    """Goods, freight and what is added up to a supplier's minimum [currency]."""
    spent: dict[str, float] = {}
    for order in orders:
        spent[order.offer.supplier] = spent.get(order.offer.supplier, 0.0) + order.total
    terms: Mapping[str, Supplier] = {supplier.name: supplier for supplier in suppliers}
    beside = (
        terms[name].freight + max(0.0, terms[name].minimum - goods) for name, goods in spent.items() if name in terms
    )
    return round(sum(spent.values()) + sum(beside), 4)


def _best(need: Need, offers: Sequence[Offer]) -> Order | None:
    serving = [_order(need, offer) for offer in offers if need.key in offer.serves]
    return min(serving, key=_rank, default=None)


def _order(need: Need, offer: Offer) -> Order:
    """The packs that this need alone takes."""
    return Order(offer, max(offer.least_packs, ceil(need.quantity / offer.pack_size - TINY)))


def _rank(order: Order) -> tuple[object, ...]:
    offer = order.offer
    return order.total, inf if offer.lead_days is None else offer.lead_days, offer.supplier, offer.part_number
