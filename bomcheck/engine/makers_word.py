"""The kit maker's list of cars: a fact with an owner. It stands in for sizes that are not known, never against one."""

from collections.abc import Iterator, Sequence
from functools import cache

from bomcheck.model.finding import Finding
from bomcheck.model.job import Job
from bomcheck.model.records import replace
from bomcheck.model.verdict import Verdict
from bomcheck.tables import rows

BASIS = "maker's list"
NAME, TITLE = "makers_list", "Kit maker's list of cars"
SOURCE = "the kit maker's list"
AS_MADE, COVERS = "car_as_made", "maker_list_covers"
FAILS = (Verdict.DOES_NOT_FIT, Verdict.NEEDS_MACHINING)


def with_makers_word(findings: Sequence[Finding], job: Job) -> tuple[Finding, ...]:
    """The findings, those that the list vouches for on its basis, and one that says what the list settles and what not.

    Nothing changes where the maker's list is not stated to cover the car.
    """
    said = job.get(COVERS)
    if said is None:
        return tuple(findings)
    if said != "yes":
        words = f"The kit maker's list does not name this car ({said}): only sizes count"
        return *findings, Finding(NAME, TITLE, "hub", Verdict.FITS, words, reads=(COVERS,), source=SOURCE)
    if job.get(AS_MADE) != "yes":
        return *findings, _not_sure(job)
    unknown = Verdict.NOT_KNOWN
    counted = tuple(_by_the_list(one, job) if one.verdict is unknown and covered(one) else one for one in findings)
    return *counted, _what_it_settles(counted, job)


def covered(finding: Finding) -> bool:
    """Whether the list can speak of this check at all."""
    about = _table()
    row = about.get(finding.check) or about.get(finding.interface)
    return row is not None and row["covered"] == "yes"


@cache
def _table() -> dict[str, dict[str, str]]:
    return {row["about"]: row for row in rows("makers_list")}


def list_name(job: Job) -> str:
    """The list as it is called: its name and revision, or plain words."""
    return str(job.get("maker_list_name") or "the kit maker's list")


def _by_the_list(finding: Finding, job: Job) -> Finding:
    words = f"By {list_name(job)}; by sizes: {finding.said[:1].lower()}{finding.said[1:]}"
    return replace(finding, verdict=Verdict.FITS, basis=BASIS, said=words, do="", asks=(), settle=None, settle_each=())


def _not_sure(job: Job) -> Finding:
    if job.get(AS_MADE) == "no":
        words = "The list names this car, but it is not as its maker made it: only sizes count"
        return Finding(NAME, TITLE, "hub", Verdict.FITS, words, reads=(COVERS, AS_MADE), source=SOURCE)
    words = "The list names this car, and counts only if hub, knuckle and axle are as the car's maker made them"
    do = "Ask whether hub, knuckle or axle were ever changed"
    return Finding(NAME, TITLE, "hub", Verdict.NOT_KNOWN, words, do, asks=(AS_MADE,), reads=(COVERS,), source=SOURCE)


def _what_it_settles(findings: Sequence[Finding], job: Job) -> Finding:
    against = [finding.title for finding in findings if finding.verdict in FAILS and covered(finding)]
    by_list = sum(finding.basis == BASIS for finding in findings)
    words = f"{list_name(job)[:1].upper()}{list_name(job)[1:]} stands in for {by_list} checks; not covered: {', '.join(not_covered(findings)) or 'nothing that is open'}"
    do = ""
    if against:
        words = (
            f"Sizes that were typed contradict {list_name(job)}: {', '.join(against)}. They count, the list does not"
        )
        do = "Check these sizes first, then ask the kit maker"
    reads = (COVERS, AS_MADE, "maker_list_name")
    return Finding(NAME, TITLE, "hub", Verdict.FITS, words, do, reads=reads, source=SOURCE, basis=BASIS)


def not_covered(findings: Sequence[Finding]) -> list[str]:
    """What stays open whatever the list says, in plain words, each once."""
    return list(dict.fromkeys(_words(findings)))


def _words(findings: Sequence[Finding]) -> Iterator[str]:
    named = {"wheel": "wheel", "line": "hose and line", "screws": "torques", "pads": "pads", "handing": "left and right",
             "park_brake": "parking brake"}  # fmt: skip
    for finding in findings:
        if finding.verdict is Verdict.NOT_KNOWN and not covered(finding):
            yield named.get(finding.interface, finding.title[:1].lower() + finding.title[1:])
