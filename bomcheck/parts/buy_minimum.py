"""With the suppliers chosen: orders below a supplier's minimum are charged as the minimum, so that buying something dearer
from him may cost nothing.

The cost is free goods + sum over suppliers of max(spent, minimum). A bound comes from letting each such supplier's prices
count by a share between 0 and 1 (Lagrange's method); ways to cover the pools are then joined one pool after another, and
whatever cannot come below the best known cost is dropped. What is left at the end is exact.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from bomcheck.parts.buy_cover import Cover, State
from bomcheck.parts.buy_join import EPS, Join, Spent, charged

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
