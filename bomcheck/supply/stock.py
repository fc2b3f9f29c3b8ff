"""What is wanted set against box, car and shelf."""

from collections.abc import Iterable, Mapping, Sequence
from math import ceil, inf

from bomcheck.model.demand import BOTH, Asked, Demand, Scope, ask_of, scope_of
from bomcheck.model.job import Job, Part
from bomcheck.model.limits import limit_for
from bomcheck.model.line import SURPLUS, Line
from bomcheck.model.records import dataclass, replace
from bomcheck.supply.counting import DONE_BY_PEOPLE, TINY, UNITS, per_unit, whole
from bomcheck.supply.counting import said as counted
from bomcheck.supply.identity import line_name
from bomcheck.supply.line_ends import count, part_asks
from bomcheck.supply.line_question import called
from bomcheck.supply.spec import ALL_STATED, ENDS, Fit, fit, needed_side, on_side

SPARED = "sealing washer"


@dataclass(frozen=True)
class Wanted:
    """One kind of part for the whole job.

    demand: what it must be, with the reasons and places of all that were added up. need: total [demand.unit].
    per: how it comes about. asks: open questions. key: name of the line.
    """

    demand: Demand
    need: float
    per: str
    asks: tuple[str, ...]
    key: str


def add_up(
    demands: Iterable[Demand], scope: Scope, parts: Sequence[Part], job: Job, axles: Mapping[str, Scope] | None = None
) -> list[Wanted]:
    """All demands of a job as lines. parts: everything at hand or priced; one that is marked left or right divides the
    demand that it serves. axles: of a car with two kits, the corners of each axle."""
    scopes = axles or {}
    groups: dict[tuple[object, ...], list[Demand]] = {}
    for demand in demands:
        for one in _by_side(demand, scopes.get(demand.axle, scope), parts):
            groups.setdefault(same_line(one), []).append(one)
    totals = (_total(group, scopes.get(group[0].axle, scope), job) for group in groups.values())
    return _named([wanted for wanted in totals if wanted is not None])


def same_line(demand: Demand) -> tuple[object, ...]:
    """What must be equal before two demands become one line: all of the spec."""
    spec = tuple(sorted((key, str(getattr(value, "name", value))) for key, value in demand.spec.items()))
    kind = (demand.unit, demand.one_time, demand.on_car, demand.said, demand.quantity > 0, demand.axle)
    return (demand.role, needed_side(demand), spec, *kind)


def _by_side(demand: Demand, scope: Scope, parts: Sequence[Part]) -> list[Demand]:
    """The demand, or one for each side where a part that would serve is marked left or right."""
    if needed_side(demand) != "either" or demand.per != "corner" or not scope.sides or not demand.quantity:
        return [demand]
    if not any(
        part.role == demand.role and part.side in BOTH and fit(part, on_side(demand, part.side)).serves
        for part in parts
    ):
        return [demand]
    return [on_side(demand, side) for side in scope.sides]


def _total(group: list[Demand], scope: Scope, job: Job) -> Wanted | None:
    first, asks = group[0], [ask_of(demand) for demand in group if ask_of(demand)]
    side = needed_side(first)
    if side in BOTH and scope.side_open:
        asks.append(f"{scope.ask} One is needed, of that side")
        group = [replace(demand, quantity=0.0) for demand in group]
    elif not scope.times(first.per, side):
        return None
    exact = sum(demand.quantity * scope.times(demand.per, side) for demand in group)
    need, spares = _with_spares(exact, first, job)
    per = " + ".join(dict.fromkeys(_per_texts(group, scope, side))) + spares
    per = f"{first.axle} axle: {per}" if first.axle else per
    demand = _merged(group)
    return Wanted(demand, whole(need, first.unit), per, tuple(dict.fromkeys(asks)), "")


def _with_spares(need: float, demand: Demand, job: Job) -> tuple[float, str]:
    percent = (limit_for("spare_percent", job).high or 0.0) if demand.role == SPARED else 0.0
    spares = ceil(need * percent / 100 - TINY)
    return (need + spares, f" + {spares} spare ({percent:g} %)") if spares > 0 else (need, "")


def _per_texts(group: list[Demand], scope: Scope, side: str) -> list[str]:
    sums: dict[str, float] = {}
    for demand in group:
        sums[demand.per] = sums.get(demand.per, 0.0) + demand.quantity
    return [_per_text(round(total, 6), per, scope, side, group[0].unit) for per, total in sums.items() if total]


def _per_text(quantity: float, per: str, scope: Scope, side: str, unit: str) -> str:
    if side in BOTH:
        return f"{counted(quantity, unit)} for the {side} corner"
    if per != "corner":
        return f"{counted(quantity, unit)} per {per}"
    return f"{counted(quantity, unit)} per corner x {scope.count} corner{'s' if scope.count > 1 else ''}"


