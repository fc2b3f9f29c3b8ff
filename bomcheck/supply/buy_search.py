"""Ways to cover the pools, joined one pool after another; what cannot come below the best known cost is dropped.

Two lower bounds drop a way: its cost with every supplier's prices counted by a share (Lagrange's method), and what it has
spent already with all that is still to come, as far as the minimums not yet reached do not swallow it.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import accumulate
from typing import TypeVar

from bomcheck.supply.buy_problem import Cover, Pick, Pool, State, Supplier, steps

MOST_WORK = 1_000_000  # pairs and steps of one search, about two seconds
MOST_COMPARED = 400
EPS = 0.5  # costs are whole ten-thousandths; half a step tells them apart
Spent = tuple[int, ...]
"""Goods without a minimum, then what is spent at each supplier with one [1/10000]."""
Packs = tuple[tuple[int, int], ...]
Ways = dict[Spent, tuple[float, Packs]]
"""What is spent -> (cost above the pool's least, under the shares; packs by pick)."""
Joined = dict[Spent, tuple[float, list[Packs]]]
Kept = TypeVar("Kept")


def charged(spent: Spent, minimums: Mapping[str, int]) -> float:
    """What an order costs in which so much is spent [1/10000]: at each supplier at least his minimum."""
    return spent[0] + sum(max(one, least) for one, least in zip(spent[1:], minimums.values(), strict=True))


def _lack(least: int, spent: int) -> int:
    return least - spent if least > spent else 0


class Join:
    """One search; exact says afterwards whether ways had to be dropped for their number."""

    def __init__(
        self, covers: Sequence[Cover], minimums: Mapping[str, int], share: Mapping[str, float],
        costs: Sequence[Mapping[State, float]], plain: Sequence[Mapping[State, float]], below: float, bound: float,
        work: int = 0,
    ) -> None:  # fmt: skip
        """share: by which prices count; costs, plain: of each pool by state, with and without the share. below: a cost
        that is known; bound: below which there is none. work: done already."""
        self.covers, self.minimums, self.share, self.costs = covers, minimums, share, costs
        self.below, self.room = below, below - bound - EPS
        self.least = tuple(minimums.values())
        self.place = {name: number + 1 for number, name in enumerate(minimums)}
        goods = [cost[cover.start] for cover, cost in zip(covers, plain, strict=True)]
        self.to_come = [*accumulate(reversed(goods), initial=0.0)][-2::-1]
        self.exact, self.work = True, work

    def best(self) -> tuple[float, list[dict[int, int]]]:
        """(Cost, packs of each pool) of the cheapest; (inf, []) if none is below what was known."""
        joined: Joined = {(0,) * (len(self.minimums) + 1): (0.0, [])}
        for number in range(len(self.covers)):
            ways = self._ways(number)
            self.work += len(ways or ()) * len(joined)
            if ways is None or self.work > MOST_WORK:
                self.exact = False
                return float("inf"), []
            joined = self._longer(joined, ways, self.to_come[number])
        least = min(joined, key=lambda spent: charged(spent, self.minimums), default=None)
        if least is None:
            return float("inf"), []
        return charged(least, self.minimums), [dict(packs) for packs in joined[least][1]]

    def _longer(self, joined: Joined, ways: Ways, to_come: float) -> Joined:
        longer: Joined = {}
        for spent, (over, packs) in joined.items():
            for more, (extra, bought) in ways.items():
                if over + extra <= self.room:
                    total = tuple(map(int.__add__, spent, more))
                    if total not in longer and self._may_win(total, to_come):
                        longer[total] = (over + extra, [*packs, bought])
        return undominated(longer)

    def _may_win(self, spent: Spent, to_come: float) -> bool:
        """Whether it can stay below the known cost, whichever is more: the goods to come, or what lacks to the minimums."""
        left = self.below - EPS - sum(spent)
        return to_come < left and sum(map(_lack, self.least, spent[1:])) < left

    def _ways(self, number: int) -> Ways | None:
        """Ways to cover one pool that leave room; None if there are too many."""
        cover, cost = self.covers[number], self.costs[number]
        least, width = cost[cover.start], len(self.minimums) + 1
        there: dict[State, dict[Spent, tuple[float, dict[int, int]]]] = {cover.start: {(0,) * width: (0.0, {})}}
        ends: Ways = {}
        for state in reversed(cover.order):
            reached = undominated(there.pop(state, {}))
            if not any(state[0]):
                ends.update({spent: (paid - least, tuple(packs.items())) for spent, (paid, packs) in reached.items()})
                continue
            for spent, (so_far, packs) in reached.items():
                self._step(cover, cost, state, spent, so_far, packs, there)
            self.work += len(reached) * len(cover.steps[state])
            if self.work > MOST_WORK:
                return None
        return undominated(ends)

    def _step(
        self, cover: Cover, cost: Mapping[State, float], state: State, spent: Spent, so_far: float, packs: dict[int, int],
        there: dict[State, dict[Spent, tuple[float, dict[int, int]]]],
    ) -> None:  # fmt: skip
        """All purchases that lead on from a state and leave room."""
        for number, count, then in cover.steps[state]:
            pick = cover.picks[number]
            price = pick.price * count
            paid = so_far + price * self.share.get(pick.offer.supplier, 1.0)
            if paid + cost[then] - cost[cover.start] <= self.room:
                slot = self.place.get(pick.offer.supplier, 0)
                total = (*spent[:slot], spent[slot] + price, *spent[slot + 1 :])
                there.setdefault(then, {}).setdefault(total, (paid, {**packs, number: packs.get(number, 0) + count}))


def undominated(rows: Mapping[Spent, Kept]) -> dict[Spent, Kept]:
    """Without those of which another is at least as low everywhere."""
    return {spent: rows[spent] for spent in front(rows)}


def front(spents: Iterable[Spent]) -> list[Spent]:
    """Those of which no other is at least as low everywhere; of very many with four columns or more all, which is as right.

    >>> front([(1, 5, 1), (2, 5, 1), (3, 1, 1), (0, 9, 0)])
    [(0, 9, 0), (1, 5, 1), (3, 1, 1)]
    """
    rows = sorted(spents)
    width = len(rows[0]) if rows else 0
    if width <= 3:
        return _stairs([(row, row[width - 2] if width == 3 else 0, row[-1]) for row in rows])
    if len(rows) > MOST_COMPARED:
        return rows
    kept: list[Spent] = []
    for row in rows:
        if not any(all(a <= b for a, b in zip(other, row, strict=True)) for other in kept):
            kept.append(row)
    return kept


def _stairs(rows: Sequence[tuple[Spent, int, int]]) -> list[Spent]:
    """Rows sorted by their first column; the other two form a stair that falls to the right."""
    kept: list[Spent] = []
    lefts: list[int] = []
    heights: list[int] = []
    for row, left, height in rows:
        before = bisect_right(lefts, left)
        if before and heights[before - 1] <= height:
            continue
        kept.append(row)
        start = bisect_left(lefts, left)
        end = start
        while end < len(lefts) and heights[end] >= height:
            end += 1
        lefts[start:end], heights[start:end] = [left], [height]
    return kept


ROUNDS = 40
PARTS_OF_GAP = (0.002, 0.02, 0.1, 0.3, 1.0)


@dataclass(frozen=True)
class Leaf:
    """cost [1/10000] without freight; packs of each pool by pick. exact: False if the search was cut short; then nothing
    cheaper than `at_least` exists."""

    cost: float
    packs: list[dict[int, int]]
    exact: bool = True
    at_least: float = 0.0


@dataclass(frozen=True)
class Bound:
    """A lower bound. share: of prices that count. costs: of each pool, by state."""

    value: float
    share: Mapping[str, float]
    costs: list[dict[State, float]]


def settle(covers: Sequence[Cover], minimums: Mapping[str, int], below: float, thorough: bool = True) -> Leaf:
    """The cheapest way to cover all pools; one that costs `below` or more may come back as it is. thorough: False takes
    the best that the bound's own steps come upon."""
    plain = [cover.costs() for cover in covers]
    if any(cost[cover.start] == float("inf") for cover, cost in zip(covers, plain, strict=True)):
        return Leaf(float("inf"), [])
    packs = [cover.cheapest(cost) for cover, cost in zip(covers, plain, strict=True)]
    best = Leaf(charged(_spent(covers, packs, minimums), minimums), packs)
    goods = sum(cost[cover.start] for cover, cost in zip(covers, plain, strict=True))
    if best.cost <= goods + EPS:
        return best
    best, bound = _bounded(covers, minimums, best, Bound(goods, dict.fromkeys(minimums, 1.0), plain))
    if bound.value + EPS >= min(best.cost, below):
        return best
    if not thorough:
        return replace(best, exact=False, at_least=bound.value)
    return _closed_in(covers, minimums, best, bound, plain, min(best.cost, below))


def _closed_in(
    covers: Sequence[Cover],
    minimums: Mapping[str, int],
    best: Leaf,
    bound: Bound,
    plain: list[dict[State, float]],
    below: float,
) -> Leaf:
    """Look close above the bound first: a way found there is the cheapest of all, and the search stays small."""
    work = 0
    for part in PARTS_OF_GAP:
        near = bound.value + (below - bound.value) * part + EPS
        join = Join(covers, minimums, bound.share, bound.costs, plain, min(near, below), bound.value, work)
        cost, ways = join.best()
        work = join.work
        if ways or not join.exact:
            return Leaf(cost, ways) if ways else replace(best, exact=False, at_least=bound.value)
    return best


def _spent(covers: Sequence[Cover], packs: Sequence[Mapping[int, int]], minimums: Mapping[str, int]) -> Spent:
    total = [0] * (len(minimums) + 1)
    place = {name: number + 1 for number, name in enumerate(minimums)}
    for cover, bought in zip(covers, packs, strict=True):
        for number, count in bought.items():
            pick = cover.picks[number]
            total[place.get(pick.offer.supplier, 0)] += pick.price * count
    return tuple(total)


def _bounded(covers: Sequence[Cover], minimums: Mapping[str, int], best: Leaf, bound: Bound) -> tuple[Leaf, Bound]:
    """Raise the bound by moving each supplier's share toward the side on which his minimum lies (Polyak's step); a step
    that does not raise it is taken back and halved."""
    share, stride, moves = dict.fromkeys(minimums, 1.0), 1.0, dict.fromkeys(minimums, 0)
    for number in range(ROUNDS):
        costs = [cover.costs(share) for cover in covers]
        packs = [cover.cheapest(cost, share) for cover, cost in zip(covers, costs, strict=True)]
        spent = _spent(covers, packs, minimums)
        goods = sum(cost[cover.start] for cover, cost in zip(covers, costs, strict=True))
        value = goods + sum((1 - share[name]) * least for name, least in minimums.items())
        if charged(spent, minimums) < best.cost:
            best = Leaf(charged(spent, minimums), packs)
        if value > bound.value or not number:
            bound, moves = Bound(value, dict(share), costs), dict(zip(minimums, spent[1:], strict=True))
        else:
            stride *= 0.5
        if bound.value + EPS >= best.cost:
            break
        share = _moved(bound.share, moves, minimums, stride * (best.cost - bound.value))
    return best, bound


def _moved(
    share: Mapping[str, float], spent: Mapping[str, int], minimums: Mapping[str, int], gap: float
) -> dict[str, float]:
    """Shares after one step; gap [1/10000]: how far the bound may still rise. A share stays between 0 and 1."""
    over = {name: float(spent[name] - least) for name, least in minimums.items()}
    stuck = {name for name, by in over.items() if (share[name] >= 1 and by > 0) or (share[name] <= 0 and by < 0)}
    length = sum(by * by for name, by in over.items() if name not in stuck)
    if not length:
        return dict(share)
    return {
        name: old if name in stuck else min(1.0, max(0.0, old + gap * over[name] / length))
        for name, old in share.items()
    }


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
