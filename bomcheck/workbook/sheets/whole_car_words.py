"""What was found and what to do, as the Whole car sheet says it: no figure twice; every blank is asked for once, then it says "see above"."""

from collections.abc import Iterable

from bomcheck.fields import fields, section_fields
from bomcheck.job import Job
from bomcheck.system.figures import now_and_then
from bomcheck.system.result import UNKNOWN, SystemFinding
from bomcheck.workbook.sheets.words import label, places, sentence


def sentences(*parts: str) -> str:
    """Parts that each may end with a stop of their own, with one stop between them.

    >>> sentences("Use scales.", "", "Is it fixed?", "Fill in: Mass")
    'Use scales. Is it fixed? Fill in: Mass'
    """
    kept = [part.strip().rstrip(".") for part in parts if part.strip(" .")]
    return " ".join(part if part[-1] in "?!" or part is kept[-1] else f"{part}." for part in kept)


def beyond_figures(finding: SystemFinding, system: str) -> str:
    """What was found, without the figures that stand in columns of their own."""
    if finding.after is None:
        return finding.said
    figures = now_and_then(finding.before, finding.after, finding.limit, finding.unit, system, finding.key)
    return sentence(finding.said.removeprefix(figures).lstrip(".:; "))


def to_do(finding: SystemFinding, job: Job, asked: set[str]) -> str:
    """What to do, and what to fill in. asked: keys that lines above have asked for already; this line's are added."""
    new = [key for key in finding.asks if key not in asked]
    seen = [key for key in finding.asks if key in asked]
    asked.update(finding.asks)
    do = _questions(new) if seen and finding.verdict == UNKNOWN else finding.do
    above = f"{_named(seen)}: see above" if seen else ""
    return sentences(do, *_wanted(new, job), above)


def _wanted(keys: list[str], job: Job) -> Iterable[str]:
    """Blank fields to fill in, and filled ones to look at again."""
    blank = [key for key in keys if key not in job.values and key not in job.held]
    if blank:
        yield f"Fill in: {_named(blank)}"
    for key in (one for one in keys if one not in blank):
        where = ", ".join(f"{sheet} {cell}" for sheet, cell in places((key,), job))
        yield f"Look again at {label(key)}{f' ({where})' if where else ''}"


def _questions(keys: list[str]) -> str:
    known = fields()
    return " ".join(known[key].question for key in keys if key in known)


def _named(keys: Iterable[str]) -> str:
    return ", ".join(label(key) for key in keys)


def to_enter() -> dict[str, str]:
    """Fields of the System sheet by their heading there, in one line each."""
    groups: dict[str, list[str]] = {}
    for field in section_fields("system"):
        groups.setdefault(field.group, []).append(field.key)
    return {group: "; ".join(map(label, keys)) for group, keys in groups.items()}
