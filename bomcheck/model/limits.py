"""Limits: what a value is held against, and who set the figure: the house, the job's Limits sheet or the kit's sheet."""

import json
from functools import cache
from math import inf
from typing import Protocol

from bomcheck.model.job import Job
from bomcheck.model.numbers import Number
from bomcheck.model.records import dataclass, replace
from bomcheck.model.shipped import folder

HOUSE, SHEET, KIT = "usual limit", "Limits sheet", "kit's sheet"


class Bounds(Protocol):
    """What a value is held against, of one job or of many at once."""

    @property
    def floor(self) -> Number:
        """The lower bound, minus infinity for none."""

    @property
    def ceiling(self) -> Number:
        """The upper bound, infinity for none."""


@dataclass(frozen=True, slots=True)
class Limit:
    """low, high: bounds in `unit`, None for no bound on that side. source: where the figure comes from.
    ruled_by: who set the figure that rules. kit_field: the kit's field that overrides it, if the kit prints one. before: the
    house's own (low, high) of earlier versions, which stand on older jobs' sheets though nobody typed them.
    """

    name: str
    title: str
    low: float | None
    high: float | None
    unit: str
    source: str
    kit_field: str = ""
    ruled_by: str = HOUSE
    before: tuple[tuple[float | None, float | None], ...] = ()

    @property
    def floor(self) -> float:
        """The lower bound, minus infinity for none."""
        return -inf if self.low is None else self.low

    @property
    def ceiling(self) -> float:
        """The upper bound, infinity for none."""
        return inf if self.high is None else self.high

    def shifted(self, by: float) -> "Limit":
        """The same limit moved by `by`."""
        return replace(
            self, low=None if self.low is None else self.low + by, high=None if self.high is None else self.high + by
        )


def to_inches(bound: float) -> float:
    """A bound [mm] as the Limits sheet of an inch workbook shows it: 0.15 is 0.0059."""
    return round(bound / 25.4, 4)


@cache
def house_limits() -> dict[str, Limit]:
    """All limits as the house sets them, by name, from `schemas/limits.json`."""
    rows = json.loads((folder("schemas") / "limits.json").read_text("utf-8"))["limits"]
    made = ({**row, "before": tuple(map(tuple, row.get("before", ())))} for row in rows)
    return {row["name"]: Limit(**{key: row[key] for key in row if key != "governs"}) for row in made}


def limit_for(name: str, job: Job) -> Limit:
    """The limit that rules this job: the kit's printed figure, else the Limits sheet, else the house."""
    limit = house_limits().get(name)
    if limit is None:
        raise KeyError(f'a check is held against the limit "{name}", of which schemas/limits.json has no row: add one')
    typed = job.limits.get(name)
    if typed is not None:
        limit = replace(limit, low=typed.low, high=typed.high, ruled_by=SHEET)
    printed = job.get(limit.kit_field) if limit.kit_field else None
    if printed is not None:
        low = None if limit.low is None else min(-printed, 0.0) if limit.low < 0 else printed
        limit = replace(limit, low=low, high=None if limit.high is None else printed, ruled_by=KIT)
    return limit