def _merged(group: list[Demand]) -> Demand:
    reason = "; ".join(dict.fromkeys(demand.reason for demand in group if demand.reason))
    used_at = ", ".join(dict.fromkeys(demand.used_at for demand in group if demand.used_at))
    first = next((demand for demand in group if isinstance(demand, Asked)), group[0])
    return replace(first, reason=reason, used_at=used_at)


def _named(wanted: list[Wanted]) -> list[Wanted]:
    """Each under its name; of several of one name the second is number 2."""
    count: dict[str, int] = {}
    named = []
    for one in wanted:
        name = line_name(one.demand)
        count[name] = count.get(name, 0) + 1
        named.append(replace(one, key=name if count[name] == 1 else f"{name}, {count[name]}"))
    return named


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
        self.unclear: dict[int, list[Part]] = {}
        """By line, parts of the kit that would serve if their ends turn out well: not there until those are stated."""
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
            trusted = stock.kind == BOX and not demand.spec.get(ALL_STATED) and ENDS not in answer.unstated
            if stock.kind == BOX and answer.serves and ENDS in answer.unstated:
                self.unclear.setdefault(line, []).append(stock.part)
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


@dataclass(frozen=True)
class Settled:
    """What is needed, and who got what of the stock."""

    scope: Scope
    wanted: list[Wanted]
    allotment: Allotment

    def short(self) -> list[tuple[Wanted, float]]:
        """What must be bought: each line with what it lacks [its unit]; lines with an open question are left out."""
        lacks = [(one, self.allotment.lack(number)) for number, one in enumerate(self.wanted)]
        return [(one, lack) for one, lack in lacks if lack and not one.asks and one.demand.role not in DONE_BY_PEOPLE]


def settle(job: Job, demands: Sequence[Demand], corners: int | None = None) -> Settled:
    """Add the demands up over the corners, and hand out what the box and the shelf hold."""
    scope = scope_of(job, corners)
    axles = {
        str(one.get("axle")): Scope(2, BOTH) if one.side else scope_of(one)
        for one in job.each_axle
        if len(job.each_axle) > 1
    }
    wanted = add_up(demands, scope, (*job.box, *job.shelf, *job.prices), job, axles)
    allotment = Allotment(wanted, stocks(job.box, job.shelf, job.prices))
    asked = [_asked(one, allotment.unclear.get(i, ())) if allotment.lack(i) else one for i, one in enumerate(wanted)]
    return Settled(scope, asked, allotment)


def _asked(one: Wanted, unclear: Iterable[Part]) -> Wanted:
    """The line with a question about each part of the kit that may be what it needs."""
    asks = [text for part in unclear if (text := part_asks(part, called(part))) not in " ".join(one.asks)]
    return replace(one, asks=(*one.asks, *asks))


SPARE_SHIMS = "No stack that may be needed takes them; keep them for adjusting"


def surplus_lines(allotment: Allotment, wanted: Sequence[Wanted]) -> list[Line]:
    """One line for each row of the box of which something is left over."""
    taken: set[str] = set()
    lines = []
    for row, stock in enumerate(allotment.stock):
        left = allotment.left(row)
        if stock.kind == BOX and left > TINY and not allotment.enough_for_any(row):
            part, key, place = stock.part, _key(stock.part, taken), str(stock.part.place)
            lines.append(Line(
                key=key, role=part.role, description=part.description or part.role, side=part.side or "either", in_kit=left,
                unit=part.unit if part.unit in UNITS else "each", part_number=part.part_number, supplier=part.supplier,
                status=SURPLUS, note=_why(part, wanted), sources=(place,) if place else (), axle=part.axle,
            ))  # fmt: skip
    return lines


def _key(part: Part, taken: set[str]) -> str:
    words = (part.axle, "surplus", part.role, part.part_number or part.description, part.side.replace("either", ""))
    name = " | ".join(filter(None, words))
    key, number = name, 1
    while key in taken:
        number += 1
        key = f"{name} | {number}"
    taken.add(key)
    return key


def _why(part: Part, wanted: Sequence[Wanted]) -> str:
    """Why it is left over: more than needed, not what is needed, or nothing needs it."""
    demands = [one.demand for one in wanted if one.demand.role == part.role and one.need > 0]
    if part.role == "shim":
        return SPARE_SHIMS
    if part.role in DONE_BY_PEOPLE:
        return "Work is no part of a box; where the job takes it, it has a line of its own"
    if not demands:
        return f"This job takes no {part.role}"
    if any(ENDS in fit(part, demand).unstated for demand in demands):
        return "Not counted: whether it is what the line needs depends on its ends, which are asked for"
    answers = [_against(part, demand) for demand in demands]
    if "" in answers:
        return "More in the box than the job takes"
    return "Does not serve here: " + "; ".join(dict.fromkeys(answers))


def _against(part: Part, demand: Demand) -> str:
    """Why a part does not serve a demand, "" if it does."""
    answer = fit(part, demand)
    if answer.serves and demand.spec.get(ALL_STATED) and not answer.surely:
        return (
            f"what is needed is another one than the kit's, and this one does not state: {', '.join(answer.unstated)}"
        )
    return ", ".join(answer.against)
