"""Buying: the cheapest purchase that is there in time, and what it would cost to have it sooner or from one supplier.

The search is exact: whole packs, freight once per supplier, minimum orders, and packs shared by several needs.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from bomcheck.parts.buy_cover import TooLarge
from bomcheck.parts.buy_pool import in_time, pools
from bomcheck.parts.buy_search import Best, BuySearch
from bomcheck.parts.buy_types import PRICE_STEPS, Need, Offer, Order, Plan, Supplier

WEEK = 7


@dataclass(frozen=True)
class Comparison:
    """The cheapest purchase beside others; None where there is none that meets all that the cheapest meets. soonest: the
    one that is complete first, None where the cheapest is that already."""

    plan: Plan
    week_earlier: Plan | None
    one_supplier: Plan | None
    soonest: Plan | None = None

    @property
    def week_earlier_costs(self) -> float | None:
        """How much more it costs to have all of it a week earlier [currency]."""
        return None if self.week_earlier is None else round(self.week_earlier.cost - self.plan.cost, 4)

    @property
    def one_supplier_costs(self) -> float | None:
        """How much more it costs to place one order only [currency]."""
        return None if self.one_supplier is None else round(self.one_supplier.cost - self.plan.cost, 4)


def buy(
    needs: Sequence[Need], offers: Iterable[Offer], suppliers: Iterable[Supplier] = (), days: float | None = None
) -> Plan:
    """The cheapest purchase of all needs.

    days: until everything must be there; None for no date. A supplier that is not named asks neither freight nor a
    minimum. Needs that nothing serves in time are named in the plan and left out of it.
    """
    found, unmet = pools(needs, in_time(offers, days))
    terms = {supplier.name: supplier for supplier in suppliers}
    try:
        best = BuySearch(found, terms).run()
    except TooLarge:
        return Plan(0.0, (), unmet=tuple(need.key for need in needs), exact=False)
    return _plan(best, terms, unmet)


def compare(
    needs: Sequence[Need], offers: Sequence[Offer], suppliers: Sequence[Supplier] = (), days: float | None = None
) -> Comparison:
    """The cheapest purchase, the same a week earlier, and the same from one supplier."""
    plan = buy(needs, offers, suppliers, days)
    until = days if days is not None else plan.lead_days
    earlier = buy(needs, offers, suppliers, until - WEEK) if until is not None and until >= WEEK else None
    first = _soonest(needs, offers, suppliers, plan)
    return Comparison(plan, _as_full(earlier, plan), _one_supplier(needs, offers, suppliers, days, plan), first)


def _soonest(needs: Sequence[Need], offers: Sequence[Offer], suppliers: Sequence[Supplier], full: Plan) -> Plan | None:
    """The purchase that is complete first, at its least cost."""
    met = [need.key for need in needs if need.key not in full.unmet]
    least = [
        min((one.lead_days for one in offers if key in one.serves and one.lead_days is not None), default=None)
        for key in met
    ]
    days = [day for day in least if day is not None]
    if len(days) < len(least) or not days or (full.lead_days is not None and max(days) >= full.lead_days):
        return None
    return _as_full(buy(needs, offers, suppliers, max(days)), full)


def _one_supplier(
    needs: Sequence[Need], offers: Sequence[Offer], suppliers: Sequence[Supplier], days: float | None, full: Plan
) -> Plan | None:
    if len(full.suppliers) < 2:
        return full if full.orders else None
    names = sorted({offer.supplier for offer in offers})
    each = (buy(needs, [one for one in offers if one.supplier == name], suppliers, days) for name in names)
    whole = [plan for plan in each if _as_full(plan, full)]
    return min(whole, key=lambda plan: plan.cost, default=None)


def _as_full(plan: Plan | None, full: Plan) -> Plan | None:
    """The plan, if it leaves out no more than the full one."""
    return plan if plan is not None and set(plan.unmet) <= set(full.unmet) else None


def _plan(best: Best, terms: dict[str, Supplier], unmet: tuple[str, ...]) -> Plan:
    orders = tuple(Order(pick.offer, packs) for pick, packs in sorted(best.picks, key=_place))
    spent: dict[str, float] = {}
    for order in orders:
        spent[order.offer.supplier] = spent.get(order.offer.supplier, 0.0) + order.total
    known = {name: terms.get(name, Supplier(name)) for name in sorted(spent)}
    topped = {name: round(one.minimum - spent[name], 4) for name, one in known.items() if one.minimum > spent[name]}
    freight = {name: one.freight for name, one in known.items() if one.freight}
    cost = round(sum(spent.values()) + sum(topped.values()) + sum(freight.values()), 4)
    least = min(cost, round(best.at_least / PRICE_STEPS, 4))
    return Plan(cost, orders, freight, topped, _until(orders), unmet, best.exact or least >= cost, least)


def _place(chosen: tuple[object, int]) -> tuple[str, str, str]:
    offer = chosen[0].offer  # type: ignore[attr-defined]
    return offer.supplier, offer.part_number, offer.description


def _until(orders: Iterable[Order]) -> float | None:
    days = [order.offer.lead_days for order in orders]
    return None if None in days else max((day for day in days if day is not None), default=0.0)


__all__ = ["PRICE_STEPS", "Comparison", "Need", "Offer", "Order", "Plan", "Supplier", "buy", "compare"]
