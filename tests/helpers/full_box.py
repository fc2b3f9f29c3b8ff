"""A job's box made complete out of its own parts list, for the tests that then take something out of it or put more in."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import inf
from unittest.mock import patch

from bomcheck.assess import assess
from bomcheck.model.job import Job, Part
from bomcheck.model.line import Line
from bomcheck.supply.counting import per_unit
from bomcheck.supply.spec import fit
from bomcheck.supply.stock import Allotment, Wanted, add_up, stocks
from tests.parts.invented_jobs import part_for, with_box

WORK = ("machining", "labour")  # done by people, not in any box


@dataclass(frozen=True)
class Full:
    """job: its box holds all that it needs, nothing lies on the shelf. wanted: what is needed. lines: by name."""

    job: Job
    wanted: tuple[Wanted, ...]
    lines: dict[str, Line]


def named(lines: Iterable[Line]) -> dict[str, Line]:
    """Lines by their name, each name once."""
    lines = list(lines)
    found = {line.key: line for line in lines}
    assert len(found) == len(lines)
    return found


def needs_of(job: Job) -> tuple[tuple[Wanted, ...], dict[str, Line]]:
    """What the assessment of a job adds up, remedies and the whole car included, and the lines that come of it."""
    heard: list[list[Wanted]] = []

    def listen(*args: object) -> list[Wanted]:
        heard.append(add_up(*args))  # type: ignore[arg-type]
        return heard[-1]

    with patch("bomcheck.supply.stock.add_up", listen):
        report = assess(replace(job, kits=()))
    return tuple(heard[-1]), named(report.parts)


def shelf_into_box(job: Job) -> Job:
    """All that lies on the shelf lies in the box instead, so that nothing else can stand in for a part of the box."""
    there = [*job.shelf, *(part for part in job.prices if part.on_hand)]
    moved = [
        replace(part, quantity=part.quantity if part.on_hand is None else part.on_hand, on_hand=None) for part in there
    ]
    prices = tuple(replace(part, on_hand=None) for part in job.prices)
    axles = tuple(replace(one, shelf=(), prices=prices) for one in job.axles)
    return with_box(replace(job, shelf=(), prices=prices, axles=axles), (*job.box, *moved))


def completed(job: Job) -> Full:
    """The job with a part in its box for everything that its parts list still lacks, work left out."""
    job = shelf_into_box(job)
    wanted, _ = needs_of(job)
    given = Allotment(wanted, stocks(job.box, (), ()))
    added = [part_for(one, given.lack(i)) for i, one in enumerate(wanted) if given.lack(i) and _can_lie_in_a_box(one)]
    full = with_box(job, (*job.box, *added))
    return Full(full, *needs_of(full))


def _can_lie_in_a_box(one: Wanted) -> bool:
    return one.demand.role not in WORK


def served_by(part: Part, wanted: Sequence[Wanted]) -> list[Wanted]:
    """The lines that a part of the box would serve."""
    return [one for one in wanted if not one.demand.on_car and one.need and fit(part, one.demand).serves]


def amount(part: Part, line: Wanted) -> float:
    """How much a part of the box holds for a line [its unit]; inf where one is enough for any car."""
    quantity = 1.0 if part.quantity is None else part.quantity
    factor = per_unit(part.role, part.unit, line.demand.unit) or 0.0
    return quantity * factor if factor != inf or quantity else 0.0


def lack(line: Wanted, box: Iterable[Part]) -> float:
    """What a line lacks with this box, by plain subtraction; right where no part of the box serves another line too."""
    there = sum(amount(part, line) for part in box if fit(part, line.demand).serves)
    return round(max(0.0, line.need - there), 6)
