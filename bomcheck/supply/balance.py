"""The parts list: what is needed against box, car, shelf, the shop's own entries and the price list; final."""

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from bomcheck.model.demand import Demand, Scope
from bomcheck.model.finding import Finding, Reason
from bomcheck.model.job import Job, Part
from bomcheck.model.line import (
    ASK,
    HERE,
    IN_KIT,
    NO_SOURCE,
    ON_CAR,
    ON_SHELF,
    PACK,
    TO_ORDER,
    WORK,
    Entries,
    Line,
    cents,
    entries_of,
    own_price,
    price_per,
    same_name,
)
from bomcheck.model.records import dataclass, replace
from bomcheck.model.verdict import Verdict
from bomcheck.notation.text import decimal
from bomcheck.supply.balance_notes import notes
from bomcheck.supply.buy_problem import Order
from bomcheck.supply.buying import Buying, buying, still_lacking
from bomcheck.supply.counting import DONE_BY_PEOPLE, up
from bomcheck.supply.identity import recognised
from bomcheck.supply.offers import Purchase, best_offer, purchase_of
from bomcheck.supply.spec import Fit, fit, needed_side, spec_text
from bomcheck.supply.stock import BOX, SHELF, Given, Settled, Wanted, settle, surplus_lines


@dataclass(frozen=True)
class Balanced:
    """given: what the stock holds for it. lack [demand's unit]: what box, car and shelf leave open. lacks [their units]: what
    must be bought, of all lines by key, what the shop has on hand taken off. prices: offers of the role. bought: the
    purchase of the whole list."""

    wanted: Wanted
    given: list[Given]
    lack: float
    lacks: Mapping[str, float]
    job: Job
    prices: list[Part]
    bought: Buying

    def lines(self) -> Iterator[Line]:
        """The line; after it one for each further kind of pack, where several together are cheapest."""
        buy = self._buy()
        yield (before := self._line(buy))
        for number, order in enumerate(self._orders()[1:], start=2):
            yield (before := self._rest(before, order, number))

    def named(self) -> Iterator[Part]:
        """What it takes from the shelf, and what is bought for it."""
        yield from (given.stock.part for given in self.given if given.stock.kind == SHELF)
        orders, buy = self._orders(), self._buy()
        yield from (self.bought.sold[order.offer] for order in orders)
        if not orders and buy is not None and self._status(buy) == TO_ORDER and buy.part in self.prices:
            yield buy.part

    @property
    def short(self) -> float:
        """What must be bought [demand's unit]."""
        return self.lacks[self.wanted.key]

    @property
    def own(self) -> Entries:
        """What the shop typed beside it."""
        return entries_of(self.job.own.get(self.wanted.key, {}))

    @property
    def chosen(self) -> str:
        """The supplier that the shop named, "" for none."""
        return self.own.supplier

    def _orders(self) -> tuple[Order, ...]:
        return self.bought.lines.get(self.wanted.key, ())

    def _line(self, buy: Purchase | None) -> Line:
        demand = self.wanted.demand
        part = buy.part if buy and _is_sure(buy) and not self._size_open() else self._given_part()
        status = self._status(buy)
        covered = bool(self.lack) and not self.short and status in (TO_ORDER, NO_SOURCE, ASK)
        return Line(
            key=self.wanted.key, role=demand.role,
            description=(part.description if part else "") or demand.said or demand.role, spec=spec_text(demand),
            side=needed_side(demand), needed=self.wanted.need, per=self.wanted.per, in_kit=self._from(BOX),
            on_car=self.wanted.need if demand.on_car else 0.0, on_shelf=self._from(SHELF), to_order=self.short,
            unit=demand.unit, one_time=demand.one_time, reason=demand.reason, used_at=demand.used_at,
            status=ON_SHELF if covered else status, listed_as=status if covered else "", own=self.own,
            note=notes(self, buy, status), sources=self._cells(buy), axle=demand.axle,
            **{"part_number": part.part_number if part else "", **self._bought(buy, status)},
        )  # fmt: skip

    def _size_open(self) -> bool:
        """Whether it is a hose or a screw whose length must be asked first: none is named then."""
        demand = self.wanted.demand
        long = demand.role.endswith(("hose", "screw", "stud", "bolt"))
        return bool(self.wanted.asks) and long and "length" not in demand.spec

    def _rest(self, before: Line, order: Order, number: int) -> Line:
        """What the larger packs of the line before leave open."""
        part = self.bought.sold[order.offer]
        buy = purchase_of(part, self.short, self.wanted.demand, fit(part, self.wanted.demand))
        held = {"needed": 0.0, "in_kit": 0.0, "on_car": 0.0, "on_shelf": 0.0, "per": "", "at_most": None}
        left = max(0.0, round(before.to_order - before.packs * before.pack_size, 6))
        packs = up(left / buy.pack_size)
        last = number == len(self._orders())
        key = f"{self.wanted.key}{PACK}{number}"
        own = entries_of(self.job.own.get(key, {}))
        paid = self._paid(buy, packs if last else min(packs, float(order.packs)), own)
        return replace(
            before, key=key, own=own, description=part.description or self.wanted.demand.said or part.role,
            **{**held, **paid, "supplier": own.supplier or buy.part.supplier}, part_number=part.part_number,
            to_order=left, rest_of=before.key,
            note=f"The rest: so it costs less than in packs of {before.pack_size:g} alone",
            sources=tuple(text for text in (str(part.place),) if text),
        )  # fmt: skip

    def _buy(self) -> Purchase | None:
        """What the purchase of the whole list holds for this line, else the best offer: what has no price, must be asked
        about, or comes too late."""
        if not self.lack or self.wanted.demand.role in DONE_BY_PEOPLE:
            return None
        orders, demand = self._orders(), self.wanted.demand
        if orders:
            part = self.bought.sold[orders[0].offer]
            return purchase_of(part, self.short, demand, fit(part, demand))
        late = self.bought.days is not None
        listed = [part for part in self.prices if same_name(part.supplier, self.chosen)] if self.chosen else self.prices
        short = self.short or self.lack
        listed_one = best_offer(short, demand, listed, late) or best_offer(short, demand, self.prices, late)
        return listed_one or self._own_source(short)

    def _own_source(self, short: float) -> Purchase | None:
        """A supplier and a price that the shop typed are a source."""
        own, unit = self.own, self.wanted.demand.unit
        pack = re.fullmatch(r"(?:per )?pack of ([\d.,]+).*", own.price_per.strip(), re.IGNORECASE)
        size = (decimal(pack[1]) if pack else None) or 1.0
        per = price_per(unit, size)
        part = Part(self.wanted.demand.role, supplier=own.supplier, unit=unit, pack_size=size)
        usable = own.supplier and own_price(own, per) is not None
        return Purchase(part, max(1.0, up(short / size)), size, None, Fit(), per) if usable else None

    def _given_part(self) -> Part | None:
        return self.given[0].stock.part if self.given and not self.lack else None

    def _from(self, kind: str) -> float:
        return round(sum(given.amount for given in self.given if given.stock.kind == kind), 6)

    def is_elsewhere(self, buy: Purchase | None) -> bool:
        """Whether the shop named a supplier in whose list nothing serves: number and price are another one's then."""
        return bool(self.chosen) and buy is not None and not same_name(self.chosen, buy.part.supplier)

    def _bought(self, buy: Purchase | None, status: str) -> dict[str, Any]:
        """The columns that say what is bought; empty unless it is really to be ordered."""
        if buy is None or status != TO_ORDER:
            return self._work() if self.wanted.demand.role in DONE_BY_PEOPLE else self._unlisted()
        if self.is_elsewhere(buy):
            paid = self._paid(buy, buy.packs if self.short else 0.0, self.own, listed=False)
            return {**paid, "part_number": "", "supplier": self.chosen, "lead_days": None}
        owner = self.bought.owner(self.wanted.key)
        if owner:
            return {**self._paid(buy, 0.0, self.own), "out_of": owner}
        others = self.bought.also_for.get(self.wanted.key, ())
        shared = round(sum(self.lacks[key] for key in others), 6)
        packs = max(1.0, up((self.short + shared) / buy.pack_size)) if self.short else 0.0
        at_most = float(self._orders()[0].packs) if len(self._orders()) > 1 else None
        paid = self._paid(buy, packs if at_most is None else min(packs, at_most), self.own)
        return {**paid, "also_for": others, "shared": shared, "at_most": at_most}

    def _unlisted(self) -> dict[str, Any]:
        """What no price list holds, at the shop's own price for one of the unit, from whom it named."""
        unit = self.wanted.demand.unit
        price = own_price(self.own, price_per(unit, None))
        total = None if price is None else cents(self.short * price)
        return {"supplier": self.chosen, "unit_price": price, "line_total": total}

    @staticmethod
    def _paid(buy: Purchase, packs: float, own: Entries, listed: bool = True) -> dict[str, Any]:
        typed, there = own_price(own, buy.per), buy.unit_price if listed else None
        price = there if typed is None else typed
        return {
            "pack_size": buy.pack_size, "packs": packs, "container": buy.container, "supplier": buy.part.supplier,
            "list_price": there, "unit_price": price, "line_total": None if price is None else cents(packs * price),
            "lead_days": buy.part.lead_days,
        }  # fmt: skip

    def _work(self) -> dict[str, Any]:
        listed = self.job.get("labour_rate") if self.wanted.demand.role == "labour" else None
        per = price_per(self.wanted.demand.unit, None)
        typed = own_price(self.own if self.own.price_per else replace(self.own, price_per=per), per)
        rate = listed if typed is None else typed
        total = None if rate is None else cents(rate * self.wanted.need)
        return {"packs": self.wanted.need, "list_price": listed, "unit_price": rate, "line_total": total}

    def _status(self, buy: Purchase | None) -> str:
        if self.wanted.need <= 0 or (self.wanted.asks and self.lack):
            return ASK
        if not self.lack:
            return ON_CAR if self.wanted.demand.on_car else ON_SHELF if self._from(SHELF) else IN_KIT
        if buy is None:
            return WORK if self.wanted.demand.role in DONE_BY_PEOPLE else NO_SOURCE
        return TO_ORDER if _is_sure(buy) else ASK

    def _cells(self, buy: Purchase | None) -> tuple[str, ...]:
        parts: Sequence[Part] = [given.stock.part for given in self.given] + ([buy.part] if buy else [])
        return tuple(dict.fromkeys(str(part.place) for part in parts if str(part.place)))


