"""The cheapest purchase by trying everything: every number of packs of every offer, checked by a matching of needs."""

from dataclasses import replace
from itertools import product
from math import ceil

from bomcheck.supply.buying import Need, Offer, Supplier


def cheapest(needs: list[Need], offers: list[Offer], suppliers: list[Supplier]) -> float:
    """Least cost over all purchases; inf if there is none. Written apart from the search: no pools, no bounds."""
    most = [_most(offer, needs) for offer in offers]
    ways = product(*(_counts(offer, limit) for offer, limit in zip(offers, most, strict=True)))
    return min((_cost(offers, way, suppliers) for way in ways if _covers(needs, offers, way)), default=float("inf"))


def _most(offer: Offer, needs: list[Need]) -> int:
    return max(
        offer.least_packs, ceil(sum(n.quantity for n in needs if n.key in offer.serves) / offer.pack_size - 1e-9)
    )


def _counts(offer: Offer, most: int) -> list[int]:
    return [0, *range(offer.least_packs, most + 1)]


def _covers(needs: list[Need], offers: list[Offer], way: tuple[int, ...]) -> bool:
    """Whether it is enough with some choice of one kind of part for each need."""
    kinds = sorted({offer.kind for offer in offers})
    choices = product(kinds, repeat=len(needs)) if len(kinds) > 1 else [()]
    return any(_enough(needs, _of_kinds(needs, offers, choice), way) for choice in choices)


def _of_kinds(needs: list[Need], offers: list[Offer], choice: tuple[str, ...]) -> list[Offer]:
    if not choice:
        return offers
    kind = {need.key: one for need, one in zip(needs, choice, strict=True)}
    return [replace(one, serves=frozenset(key for key in one.serves if kind.get(key) == one.kind)) for one in offers]


def _enough(needs: list[Need], offers: list[Offer], way: tuple[int, ...]) -> bool:
    """Hall's condition: every group of needs finds enough in the offers that serve any of them."""
    for bits in range(1, 1 << len(needs)):
        group = [need for number, need in enumerate(needs) if bits >> number & 1]
        keys = {need.key for need in group}
        there = sum(offer.pack_size * packs for offer, packs in zip(offers, way, strict=True) if offer.serves & keys)
        if there < sum(need.quantity for need in group) - 1e-9:
            return False
    return True


def _cost(offers: list[Offer], way: tuple[int, ...], suppliers: list[Supplier]) -> float:
    spent: dict[str, float] = {}
    for offer, packs in zip(offers, way, strict=True):
        if packs:
            spent[offer.supplier] = spent.get(offer.supplier, 0.0) + offer.price * packs
    terms = {supplier.name: supplier for supplier in suppliers}
    return sum(max(goods, terms[name].minimum) + terms[name].freight for name, goods in spent.items())
