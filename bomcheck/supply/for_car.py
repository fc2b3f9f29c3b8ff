"""What a car needs whose axles both get a kit: each axle's own parts, and once what is for the whole car."""

from collections.abc import Iterable, Sequence

from bomcheck.model.demand import BOTH, Demand, Scope, scope_of
from bomcheck.model.finding import Finding
from bomcheck.model.job import Job
from bomcheck.model.records import replace
from bomcheck.supply.balance import CONSUMABLES
from bomcheck.supply.counting import DONE_BY_PEOPLE
from bomcheck.supply.spec import needed_side


def of_car(axles: Sequence[tuple[Job, Iterable[Demand]]], system: Iterable[Finding]) -> list[Demand]:
    """All demands of a car. axles: the job of each axle with what it needs. system: findings with their parts."""
    found: list[Demand] = []
    shared: list[Demand] = []
    several = len({job.get("axle") for job, _ in axles}) > 1
    each = [(job, list(demands)) for job, demands in axles]
    for number, (job, demands) in enumerate(each):
        if job.side == "left":
            demands = _of_corners(demands, each[number + 1][1])
        if job.side != "right":
            for demand in demands:
                (shared if demand.per == "car" else found).append(_of_axle(demand, job, several))
    shared += [demand for finding in system for demand in finding.demands]
    return [*found, *_once(shared)]


def _of_axle(demand: Demand, job: Job, several: bool) -> Demand:
    """One for the whole car stays so; a consumable is counted over the axle and poured from one bottle. several: whether both
    axles get a kit."""
    if demand.per == "car":
        return demand
    axle = str(job.get("axle"))
    if demand.role in CONSUMABLES and demand.role not in DONE_BY_PEOPLE:
        scope = Scope(2, BOTH) if job.side else scope_of(job)
        quantity = round(demand.quantity * scope.times(demand.per, demand.side), 6)
        reason = f"{demand.reason}, {axle}" if demand.reason and several else demand.reason
        return replace(demand, quantity=quantity, per="car", side="either", reason=reason)
    return replace(demand, axle=axle) if several else demand


def _of_corners(left: Sequence[Demand], right: Sequence[Demand]) -> list[Demand]:
    """The demands of an axle whose corners were judged apart: what both need alike is counted for both, what is for the axle
    or the car once, and the rest for its own side."""
    alike = {_kind(demand) for demand in left} & {_kind(demand) for demand in right}
    shared = {(demand.role, demand.used_at) for demand in left if demand.per != "corner"}
    found = [demand if _kind(demand) in alike else _on(demand, "left") for demand in left]
    others = [demand for demand in right if _kind(demand) not in alike]
    return [
        *found,
        *(_on(one, "right") for one in others if one.per == "corner" or (one.role, one.used_at) not in shared),
    ]


def _kind(demand: Demand) -> str:
    """All that makes two demands one, their reasons left out."""
    return repr(replace(demand, reason=""))


def _on(demand: Demand, side: str) -> Demand:
    return replace(demand, side=side) if demand.per == "corner" and needed_side(demand) == "either" else demand


def _once(demands: Iterable[Demand]) -> list[Demand]:
    """What each axle asks for the whole car is needed once: the larger quantity, the larger size."""
    kept: dict[tuple[str, str, str], Demand] = {}
    for demand in demands:
        key = (demand.role, demand.used_at, demand.said if demand.role in DONE_BY_PEOPLE else "")
        if key not in kept or _size(demand) > _size(kept[key]):
            kept[key] = demand
    return list(kept.values())


def _size(demand: Demand) -> tuple[float, float]:
    bounds = demand.spec.get("inner_diameter")
    return (bounds[0] if bounds else 0.0, demand.quantity)
