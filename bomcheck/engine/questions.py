"""Measure next: every open question once, the best value for effort first, and of whom or where it is asked."""

from collections.abc import Iterable
from functools import cache

from bomcheck.model.finding import Finding, Reason, within
from bomcheck.model.job import Job
from bomcheck.model.report import Question
from bomcheck.model.verdict import Verdict
from bomcheck.tables import rows
from bomcheck.tables.fields import Field, fields

# 1: look at it or look it up, 2: a rule or vernier, 3: a gauge or fixture, 4: parts must come off
EFFORT = {"eye": 1, "template": 1, "kit's sheet": 1, "own records": 1, "stamp": 1, "customer": 1, "ask": 1}
CLOSE = ("micrometer", "dial gauge", "fixture", "bore gauge")
KIT_MAKER, IN_THE_BOX, ON_THE_CAR, ON_THE_WHEEL, IN_THE_SHOP = WHOM = (
    "ask the kit maker", "look in the box", "on the car", "on the wheel", "in the shop"
)  # fmt: skip
SHEET = "kit maker's drawing or sheet"
ROUGH = 1.5  # times the usual ±
SAME = 0.999  # of a ±: no closer than what is known
NO_WAY = (
    "no usual instrument reads this so closely: offer the parts up and read the gap itself, or take the maker's drawing"
)


def questions_of(findings: Iterable[Finding], job: Job) -> tuple[Question, ...]:
    """One question for each field that an open finding asks for, ordered by verdicts settled for the effort."""
    asked: dict[str, list[Finding]] = {}
    for finding in findings:
        if finding.verdict in (Verdict.NOT_KNOWN, Verdict.NEEDS_MACHINING):  # how much to cut may hang on a blank
            for key in (*finding.asks, *_rough(finding, job)):
                asked.setdefault(key, []).append(finding)
    there = kit_is_here(job)
    questions = [_question(key, found, job, there) for key, found in asked.items()]
    return tuple(sorted(questions, key=lambda one: (-one.settles / one.effort, one.effort, one.key)))


def _rough(finding: Finding, job: Job) -> list[str]:
    """Beside a blank: what is known much more roughly than its instrument gives, so that one visit to the car does for both."""
    if finding.reason is not Reason.BLANK:
        return []
    return [key for key in finding.reads if key not in finding.asks and _is_rough(key, job)]


def _is_rough(key: str, job: Job) -> bool:
    field, value = fields().get(key), job.values.get(key)
    return field is not None and value is not None and 0 < field.plus_minus * ROUGH < value.plus_minus


def kit_is_here(job: Job) -> bool:
    """Whether parts of the kit lie in the shop: some size of it was measured."""
    known = fields()
    return any(
        value.source == "measured" and known[key].section == "kit" for key, value in job.values.items() if key in known
    )


def _question(key: str, found: list[Finding], job: Job, there: bool) -> Question:
    field = fields().get(key)
    settles = [finding.settle for finding in found if finding.settle is not None and finding.asks[0] == key]
    settles += [settle for finding in found for asked, settle in finding.settle_each if asked == key]
    settles += [field.plus_minus] if field is not None and all(key not in one.asks for one in found) else []
    titles = tuple(finding.title for finding in found)
    alone = sum(finding.asks == (key,) for finding in found)
    whom = whom_of(field, there)
    instrument, how_well = _by_what(field, whom, min(settles) if settles else None, job)
    return Question(
        key, _ask(field, key, whom), instrument, how_well, max(alone, 1) if alone else len(found), titles,
        effort(instrument), whom,
    )  # fmt: skip


def whom_of(field: Field | None, there: bool) -> str:
    """Of whom or where a field is asked. there: whether the kit's parts lie in the shop."""
    if field is None or field.section in ("job", "system"):
        return IN_THE_SHOP
    if field.section == "kit":
        return IN_THE_BOX if there else KIT_MAKER
    return ON_THE_WHEEL if field.group == "Wheel" else ON_THE_CAR


def _ask(field: Field | None, key: str, whom: str) -> str:
    """The question; of a part that is not there yet without the instrument."""
    if field is None:
        return key.replace("_", " ")
    if whom == KIT_MAKER and field.question:
        return field.question.partition("? ")[0].rstrip("?") + "?"
    return field.question


def _by_what(field: Field | None, whom: str, settle: float | None, job: Job) -> tuple[str, str]:
    """(instrument, how well in words). A ± is asked only where an instrument gives it, never one coarser than is known."""
    if field is None:
        return "eye", ""
    instrument = SHEET if whom == KIT_MAKER else field.instrument
    if settle is None:
        return instrument, ""
    typed = job.values.get(field.key)
    known = typed.plus_minus if typed is not None and typed.plus_minus else None
    if whom == KIT_MAKER:
        return instrument, f"{within(settle if known is None else min(settle, known))} or better"
    finest, finer, finer_gives = _gives(field.instrument)
    if known is not None and settle >= known * SAME:
        settle = next((one for one in (finest, finer_gives) if 0 < one < known * SAME), 0.0)
    if settle >= finest:
        return instrument, f"{within(settle)} or better"
    if finer and settle >= finer_gives:
        return finer, f"{within(settle)} or better"
    return instrument, NO_WAY


@cache
def _gives(instrument: str) -> tuple[float, str, float]:
    """(best half width [mm], a finer instrument, its best half width) of an instrument; nothing for one not listed."""
    row = next((row for row in rows("instruments") if row["instrument"] == instrument), None)
    if row is None:
        return 0.0, "", 0.0
    return float(row["finest"]), row["finer"], float(row["finer_gives"] or 0)


def effort(instrument: str) -> int:
    """1 for what is looked at, 2 for rule and vernier, 3 for gauges and fixtures."""
    if instrument in EFFORT or instrument == SHEET:
        return 1
    return 3 if any(word in instrument for word in CLOSE) else 2
