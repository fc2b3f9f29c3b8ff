"""From a job to the question that the line solver answers: both ends, the path, the road, the stock."""

from collections.abc import Iterator
from datetime import date
from typing import Any

from bomcheck.job import Job
from bomcheck.notation.types import LineEnd
from bomcheck.parts.line_question import ChainLimits, LineQuestion
from bomcheck.verdict.limits import limit_for


def brake_line(job: Job, today: date | None) -> Any:
    """The lines of the axle as `bomcheck.parts.arrangement.AxleLines`; None while an end is blank."""
    from bomcheck.parts.arrangement import EACH_CORNER, solve_axle
    from bomcheck.parts.line_stock import Supply

    if not isinstance(job.get("line_end"), LineEnd) or not isinstance(job.get("caliper_inlet"), LineEnd):
        return None
    supply = Supply(job.box, job.shelf, job.prices)
    return solve_axle(supply, list(_questions(job, today)), job.get("hose_arrangement") or EACH_CORNER)


def sides(job: Job) -> tuple[str, ...]:
    """The corners in scope."""
    side = job.get("corner_side")
    if side in ("left", "right"):
        return (side,)
    return ("left",) if job.get("corners") == 1 else ("left", "right")


def _questions(job: Job, today: date | None) -> Iterator[LineQuestion]:
    path = job.values.get("hose_path_length")
    road = job.get("road_use")
    needed_by = job.get("needed_by")
    limits = ChainLimits(limit_for("hose_slack", job).low or 0.0, limit_for("hose_excess", job).high or 0.0)
    for side in sides(job):
        yield LineQuestion(
            car_end=job.get("line_end"),
            caliper_inlet=job.get("caliper_inlet"),
            path_length=None if path is None else (path.value, path.plus_minus),
            road_use=None if road is None else road == "yes",
            needed_in_days=float((needed_by - today).days) if needed_by and today else None,
            has_bracket=job.get("line_bracket") == "yes",
            clip_on_car=job.get("line_clip") == "yes",
            side=side,
            limits=limits,
        )
