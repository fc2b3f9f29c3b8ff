"""The purchase in sentences: what it costs, when it is there, and what sooner or from one supplier would cost."""

from collections.abc import Iterator

from bomcheck.supply.buy_problem import Plan
from bomcheck.supply.buying import SAME, Buying, Comparison

LEAST = 0.005  # currency: less is no difference on paper


def buying_words(buying: Buying | None, currency: str) -> Iterator[str]:
    """One sentence for each; none where nothing is to be bought at a known price. currency: as on the Job sheet."""
    if buying is None or (buying.compared is None and not buying.own):
        return
    plan = buying.compared.plan if buying.compared else None
    if buying.late is not None:
        yield from _late(buying, buying.late, currency)
    if buying.left_out:
        yield f"Not counted, as no price or no source is known: {_lines(buying.left_out)}, see the remarks"
    own = sum(cost for _, cost in buying.own)
    if buying.own:
        names = _and(tuple(dict.fromkeys(name for name, _ in buying.own)))
        rest = f"; {_money(plan.cost + own, currency)} in all with what follows" if plan and plan.orders else ""
        yield f"At prices of your own: {_money(own, currency)}, from {names}{rest}"
    if buying.compared is None or plan is None or not plan.orders:
        return
    yield _cheapest(buying, plan, currency)
    yield from _others(buying.compared, currency)
    if buying.cost > plan.cost + SAME:
        yield f"Packs divided between lines would save {_money(buying.cost - plan.cost, currency)}"
    if not plan.exact:
        yield f"The search was cut short: nothing below {_money(plan.at_least, currency)} exists"


def _cheapest(buying: Buying, plan: Plan, currency: str) -> str:
    beside = [name for name, there in (("freight", plan.freight), ("minimum orders", plan.topped_up)) if there]
    included = f", {' and '.join(beside)} included" if beside else ""
    title = "Cheapest purchase" if buying.days is None else "Cheapest purchase that is there in time"
    unknown = f"; freight of {_and(buying.no_terms)} not known" if buying.no_terms else ""
    return f"{title}: {_money(plan.cost, currency)}{included}, from {_and(plan.suppliers)}{unknown}{_days(plan)}"


def _late(buying: Buying, late: Plan, currency: str) -> Iterator[str]:
    """What cannot be there by the day, and when it can."""
    if (buying.days or 0.0) < 0:
        yield "The day by which it is needed has passed: correct it on the Job sheet"
    count = len({key for order in late.orders for key in order.offer.serves})
    yield f"Not there in time: {_lines(count)}, at the soonest for {_money(late.cost, currency)}{_days(late)}"


def _lines(count: int) -> str:
    return f"{count} line{'' if count == 1 else 's'}"


def _days(plan: Plan) -> str:
    if plan.lead_days is None:
        return ", lead time not known for all of it"
    return f", all there in {plan.lead_days:g} day{'' if plan.lead_days == 1 else 's'}"


def _others(compared: Comparison, currency: str) -> Iterator[str]:
    """Sooner, and from one supplier; where both are one purchase, once."""
    offered = (("A week earlier", compared.week_earlier), ("The soonest", compared.soonest))
    other = ((words, plan) for words, plan in offered if plan and plan.orders != compared.plan.orders)
    title, sooner = next(other, ("", None))
    one = compared.one_supplier if len(compared.plan.suppliers) > 1 else None
    if sooner and one and (sooner.cost, sooner.suppliers) == (one.cost, one.suppliers):
        yield f"{title}, and all from one supplier, {_other(one, compared.plan, currency)}"
        return
    yield f"{title}, from {_other(sooner, compared.plan, currency)}" if sooner else "It cannot be there sooner"
    if one and one.suppliers:
        yield f"All from one supplier, {_other(one, compared.plan, currency)}"
    elif len(compared.plan.suppliers) > 1:
        yield "No one supplier has all of it"


def _other(plan: Plan, cheapest: Plan, currency: str) -> str:
    more = plan.cost - cheapest.cost
    beside = "at the same price" if more < LEAST else f"{_money(more, currency)} more"
    return f"{_and(plan.suppliers)}: {beside}{_days(plan)}"


def _money(amount: float, currency: str) -> str:
    return f"{amount:,.2f} {currency}".strip()


def _and(names: tuple[str, ...]) -> str:
    known = [name or "a supplier not named" for name in names]
    return known[0] if len(known) == 1 else f"{', '.join(known[:-1])} and {known[-1]}"
