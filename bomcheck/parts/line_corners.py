"""Two corners that share one box: what one side takes, the other has to do without.

Each corner is solved by itself. Where both want more of a row than there is, one of them has to use less of it, and
both ways are followed, cheapest first: the first answer without a conflict is the best for the car.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import count

from bomcheck.parts.chain import Answer, solve
from bomcheck.parts.line_catalogue import Catalogue
from bomcheck.parts.line_question import LineQuestion, perhaps, surely
from bomcheck.parts.line_search import Found, Search

Cost = tuple[int, int, int, int, int, int, float]
"""Lines open, lines not known, lines of which something must be bought, joints, parts without a price, price [1/10000], longest lead time [days]."""
Caps = tuple[dict[int, int], ...]


@dataclass(frozen=True, slots=True)
class _Corner:
    """The best that one corner can do by itself: its cost, and pieces used of each row."""

    cost: Cost
    used: dict[int, int]


def solve_corners(catalogue: Catalogue, questions: Sequence[LineQuestion]) -> tuple[Answer, ...]:
    """The best answer for all corners together, in the order of the questions; no row is used oftener than it is there."""
    used = _shared(catalogue, questions)
    there = catalogue.pieces
    answers = []
    for number, question in enumerate(questions):
        elsewhere = Counter[int]()
        for other in (*used[:number], *used[number + 1 :]):
            elsewhere.update(other)
        caps = {row: there[row] - taken for row, taken in elsewhere.items() if row in there}
        answers.append(solve(catalogue, question, caps))
    return tuple(answers)


def _shared(catalogue: Catalogue, questions: Sequence[LineQuestion]) -> list[dict[int, int]]:
    """Pieces of each row for each corner."""
    there, ticket = catalogue.pieces, count()
    start: Caps = tuple({} for _ in questions)
    corners = [_corner(catalogue, question, {}) for question in questions]
    heap = [(_total(corners), next(ticket), start, corners)]
    while True:
        _cost, _, caps, corners = heappop(heap)
        row = _contested(corners, there)
        if row is None:
            return [corner.used for corner in corners]
        for i, corner in enumerate(corners):
            if corner.used.get(row):
                fewer = {**caps[i], row: corner.used[row] - 1}
                again = [*corners[:i], _corner(catalogue, questions[i], fewer), *corners[i + 1 :]]
                heappush(heap, (_total(again), next(ticket), (*caps[:i], fewer, *caps[i + 1 :]), again))


def _contested(corners: Sequence[_Corner], there: dict[int, int]) -> int | None:
    """A row of which more is used than there is."""
    for row in sorted({row for corner in corners for row in corner.used}):
        if row in there and sum(corner.used.get(row, 0) for corner in corners) > there[row]:
            return row
    return None


def _corner(catalogue: Catalogue, question: LineQuestion, caps: dict[int, int]) -> _Corner:
    if question.car_end.unknown or question.caliper_inlet.unknown:
        return _Corner((0, 1, 0, 0, 0, 0, 0.0), {})
    for state, allowed in ((0, surely), (1, perhaps)):
        found = Search(catalogue, question, allowed, caps).best()
        if found is not None:
            return _Corner(_cost(found, state), _used(found))
    return _Corner((1, 0, 0, 0, 0, 0, 0.0), {})


def _cost(found: Found, state: int) -> Cost:
    return 0, state, int(found.bought), found.joints, found.rank.unpriced, found.rank.price, found.rank.lead


def _used(found: Found) -> dict[int, int]:
    rows = [item.row for item in found.items]
    return {row: rows.count(row) for row in rows}


def _total(corners: Sequence[_Corner]) -> Cost:
    costs = [corner.cost for corner in corners]
    opened, asked, bought, joints, unpriced, price = (int(sum(cost[i] for cost in costs)) for i in range(6))
    return opened, asked, bought, joints, unpriced, price, max(cost[6] for cost in costs)
