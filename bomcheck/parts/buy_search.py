"""The cheapest purchase: branch and bound over which suppliers get an order.

Freight is paid once an order is placed, so the choice of suppliers is what is hard; with the suppliers chosen, each pool
is covered at its least cost. A node's bound lets every supplier that is still undecided deliver free of freight.
Suppliers with a minimum are settled at the leaves, see `bomcheck.parts.buy_minimum`.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from bomcheck.parts.buy_cover import Cover
from bomcheck.parts.buy_minimum import settle
from bomcheck.parts.buy_pool import Pick, Pool
from bomcheck.parts.buy_types import Supplier, steps


@dataclass
class Best:
    """The best purchase so far. cost [1/10000]. picks: with packs. exact: whether nothing was cut short; at_least
    [1/10000]: what a purchase costs at least among those that were not looked at."""

    cost: float = float("inf")
    picks: list[tuple[Pick, int]] = field(default_factory=list)
    exact: bool = True
    at_least: float = float("inf")


@dataclass(frozen=True)
class Covered:
    """Cheapest cover of one pool: cost [1/10000], packs by pick, who is used."""

    cover: Cover
    cost: float
    packs: Mapping[int, int]
    used: frozenset[str]


class BuySearch:
    """All pools of one purchase."""

    def __init__(self, pools: Sequence[Pool], suppliers: Mapping[str, Supplier]) -> None:
        self.pools = pools
        self.terms = suppliers
        self.best = Best()
        self._graphs: dict[tuple[int, frozenset[str]], Cover] = {}
        self._covers: list[dict[frozenset[str], Covered]] = [{} for _ in pools]

    def run(self) -> Best:
        """The cheapest purchase of all; cost inf where some pool cannot be covered."""
        names = frozenset(name for pool in self.pools for name in pool.suppliers)
        self._branch(frozenset(), names)
        return self.best

    def freight(self, name: str) -> int:
        """[1/10000]"""
        return steps(self.terms[name].freight) if name in self.terms else 0

    def minimum(self, name: str) -> int:
        """[1/10000]"""
        return steps(self.terms[name].minimum) if name in self.terms else 0

    def _branch(self, opened: frozenset[str], undecided: frozenset[str]) -> None:
        """opened: suppliers whose freight is paid. undecided: may still deliver."""
        covered = [self._covered(number, opened | undecided) for number in range(len(self.pools))]
        goods = sum(one.cost for one in covered)
        paid = sum(self.freight(name) for name in opened)
        if paid + max(goods, sum(self.minimum(name) for name in opened)) >= self.best.cost:
            return
        used = frozenset[str]().union(*(one.used for one in covered))
        with_terms = {name for name in undecided if self.freight(name) or self.minimum(name)}
        if not used & with_terms:
            if not any(self.minimum(name) for name in opened):
                self._keep(paid + goods, [(one.cover, one.packs) for one in covered])
                return
            self._with_minimum(opened, (opened | undecided) - with_terms, paid)
        if with_terms:
            self._both_ways(opened, undecided, self._dearest(used & with_terms or with_terms))

    def _both_ways(self, opened: frozenset[str], undecided: frozenset[str], name: str) -> None:
        self._branch(opened | {name}, undecided - {name})
        self._branch(opened, undecided - {name})

    def _dearest(self, names: Iterable[str]) -> str:
        return max(names, key=lambda name: (max(self.freight(name), self.minimum(name)), name))

    def _with_minimum(self, opened: frozenset[str], allowed: frozenset[str], paid: int) -> None:
        """The purchase from these suppliers, where some of those opened have a minimum."""
        covers = [self._cover(number, allowed) for number in range(len(self.pools))]
        minimums = {name: self.minimum(name) for name in sorted(opened) if self.minimum(name)}
        leaf = settle(covers, minimums, self.best.cost - paid, thorough=self.best.exact)
        if not leaf.exact:
            self.best.exact = False
            self.best.at_least = min(self.best.at_least, leaf.at_least + paid)
        if leaf.cost + paid < self.best.cost:
            self._keep(leaf.cost + paid, list(zip(covers, leaf.packs, strict=True)))

    def _keep(self, cost: float, bought: Sequence[tuple[Cover, Mapping[int, int]]]) -> None:
        self.best.cost = cost
        self.best.picks = [(cover.picks[number], count) for cover, packs in bought for number, count in packs.items()]

    def _cover(self, number: int, allowed: frozenset[str]) -> Cover:
        key = (number, allowed & self.pools[number].suppliers)
        if key not in self._graphs:
            self._graphs[key] = Cover(self.pools[number], key[1])
        return self._graphs[key]

    def _covered(self, number: int, allowed: frozenset[str]) -> Covered:
        """Cheapest cover of a pool; one found for more suppliers holds if it uses only those that are allowed."""
        mine = allowed & self.pools[number].suppliers
        known = self._covers[number]
        if mine not in known:
            wider = next((one for names, one in known.items() if mine <= names and one.used <= mine), None)
            known[mine] = wider or self._solve(number, mine)
        return known[mine]

    def _solve(self, number: int, allowed: frozenset[str]) -> Covered:
        cover = self._cover(number, allowed)
        cost = cover.costs()
        least = cost[cover.start]
        if least == float("inf"):
            return Covered(cover, least, {}, frozenset())
        packs = cover.cheapest(cost)
        return Covered(cover, least, packs, frozenset(cover.picks[pick].offer.supplier for pick in packs))
