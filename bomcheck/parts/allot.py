"""Who gets what there is: parts at hand are handed out so that as much as possible of what is needed is covered.

A part that serves several demands goes where nothing else serves. What is handed out first stays in use: the box, then
the shelf. The method is that of growing paths in a flow between demands and stocks.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf

from bomcheck.job import Part
from bomcheck.parts.counting import DONE_BY_PEOPLE, TINY, per_unit
from bomcheck.parts.demand import Demand
from bomcheck.parts.line_stock import count
from bomcheck.parts.spec import ALL_STATED, Fit, fit
from bomcheck.parts.wanted import Wanted

BOX, SHELF = "box", "shelf"
ORDER = (BOX, SHELF)


@dataclass(frozen=True, slots=True)
class Stock:
    """A row that is there. amount [its own unit]; inf where one is enough for any car."""

    part: Part
    kind: str
    amount: float

    def in_unit_of(self, demand: Demand) -> float | None:
        """How many of the demand's unit one of this row's unit is; None where it cannot be told."""
        return per_unit(self.part.role, self.part.unit, demand.unit)


def stocks(box: Sequence[Part], shelf: Sequence[Part], prices: Sequence[Part]) -> list[Stock]:
    """Box and shelf as stock; what is on hand of a priced part lies on the shelf."""
    on_shelf = [*shelf, *(part for part in prices if part.on_hand)]
    return [*(_stock(part, BOX) for part in box), *(_stock(part, SHELF) for part in on_shelf)]


def _stock(part: Part, kind: str) -> Stock:
    stated = part.on_hand if kind == SHELF and part.on_hand is not None else part.quantity
    return Stock(part, kind, float(count(part, kind)) if stated is None else float(stated))


@dataclass(frozen=True, slots=True)
class Given:
    """amount [demand's unit] of one row for one line, and how the row fits it."""

    stock: Stock
    amount: float
    fit: Fit


class Allotment:
    """Hands out the stock to the lines; ask `given` and `left` afterwards."""

    def __init__(self, wanted: Sequence[Wanted], stock: Sequence[Stock]) -> None:
        self.wanted, self.stock = wanted, stock
        self._fits: dict[tuple[int, int], Fit] = {}
        self._edges: list[list[int]] = [self._serving(i) for i in range(len(wanted))]
        self._flow: dict[tuple[int, int], float] = {}
        self._spare = [row.amount for row in stock]
        self._lack = [0.0 if one.demand.on_car else one.need for one in wanted]
        self._hand_out()

    def given(self, line: int) -> list[Given]:
        """What a line got, in the order in which it is used."""
        rows = [(i, j, amount) for (i, j), amount in self._flow.items() if i == line and amount > TINY]
        rows.sort(key=lambda row: (ORDER.index(self.stock[row[1]].kind), row[1]))
        return [Given(self.stock[j], round(amount, 6), self._fits[i, j]) for i, j, amount in rows]

    def lack(self, line: int) -> float:
        """What a line still lacks [its unit]."""
        return round(max(0.0, self._lack[line]), 6)

    def left(self, row: int) -> float:
        """What is left of a row [its own unit]."""
        return round(self._spare[row], 6)

    def enough_for_any(self, row: int) -> bool:
        """Whether one of this row is enough for any car and somebody uses it: nothing of it counts as left over."""
        return any(j == row and amount > TINY and self._factor(i, j) == inf for (i, j), amount in self._flow.items())

    def _serving(self, line: int) -> list[int]:
        """Rows that serve a line, those first that state all that matters. A row on the shelf must state it."""
        found = []
        demand = self.wanted[line].demand
        for row, stock in enumerate(self.stock):
            if stock.part.role != demand.role or demand.role in DONE_BY_PEOPLE:
                continue
            answer = fit(stock.part, demand)
            trusted = stock.kind == BOX and not demand.spec.get(ALL_STATED)
            if answer.surely or (answer.serves and (trusted or answer.unstated == ("contents",))):
                self._fits[line, row] = answer
                found.append(row)
        return sorted(found, key=lambda row: len(self._fits[line, row].unstated))

    def _hand_out(self) -> None:
        order = sorted(range(len(self.wanted)), key=lambda line: len(self._edges[line]))
        for kinds in ((BOX,), (BOX, SHELF)):
            for line in order:
                while self._lack[line] > TINY:
                    moved = self._grow(line, self._lack[line], kinds, {line})
                    if moved <= TINY:
                        break
                    self._lack[line] -= moved

    def _grow(self, line: int, most: float, kinds: tuple[str, ...], seen: set[int]) -> float:
        """Give the line up to `most` [its unit] more, moving others to other rows where that helps."""
        rows = [row for row in self._edges[line] if self.stock[row].kind in kinds]
        for row in rows:
            taken = self._there(line, row, most)
            if taken > TINY:
                self._move(line, row, taken)
                return taken
        return self._by_moving_others(line, rows, most, kinds, seen)

    def _by_moving_others(
        self, line: int, rows: list[int], most: float, kinds: tuple[str, ...], seen: set[int]
    ) -> float:
        for row in rows:
            for other in self._holders(row, seen):
                factor, theirs = self._factor(line, row), self._factor(other, row)
                seen.add(other)
                freed = self._grow(other, min(self._flow[other, row], most / factor * theirs), kinds, seen)
                if freed > TINY:
                    self._move(other, row, -freed)
                    self._move(line, row, freed / theirs * factor)
                    return freed / theirs * factor
        return 0.0

    def _holders(self, row: int, seen: set[int]) -> list[int]:
        holding = [i for (i, j), amount in self._flow.items() if j == row and amount > TINY and i not in seen]
        return [i for i in holding if self._factor(i, row) != inf]

    def _there(self, line: int, row: int, most: float) -> float:
        """How much of the line's `most` the row still has; one that is enough for any car has it all."""
        if self._spare[row] <= TINY:
            return 0.0
        factor = self._factor(line, row)
        return most if factor == inf else min(most, self._spare[row] * factor)

    def _factor(self, line: int, row: int) -> float:
        return self.stock[row].in_unit_of(self.wanted[line].demand) or 0.0

    def _move(self, line: int, row: int, amount: float) -> None:
        factor = self._factor(line, row)
        self._flow[line, row] = self._flow.get((line, row), 0.0) + amount
        if factor != inf:
            self._spare[row] -= amount / factor
