"""What a quote says beside the parts: labour by operation, what is not included, what is still open. Pure data."""

from collections.abc import Iterator
from dataclasses import dataclass

from bomcheck.job import Job
from bomcheck.parts.line import ASK, NO_SOURCE, SURPLUS, TO_ORDER, WORK, Line
from bomcheck.parts.scope import scope_of
from bomcheck.report import Report
from bomcheck.verdict.verdict import Verdict

LINE_ROLES = ("hose", "adapter", "brake tube", "tube nut", "bulkhead nut", "banjo screw", "sealing washer")
VALID_DAYS = 30
GOOD_NEWS = (Verdict.FITS, Verdict.FITS_WITH_PARTS)
NOT_INCLUDED = (
    "Whatever shows up when the car is taken apart: seized or broken fasteners, worn bearings and joints, rusted lines",
    "Wheels, tyres, wheel alignment, and the brakes of the other axle",
    "Bedding the pads on a track or a closed road, beyond the short test drive",
    "Inspection, registration and insurance, where local rules ask for them",
)


@dataclass(frozen=True, slots=True)
class Operation:
    """hours: usual for one time (common practice, no source). times: how often in this job. covers: what is done in it."""

    key: str
    name: str
    covers: str
    hours: float
    times: int


def operations(report: Report) -> list[Operation]:
    """The labour of the job by operation; extra work that a check asks for stands in the parts list."""
    job = report.job
    corners = scope_of(job).count
    found = [
        Operation(
            "corner", "Convert a corner", "Old brake off, rotor, bracket, caliper and pads on, run-out", 2.0, corners
        )
    ]
    if _hub_comes_off(job):
        found.append(Operation("hub", "Hub off and on", "With new seals and locking parts, bearing set", 1.0, corners))
    if any(line.role in LINE_ROLES and line.status != SURPLUS for line in report.parts):
        found.append(
            Operation(
                "line", "Brake line of a corner", "Hose and fittings, routed at full lock and droop", 0.5, corners
            )
        )
    found.append(Operation("bleed", "Bleed the system", "All four corners, once for the car", 1.0, 1))
    found.append(Operation("test", "Test", "Held pedal, leaks, free wheel, slow stops, torques again", 0.5, 1))
    return found


def _hub_comes_off(job: Job) -> bool:
    return "yes" in (job.get("hub_removed"), job.get("hub_in_kit"))


def bought(report: Report) -> list[Line]:
    """The lines of the parts list that cost money, in their order."""
    return [line for line in report.parts if line.status in (TO_ORDER, NO_SOURCE)]


def extra_work(report: Report) -> list[Line]:
    """Machining and further labour that a check asks for."""
    return [line for line in report.parts if line.status == WORK]


def kit_name(job: Job) -> str:
    """What the kit is called, "" if the job does not say."""
    return " ".join(str(job.get(key)) for key in ("kit_number", "kit_label") if job.get(key))


def open_points(report: Report) -> Iterator[str]:
    """What must be settled before the quote holds, a sentence each."""
    if report.verdict not in GOOD_NEWS:
        yield f"The corner's verdict is: {report.verdict}. This quote only holds once that is settled"
    yield from (
        f"{line.description or line.role}: {line.note or 'to ask first'}" for line in report.parts if line.status == ASK
    )
    yield from (question.ask for question in report.questions)
    for key, words in (("labour_rate", "Labour rate"), ("tax_percent", "Tax"), ("currency", "Currency")):
        if report.job.get(key) is None:
            yield f"{words} is not stated on the Job sheet"


def not_included(report: Report) -> Iterator[str]:
    """What the price leaves out, a sentence each."""
    yield from NOT_INCLUDED
    yield from (
        f"No source known, so no price: {line.description or line.role}"
        for line in report.parts
        if line.status == NO_SOURCE
    )
