"""Buying: the cheapest purchase that is there in time, and what it would cost to have it sooner or from one supplier.

The search is exact: whole packs, freight once per supplier, minimum orders, and packs shared by several needs.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import field
from math import ceil, inf

from bomcheck.model.demand import Demand
from bomcheck.model.job import Job, Part
from bomcheck.model.line import entries_of, own_price, price_per, same_name
from bomcheck.model.records import dataclass, replace
from bomcheck.supply.buy_problem import PRICE_STEPS, Need, Offer, Order, Plan, Supplier, in_time, owners, pools, shares
from bomcheck.supply.buy_search import Best, cheapest
from bomcheck.supply.counting import per_unit
from bomcheck.supply.offers import BOTTLE
from bomcheck.supply.spec import fit
from bomcheck.supply.stock import Settled, Wanted

WEEK = 7


@dataclass(frozen=True)
class Comparison:
    """The cheapest purchase beside others; None where there is none that meets all that the cheapest meets. soonest: the
    one that is complete first, None where the cheapest is that already."""

    plan: Plan
    week_earlier: Plan | None
    one_supplier: Plan | None
    soonest: Plan | None = None


def buy(
    needs: Sequence[Need], offers: Iterable[Offer], suppliers: Iterable[Supplier] = (), days: float | None = None
) -> Plan:
    """The cheapest purchase of all needs.

    days: until everything must be there; None for no date. A supplier that is not named asks neither freight nor a
    minimum. Needs that nothing serves in time are named in the plan and left out of it.
    """
    found, unmet = pools(needs, in_time(offers, days))
    terms = {supplier.name: supplier for supplier in suppliers}
    best = cheapest(found, terms)
    if best.cost == inf:
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


@dataclass(frozen=True)
class Question:
    """needs: what is short, by the key of its line. offers: of the price list; those without a price are left out. sold:
    the line of the price list by offer, per: what its price is for. suppliers: terms, under the names of the price list."""

    needs: tuple[Need, ...]
    offers: tuple[Offer, ...]
    sold: Mapping[Offer, Part]
    suppliers: tuple[Supplier, ...]
    per: Mapping[Offer, str]


def question(job: Job, settled: Settled) -> Question:
    """What is to be bought, and every offer that serves any of it with all that matters stated.

    What the shop typed in the list counts: what it has on hand is not bought, and where it named a supplier only that
    one's offers serve the line.
    """
    lacks = [(one, still_lacking(job, one.key, lack)) for one, lack in settled.short()]
    short = [(one, lack) for one, lack in lacks if lack > 0]
    needs = tuple(Need(one.key, lack) for one, lack in short)
    by_role: dict[str, list[tuple[Wanted, float]]] = {}
    for one, lack in short:
        by_role.setdefault(one.demand.role, []).append((one, lack))
    offers = [(offer, part, per) for part in job.prices for offer, per in _offers(part, _his(part, by_role, job))]
    sold = {offer: part for offer, part, _ in offers}
    return Question(needs, tuple(sold), sold, tuple(_terms(job)), {offer: per for offer, _, per in offers})


def still_lacking(job: Job, key: str, lack: float) -> float:
    """What is to be bought for a line once what the shop has on hand is taken off [unit of the line]."""
    return max(0.0, round(lack - entries_of(job.own.get(key, {})).on_hand, 6))


def _his(part: Part, by_role: Mapping[str, list[tuple[Wanted, float]]], job: Job) -> list[tuple[Wanted, float]]:
    """The lines that this part's supplier may serve."""
    lines = by_role.get(part.role, [])
    named = [entries_of(job.own.get(one[0].key, {})).supplier for one in lines]
    his = [one for one, name in zip(lines, named, strict=True) if not name or same_name(name, part.supplier)]
    mine = (part.part_number, part.supplier)
    return [one for one in his if mine in (_was_ordered(one[0], job) or {mine})] if job.ordered else his


def _was_ordered(wanted: Wanted, job: Job) -> set[tuple[str, str]]:
    """What was ordered for a line, as long as the price list has it and it serves; a supplier that is typed since then rules."""
    shown = job.ordered.get(wanted.key, frozenset()) if not entries_of(job.own.get(wanted.key, {})).supplier else ()
    mine = {(one.part_number, one.supplier): one for one in job.prices if (one.part_number, one.supplier) in shown}
    return set(mine) if all(fit(one, wanted.demand).serves for one in mine.values()) else set()


