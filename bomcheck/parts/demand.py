"""What the assembly consumes: role, spec and quantity, why, and where it is used."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

PER = ("corner", "axle", "car")


@dataclass(frozen=True)
class Demand:
    """One kind of part that an interface needs.

    role: as in `schemas/part.schema.json`. spec: what a part must be to serve, see `bomcheck.parts.spec`: thread (name),
    length / thickness / inner_diameter / outer_diameter [mm] as (low, high) with None for no bound, class (at least),
    side, end_a, end_b (names), road_marked, anything else equal as text (compound, duty). quantity in `unit` per `per`.
    one_time: never used again. on_car: the car already holds it and it may stay. reason: why it is needed.
    used_at: the place in the assembly. said: plain words for the part where the spec does not say it.
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
