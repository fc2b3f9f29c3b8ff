"""The parts list: what is needed, minus what the box, the car and the shelf hold, and where the rest is bought."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from bomcheck.job import Job, Part
from bomcheck.parts.allot import BOX, SHELF, Allotment, Given, stocks
from bomcheck.parts.counting import said
from bomcheck.parts.demand import Demand
from bomcheck.parts.line import ASK, IN_KIT, NO_SOURCE, ON_CAR, ON_SHELF, TO_ORDER, WORK, Line
from bomcheck.parts.offers import Purchase, best_offer
from bomcheck.parts.scope import Scope, scope_of
from bomcheck.parts.spec import called, needed_side, why_not
from bomcheck.parts.spec_text import spec_text
from bomcheck.parts.surplus import surplus_lines
from bomcheck.parts.wanted import Wanted, add_up

WORK_ROLES = ("labour", "machining")


def balance(job: Job, demands: Sequence[Demand], corners: int | None = None) -> tuple[Line, ...]:
    """All lines of the parts list: first what is needed, in the order of the demands, then the questions about the
    scope, then what the box holds too much of.

    demands: of one corner, one axle and the car. corners: in scope; None: as the job says.
    """
    settled = settle(job, demands, corners)
    given = settled.allotment
    by_role = _by_role(job)
    lines = [
        _Balanced(one, given.given(i), given.lack(i), job, by_role.get(one.demand.role, [])).line()
        for i, one in enumerate(settled.wanted)
    ]
    return (*lines, *_about_scope(settled.scope), *surplus_lines(given, settled.wanted))


@dataclass(frozen=True)
class Settled:
    """What is needed, and who got what of the stock."""

    scope: Scope
    wanted: list[Wanted]
    allotment: Allotment

    def short(self) -> list[tuple[Wanted, float]]:
        """What must be bought: each line with what it lacks [its unit]; lines with an open question are left out."""
        lacks = [(one, self.allotment.lack(number)) for number, one in enumerate(self.wanted)]
        return [(one, lack) for one, lack in lacks if lack and not one.asks and one.demand.role not in WORK_ROLES]


def settle(job: Job, demands: Sequence[Demand], corners: int | None = None) -> Settled:
    """Add the demands up over the corners, and hand out what the box and the shelf hold."""
    scope = scope_of(job, corners)
    wanted = add_up(demands, scope, (*job.box, *job.shelf, *job.prices), job)
    return Settled(scope, wanted, Allotment(wanted, stocks(job.box, job.shelf, job.prices)))


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


@dataclass(frozen=True)
class _Balanced:
    """One line in the making. short: what must be bought [demand's unit]. prices: offers of the role."""

    wanted: Wanted
    given: list[Given]
    short: float
    job: Job
    prices: list[Part]

    def line(self) -> Line:
        demand, buy = self.wanted.demand, self._buy()
        part = buy.part if buy and (buy.fit.surely or self._only_contents(buy)) else self._given_part()
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
            part_number=part.part_number if part else "",
            one_time=demand.one_time,
            reason=demand.reason,
            used_at=demand.used_at,
            status=self._status(buy),
            note=self._note(buy),
            sources=self._cells(buy),
            **self._bought(buy),
        )

    def _buy(self) -> Purchase | None:
        return best_offer(self.short, self.wanted.demand, self.prices) if self.short else None

    @staticmethod
    def _only_contents(buy: Purchase) -> bool:
        return buy.fit.unstated == ("contents",)

    def _given_part(self) -> Part | None:
        return self.given[0].stock.part if self.given and not self.short else None

    def _from(self, kind: str) -> float:
        return round(sum(given.amount for given in self.given if given.stock.kind == kind), 6)

    def _bought(self, buy: Purchase | None) -> dict[str, Any]:
        """The columns that say what is bought; empty unless it is really to be ordered."""
        if buy is None or self._status(buy) != TO_ORDER:
            return self._work() if self.wanted.demand.role in WORK_ROLES else {}
        return {
            "pack_size": buy.pack_size,
            "packs": buy.packs,
            "supplier": buy.part.supplier,
            "unit_price": buy.unit_price,
            "line_total": buy.total,
            "lead_days": buy.part.lead_days,
        }

    def _work(self) -> dict[str, Any]:
        rate = self.job.get("labour_rate") if self.wanted.demand.role == "labour" else None
        total = None if rate is None else round(rate * self.wanted.need, 2)
        return {"packs": self.wanted.need, "unit_price": rate, "line_total": total}

    def _status(self, buy: Purchase | None) -> str:
        if self.wanted.need <= 0 or (self.wanted.asks and self.short):
            return ASK
        if not self.short:
            return ON_CAR if self.wanted.demand.on_car else ON_SHELF if self._from(SHELF) else IN_KIT
        if buy is None:
            return WORK if self.wanted.demand.role in WORK_ROLES else NO_SOURCE
        return TO_ORDER if buy.fit.surely or self._only_contents(buy) else ASK

    def _cells(self, buy: Purchase | None) -> tuple[str, ...]:
        parts = [given.stock.part for given in self.given] + ([buy.part] if buy else [])
        return tuple(dict.fromkeys(str(part.place) for part in parts if str(part.place)))

    def _note(self, buy: Purchase | None) -> str:
        texts = [*self.wanted.asks, *self._remarks(), *self._shortage(), *self._source(buy)]
        return ". ".join(dict.fromkeys(text.rstrip(".") for text in texts if text))

    def _remarks(self) -> list[str]:
        """What the parts at hand do not state."""
        given = [
            g for g in self.given if g.fit.remark or (g.stock.part.quantity is None and g.stock.part.on_hand is None)
        ]
        return [f"{called(g.stock.part)}: {g.fit.remark or 'quantity not stated, counted as 1'}" for g in given]

    def _shortage(self) -> list[str]:
        demand, held = self.wanted.demand, self._from(BOX) + self._from(SHELF)
        texts = (
            [f"{said(self.short, demand.unit)} short of {said(self.wanted.need, demand.unit)}"]
            if held and self.short
            else []
        )
        against = why_not((*self.job.box, *self.job.shelf), demand) if self.short else ""
        return [*texts, against]

    def _source(self, buy: Purchase | None) -> list[str]:
        """Where to look when nothing is known that serves, or only perhaps."""
        demand = self.wanted.demand
        if not self.short or demand.role in WORK_ROLES:
            return []
        if buy is not None:
            return [f"{called(buy.part)} of the price list: {buy.fit.remark}"] if buy.fit.remark else []
        role = "" if demand.role in demand.said else demand.role
        look = ", ".join(text for text in (role, demand.said, spec_text(demand)) if text)
        refused = why_not(self.prices, demand)
        return [
            f"Look for {said(self.short, demand.unit)}: {look}. Supplied by whom: kit maker, shop or customer?",
            refused,
        ]
