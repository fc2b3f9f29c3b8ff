"""Offers made ready for the search: sorted out by date, rid of those that another of the same supplier beats, and
divided into pools that have no need in common."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil, gcd
from operator import itemgetter

from bomcheck.parts.buy_types import PRICE_STEPS, Need, Offer, steps

GRID = 1e6  # quantities are held as whole millionths of a unit
TINY = 1e-9


@dataclass(frozen=True, slots=True)
class Pick:
    """An offer inside a pool: needs as positions; size in the pool's grid, price in 1/10000; kind from 1, 0 where all
    offers of the pool are of one kind."""

    offer: Offer
    needs: tuple[int, ...]
    size: int
    price: int
    least: int
    kind: int = 0


@dataclass(frozen=True)
class Pool:
    """Needs that share offers. amounts: of each need, as multiples of the largest step that divides all amounts and
    packs. picks: the offers left, by supplier, then price."""

    keys: tuple[str, ...]
    amounts: tuple[int, ...]
    picks: tuple[Pick, ...]

    @property
    def suppliers(self) -> frozenset[str]:
        """Who offers anything here."""
        return frozenset(pick.offer.supplier for pick in self.picks)


def in_time(offers: Iterable[Offer], days: float | None) -> list[Offer]:
    """Offers that arrive within the days; an offer without a lead time only if no date is set."""
    if days is None:
        return list(offers)
    return [offer for offer in offers if offer.lead_days is not None and offer.lead_days <= days]


def pools(needs: Sequence[Need], offers: Sequence[Offer]) -> tuple[list[Pool], tuple[str, ...]]:
    """(Pools, keys of needs that nothing serves)."""
    amounts = {need.key: round(need.quantity * GRID) for need in needs if need.quantity > TINY}
    best = _unbeaten(offers, amounts)
    served = {key for offer in best for key in offer.serves if key in amounts}
    unmet = tuple(key for key in amounts if key not in served)
    groups = _groups([key for key in amounts if key in served], best)
    return [_pool(keys, amounts, best) for keys in groups], unmet


def _pool(keys: tuple[str, ...], amounts: dict[str, int], offers: Sequence[Offer]) -> Pool:
    place = {key: number for number, key in enumerate(keys)}
    mine = [offer for offer in offers if not place.keys().isdisjoint(offer.serves)]
    grid = gcd(*(amounts[key] for key in keys), *(_size(offer) for offer in mine))
    kinds = sorted({offer.kind for offer in mine})
    number = {kind: n for n, kind in enumerate(kinds, start=1)} if len(kinds) > 1 else {}
    picks = [_pick(offer, place, grid, number.get(offer.kind, 0)) for offer in mine]
    picks.sort(key=lambda pick: (pick.offer.supplier, pick.price, -pick.size, pick.offer.part_number))
    return Pool(keys, tuple(amounts[key] // grid for key in keys), tuple(picks))


def _size(offer: Offer) -> int:
    return round(offer.pack_size * GRID)


def _pick(offer: Offer, place: dict[str, int], grid: int, kind: int) -> Pick:
    needs = tuple(sorted(place[key] for key in offer.serves if key in place))
    return Pick(offer, needs, _size(offer) // grid, steps(offer.price), max(1, offer.least_packs), kind)


def _groups(keys: Sequence[str], offers: Sequence[Offer]) -> list[tuple[str, ...]]:
    """Keys that are connected through an offer, each group in the order of the keys."""
    parent = {key: key for key in keys}

    def root(key: str) -> str:
        while parent[key] != key:
            parent[key] = key = parent[parent[key]]
        return key

    for offer in offers:
        together = [key for key in offer.serves if key in parent]
        for key in together[1:]:
            parent[root(key)] = root(together[0])
    groups: dict[str, list[str]] = {}
    for key in keys:
        groups.setdefault(root(key), []).append(key)
    return [tuple(group) for group in groups.values()]


Row = tuple[int, float, int, str, Offer]
"""Price, minus the size, fewest packs, part number, the offer: sorts the cheapest pack first."""


def _unbeaten(offers: Iterable[Offer], amounts: dict[str, int]) -> list[Offer]:
    """Offers that no other of the same supplier and kind for the same needs beats, whatever is bought."""
    known = amounts.keys()
    alike: dict[tuple[str, str, frozenset[str]], list[Row]] = {}
    for offer in offers:
        serves = offer.serves if offer.serves <= known else offer.serves & known
        if serves and offer.pack_size > 0:
            row = (
                round(offer.price * PRICE_STEPS),
                -offer.pack_size,
                max(1, offer.least_packs),
                offer.part_number,
                offer,
            )
            alike.setdefault((offer.supplier, offer.kind, serves), []).append(row)
    return [row[4] for group in alike.values() for row in _front(group)]


def _front(group: list[Row]) -> list[Row]:
    """Cheapest pack first; an offer stays if packs of no other hold as much for as little."""
    kept: list[Row] = []
    for row in sorted(group, key=_ROW_ORDER):
        if not any(_beats(other, row) for other in kept):
            kept.append(row)
    return kept


_ROW_ORDER = itemgetter(0, 1, 2, 3)


def _beats(one: Row, other: Row) -> bool:
    """Whether so many packs of `one` replace each pack of `other` at no higher price, and may be bought as few."""
    times = max(1, ceil(other[1] / one[1] - TINY))
    return one[0] * times <= other[0] and one[2] <= times * other[2]
