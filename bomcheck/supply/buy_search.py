"""The cheapest purchase of all pools. A small search over the suppliers is exact and at once; where minimums bind, the purchases
that none beats at every supplier are joined pool by pool. What is more than these look through HiGHS solves as a mixed-integer
programme, exact and bounded at every size."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field
from math import ceil, inf
from operator import le

from bomcheck.model.records import dataclass
from bomcheck.supply.buy_problem import PRICE_STEPS, Cover, Pick, Pool, State, Supplier, TooLarge, steps

MOST_BRANCHES = 300
SECONDS = 5.0  # as long as HiGHS may look; what it then has found is told as not surely the cheapest


@dataclass
class Best:
    """The best purchase so far. cost [1/10000]. picks: with packs. exact: whether nothing was cut short; at_least
    [1/10000]: what a purchase costs at least among those that were not looked at."""

    cost: float = inf
    picks: list[tuple[Pick, int]] = field(default_factory=list)
    exact: bool = True
    at_least: float = inf


@dataclass(frozen=True)
class Covered:
    """Cheapest cover of one pool: cost [1/10000], packs by pick, who is used."""

    cost: float
    picks: tuple[tuple[Pick, int], ...]
    used: frozenset[str]


def cheapest(pools: Sequence[Pool], terms: Mapping[str, Supplier]) -> Best:
    """The cheapest purchase of all pools; cost inf where some pool cannot be covered. terms: by name of the supplier."""
    if not pools:
        return Best(0.0)
    search = BuySearch(pools, terms)
    try:
        best = search.run()
        return best if search.not_settled >= best.cost else Unbeaten(pools, terms, best).run()
    except TooLarge:
        return Programme(pools, terms).solved()


class BuySearch:
    """All pools of one purchase, by which suppliers deliver. not_settled [1/10000]: what purchases cost at least in which a
    minimum binds; they are not followed."""

    def __init__(self, pools: Sequence[Pool], terms: Mapping[str, Supplier]) -> None:
        self.pools, self.terms = pools, terms
        self.best, self.not_settled, self._branches = Best(), inf, 0
        self._covers: list[dict[frozenset[str], Covered]] = [{} for _ in pools]

    def run(self) -> Best:
        """The cheapest purchase. Raises TooLarge."""
        self._branch(frozenset(), frozenset(name for pool in self.pools for name in pool.suppliers))
        return self.best

    def freight(self, name: str) -> int:
        """[1/10000]"""
        return steps(self.terms[name].freight) if name in self.terms else 0

    def minimum(self, name: str) -> int:
        """[1/10000]"""
        return steps(self.terms[name].minimum) if name in self.terms else 0

    def _branch(self, opened: frozenset[str], undecided: frozenset[str]) -> None:
        """opened: suppliers whose freight is paid. undecided: may still deliver."""
        self._branches += 1
        if self._branches > MOST_BRANCHES:
            raise TooLarge
        covered = [self._covered(number, opened | undecided) for number in range(len(self.pools))]
        goods = sum(one.cost for one in covered)
        paid = sum(self.freight(name) for name in opened)
        if paid + max(goods, sum(self.minimum(name) for name in opened)) >= self.best.cost:
            return
        used = frozenset[str]().union(*(one.used for one in covered))
        with_terms = {name for name in undecided if self.freight(name) or self.minimum(name)}
        if not used & with_terms:
            added = self._added(opened, [pick for one in covered for pick in one.picks])
            if paid + goods + added < self.best.cost:
                self.best = Best(paid + goods + added, [pick for one in covered for pick in one.picks])
            if not added:
                return
            self.not_settled = min(self.not_settled, paid + goods)
        if with_terms:
            name = self._dearest(used & with_terms or with_terms)
            self._branch(opened | {name}, undecided - {name})
            self._branch(opened, undecided - {name})

    def _added(self, opened: frozenset[str], picks: Iterable[tuple[Pick, int]]) -> int:
        """What the suppliers charge beyond their goods, up to their minimums [1/10000]."""
        lack = {name: self.minimum(name) for name in opened}
        for pick, packs in picks:
            if pick.offer.supplier in lack:
                lack[pick.offer.supplier] -= pick.price * packs
        return sum(max(0, one) for one in lack.values())

    def _dearest(self, names: Iterable[str]) -> str:
        return max(names, key=lambda name: (max(self.freight(name), self.minimum(name)), name))

    def _covered(self, number: int, allowed: frozenset[str]) -> Covered:
        """Cheapest cover of a pool; one found for more suppliers holds if it uses only those that are allowed."""
        mine = allowed & self.pools[number].suppliers
        known = self._covers[number]
        if mine not in known:
            wider = next((one for names, one in known.items() if mine <= names and one.used <= mine), None)
            known[mine] = wider or self._solve(number, mine)
        return known[mine]

    def _solve(self, number: int, allowed: frozenset[str]) -> Covered:
        cover = Cover(self.pools[number], allowed)
        cost: Mapping[State, float] = cover.costs()
        if cost[cover.start] == inf:
            return Covered(inf, (), frozenset())
        picks = tuple((cover.picks[place], packs) for place, packs in cover.cheapest(cost).items())
        return Covered(cost[cover.start], picks, frozenset(pick.offer.supplier for pick, _ in picks))


Spent = tuple[int, ...]
"""Goods [1/10000]: at suppliers without terms, then at each supplier with freight or a minimum."""
Bought = tuple[tuple[Pick, int], ...]
MOST_JOINED = 20_000


class Unbeaten:
    """Purchases of which none costs less at one supplier and no more at any other: with freight and minimums, whatever these
    are, one of them is the cheapest. known: a purchase that is no cheaper than the cheapest."""

    def __init__(self, pools: Sequence[Pool], terms: Mapping[str, Supplier], known: Best) -> None:
        self.pools, self.best, self._work = pools, known, 0
        names = sorted({name for pool in pools for name in pool.suppliers if name in terms})
        self._terms = [(steps(terms[name].freight), steps(terms[name].minimum)) for name in names]
        self._place = {name: number for number, name in enumerate(names, start=1)}

    def run(self) -> Best:
        """The cheapest purchase. Raises TooLarge."""
        joined: dict[Spent, Bought] = {(0,) * (len(self._terms) + 1): ()}
        for pool in self.pools:
            joined = self._join(joined, self._of(pool))
        for spent, bought in joined.items():
            if self.charged(spent) < self.best.cost:
                self.best = Best(self.charged(spent), _added_up(bought))
        return self.best

    def charged(self, spent: Spent) -> float:
        """What it costs with freight and what is added up to minimums [1/10000]; buying more never makes it less."""
        terms = zip(spent[1:], self._terms, strict=True)
        return spent[0] + sum(freight + max(goods, minimum) for goods, (freight, minimum) in terms if goods)

    def _of(self, pool: Pool) -> dict[Spent, Bought]:
        """The unbeaten purchases of one pool, from the last step back to the first."""
        cover = Cover(pool, pool.suppliers)
        found: dict[State, dict[Spent, Bought]] = {}
        for state in cover.order:
            if not any(state[0]):
                found[state] = {(0,) * (len(self._terms) + 1): ()}
                continue
            ways: dict[Spent, Bought] = {}
            for number, packs, then in cover.steps[state]:
                pick = cover.picks[number]
                ways |= self._join({self._spent(pick, packs): ((pick, packs),)}, found[then])
            found[state] = self._unbeaten(ways)
        return found[cover.start]

    def _spent(self, pick: Pick, packs: int) -> Spent:
        at = self._place.get(pick.offer.supplier, 0)
        if at and not pick.price:  # given away, but freight is paid: money does not show who delivers
            raise TooLarge
        return tuple(pick.price * packs if place == at else 0 for place in range(len(self._terms) + 1))

    def _join(self, some: Mapping[Spent, Bought], others: Mapping[Spent, Bought]) -> dict[Spent, Bought]:
        self._work += len(some) * len(others)
        if self._work > MOST_JOINED:
            raise TooLarge
        joined: dict[Spent, Bought] = {}
        for spent, bought in some.items():
            for more, also in others.items():
                total = tuple(one + other for one, other in zip(spent, more, strict=True))
                if self.charged(total) < self.best.cost:
                    joined.setdefault(total, (*bought, *also))
        return self._unbeaten(joined)

    def _unbeaten(self, ways: Mapping[Spent, Bought]) -> dict[Spent, Bought]:
        kept: dict[Spent, Bought] = {}
        for spent in sorted(ways):
            self._work += len(kept)
            if not any(all(map(le, one, spent)) for one in kept):
                kept[spent] = ways[spent]
        return kept


def _added_up(bought: Bought) -> list[tuple[Pick, int]]:
    packs: dict[Pick, int] = {}
    for pick, count in bought:
        packs[pick] = packs.get(pick, 0) + count
    return list(packs.items())


class Programme:
    """The whole purchase as rows of a mixed-integer programme, money in currency.

    Columns: packs of each pick; what a pick that serves several needs gives to each; whether a supplier delivers and what he
    charges up to his minimum; whether a pick with a least quantity is taken; which kind serves a need.
    """

    def __init__(self, pools: Sequence[Pool], terms: Mapping[str, Supplier]) -> None:
        self.terms, self.cost = terms, list[float]()
        self.whole, self.most = list[int](), list[float]()
        self.places, self.columns, self.values = list[int](), list[int](), list[float]()
        self.low, self.high = list[float](), list[float]()
        self.picks: list[tuple[Pick, int]] = []
        self.delivers: dict[str, int] = {}
        self.goods: dict[str, dict[int, float]] = {}
        for pool in pools:
            self._pool(pool)
        for name, goods in self.goods.items():
            self._topped(name, goods)

    def _column(self, cost: float, most: float, whole: bool) -> int:
        self.cost.append(cost)
        self.most.append(most)
        self.whole.append(int(whole))
        return len(self.cost) - 1

    def _row(self, entries: Mapping[int, float], low: float = -inf, high: float = inf) -> None:
        self.places += [len(self.low)] * len(entries)
        self.columns += entries
        self.values += entries.values()
        self.low.append(low)
        self.high.append(high)

    def _pool(self, pool: Pool) -> None:
        gives: list[dict[int, float]] = [{} for _ in pool.amounts]
        kinds: list[dict[int, int]] = [{} for _ in pool.amounts]
        for pick in pool.picks:
            packs = self._packs(pick, sum(pool.amounts[need] for need in pick.needs))
            for need, column, size, most in self._given(pool, pick, packs):
                gives[need][column] = size
                if pick.kind:
                    if pick.kind not in kinds[need]:
                        kinds[need][pick.kind] = self._column(0.0, 1.0, True)
                    self._row({column: 1.0, kinds[need][pick.kind]: -most}, high=0.0)
        for amount, given, chosen in zip(pool.amounts, gives, kinds, strict=True):
            self._row(given, low=amount)
            if chosen:
                self._row(dict.fromkeys(chosen.values(), 1.0), high=1.0)

    def _packs(self, pick: Pick, wanted: int) -> int:
        """The column of a pick's packs, its supplier and its least quantity."""
        most = max(pick.least, ceil(wanted / pick.size))
        price, name = pick.price / PRICE_STEPS, pick.offer.supplier
        packs = self._column(price, most, True)
        self.picks.append((pick, packs))
        if name in self.terms and (self.terms[name].freight or self.terms[name].minimum):
            if name not in self.delivers:
                self.delivers[name] = self._column(self.terms[name].freight, 1.0, True)
            self._row({packs: 1.0, self.delivers[name]: -most}, high=0.0)
            self.goods.setdefault(name, {})[packs] = price
        if pick.least > 1:
            taken = self._column(0.0, 1.0, True)
            self._row({packs: 1.0, taken: -most}, high=0.0)
            self._row({packs: 1.0, taken: -pick.least}, low=0.0)
        return packs

    def _given(self, pool: Pool, pick: Pick, packs: int) -> Iterable[tuple[int, int, float, float]]:
        """(need, column, what one of it gives, most of the column)."""
        if len(pick.needs) == 1:
            amount = pool.amounts[pick.needs[0]]
            return [(pick.needs[0], packs, float(pick.size), float(max(pick.least, ceil(amount / pick.size))))]
        found = [(need, self._column(0.0, pool.amounts[need], False), 1.0, pool.amounts[need]) for need in pick.needs]
        self._row({packs: float(-pick.size), **{column: 1.0 for _, column, _, _ in found}}, high=0.0)
        return found

    def _topped(self, name: str, goods: Mapping[int, float]) -> None:
        least = self.terms[name].minimum
        if least:
            added = self._column(1.0, inf, False)
            self._row({**goods, added: 1.0, self.delivers[name]: -least}, low=0.0)

    def solved(self) -> Best:
        """The cheapest purchase; nothing where there is none, or none was found in time."""
        import numpy as np
        from scipy.optimize import Bounds, LinearConstraint, milp
        from scipy.sparse import csr_array

        shape = len(self.low), len(self.cost)
        rows = csr_array((self.values, (self.places, self.columns)), shape=shape)
        found = milp(
            np.array(self.cost), integrality=np.array(self.whole), bounds=Bounds(0.0, np.array(self.most)),
            constraints=LinearConstraint(rows, self.low, self.high), options={"mip_rel_gap": 0.0, "time_limit": SECONDS},
        )  # fmt: skip
        if found.x is None:
            return Best(exact=False, at_least=0.0)
        picks = [(pick, round(found.x[column])) for pick, column in self.picks if found.x[column] > 0.5]
        exact = found.status == 0
        return Best(
            found.fun * PRICE_STEPS, picks, exact, inf if exact else (found.mip_dual_bound or 0.0) * PRICE_STEPS
        )
