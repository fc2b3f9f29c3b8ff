"""What a car needs whose axles both get a kit: each axle's own parts, and once what is for the whole car."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from bomcheck.model.demand import Demand, scope_of
from bomcheck.model.finding import Finding
from bomcheck.model.job import Job
from bomcheck.supply.balance import CONSUMABLES
from bomcheck.supply.counting import DONE_BY_PEOPLE


def of_car(axles: Sequence[tuple[Job, Iterable[Demand]]], system: Iterable[Finding]) -> list[Demand]:
    """All demands of a car. axles: the job of each axle with what it needs. system: findings with their parts."""
    found: list[Demand] = []
    shared: list[Demand] = []
    for job, demands in axles:
        for demand in demands:
            (shared if demand.per == "car" else found).append(_of_axle(demand, job))
    shared += [demand for finding in system for demand in finding.demands]
    return [*found, *_once(shared)]


def _of_axle(demand: Demand, job: Job) -> Demand:
    """One for the whole car stays so; a consumable is counted over the axle and poured from one bottle."""
    if demand.per == "car":
        return demand
    if demand.role in CONSUMABLES and demand.role not in DONE_BY_PEOPLE:
        times = scope_of(job).times(demand.per, demand.side)
        return replace(demand, quantity=round(demand.quantity * times, 6), per="car", reason=_named(demand, job))
    return replace(demand, axle=str(job.get("axle")))


def _named(demand: Demand, job: Job) -> str:
    return f"{demand.reason}, {job.get('axle')}" if demand.reason else ""


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
