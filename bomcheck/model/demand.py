"""What the assembly consumes: role, spec and quantity, why, and where it is used; and how many corners are in scope."""

from collections.abc import Mapping
from dataclasses import field
from typing import Any

from bomcheck.model.job import Job
from bomcheck.model.records import dataclass

MASTER = "master cylinder"


@dataclass(frozen=True)
class Demand:
    """One kind of part that an interface needs.

    role: as in `schemas/part.schema.json`. spec: what a part must be to serve, see `bomcheck.supply.spec`: thread (name),
    length / thickness / inner_diameter / outer_diameter [mm] as (low, high) with None for no bound, class (at least),
    side, end_a, end_b (names), road_marked, anything else equal as text (compound, duty). quantity in `unit` per `per`.
    one_time: never used again. on_car: the car already holds it and it may stay. reason: why it is needed.
    puts: figures of the car that it sets, where the brakes as a whole are judged by it. used_at: the place in the assembly; axle: which, "" where the car has one kit or it is one for the car. said: plain words for the part where the spec does not say it.
    """

    role: str
    quantity: float
    per: str = "corner"
    spec: Mapping[str, Any] = field(default_factory=dict)
    unit: str = "each"
    one_time: bool = False
    on_car: bool = False
    reason: str = ""
    used_at: str = ""
    said: str = ""
    side: str = "either"
    axle: str = ""
    puts: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True)
class Asked(Demand):
    """ask: the question that must be answered before anything is ordered.

    A quantity of 0 means that even the number is not known; the line then only asks.
    """

    ask: str = ""


def ask_of(demand: Demand) -> str:
    """The open question of a demand, "" where there is none."""
    return demand.ask if isinstance(demand, Asked) else ""


BOTH = ("left", "right")


@dataclass(frozen=True, slots=True)
class Scope:
    """count: corners in scope, 1 or 2. sides: which; empty where one corner is meant and its side is not known.

    ask: what is open about it, "" if nothing.
    """

    count: int
    sides: tuple[str, ...]
    ask: str = ""

    def times(self, per: str, side: str) -> int:
        """How often a demand counts; a demand for one side counts once, and only where that side is in scope."""
        if side in BOTH:
            return int(side in self.sides)
        return self.count if per == "corner" else 1

    @property
    def side_open(self) -> bool:
        """One corner, but nobody said which."""
        return not self.sides


def scope_of(job: Job, corners: int | None = None) -> Scope:
    """The corners in scope. corners: as the caller knows it; None: as the job says, or 2 with a question."""
    if job.side:
        return Scope(1, (job.side,))
    side = job.get("corner_side")
    stated = corners or job.get("corners")
    if stated is None and side is None:
        return Scope(2, BOTH, "Is one corner of the axle converted, or both? Quantities are counted for both")
    count = int(stated) if stated is not None else 2 if side == "both" else 1
    if count == 2:
        ask = f"Two corners, but the side is {side}: both are counted; is that right?" if side in BOTH else ""
        return Scope(2, BOTH, ask)
    if side in BOTH:
        return Scope(1, (side,))
    return Scope(1, (), "Which corner is converted, seen sitting in the car and facing forward: left or right?")
