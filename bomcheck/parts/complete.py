"""Whether the box, the car and the shelf hold everything that stays in the car: a finding of its own."""

from collections.abc import Sequence

from bomcheck.job import Job
from bomcheck.parts.counted import as_it_stands
from bomcheck.parts.line import ASK, NO_SOURCE, TO_ORDER, Line
from bomcheck.verdict.finding import Finding
from bomcheck.verdict.verdict import Verdict

CONSUMABLES = frozenset(
    {
        "fluid", "threadlocker", "thread sealant", "grease", "anti-seize", "cleaner", "safety wire", "labour", "machining",
        "question",
    }
)  # fmt: skip


def parts_complete(job: Job, parts: Sequence[Line]) -> Finding:
    """Fits where nothing but consumables must be bought; fits with parts otherwise, naming them.

    Does not apply while the contents of the box are not entered.
    """
    blank = Finding(
        "parts_complete", "Parts complete", "parts", Verdict.DOES_NOT_APPLY, unit="",
        said="The contents of the kit's box are not entered", source="balance of the parts list",
    )  # fmt: skip
    if not job.box:
        return blank
    short = [
        line for line in as_it_stands(parts, job.own) if line.to_order > 0 and line.status in (TO_ORDER, NO_SOURCE, ASK)
    ]
    lasting = [line for line in short if line.role not in CONSUMABLES]
    if not lasting:
        return Finding(
            blank.check, blank.title, blank.interface, Verdict.FITS, unit="", source=blank.source,
            said="Box, car and shelf hold every part that stays in the car",
        )  # fmt: skip
    roles = ", ".join(dict.fromkeys(line.role for line in lasting))
    return Finding(
        blank.check, blank.title, blank.interface, Verdict.FITS_WITH_PARTS, unit="", source=blank.source,
        said=f"Neither in the box nor at hand: {roles}", do="Order them; the parts list has each with its reason",
    )  # fmt: skip
