"""With the suppliers chosen: orders below a supplier's minimum are charged as the minimum, so that buying something dearer
from him may cost nothing.

The cost is free goods + sum over suppliers of max(spent, minimum). A bound comes from letting each such supplier's prices
count by a share between 0 and 1 (Lagrange's method); ways to cover the pools are then joined one pool after another, and
whatever cannot come below the best known cost is dropped. What is left at the end is exact.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from bomcheck.parts.buy_cover import Cover, State

ROUNDS = 24
MOST_WAYS = 20_000
EPS = 0.5  # costs are whole; half a step tells them apart
Spent = tuple[int, ...]
"""Goods without a minimum, then what is spent at each supplier with one [1/10000]."""
Packs = tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class Leaf:
    """cost [1/10000] without freight; packs of each pool by pick; exact: False if ways were dropped for their number."""

    cost: float
    packs: list[dict[int, int]]
    exact: bool = True


@dataclass(frozen=True)
class Bound:
    """A lower bound. share: of prices that count. costs: of each pool, by state."""

    value: float
    share: Mapping[str, float]
    costs: list[dict[State, float]]


def settle(covers: Sequence[Cover], minimums: Mapping[str, int], below: float) -> Leaf:
    """The cheapest way to cover all pools; one that costs `below` or more may come back as it is."""
    plain = [cover.costs() for cover in covers]
    if any(cost[cover.start] == float("inf") for cover, cost in zip(covers, plain, strict=True)):
        return Leaf(float("inf"), [])
    packs = [cover.cheapest(cost) for cover, cost in zip(covers, plain, strict=True)]
    best = Leaf(_charged(_spent(covers, packs, minimums), minimums), packs)
    goods = sum(cost[cover.start] for cover, cost in zip(covers, plain, strict=True))
    if best.cost <= goods + EPS:
        return best
    best, bound = _bounded(covers, minimums, best, Bound(goods, dict.fromkeys(minimums, 1.0), plain))
    if bound.value + EPS >= min(best.cost, below):
        return best
    return _joined(covers, minimums, best, bound, below)


def _charged(spent: Spent, minimums: Mapping[str, int]) -> float:
    return spent[0] + sum(max(one, least) for one, least in zip(spent[1:], minimums.values(), strict=True))


def _spent(covers: Sequence[Cover], packs: Sequence[Mapping[int, int]], minimums: Mapping[str, int]) -> Spent:
    total = [0] * (len(minimums) + 1)
    place = {name: number + 1 for number, name in enumerate(minimums)}
    for cover, bought in zip(covers, packs, strict=True):
        for number, count in bought.items():
            pick = cover.picks[number]
            total[place.get(pick.offer.supplier, 0)] += pick.price * count
    return tuple(total)


def _bounded(covers: Sequence[Cover], minimums: Mapping[str, int], best: Leaf, bound: Bound) -> tuple[Leaf, Bound]:
    """Raise the bound by moving each supplier's share toward the side on which his minimum lies."""
    share, stride = dict.fromkeys(minimums, 1.0), 0.5
    for _ in range(ROUNDS):
        costs = [cover.costs(share) for cover in covers]
        packs = [cover.cheapest(cost, share) for cover, cost in zip(covers, costs, strict=True)]
        spent = _spent(covers, packs, minimums)
        goods = sum(cost[cover.start] for cover, cost in zip(covers, costs, strict=True))
        value = goods + sum((1 - share[name]) * least for name, least in minimums.items())
        if value > bound.value:
            bound = Bound(value, dict(share), costs)
        if _charged(spent, minimums) < best.cost:
            best = Leaf(_charged(spent, minimums), packs)
        if bound.value + EPS >= best.cost:
            break
        for (name, least), one in zip(minimums.items(), spent[1:], strict=True):
            share[name] = min(1.0, max(0.0, share[name] + (stride if one > least else -stride)))
        stride *= 0.7
    return best, bound


def _joined(covers: Sequence[Cover], minimums: Mapping[str, int], best: Leaf, bound: Bound, below: float) -> Leaf:
    """Join the pools' ways; a way is dropped if its cost under the bound's share leaves no room below the best."""
    room = min(best.cost, below) - bound.value - EPS
    joined: dict[Spent, tuple[float, list[Packs]]] = {(0,) * (len(minimums) + 1): (0.0, [])}
    for cover, cost in zip(covers, bound.costs, strict=True):
        longer: dict[Spent, tuple[float, list[Packs]]] = {}
        ways = _ways(cover, cost, bound.share, minimums, room)
        if ways is None or len(ways) * len(joined) > 50 * MOST_WAYS:
            return Leaf(best.cost, best.packs, exact=False)
        for spent, (over, packs) in joined.items():
            for more, (extra, bought) in ways.items():
                if over + extra <= room:
                    total = tuple(a + b for a, b in zip(spent, more, strict=True))
                    if total not in longer:
                        longer[total] = (over + extra, [*packs, bought])
        joined = _undominated(longer)
        if len(joined) > MOST_WAYS:
            return Leaf(best.cost, best.packs, exact=False)
    for spent, (_, packs) in joined.items():
        if _charged(spent, minimums) < best.cost:
            best = Leaf(_charged(spent, minimums), [dict(bought) for bought in packs])
    return best


Ways = dict[Spent, tuple[float, Packs]]
"""What is spent -> (cost above the pool's least, under the bound's share; packs by pick)."""


def _ways(
    cover: Cover, cost: Mapping[State, float], share: Mapping[str, float], minimums: Mapping[str, int], room: float
) -> Ways | None:
    """Ways to cover one pool that leave room; None if there are too many."""
    place = {name: number + 1 for number, name in enumerate(minimums)}
    least, width = cost[cover.start], len(minimums) + 1
    there: dict[State, dict[Spent, tuple[float, dict[int, int]]]] = {cover.start: {(0,) * width: (0.0, {})}}
    ends: Ways = {}
    for state in reversed(cover.order):
        for spent, (so_far, packs) in there.pop(state, {}).items():
            if not any(state[0]):
                ends.setdefault(spent, (so_far - least, tuple(packs.items())))
                continue
            for number, count, then in cover.steps[state]:
                pick = cover.picks[number]
                price = pick.price * count
                paid = so_far + price * share.get(pick.offer.supplier, 1.0)
                if paid + cost[then] - least > room:
                    continue
                slot = place.get(pick.offer.supplier, 0)
                total = (*spent[:slot], spent[slot] + price, *spent[slot + 1 :])
                there.setdefault(then, {}).setdefault(total, (paid, {**packs, number: packs.get(number, 0) + count}))
        if sum(map(len, there.values())) > MOST_WAYS:
            return None
    return _undominated_ways(ends)


def _front(spents: Iterator[Spent]) -> list[Spent]:
    """Those of which no other is at least as low everywhere."""
    kept: list[Spent] = []
    for spent in sorted(spents, key=lambda one: (sum(one), one)):
        if not any(all(a <= b for a, b in zip(other, spent, strict=True)) for other in kept):
            kept.append(spent)
    return kept


def _undominated_ways(ways: Ways) -> Ways:
    return {spent: ways[spent] for spent in _front(iter(ways))}


def _undominated(joined: dict[Spent, tuple[float, list[Packs]]]) -> dict[Spent, tuple[float, list[Packs]]]:
    if len(joined) > 2000:
        return joined
    return {spent: joined[spent] for spent in _front(iter(joined))}