def _terms(job: Job) -> Iterator[Supplier]:
    """The terms under the names of the price list."""
    for name in dict.fromkeys(part.supplier for part in job.prices if part.supplier):
        found = next((one for one in job.terms if same_name(one.supplier, name)), None)
        if found is not None:
            yield Supplier(name, found.freight, found.minimum)


def _offers(part: Part, short: Sequence[tuple[Wanted, float]]) -> list[tuple[Offer, str]]:
    """One offer for all lines that count alike, with what its price is for; a container that is enough for any car is an
    offer for each line."""
    if part.unit_price is None:
        return []
    shared: dict[tuple[float, str], set[str]] = {}
    offers = []
    for one, lack in short:
        answer = fit(part, one.demand)
        factor = per_unit(part.role, part.unit, one.demand.unit)
        if factor is None or not (answer.surely or answer.unstated == ("contents",)) or answer.against:
            continue
        if factor == inf:
            offers.append((_offer(part, {one.key}, lack), BOTTLE))
        else:
            size = (part.pack_size or 1.0) * factor
            shared.setdefault((size, price_per(one.demand.unit, round(size, 6))), set()).add(one.key)
    return offers + [(_offer(part, keys, size), per) for (size, per), keys in shared.items()]


def _offer(part: Part, keys: set[str], pack_size: float) -> Offer:
    price = round((part.unit_price or 0.0) * (part.pack_size or 1.0), 4)
    return Offer(
        part.part_number, part.supplier, frozenset(keys), pack_size, price, lead_days=part.lead_days,
        description=part.description, kind=_kind(part),
    )  # fmt: skip


SIZES = ("thread", "length", "thickness", "inner_diameter", "outer_diameter", "strength_class", "end_a", "end_b")


def _kind(part: Part) -> str:
    """Parts of one kind may lie beside one another: the same sizes and class; where none are stated, the same part."""
    stated = [str(getattr(value, "name", value)) for key in SIZES if (value := getattr(part, key)) not in (None, "")]
    return " | ".join(stated) or part.part_number or part.description


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
    packs = [(one, ceil(need.quantity / one.pack_size - TINY)) for one in offers if need.key in one.serves]
    serving = [Order(one, max(one.least_packs, count)) for one, count in packs]
    return min(serving, key=_rank, default=None)


def _rank(order: Order) -> tuple[object, ...]:
    offer = order.offer
    return order.total, inf if offer.lead_days is None else offer.lead_days, offer.supplier, offer.part_number


def with_own_prices(asked: Question, job: Job, days: float | None) -> Question:
    """The same question with one offer for each line that has such a price: the cheapest that is listed, at that price.

    A price of the shop's own that is for something else than what this offer is sold in is not used.
    """
    entries = {need.key: entries_of(job.own.get(need.key, {})) for need in asked.needs}
    mine = [need for need in asked.needs if entries[need.key].price is not None]
    best = {**singly(mine, asked.offers, None), **singly(mine, asked.offers, days)}
    own = {
        key: price
        for key, order in best.items()
        if (price := own_price(entries[key], asked.per[order.offer])) is not None
    }
    sold, per = {}, {}
    for offer, part in asked.sold.items():
        left = replace(offer, serves=offer.serves.difference(own))
        if left.serves:
            sold[left], per[left] = part, asked.per[offer]
    for key, price in own.items():
        offer = replace(best[key].offer, serves=frozenset({key}), price=price)
        sold[offer], per[offer] = asked.sold[best[key].offer], asked.per[best[key].offer]
    return replace(asked, offers=tuple(sold), sold=sold, per=per)


SAME = 1e-4  # currency: two purchases of one price