def _is_sure(buy: Purchase) -> bool:
    """Whether the offer states all that matters; how much a container holds may be left open."""
    return buy.fit.surely or buy.fit.unstated == ("contents",)


def balance(job: Job, demands: Sequence[Demand], corners: int | None = None) -> tuple[Line, ...]:
    """All lines of the parts list; see `parts_list`."""
    return parts_list(job, demands, corners).lines


class Parts(NamedTuple):
    """lines: first what is needed, in the order of the demands, then the questions about the scope, then what the box holds
    too much of. bought: the purchase that they show. job: with the shop's entries under today's names of the lines. named:
    what is taken from the shelf or bought, each part with what it is for. refused: what would make a check worse."""

    lines: tuple[Line, ...]
    bought: Buying
    job: Job
    named: tuple[tuple[Demand, Part], ...]
    refused: frozenset[Part] = frozenset()


def parts_list(
    job: Job, demands: Sequence[Demand], corners: int | None = None, days: float | None = None,
    settled: Settled | None = None,
) -> Parts:  # fmt: skip
    """The parts list.

    demands: of one corner, one axle and the car. corners: in scope; None: as the job says. days: until everything must
    be there; None for no date.
    """
    settled = settled or settle(job, demands, corners)
    job, unclear = recognised(job, settled.wanted)
    given, bought, by_role = settled.allotment, buying(job, settled, days), _by_role(job)
    lacks = {one.key: still_lacking(job, one.key, given.lack(i)) for i, one in enumerate(settled.wanted)}
    balanced = [
        Balanced(one, given.given(i), given.lack(i), lacks, job, by_role.get(one.demand.role, []), bought)
        for i, one in enumerate(settled.wanted)
    ]
    lines = [line for one in balanced for line in one.lines()]
    named = tuple((one.wanted.demand, part) for one in balanced for part in one.named())
    old = "Entries of an earlier check"  # in an older workbook, that may belong to several lines
    entries = [Line(f"ask | entries of {one}", "question", old, status=ASK, note=why) for one, why in unclear.items()]
    asked = [*_about_scope(settled.scope), *entries]
    mine = [line for line in lines if line.to_order and line.own.supplier and line.own.price is not None]
    mine = [
        line
        for line in mine
        if line.key in bought.wanted and line.key not in bought.lines and line.line_total is not None
    ]
    own = tuple((line.supplier, line.line_total or 0.0) for line in mine)
    bought = replace(bought, own=own, left_out=bought.left_out - len(own))
    left = (replace(one, own=entries_of(job.own.get(one.key, {}))) for one in surplus_lines(given, settled.wanted))
    return Parts((*lines, *asked, *left), bought, job, named)


