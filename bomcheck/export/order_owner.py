"""Whose order a line is: job, axle, side and car, as far as they are stated."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from bomcheck.fields import plain

SIDES = ("left", "right")


@dataclass(frozen=True, slots=True)
class Owner:
    """side: "left" or "right" where the order is for one of them only; "" where nothing is stated."""

    job: str
    axle: str = ""
    side: str = ""
    vehicle: str = ""

    def may_be(self, other: "Owner") -> bool:
        """The same job, and nothing that both state differs.

        >>> Owner("J-7", "front").may_be(Owner("J-7", "rear")), Owner("J-7", "front").may_be(Owner("J-7"))
        (False, True)
        """
        pairs = ((self.axle, other.axle), (self.side, other.side), (self.vehicle, other.vehicle))
        return self.job == other.job and all(not one or not two or one == two for one, two in pairs)


def owner_of(row: Mapping[str, Any]) -> Owner:
    """Of an order line, or of what a row of a sheet says: job_number, axle ("front", "front left"), vehicle_label."""
    words = _text(row, "axle").casefold().split()
    side = next((word for word in words if word in SIDES), "")
    axle = plain("".join(word for word in words if word not in (*SIDES, "axle")))
    return Owner(_text(row, "job_number").casefold(), axle, side, plain(_text(row, "vehicle_label")))


def named(row: Mapping[str, Any]) -> str:
    """ "J-7, front, blue coupe"."""
    return ", ".join(filter(None, (_text(row, key) for key in ("job_number", "axle", "vehicle_label"))))


def _text(row: Mapping[str, Any], key: str) -> str:
    value = row.get(key)
    return "" if value is None else str(value).strip()