@dataclass(frozen=True)
class Buying:
    """days: until all must be there, None for no date. compared: the cheapest purchase beside others; None where nothing
    that is short has a price. lines: by key the orders that serve it, the largest packs first. also_for: by key the other
    lines that take from the packs of its order. sold: the line of the price list by offer. cost [currency]: of what the
    lines show; more than the cheapest only where that divides packs in a way that a list cannot show. left_out: lines
    that are short but have no price or no source. own: (supplier, cost) of what the shop gets elsewhere at a price of its own. late: what cannot be there by the day, as soon as it can be had. no_terms: suppliers of
    the cheapest whose freight nobody stated. wanted: the demand of each line.
    """

    days: float | None = None
    compared: Comparison | None = None
    lines: Mapping[str, tuple[Order, ...]] = field(default_factory=dict)
    also_for: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    sold: Mapping[Offer, Part] = field(default_factory=dict)
    cost: float = 0.0
    left_out: int = 0
    own: tuple[tuple[str, float], ...] = ()
    late: Plan | None = None
    no_terms: tuple[str, ...] = ()
    wanted: Mapping[str, Demand] = field(default_factory=dict)

    def owner(self, key: str) -> str:
        """The line out of whose packs this one is served, "" for none."""
        return next((one for one, others in self.also_for.items() if key in others), "")


def buying(job: Job, settled: Settled, days: float | None) -> Buying:
    """The purchase of everything that is short and priced."""
    asked = with_own_prices(question(job, settled), job, days)
    found = _cheapest(asked, days)
    if days is not None:
        found = _with_late(asked, found)
    terms = {one.name for one in asked.suppliers}
    plan = found.compared.plan.suppliers if found.compared and terms else ()
    left_out = sum(need.key not in found.lines for need in asked.needs)
    wanted = {one.key: one.demand for one in settled.wanted}
    return replace(found, left_out=left_out, wanted=wanted, no_terms=tuple(name for name in plan if name not in terms))


def _with_late(asked: Question, found: Buying) -> Buying:
    """With what cannot be there by the day: as soon as the last of it can be had, at the least cost."""
    sold = {
        replace(offer, serves=frozenset({key})): part
        for offer, part in asked.sold.items()
        for key in offer.serves - found.lines.keys()
        if offer.lead_days is not None
    }
    needs = [need for need in asked.needs if any(need.key in offer.serves for offer in sold)]
    if not needs:
        return found
    soonest = max(min(one.lead_days or 0.0 for one in sold if need.key in one.serves) for need in needs)
    plan = buy(needs, tuple(sold), asked.suppliers, soonest)
    lines: dict[str, list[Order]] = {}
    for order in sorted(plan.orders, key=lambda one: -one.offer.pack_size):
        for key in order.offer.serves:
            lines.setdefault(key, []).append(order)
    late = {key: tuple(orders) for key, orders in lines.items()}
    return replace(found, lines={**found.lines, **late}, sold={**found.sold, **sold}, late=plan if late else None)


def _cheapest(asked: Question, days: float | None) -> Buying:
    """The cheapest purchase that is there in time, line by line."""
    if not asked.needs or not asked.offers:
        return Buying(days, sold=asked.sold)
    compared = compare(asked.needs, asked.offers, asked.suppliers, days)
    alone = singly(asked.needs, asked.offers, days)
    simple = Buying(
        days, compared, {key: (order,) for key, order in alone.items()}, {}, asked.sold, cost_of(alone.values(), asked.suppliers)
    )  # fmt: skip
    if simple.cost <= compared.plan.cost + SAME:
        return simple
    return _by_line(compared.plan, asked, simple) or simple


def _by_line(plan: Plan, asked: Question, simple: Buying) -> Buying | None:
    """The plan by line; None where packs are shared by lines that are served by several orders."""
    given = shares(plan.orders, asked.needs)
    if given is None:
        return None
    lines: dict[str, list[Order]] = {}
    for order, parts in zip(plan.orders, given, strict=True):
        for key in parts:
            lines.setdefault(key, []).append(order)
    if any(len(parts) > 1 and any(len(lines[key]) > 1 for key in parts) for parts in given):
        return None
    if any(len({order.offer.kind for order in found}) > 1 for found in lines.values()):
        return None
    ordered = {key: tuple(sorted(found, key=lambda one: -one.offer.pack_size)) for key, found in lines.items()}
    return replace(simple, lines=ordered, also_for=dict(owners(given)), cost=plan.cost)
