"""One line of the parts list in the making: where the parts come from, what is bought, and what to say about it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from bomcheck.job import Job, Part
from bomcheck.parts.allot import BOX, SHELF, Given
from bomcheck.parts.balanced_notes import notes
from bomcheck.parts.buy_job import chosen_supplier
from bomcheck.parts.buy_types import Order
from bomcheck.parts.buying import Buying
from bomcheck.parts.cents import cents
from bomcheck.parts.counting import DONE_BY_PEOPLE, up
from bomcheck.parts.line import ASK, IN_KIT, NO_SOURCE, ON_CAR, ON_SHELF, TO_ORDER, WORK, Line
from bomcheck.parts.names import same_name
from bomcheck.parts.offers import Purchase, best_offer, purchase_of
from bomcheck.parts.spec import fit, needed_side
from bomcheck.parts.spec_text import spec_text
from bomcheck.parts.wanted import Wanted


@dataclass(frozen=True)
class Balanced:
    """given: what the stock holds for it. lacks [demand's unit]: what must be bought, of all lines by key. prices: offers
    of the role. bought: the purchase of the whole list."""

    wanted: Wanted
    given: list[Given]
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

    @property
    def short(self) -> float:
        """What must be bought [demand's unit]."""
        return self.lacks[self.wanted.key]

    @property
    def chosen(self) -> str:
        """The supplier that the shop named, "" for none."""
        return chosen_supplier(self.job, self.wanted.key)

    def _orders(self) -> tuple[Order, ...]:
        return self.bought.lines.get(self.wanted.key, ())

    def _line(self, buy: Purchase | None) -> Line:
        demand = self.wanted.demand
        part = buy.part if buy and _is_sure(buy) and not self._size_open() else self._given_part()
        status = self._status(buy)
        return Line(
            key=self.wanted.key,
            role=demand.role,
            description=(part.description if part else "") or demand.said or demand.role,
            spec=spec_text(demand),
            side=needed_side(demand),
            needed=self.wanted.need,
            per=self.wanted.per,
            in_kit=self._from(BOX),
            on_car=self.wanted.need if demand.on_car else 0.0,
            on_shelf=self._from(SHELF),
            to_order=self.short,
            unit=demand.unit,
            one_time=demand.one_time,
            reason=demand.reason,
            used_at=demand.used_at,
            status=status,
            note=notes(self, buy, status),
            sources=self._cells(buy),
            **{"part_number": part.part_number if part else "", **self._bought(buy, status)},
        )

    def _size_open(self) -> bool:
        """Whether it is a hose whose length must be asked first: none is named then."""
        return bool(self.wanted.asks) and self.wanted.demand.role == "hose" and "length" not in self.wanted.demand.spec

    def _rest(self, before: Line, order: Order, number: int) -> Line:
        """What the larger packs of the line before leave open."""
        part = self.bought.sold[order.offer]
        buy = purchase_of(part, self.short, self.wanted.demand, fit(part, self.wanted.demand))
        held = {"needed": 0.0, "in_kit": 0.0, "on_car": 0.0, "on_shelf": 0.0, "per": "", "at_most": None}
        left = max(0.0, round(before.to_order - before.packs * before.pack_size, 6))
        packs = up(left / buy.pack_size)
        last = number == len(self._orders())
        return replace(
            before,
            key=f"{self.wanted.key} | pack {number}",
            description=part.description or self.wanted.demand.said or part.role,
            **{**held, **self._paid(buy, packs if last else min(packs, float(order.packs)))},
            part_number=part.part_number,
            to_order=left,
            rest_of=before.key,
            note=f"The rest: so it costs less than in packs of {before.pack_size:g} alone",
            sources=tuple(text for text in (str(part.place),) if text),
        )

    def _buy(self) -> Purchase | None:
        """What the purchase of the whole list holds for this line, else the best offer: what has no price, must be asked
        about, or comes too late."""
        if not self.short or self.wanted.demand.role in DONE_BY_PEOPLE:
            return None
        orders, demand = self._orders(), self.wanted.demand
        if orders:
            part = self.bought.sold[orders[0].offer]
            return purchase_of(part, self.short, demand, fit(part, demand))
        late = self.bought.days is not None
        listed = [part for part in self.prices if same_name(part.supplier, self.chosen)] if self.chosen else self.prices
        return best_offer(self.short, demand, listed, late) or best_offer(self.short, demand, self.prices, late)

    def _given_part(self) -> Part | None:
        return self.given[0].stock.part if self.given and not self.short else None

    def _from(self, kind: str) -> float:
        return round(sum(given.amount for given in self.given if given.stock.kind == kind), 6)

    def is_elsewhere(self, buy: Purchase | None) -> bool:
        """Whether the shop named a supplier in whose list nothing serves: number and price are another one's then."""
        return bool(self.chosen) and buy is not None and not same_name(self.chosen, buy.part.supplier)

    def _bought(self, buy: Purchase | None, status: str) -> dict[str, Any]:
        """The columns that say what is bought; empty unless it is really to be ordered."""
        if buy is None or status != TO_ORDER:
            return self._work() if self.wanted.demand.role in DONE_BY_PEOPLE else {}
        if self.is_elsewhere(buy):
            return {"part_number": "", "supplier": self.chosen, "packs": buy.packs, "pack_size": buy.pack_size}
        owner = self.bought.owner(self.wanted.key)
        if owner:
            return {**self._paid(buy, 0.0), "out_of": owner}
        others = self.bought.also_for.get(self.wanted.key, ())
        shared = round(sum(self.lacks[key] for key in others), 6)
        packs = max(1.0, up((self.short + shared) / buy.pack_size))
        at_most = float(self._orders()[0].packs) if len(self._orders()) > 1 else None
        paid = self._paid(buy, packs if at_most is None else min(packs, at_most))
        return {**paid, "also_for": others, "shared": shared, "at_most": at_most}

    @staticmethod
    def _paid(buy: Purchase, packs: float) -> dict[str, Any]:
        return {
            "pack_size": buy.pack_size,
            "packs": packs,
            "supplier": buy.part.supplier,
            "unit_price": buy.unit_price,
            "line_total": None if buy.unit_price is None else cents(packs * buy.unit_price),
            "lead_days": buy.part.lead_days,
        }

    def _work(self) -> dict[str, Any]:
        rate = self.job.get("labour_rate") if self.wanted.demand.role == "labour" else None
        total = None if rate is None else cents(rate * self.wanted.need)
        return {"packs": self.wanted.need, "unit_price": rate, "line_total": total}

    def _status(self, buy: Purchase | None) -> str:
        if self.wanted.need <= 0 or (self.wanted.asks and self.short):
            return ASK
        if not self.short:
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
