"""Demands added up over the corners: equal ones become one line, left and right stay apart, spares are added."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import ceil

from bomcheck.job import Job, Part
from bomcheck.parts.asked import Asked, ask_of
from bomcheck.parts.counting import TINY, whole
from bomcheck.parts.counting import said as counted
from bomcheck.parts.demand import Demand
from bomcheck.parts.scope import BOTH, Scope
from bomcheck.parts.spec import fit, needed_side, on_side
from bomcheck.parts.spec_text import line_key
from bomcheck.verdict.limits import limit_for

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


def add_up(demands: Iterable[Demand], scope: Scope, parts: Sequence[Part], job: Job) -> list[Wanted]:
    """All demands of a job as lines. parts: everything at hand or priced; one that is marked left or right divides the
    demand that it serves."""
    groups: dict[tuple[object, ...], list[Demand]] = {}
    for demand in demands:
        for one in _by_side(demand, scope, parts):
            groups.setdefault(_same(one), []).append(one)
    return _named([wanted for group in groups.values() if (wanted := _total(group, scope, job)) is not None])


def _same(demand: Demand) -> tuple[object, ...]:
    """What must be equal before two demands become one line: all of the spec."""
    spec = tuple(sorted((key, str(getattr(value, "name", value))) for key, value in demand.spec.items()))
    kind = (demand.unit, demand.one_time, demand.on_car, demand.said, demand.quantity > 0)
    return (demand.role, needed_side(demand), spec, *kind)


def _by_side(demand: Demand, scope: Scope, parts: Sequence[Part]) -> list[Demand]:
    """The demand, or one for each side where a part that would serve is marked left or right."""
    if needed_side(demand) != "either" or demand.per != "corner" or not scope.sides or not demand.quantity:
        return [demand]
    if not any(part.role == demand.role and part.side in BOTH and _otherwise(part, demand) for part in parts):
        return [demand]
    return [on_side(demand, side) for side in scope.sides]


def _otherwise(part: Part, demand: Demand) -> bool:
    return fit(part, on_side(demand, part.side)).serves


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
    demand = _merged(group)
    return Wanted(demand, whole(need, first.unit), per, tuple(dict.fromkeys(asks)), line_key(demand))


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
    """No two lines of one name: the place tells them apart, then a count."""
    taken: set[str] = set()
    named = []
    for one in wanted:
        names = [one.key, f"{one.key} | {one.demand.used_at}"]
        names += [f"{names[1]} | {number}" for number in range(2, len(wanted) + 2)]
        key = next(name for name in names if name not in taken)
        taken.add(key)
        named.append(replace(one, key=key))
    return named
