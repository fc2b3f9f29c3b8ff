"""From a job's shortages and its price list to the question that `bomcheck.parts.buy` answers."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import inf

from bomcheck.job import Job, Part
from bomcheck.parts.buy_types import Need, Offer, Supplier
from bomcheck.parts.counting import per_unit
from bomcheck.parts.names import same_name
from bomcheck.parts.settled import Settled
from bomcheck.parts.spec import fit
from bomcheck.parts.typed import amount
from bomcheck.parts.wanted import Wanted


@dataclass(frozen=True)
class Question:
    """needs: what is short, by the key of its line. offers: of the price list; those without a price are left out. sold:
    the line of the price list by offer. suppliers: terms, under the names of the price list."""

    needs: tuple[Need, ...]
    offers: tuple[Offer, ...]
    sold: Mapping[Offer, Part]
    suppliers: tuple[Supplier, ...]


def question(job: Job, settled: Settled) -> Question:
    """What is to be bought, and every offer that serves any of it with all that matters stated.

    What the shop typed in the list counts: what it has on hand is not bought, and where it named a supplier only that
    one's offers serve the line.
    """
    short = list(_still_short(job, settled))
    needs = tuple(Need(one.key, lack) for one, lack in short)
    by_role: dict[str, list[tuple[Wanted, float]]] = {}
    for one, lack in short:
        by_role.setdefault(one.demand.role, []).append((one, lack))
    sold = {offer: part for part in job.prices for offer in _offers(part, _his(part, by_role, job))}
    return Question(needs, tuple(sold), sold, tuple(_terms(job)))


def _still_short(job: Job, settled: Settled) -> Iterator[tuple[Wanted, float]]:
    for one, lack in settled.short():
        left = round(lack - (amount(job.own.get(one.key, {}), "on_hand") or 0.0), 6)
        if left > 0:
            yield one, left


def chosen_supplier(job: Job, key: str) -> str:
    """The supplier that the shop named for a line, "" for none."""
    return str(job.own.get(key, {}).get("own_supplier") or "").strip()


def _his(part: Part, by_role: Mapping[str, list[tuple[Wanted, float]]], job: Job) -> list[tuple[Wanted, float]]:
    """The lines that this part's supplier may serve."""
    lines = by_role.get(part.role, [])
    return [one for one in lines if not (name := chosen_supplier(job, one[0].key)) or same_name(name, part.supplier)]


def _terms(job: Job) -> Iterator[Supplier]:
    """The terms under the names of the price list."""
    for name in dict.fromkeys(part.supplier for part in job.prices if part.supplier):
        found = next((one for one in job.terms if same_name(one.supplier, name)), None)
        if found is not None:
            yield Supplier(name, found.freight, found.minimum)


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
        description=part.description, kind=_kind(part),
    )  # fmt: skip


SIZES = ("thread", "length", "thickness", "inner_diameter", "outer_diameter", "strength_class", "end_a", "end_b")


def _kind(part: Part) -> str:
    """Parts of one kind may lie beside one another: the same sizes and class; where none are stated, the same part."""
    stated = [str(getattr(value, "name", value)) for key in SIZES if (value := getattr(part, key)) not in (None, "")]
    return " | ".join(stated) or part.part_number or part.description
