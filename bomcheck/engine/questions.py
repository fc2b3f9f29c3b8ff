"""Measure next: every open question once, the best value for effort first."""

from collections.abc import Iterable

from bomcheck.model.finding import Finding, within
from bomcheck.model.report import Question
from bomcheck.model.verdict import Verdict
from bomcheck.tables.fields import fields

# 1: look at it or look it up, 2: a rule or vernier, 3: a gauge or fixture, 4: parts must come off
EFFORT = {"eye": 1, "template": 1, "kit's sheet": 1, "own records": 1, "stamp": 1, "customer": 1}
CLOSE = ("micrometer", "dial gauge", "fixture", "bore gauge")


def questions_of(findings: Iterable[Finding]) -> tuple[Question, ...]:
    """One question for each field that an open finding asks for, ordered by verdicts settled for the effort."""
    asked: dict[str, list[Finding]] = {}
    for finding in findings:
        if finding.verdict is Verdict.NOT_KNOWN:
            for key in finding.asks:
                asked.setdefault(key, []).append(finding)
    questions = [_question(key, found) for key, found in asked.items()]
    return tuple(sorted(questions, key=lambda one: (-one.settles / one.effort, one.effort, one.key)))


def _question(key: str, found: list[Finding]) -> Question:
    field = fields().get(key)
    settles = [finding.settle for finding in found if finding.settle is not None and finding.asks[0] == key]
    settles += [settle for finding in found for asked, settle in finding.settle_each if asked == key]
    ask = field.question if field is not None else key.replace("_", " ")
    instrument = field.instrument if field is not None else "eye"
    titles = tuple(finding.title for finding in found)
    alone = sum(finding.asks == (key,) for finding in found)
    return Question(
        key, ask, instrument, _how_well(settles), max(alone, 1) if alone else len(found), titles, effort(instrument)
    )


def _how_well(settles: list[float]) -> str:
    return f"{within(min(settles))} or better" if settles else ""


def effort(instrument: str) -> int:
    """1 for what is looked at, 2 for rule and vernier, 3 for gauges and fixtures."""
    if instrument in EFFORT:
        return EFFORT[instrument]
    return 3 if any(word in instrument for word in CLOSE) else 2
