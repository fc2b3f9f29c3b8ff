"""From a job's shortages and its price list to the question that `bomcheck.parts.buy` answers."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf

from bomcheck.job import Job, Part
from bomcheck.parts.balance import Settled
from bomcheck.parts.buy import Need, Offer
from bomcheck.parts.counting import per_unit
from bomcheck.parts.spec import fit
from bomcheck.parts.wanted import Wanted


@dataclass(frozen=True)
class Question:
    """needs: what is short, by the key of its line. offers: of the price list; those without a price are left out."""

    needs: tuple[Need, ...]
    offers: tuple[Offer, ...]


def question(job: Job, settled: Settled) -> Question:
    """What is to be bought, and every offer that serves any of it with all that matters stated."""
    short = settled.short()
    needs = tuple(Need(one.key, lack) for one, lack in short)
    by_role: dict[str, list[tuple[Wanted, float]]] = {}
    for one, lack in short:
        by_role.setdefault(one.demand.role, []).append((one, lack))
    offers = (offer for part in job.prices for offer in _offers(part, by_role.get(part.role, [])))
    return Question(needs, tuple(offers))


def _offers(part: Part, short: Sequence[tuple[Wanted, float]]) -> list[Offer]:
    """One offer for all lines that count alike; a container that is enough for any car is an offer for each line."""
    if part.unit_price is None:
        return []
    shared: dict[float, set[str]] = {}
    offers = []
    for one, lack in short:
        answer = fit(part, one.demand)
        factor = per_unit(part.role, part.unit, one.demand.unit)
        if factor is None or not (answer.surely or answer.unstated == ("contents",)) or answer.against:
            continue
        if factor == inf:
            offers.append(_offer(part, {one.key}, lack))
        else:
            shared.setdefault(factor, set()).add(one.key)
    offers += [_offer(part, keys, (part.pack_size or 1.0) * factor) for factor, keys in shared.items()]
    return offers


def _offer(part: Part, keys: set[str], pack_size: float) -> Offer:
    price = round((part.unit_price or 0.0) * (part.pack_size or 1.0), 4)
    return Offer(
        part.part_number, part.supplier, frozenset(keys), pack_size, price, lead_days=part.lead_days,
        description=part.description,
    )  # fmt: skip
