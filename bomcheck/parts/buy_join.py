"""Ways to cover the pools, joined one pool after another; what cannot come below the best known cost is dropped.

Two lower bounds drop a way: its cost with every supplier's prices counted by a share (Lagrange's method), and what it has
spent already with all that is still to come, as far as the minimums not yet reached do not swallow it.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping, Sequence
from itertools import accumulate
from typing import TypeVar

from bomcheck.parts.buy_cover import Cover, State

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
