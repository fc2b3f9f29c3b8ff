"""What a job needs, and who got what of the stock."""

from collections.abc import Sequence
from dataclasses import dataclass

from bomcheck.job import Job
from bomcheck.parts.allot import Allotment, stocks
from bomcheck.parts.counting import DONE_BY_PEOPLE
from bomcheck.parts.demand import Demand
from bomcheck.parts.scope import Scope, scope_of
from bomcheck.parts.wanted import Wanted, add_up


@dataclass(frozen=True)
class Settled:
    """What is needed, and who got what of the stock."""

    scope: Scope
    wanted: list[Wanted]
    allotment: Allotment

    def short(self) -> list[tuple[Wanted, float]]:
        """What must be bought: each line with what it lacks [its unit]; lines with an open question are left out."""
        lacks = [(one, self.allotment.lack(number)) for number, one in enumerate(self.wanted)]
        return [(one, lack) for one, lack in lacks if lack and not one.asks and one.demand.role not in DONE_BY_PEOPLE]


def settle(job: Job, demands: Sequence[Demand], corners: int | None = None) -> Settled:
    """Add the demands up over the corners, and hand out what the box and the shelf hold."""
    scope = scope_of(job, corners)
    wanted = add_up(demands, scope, (*job.box, *job.shelf, *job.prices), job)
    return Settled(scope, wanted, Allotment(wanted, stocks(job.box, job.shelf, job.prices)))
