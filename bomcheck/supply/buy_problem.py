"""What a purchase is made of: needs, offers, suppliers' terms, and the plan that comes out. Pure data."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import field
from math import ceil, gcd
from operator import itemgetter

from bomcheck.model.records import dataclass

PRICE_STEPS = 10_000  # prices are added as whole ten-thousandths, so that the order of adding never decides


@dataclass(frozen=True, slots=True)
class Supplier:
    """Terms of one supplier.

    freight [currency]: for one order, whatever is in it. minimum [currency]: an order of goods below it is charged as
    the minimum.
    """

    name: str
    freight: float = 0.0
    minimum: float = 0.0


@dataclass(frozen=True, slots=True)
class Need:
    """quantity: how many of the unit are to be bought under this name."""

    key: str
    quantity: float


@dataclass(frozen=True, slots=True)
class Offer:
    """One line of a price list.

    serves: keys of the needs that it serves, substitutes included; the pieces of one pack may be shared among them.
    pack_size [the needs' unit]. price [currency]: of one pack. least_packs: fewest that are sold. lead_days: None if
    not stated. kind: a need is served by offers of one kind only; which kinds there are is for the caller to say.
    """

    part_number: str
    supplier: str
    serves: frozenset[str]
    pack_size: float
    price: float
    least_packs: int = 1
    lead_days: float | None = None
    description: str = ""
    kind: str = ""


@dataclass(frozen=True, slots=True)
class Order:
    """packs of one offer."""

    offer: Offer
    packs: int

    @property
    def total(self) -> float:
        """Price of the packs [currency]."""
        return round(self.packs * self.offer.price, 4)


@dataclass(frozen=True)
class Plan:
    """The cheapest purchase.

    cost [currency]: goods, freight and what is added up to a supplier's minimum. topped_up [currency]: the last, by
    supplier. lead_days: until the last of it is there, None if some offer does not state it. unmet: needs that no
    offer serves in time. exact: False if the search was cut short; then nothing cheaper than `at_least` exists.
    """

    cost: float
    orders: tuple[Order, ...]
    freight: Mapping[str, float] = field(default_factory=dict)
    topped_up: Mapping[str, float] = field(default_factory=dict)
    lead_days: float | None = 0.0
    unmet: tuple[str, ...] = ()
    exact: bool = True
    at_least: float = 0.0

    @property
    def suppliers(self) -> tuple[str, ...]:
        """Who gets an order."""
        return tuple(sorted({order.offer.supplier for order in self.orders}))


def steps(money: float) -> int:
    """An amount of money as whole ten-thousandths."""
    return round(money * PRICE_STEPS)


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
                round(offer.price * PRICE_STEPS), -offer.pack_size, max(1, offer.least_packs), offer.part_number, offer,
            )  # fmt: skip
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


State = tuple[tuple[int, ...], int, tuple[int, ...]]
"""(What each need lacks, offers with a least quantity that are open, as bits, kind of what each need has in part)."""
Step = tuple[int, int, State]
"""(Number of the pick, packs, where it leads)."""
TOO_MANY = 2_000


class TooLarge(Exception):
    """More states than can be searched."""


class Cover:
    """One pool, restricted to some suppliers."""

    def __init__(self, pool: Pool, allowed: frozenset[str]) -> None:
        self.picks = [pick for pick in pool.picks if pick.offer.supplier in allowed]
        numbers = range(len(self.picks))
        self._serving = [[one for one in numbers if need in self.picks[one].needs] for need in range(len(pool.amounts))]
        self.start: State = (pool.amounts, 0, (0,) * len(pool.amounts))
        self.steps: dict[State, list[Step]] = {}
        self._build()
        self.order = sorted(self.steps, key=lambda state: sum(state[0]))

    def costs(self) -> dict[State, float]:
        """Least cost [1/10000] to the end from each state; inf where there is none."""
        cost: dict[State, float] = {}
        for state in self.order:
            if not any(state[0]):
                cost[state] = 0
                continue
            ways = (self.picks[number].price * packs + cost[then] for number, packs, then in self.steps[state])
            cost[state] = min(ways, default=float("inf"))
        return cost

    def cheapest(self, cost: Mapping[State, float]) -> dict[int, int]:
        """Packs by number of the pick on a cheapest way; cost: from `costs`."""
        state = self.start
        packs: dict[int, int] = {}
        while any(state[0]):
            number, count, state = min(
                self.steps[state], key=lambda step: (self.picks[step[0]].price * step[1] + cost[step[2]], step[0])
            )
            packs[number] = packs.get(number, 0) + count
        return packs

    def _build(self) -> None:
        waiting = [self.start]
        while waiting:
            state = waiting.pop()
            if state in self.steps:
                continue
            if len(self.steps) > TOO_MANY:
                raise TooLarge
            self.steps[state] = steps = list(self._from(state)) if any(state[0]) else []
            waiting += [then for _, _, then in steps if then not in self.steps]

    def _from(self, state: State) -> Iterator[Step]:
        """Buy for the first need that lacks something; offers that serve it only later come in their turn."""
        lacking, opened, kinds = state
        first = next(number for number, amount in enumerate(lacking) if amount)
        for number in self._serving[first]:
            pick = self.picks[number]
            if kinds[first] not in (0, pick.kind):
                continue
            bit = 1 << number if pick.least > 1 else 0
            packs = 1 if opened & bit or pick.least == 1 else pick.least
            if len(pick.needs) == 1:
                left = max(0, lacking[first] - pick.size * packs)
                now = (*lacking[:first], left, *lacking[first + 1 :])
                yield number, packs, (now, opened | bit, self._kinds(kinds, now, pick.kind, lacking))
                continue
            alike = tuple(need for need in pick.needs if kinds[need] in (0, pick.kind))
            for shared in _shared(lacking, alike, pick.size * packs):
                yield number, packs, (shared, opened | bit, self._kinds(kinds, shared, pick.kind, lacking))

    @staticmethod
    def _kinds(kinds: tuple[int, ...], now: tuple[int, ...], kind: int, before: tuple[int, ...]) -> tuple[int, ...]:
        """The kinds after a step: what is complete needs none any more."""
        if not kind:
            return kinds
        return tuple(
            0 if not left else kind if left < was else old for left, was, old in zip(now, before, kinds, strict=True)
        )


def _shared(lacking: tuple[int, ...], needs: tuple[int, ...], size: int) -> Iterator[tuple[int, ...]]:
    """All ways to share out a pack to the last piece, or until nothing is lacking."""
    open_needs = [need for need in needs if lacking[need]]
    if len(open_needs) == 1 or sum(lacking[need] for need in open_needs) <= size:
        left = list(lacking)
        for need in open_needs:
            left[need] = max(0, left[need] - size)
        yield tuple(left)
        return
    yield from _split(lacking, open_needs, size)


def _split(lacking: tuple[int, ...], needs: list[int], size: int) -> Iterator[tuple[int, ...]]:
    """Shares of exactly `size`, at least one of them for the first need."""
    first, others = needs[0], needs[1:]
    rest = sum(lacking[need] for need in others)
    for share in range(max(1, size - rest), min(size, lacking[first]) + 1):
        for left in _rest_split(lacking, others, size - share):
            yield (*left[:first], lacking[first] - share, *left[first + 1 :])


def _rest_split(lacking: tuple[int, ...], needs: list[int], size: int) -> Iterator[tuple[int, ...]]:
    if not size:
        yield lacking
        return
    first, others = needs[0], needs[1:]
    rest = sum(lacking[need] for need in others)
    for share in range(max(0, size - rest), min(size, lacking[first]) + 1):
        for left in _rest_split(lacking, others, size - share):
            yield (*left[:first], lacking[first] - share, *left[first + 1 :])


NEXT_TO_NOTHING = 1e-6  # units of a need


def shares(orders: Sequence[Order], needs: Sequence[Need]) -> list[dict[str, float]] | None:
    """What each order gives to each need [the needs' unit]; None if that does not cover all that the orders serve.

    Orders that serve one need only come first, so that as few packs as possible are shared.

    >>> both = Order(Offer("W", "A", frozenset({"wide", "narrow"}), 10, 4.0), 1)
    >>> shares([both], [Need("wide", 4), Need("narrow", 4)])
    [{'wide': 4, 'narrow': 4}]
    """
    open_needs = {need.key: need.quantity for need in needs}
    served = {key for order in orders for key in order.offer.serves}
    given: list[dict[str, float]] = [{} for _ in orders]
    for number in sorted(range(len(orders)), key=lambda one: len(orders[one].offer.serves & open_needs.keys())):
        order = orders[number]
        left = order.packs * order.offer.pack_size
        for key in open_needs:
            if key in order.offer.serves and open_needs[key] > NEXT_TO_NOTHING and left > NEXT_TO_NOTHING:
                amount = min(left, open_needs[key])
                given[number][key] = amount
                open_needs[key] -= amount
                left -= amount
    missing = any(open_needs[key] > NEXT_TO_NOTHING for key in open_needs if key in served)
    return None if missing else given


def owners(given: Sequence[Mapping[str, float]]) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Of lines that share the packs of one order the one that takes most carries the order."""
    for parts in given:
        if len(parts) > 1:
            owner = max(parts, key=lambda key: parts[key])
            yield owner, tuple(key for key in parts if key != owner)
