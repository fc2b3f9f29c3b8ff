"""The parts list: what is needed, minus what the box, the car and the shelf hold, and where the rest is bought."""

from collections.abc import Sequence

from bomcheck.job import Job, Part
from bomcheck.parts.balanced import Balanced
from bomcheck.parts.buying import Buying, buying
from bomcheck.parts.demand import Demand
from bomcheck.parts.line import ASK, Line
from bomcheck.parts.scope import Scope
from bomcheck.parts.settled import settle
from bomcheck.parts.surplus import surplus_lines


def balance(job: Job, demands: Sequence[Demand], corners: int | None = None) -> tuple[Line, ...]:
    """All lines of the parts list; see `parts_list`."""
    return parts_list(job, demands, corners)[0]


def parts_list(
    job: Job, demands: Sequence[Demand], corners: int | None = None, days: float | None = None
) -> tuple[tuple[Line, ...], Buying]:
    """All lines: first what is needed, in the order of the demands, then the questions about the scope, then what the box
    holds too much of; and the purchase that they show.

    demands: of one corner, one axle and the car. corners: in scope; None: as the job says. days: until everything must
    be there; None for no date.
    """
    settled = settle(job, demands, corners)
    given, bought, by_role = settled.allotment, buying(job, settled, days), _by_role(job)
    lacks = {one.key: given.lack(i) for i, one in enumerate(settled.wanted)}
    lines = [
        line
        for i, one in enumerate(settled.wanted)
        for line in Balanced(one, given.given(i), lacks, job, by_role.get(one.demand.role, []), bought).lines()
    ]
    return (*lines, *_about_scope(settled.scope), *surplus_lines(given, settled.wanted)), bought


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
