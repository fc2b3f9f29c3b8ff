"""The first rows of the Compatibility sheet: what decides, the counts, what to order, what to measure."""

from collections.abc import Iterator, Sequence

from bomcheck.parts.counted import as_it_stands
from bomcheck.parts.line import ASK, NO_SOURCE, TO_ORDER, Line
from bomcheck.report import Report
from bomcheck.summary import counted
from bomcheck.system.result import BAD, LOOK, UNKNOWN, VERDICTS
from bomcheck.verdict.finding import Finding
from bomcheck.verdict.verdict import Verdict
from bomcheck.workbook.sheets.page import Book, Cell
from bomcheck.workbook.sheets.words import jump, label, quantity, sentence

COUNTED = (
    Verdict.DOES_NOT_FIT,
    Verdict.NEEDS_MACHINING,
    Verdict.NOT_KNOWN,
    Verdict.FITS_WITH_PARTS,
    Verdict.FITS,
    Verdict.DOES_NOT_APPLY,
)
WHOLE_CAR = {LOOK: "to look at"}
MOST_NAMED = 5
UNSETTLED = "The remedies change each other and did not come to rest: ask the kit maker before anything is cut"
COLUMNS = 10


def summary_rows(book: Book) -> Iterator[dict[int, Cell]]:
    """Rows for the columns Check, Verdict, What to do."""
    report = book.report
    yield _row("What decides it", f"{len(report.deciding)} of {_judged(report)} checks", decides(report))
    yield _row("Verdicts", f"{_judged(report)} checks", counted(report, COUNTED))
    yield from _whole_car(report)
    parts = as_it_stands(report.parts, report.job.own)
    lines = [line for line in parts if line.status in (TO_ORDER, NO_SOURCE, ASK) and not line.out_of]
    orders = [line for line in lines if line.status != ASK]
    asked = (
        f". To ask first: {_named([_part(one) for one in lines if one.status == ASK])}"
        if len(lines) > len(orders)
        else ""
    )
    words = _named([_part(line) for line in orders]) or "nothing"
    yield _row("To order", _count(len(orders), "line"), sentence(words) + asked, jump("Parts list"))
    questions = [label(one.key) for one in report.questions]
    measure = sentence(_named(questions)) or "Nothing"
    yield _row("To measure next", _count(len(questions), "question"), measure, jump("Measure next"))


def _row(title: str, count: str, words: str, link: str = "") -> dict[int, Cell]:
    cells = {column: Cell(None, ("summary",)) for column in range(COLUMNS)}
    cells[0] = Cell(title, ("summary", "bold", "link") if link else ("summary", "bold"), link=link)
    cells[1] = Cell(count, ("summary",))
    cells[2] = Cell(words, ("summary",))
    return cells


def decides(report: Report) -> str:
    """One sentence."""
    if not report.deciding:
        return "Every check holds for every true size inside the ±."
    first, *others = report.deciding
    rest = f" The same verdict: {_named([_lower(one.title) for one in others])}." if others else ""
    unsettled = "" if report.settled else f" {UNSETTLED}."
    return f"{first.title}: {_why(first)}.{rest}{unsettled}"


def _why(finding: Finding) -> str:
    return (finding.said or finding.do).rstrip(".")


def _whole_car(report: Report) -> Iterator[dict[int, Cell]]:
    """What was found of the brakes as a whole, which the fit verdict does not count; none where nothing is known."""
    said = [finding.verdict for finding in report.system]
    if not set(said) - {UNKNOWN}:
        return
    count = ", ".join(f"{said.count(one)} {WHOLE_CAR.get(one, one)}" for one in VERDICTS if one in said)
    against, look = ([one.title for one in report.system if one.verdict == word] for word in (BAD, LOOK))
    words = f"To look at: {_named(look, '; ')}" if look else "Nothing speaks against it"
    if against:
        words = f"Not good, which the fit verdict does not count: {'; '.join(against)}"
    cells = _row("Whole car", count, words, jump("Whole car"))
    if against:
        cells[1] = Cell(count, ("cell", "verdict does not fit", "top"))
    yield cells


def _judged(report: Report) -> int:
    return len(report.findings) - report.count(Verdict.DOES_NOT_APPLY)


def _count(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def _part(line: Line) -> str:
    source = " (no source known)" if line.status == NO_SOURCE else ""
    name = f"{line.description or line.role}{source}"
    return f"{quantity(line.to_order, line.unit)} x {name}" if line.to_order else name


def _named(names: Sequence[str], between: str = ", ") -> str:
    """The first few, and how many more."""
    more = len(names) - MOST_NAMED
    shown = between.join(names[:MOST_NAMED])
    return f"{shown} and {more} more" if more > 0 else shown


def _lower(words: str) -> str:
    return words[:1].lower() + words[1:]
