"""Close the brake line: the best chain of parts from the car's end to the caliper's inlet, or the joint that stays open.

Fewest joints, then the lowest price (what is in the box or on the shelf costs nothing), then the shortest lead time.
Nothing that is missing is guessed: a chain that would only do if something not stated turns out well is not used, it
becomes a question.
"""

from collections import Counter
from collections.abc import Sequence
from heapq import heappop, heappush
from itertools import count

from bomcheck.model.records import dataclass
from bomcheck.model.types import LineEnd
from bomcheck.supply.line_ends import Trap, asks_about, traps_in
from bomcheck.supply.line_question import LineQuestion, always, perhaps, surely
from bomcheck.supply.line_search import Catalogue, Found, Search
from bomcheck.supply.line_words import (
    Chain,
    Missing,
    chain_of,
    missing_part,
    open_joint,
    passed_over,
    wanted_adapter,
    wanted_hose,
    why_lost,
)


@dataclass(frozen=True, slots=True)
class Closed:
    """A line that closes.

    alternative: the next best chain that does without one of the parts, and why it lost; None and "" if there is none.
    maybe: a chain that would be better if the questions turned out well, None if there is none.
    traps: parts of the box that could be screwed on where they must not.
    """

    chain: Chain
    alternative: Chain | None = None
    why_lost: str = ""
    maybe: Chain | None = None
    questions: tuple[str, ...] = ()
    traps: tuple[Trap, ...] = ()

    @property
    def first_ask(self) -> bool:
        """Whether nothing would have to be bought if the questions turned out well: they come before the order."""
        return bool(self.chain.to_order) and self.maybe is not None and not self.maybe.to_order


@dataclass(frozen=True, slots=True)
class Open:
    """A line that no part in the box, on the shelf or in the price list can close.

    open_joint: where. wanted: the hose that would close it; wanted_adapter: an adapter that would do it with a hose that
    is there, "" if none would. reasons: parts that would join but may not be used. missing: the one part that the
    box's own parts lack, None where no part of the box would be in the line.
    """

    open_joint: str
    wanted: str
    wanted_adapter: str = ""
    reasons: tuple[str, ...] = ()
    traps: tuple[Trap, ...] = ()
    missing: Missing | None = None


@dataclass(frozen=True, slots=True)
class AskFirst:
    """Not known: what has to be asked or measured first. possible: the chain that would do if the answers are good."""

    questions: tuple[str, ...]
    possible: Chain | None = None
    traps: tuple[Trap, ...] = ()


__all__ = ["Answer", "AskFirst", "Catalogue", "Chain", "Closed", "LineQuestion", "Open", "solve"]
Answer = Closed | Open | AskFirst
Caps = dict[int, int]


def solve(catalogue: Catalogue, question: LineQuestion, caps: Caps | None = None) -> Answer:
    """The best chain for one corner.

    catalogue: indexed once, used for every corner. caps: pieces of a row that this corner may take, where another corner
    takes the rest.
    """
    traps = traps_in(catalogue.supply.box, (question.car_end, question.caliper_inlet))
    asks = _asks_about_ends(question)
    if asks:
        return AskFirst(asks, traps=traps)
    sure, maybe = Search(catalogue, question, surely, caps or {}), Search(catalogue, question, perhaps, caps or {})
    found, better = sure.best(), maybe.best()
    if found is None and better is None:
        relaxed = Search(catalogue, question, always, caps or {})
        wanted = wanted_hose(question), wanted_adapter(sure)
        return Open(open_joint(sure), *wanted, passed_over(relaxed), traps, missing_part(maybe))
    if found is None:
        assert better is not None
        return AskFirst(_asked(maybe, better), chain_of(better, question), traps)
    return _closed(sure, found, maybe, better, traps)


def _closed(sure: Search, found: Found, maybe: Search, better: Found | None, traps: tuple[Trap, ...]) -> Closed:
    question = sure.question
    chain = chain_of(found, question)
    other = next_best(sure, found)
    asks = _asked(maybe, better) if better and better[:3] < found[:3] else ()
    return Closed(
        chain, chain_of(other, question) if other else None, why_lost(found, other) if other else "",
        chain_of(better, question) if better and asks else None, asks, traps,
    )  # fmt: skip


def next_best(search: Search, found: Found) -> Found | None:
    """The best chain that does without at least one part of `found`; the same part number counts as the same part."""
    others = []
    for item in found.items:
        again = Search(search.catalogue, search.question, search.allowed, search.caps, item, search.uses).best()
        if again is not None:
            others.append(again)
    return min(others, key=lambda one: one[:3], default=None)


def _asked(search: Search, found: Found) -> tuple[str, ...]:
    asks = (search.use(item).ask for item in found.items)
    return tuple(dict.fromkeys(text for text in asks if text))


def _asks_about_ends(question: LineQuestion) -> tuple[str, ...]:
    whose: tuple[tuple[LineEnd, str], ...] = (
        (question.car_end, "the car's line end"),
        (question.caliper_inlet, "the caliper's inlet"),
    )
    return tuple(text for end, name in whose for text in asks_about(end, name))


Cost = tuple[int, int, int, int, int, int, float]
"""Lines open, lines not known, lines of which something must be bought, joints, parts without a price, price [1/10000], longest lead time [days]."""
SideCaps = tuple[dict[int, int], ...]


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
    start: SideCaps = tuple({} for _ in questions)
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
