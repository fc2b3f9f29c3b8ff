"""The purchase in sentences: what it costs, when it is there, and what sooner or from one supplier would cost."""

from collections.abc import Iterator

from bomcheck.parts.buy_types import Plan
from bomcheck.parts.buying import SAME, Buying

LEAST = 0.005  # currency: less is no difference on paper


def buying_words(buying: Buying | None, currency: str) -> Iterator[str]:
    """One sentence for each; none where nothing is to be bought at a known price. currency: as on the Job sheet."""
    if buying is None or buying.compared is None or not buying.compared.plan.orders:
        return
    compared, plan = buying.compared, buying.compared.plan
    yield _cheapest(buying, plan, currency)
    yield _sooner(buying, currency)
    if len(plan.suppliers) > 1:
        one = compared.one_supplier
        yield (
            f"All from one supplier, {one.suppliers[0]}: {_more(one.cost - plan.cost, currency)}{_days(one)}"
            if one is not None and one.suppliers
            else "No one supplier has all of it"
        )
    if buying.cost > plan.cost + SAME:
        yield f"Packs divided between lines would save {_money(buying.cost - plan.cost, currency)}"
    if not plan.exact:
        yield f"The search was cut short: nothing below {_money(plan.at_least, currency)} exists"


def _cheapest(buying: Buying, plan: Plan, currency: str) -> str:
    beside = [name for name, there in (("freight", plan.freight), ("minimum orders", plan.topped_up)) if there]
    included = f", {' and '.join(beside)} included" if beside else ""
    title = "Cheapest purchase" if buying.days is None else "Cheapest purchase that is there in time"
    return f"{title}: {_money(plan.cost, currency)}{included}, from {_and(plan.suppliers)}{_days(plan)}"


def _days(plan: Plan) -> str:
    if plan.lead_days is None:
        return ", lead time not known for all of it"
    return f", all there in {plan.lead_days:g} day{'' if plan.lead_days == 1 else 's'}"


def _sooner(buying: Buying, currency: str) -> str:
    assert buying.compared is not None
    compared = buying.compared
    if compared.week_earlier is not None:
        return f"A week earlier: {_more(compared.week_earlier.cost - compared.plan.cost, currency)}{_days(compared.week_earlier)}"
    if compared.soonest is not None:
        more = _more(compared.soonest.cost - compared.plan.cost, currency)
        return f"A week earlier is not possible; the soonest: {more}{_days(compared.soonest)}"
    return "It cannot be there sooner"


def _more(difference: float, currency: str) -> str:
    return "at the same price" if difference < LEAST else f"{_money(difference, currency)} more"


def _money(amount: float, currency: str) -> str:
    return f"{amount:,.2f} {currency}".strip()


def _and(names: tuple[str, ...]) -> str:
    known = [name or "a supplier not named" for name in names]
    return known[0] if len(known) == 1 else f"{', '.join(known[:-1])} and {known[-1]}"