def _by_role(job: Job) -> dict[str, list[Part]]:
    """The price list by role."""
    found: dict[str, list[Part]] = {}
    for part in job.prices:
        found.setdefault(part.role, []).append(part)
    return found


def _about_scope(scope: Scope) -> list[Line]:
    if not scope.ask:
        return []
    counted = f"{scope.count} corner{'s' if scope.count > 1 else ''}"
    return [
        Line("ask | corners", "question", "Corners in scope", per=f"counted for {counted}", status=ASK, note=scope.ask)
    ]


CONSUMABLES = frozenset(
    {
        "fluid", "threadlocker", "thread sealant", "grease", "anti-seize", "cleaner", "safety wire", "gear oil", "line cap",
        "cable tie", "torque paint", "labour", "machining", "question",
    }
)  # fmt: skip


def parts_complete(job: Job, parts: Sequence[Line]) -> Finding:
    """Fits where nothing but consumables must be bought; fits with parts otherwise, naming them.

    Does not apply while the contents of the box are not entered.
    """
    blank = Finding(
        "parts_complete", "Parts complete", "parts", Verdict.DOES_NOT_APPLY, unit="",
        said="The contents of the kit's box are not entered", source="balance of the parts list", reason=Reason.BLANK,
    )  # fmt: skip
    if not job.box:
        return blank
    short = [line for line in parts if line.to_order > 0 and line.status in (TO_ORDER, NO_SOURCE, ASK)]
    lasting = [line for line in short if line.role not in CONSUMABLES]
    if not lasting:
        said = "Box, car and shelf hold every part that stays in the car"
        return replace(blank, verdict=Verdict.FITS, said=said, reason=Reason.NONE)
    away = [line for line in lasting if line.here != HERE]
    roles = ", ".join(dict.fromkeys(line.role for line in away or lasting))
    said = f"Neither in the box nor at hand: {roles}" if away else f"Bought for it, and here: {roles}"
    do = "Order what is missing: the parts list has each line with its reason" if away else ""
    return replace(blank, verdict=Verdict.FITS_WITH_PARTS, said=said, do=do, reason=Reason.PARTS_MISSING)


def together(lines: Sequence[Line]) -> list[Line]:
    """Each line followed by those that take from its packs, and by the further packs that hold its rest."""
    return [one for line in lines if not line.out_of and not line.rest_of for one in _with_its_own(line, lines)]


def _with_its_own(line: Line, lines: Sequence[Line]) -> Iterator[Line]:
    yield line
    for one in lines:
        if one.out_of == line.key:
            yield one
        elif one.rest_of == line.key:
            yield from _with_its_own(one, lines)
