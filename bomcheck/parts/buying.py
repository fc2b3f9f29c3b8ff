"""What is bought for each line of the parts list: the cheapest purchase that is there in time, line by line."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from bomcheck.job import Job, Part
from bomcheck.parts.buy import Comparison, Offer, Order, Plan, buy, compare
from bomcheck.parts.buy_job import Question, question
from bomcheck.parts.buy_own import with_own_prices
from bomcheck.parts.buy_share import shares
from bomcheck.parts.buy_singly import cost_of, singly
from bomcheck.parts.settled import Settled

SAME = 1e-4  # currency: two purchases of one price


@dataclass(frozen=True)
class Buying:
    """days: until all must be there, None for no date. compared: the cheapest purchase beside others; None where nothing
    that is short has a price. lines: by key the orders that serve it, the largest packs first. also_for: by key the other
    lines that take from the packs of its order. sold: the line of the price list by offer. cost [currency]: of what the
    lines show; more than the cheapest only where that divides packs in a way that a list cannot show. left_out: lines
    that are short but have no price or no source. late: what cannot be there by the day, as soon as it can be had.
    """

    days: float | None = None
    compared: Comparison | None = None
    lines: Mapping[str, tuple[Order, ...]] = field(default_factory=dict)
    also_for: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    sold: Mapping[Offer, Part] = field(default_factory=dict)
    cost: float = 0.0
    left_out: int = 0
    late: Plan | None = None

    def owner(self, key: str) -> str:
        """The line out of whose packs this one is served, "" for none."""
        return next((one for one, others in self.also_for.items() if key in others), "")


def buying(job: Job, settled: Settled, days: float | None) -> Buying:
    """The purchase of everything that is short and priced."""
    asked = with_own_prices(question(job, settled), job, days)
    found = _cheapest(asked, days)
    if days is not None:
        found = _with_late(asked, found)
    return replace(found, left_out=sum(need.key not in found.lines for need in asked.needs))


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
    return replace(simple, lines=ordered, also_for=dict(_owners(given)), cost=plan.cost)


def _owners(given: Sequence[Mapping[str, float]]) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Of lines that share the packs of one order the one that takes most carries the order."""
    for parts in given:
        if len(parts) > 1:
            owner = max(parts, key=lambda key: parts[key])
            yield owner, tuple(key for key in parts if key != owner)
