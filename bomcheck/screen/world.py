"""All corners and all kits of a screening."""

from typing import TYPE_CHECKING

from bomcheck.engine.many import world
from bomcheck.model.job import Job, Value
from bomcheck.model.records import dataclass
from bomcheck.model.types import LineEnd
from bomcheck.supply.line_arrangement import brake_line

if TYPE_CHECKING:
    from bomcheck.screen.prefilter import Gate


@dataclass
class World(world.World):
    """gate: which corners and kits go together at all, where only what fits is wanted."""

    gate: "Gate | None" = None

    def solve_line(self, job: Job) -> None:
        """Add the solution of the brake line to a single pair's job, where both ends are known."""
        if isinstance(job.get("line_end"), LineEnd) and isinstance(job.get("caliper_inlet"), LineEnd):
            job.values["brake_line"] = Value("line_end", brake_line(job, self.today))
