"""`bomcheck ready`: whether everything for a job is here."""

from datetime import date
from pathlib import Path

from bomcheck.assess import assess
from bomcheck.io.read.job import read_job
from bomcheck.io.read.own import require_sound
from bomcheck.model.records import dataclass
from bomcheck.paper.awaited import ready


@dataclass(frozen=True)
class Done:
    """status: 0 all here and no question open, 1 missing, 3 something to measure. text: for standard output."""

    status: int
    text: str


def job_ready(path: Path, today: date) -> Done:
    """Nothing is written. Raises BomcheckError."""
    job, package = read_job(path)
    require_sound(job, package)
    found = ready(assess(job, today), today)
    return Done(found.status, "\n".join([found.said, *(f"  {line}" for line in found.lines)]))
