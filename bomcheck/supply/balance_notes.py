"""What the parts list says beside a line: questions, shortages, where to look, what comes too late."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from bomcheck.model.line import TO_ORDER, own_price, price_per
from bomcheck.supply.counting import DONE_BY_PEOPLE, said
from bomcheck.supply.offers import Purchase
from bomcheck.supply.spec import called, fit, spec_text, why_not
from bomcheck.supply.stock import BOX, SHELF

if TYPE_CHECKING:
    from bomcheck.supply.balance import Balanced


THE_KITS_OWN = ("rotor", "hat", "bracket", "caliper")
ALIKE = ("cleaner", "cable tie", "torque paint", "line cap")  # one is as good as the other


def notes(line: "Balanced", buy: Purchase | None, status: str) -> str:
    """Sentences, each once."""
    texts = [
        *line.wanted.asks, *_remarks(line), *_shortage(line), *_source(line, buy), *_work(line), *_own_price(line, buy), *_ordered_else(line),
    ]  # fmt: skip
    texts += _purchase(line, buy) if status == TO_ORDER and buy else ()
    return ". ".join(dict.fromkeys(text.rstrip(".") for text in texts if text)).replace("?. ", "? ")


def _own_price(line: "Balanced", buy: Purchase | None) -> Iterator[str]:
    """A price of the shop's own that is for something else than what is bought now."""
    own, unit = line.own, line.wanted.demand.unit
    per = buy.per if buy is not None else price_per(unit, None)
    stated = own.price_per or line.wanted.demand.role not in DONE_BY_PEOPLE
    if own.price is not None and stated and own_price(own, per) is None:
        was = own.price_per or "something not stated"
        yield f"Your price of {own.price:,.2f} was for {was}, this is priced per {per}: type it anew with what it is for"


def _ordered_else(line: "Balanced") -> Iterator[str]:
    """What was ordered and is not what is bought now; a supplier that is typed since then rules."""
    was = line.job.ordered.get(line.wanted.key, frozenset()) if line.short and not line.chosen else frozenset()
    if was and not was & {(one.part_number, one.supplier) for one in line.named()}:
        what = " and ".join(f"{number} of {supplier}" for number, supplier in sorted(was))
        yield f"Ordered was {what}: the price list has it no longer, or it serves no more. Look what becomes of that order"


def _remarks(line: "Balanced") -> list[str]:
    """What the parts at hand do not state."""
    given = [g for g in line.given if g.fit.remark or (g.stock.part.quantity is None and g.stock.part.on_hand is None)]
    texts = [f"{called(g.stock.part)}: {g.fit.remark or 'quantity not stated, counted as 1'}" for g in given]
    return [*texts, *_pads_or_sets(line)]


def _pads_or_sets(line: "Balanced") -> Iterator[str]:
    """Pads typed one by one may be meant as pads; the list counts sets for both wheels of the axle."""
    for one in line.given:
        part = one.stock.part
        if part.role == "pad set" and part.unit == "each" and (part.quantity or 1.0) > 1:
            yield f"{called(part)}: {part.quantity:g} typed, counted as sets. If these are single pads, type 1 and the unit set"


def _shortage(line: "Balanced") -> list[str]:
    demand = line.wanted.demand
    held = any(given.amount for given in line.given if given.stock.kind in (BOX, SHELF))
    texts = (
        [f"{said(line.lack, demand.unit)} short of {said(line.wanted.need, demand.unit)}"] if held and line.lack else []
    )
    against = why_not((*line.job.box, *line.job.shelf), demand) if line.lack else ""
    return [*texts, against]


def _source(line: "Balanced", buy: Purchase | None) -> list[str]:
    """Where to look when nothing is known that serves, or only perhaps."""
    demand = line.wanted.demand
    if not line.lack or demand.role in DONE_BY_PEOPLE:
        return []
    if buy is not None:
        return [f"{called(buy.part)} of the price list: {buy.fit.remark}"] if buy.fit.remark else []
    role = "" if demand.role in demand.said else demand.role
    look = ", ".join(text for text in (role, demand.said, spec_text(demand)) if text)
    refused = why_not(line.prices, demand)
    return [f"Look for {said(line.lack, demand.unit)}: {look}. Supplied by whom: kit maker, shop or customer?", refused]


def _work(line: "Balanced") -> Iterator[str]:
    """Work of the price list is named only: whether it is this work, and how much of it, is for a person to say."""
    if line.wanted.demand.role in DONE_BY_PEOPLE:
        for part in line.prices:
            price = "" if part.unit_price is None else f", {part.unit_price:,.2f}"
            yield f"In the price list: {called(part)}{price}. Type the price beside this line if it is that work"


def _purchase(line: "Balanced", buy: Purchase) -> Iterator[str]:
    """Another supplier than listed, a date that is missed, packs that serve several lines."""
    bought, key = line.bought, line.wanted.key
    if line.is_elsewhere(buy):
        yield f"Not in the price list of {line.chosen}: ask for number, pack and price"
        return
    if bought.days is not None:
        yield from _late(buy, bought.days)
    demand = line.wanted.demand
    if demand.role in THE_KITS_OWN:
        yield "It must belong to this kit: order it by the kit maker's number"
    elif demand.unit in ("each", "set") and demand.role not in ALIKE and not spec_text(demand):
        yield "No size here tells which one fits: compare it with the old part"
    yield from _unpriced(line)
    if bought.owner(key):
        yield "Taken out of the packs of the line above"
    if bought.also_for.get(key):
        yield "These packs serve the next lines too"


def _unpriced(line: "Balanced") -> Iterator[str]:
    """Offers that would serve but cannot be compared."""
    for part in line.prices:
        if part.unit_price is None and fit(part, line.wanted.demand).surely:
            whose = f" of {part.supplier}" if part.supplier else ""
            yield f"{called(part)}{whose} is not compared: the price list has no price for it"


def _late(buy: Purchase, days: float) -> Iterator[str]:
    if buy.part.lead_days is None:
        yield f"Lead time not known: ask whether it is there in {days:g} days"
    elif buy.part.lead_days > days:
        taken = f"{buy.part.lead_days:g} day{'' if buy.part.lead_days == 1 else 's'}"
        needed = f"needed in {days:g}" if days >= 0 else "the day it is needed by has passed"
        yield f"Too late: takes {taken}, {needed}"
