"""The answer while the customer is on the telephone: one page, useful after a dozen answers."""

from collections.abc import Iterator, Sequence
from datetime import date

from bomcheck.engine.makers_word import BASIS, NAME, list_name
from bomcheck.model.finding import Finding
from bomcheck.model.line import ASK, NO_SOURCE
from bomcheck.model.report import Report
from bomcheck.model.verdict import Verdict
from bomcheck.paper.awaited import delivery
from bomcheck.paper.summary import whole_car
from bomcheck.tables import rows

MOST = 10
LINES = 6
FAILS = (Verdict.DOES_NOT_FIT, Verdict.NEEDS_MACHINING)
SETTLED = (Verdict.FITS, Verdict.FITS_WITH_PARTS)


def phone_page(report: Report, today: date) -> str:
    """Questions still to be put, and what can be said already."""
    return "\n".join([*_head(report), *_asked(report), *_known(report), *_money(report, today), *_before(report)])


def _head(report: Report) -> Iterator[str]:
    names = [
        report.job.get("vehicle_label"),
        (report.job.get("axle") or report.job.side) and report.job.where,
        report.job.get("kit_label"),
    ]
    yield f"ON THE PHONE  {', '.join(str(name) for name in names if name)}".rstrip()
    likely = " Likely is not sure: nothing is promised before the sizes below are known." if report.questions else ""
    yield f"So far: {report.verdict}.{likely}"


def open_questions(report: Report) -> list[tuple[str, str]]:
    """(field, question in a customer's words) of what is still blank, at most ten."""
    job = report.job
    blank = [row for row in rows("phone") if row["key"] not in job.values and row["key"] not in job.rejected]
    return [(row["key"], row["ask"]) for row in blank][:MOST]


def _asked(report: Report) -> Iterator[str]:
    asked = open_questions(report)
    if asked:
        yield "\nAsk the customer:"
        yield from (f"  {number}. {ask}" for number, (_, ask) in enumerate(asked, start=1))


def _known(report: Report) -> Iterator[str]:
    found = [
        finding
        for finding in report.findings
        if finding.verdict is not Verdict.DOES_NOT_APPLY and finding.check != NAME
    ]
    sure = [one for one in found if one.verdict in SETTLED and one.basis != BASIS]
    listed = [one for one in found if one.basis == BASIS]
    failing = [one for one in found if one.verdict in FAILS]
    still = [one for one in found if one.verdict is Verdict.NOT_KNOWN]
    yield f"\nSure: {len(sure)} of {len(found)} checks fit by their sizes."
    if failing:
        yield "It does not go on as it is:"
        yield from _shortened([f"{one.title}: {one.said}. {one.do}".rstrip(". ") for one in failing])
    bad = list(whole_car(report))
    if bad:
        yield "Not good for the brakes as a whole:"
        yield from _shortened(bad)
    if listed:
        yield f"Likely: {len(listed)} more by {list_name(report.job)}."
    if still:
        yield f"Open: {len(still)}, {_titles(still)}."


def _titles(found: Sequence[Finding]) -> str:
    named = [one.title[:1].lower() + one.title[1:] for one in found[:LINES]]
    return ", ".join(named) + (f" and {len(found) - LINES} more" if len(found) > LINES else "")


def _shortened(lines: Sequence[str]) -> Iterator[str]:
    yield from (f"  {line}" for line in lines[:LINES])
    if len(lines) > LINES:
        yield f"  and {len(lines) - LINES} more"


def _money(report: Report, today: date) -> Iterator[str]:
    ordered = [line for line in report.parts if line.is_bought]
    priced = [line.line_total for line in ordered if line.line_total is not None]
    unsure = [line for line in report.parts if line.status in (ASK, NO_SOURCE) and not line.is_bought]
    currency = str(report.job.get("currency") or "")
    if not ordered and not unsure:
        yield "\nParts beside the kit: none are missing."
        return
    more = f", and {len(unsure)} more whose price or size is open" if unsure else ""
    yield (
        f"\nParts beside the kit: from {sum(priced):.2f} {currency}".rstrip() + f"{more}. Kit and labour are not in it."
    )
    yield from _shortened([line.description or line.role for line in (*ordered, *unsure)])
    day = delivery(report, today)
    if day.last is not None:
        yield f"Earliest day with all of it here: {day.said()}."


def _before(report: Report) -> Iterator[str]:
    if report.questions:
        yield "\nMeasure or look up before ordering:"
        yield from _shortened([f"{one.ask} ({one.whom})" for one in report.questions])
    waiting = [line for line in report.parts if line.status == ASK]
    if waiting:
        yield "\nDo not order yet:"
        yield from _shortened([f"{line.description}: {line.note}".rstrip(": ") for line in waiting])
