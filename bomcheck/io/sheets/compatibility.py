"""The first rows of the Compatibility sheet: what decides, the counts, what to order, what to measure."""

from collections.abc import Iterator, Sequence
from datetime import date

from bomcheck.car.checks import BAD, LOOK, UNKNOWN, WORDS, counts, word
from bomcheck.io import layout as palette
from bomcheck.io.blank.start import CAUTIONS
from bomcheck.io.sheets.looks import SIGNS
from bomcheck.io.sheets.page import HEADING_ROW, Book, Cell, Page, address, apart, text
from bomcheck.io.sheets.words import (
    INCH_PER_MM,
    found_lines,
    in_unit,
    interface_title,
    jump,
    label,
    limit_words,
    number_format,
    places,
    places_text,
    quantity,
    sentence,
    set_by,
)
from bomcheck.model.errors import Fault
from bomcheck.model.finding import Finding
from bomcheck.model.line import ASK, NO_SOURCE, TO_ORDER, Line
from bomcheck.model.report import Report
from bomcheck.model.verdict import Verdict
from bomcheck.paper.awaited import ready
from bomcheck.paper.summary import counted

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
    parts = report.parts
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
    said = [word(finding) for finding in report.system]
    if not set(said) - {UNKNOWN}:
        return
    count = ", ".join(f"{said.count(one)} {WHOLE_CAR.get(one, one)}" for one in WORDS if one in said)
    against, look = ([one.title for one in report.system if word(one) == said] for said in (BAD, LOOK))
    words = f"To look at: {_named(look, '; ')}" if look else "Nothing speaks against it"
    if against:
        words = f"Not good, {_counted(report)}: {'; '.join(against)}"
    cells = _row("Whole car", count, words, jump("Whole car"))
    if against:
        cells[1] = Cell(count, ("cell", "verdict does not fit", "top"))
    yield cells


def _counted(report: Report) -> str:
    counted = any(counts(finding) for finding in report.system)
    return "counted in the verdict" if counted else "which the verdict does not count"


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


NAME, KIND = "Compatibility", "compatibility"
HEADINGS = (
    "Check",
    "Verdict",
    "What to do",
    "Measured or found",
    "Limit, and who set it",
    "Margin",
    "How it is known",
    "Jump to",
    "All cells read",
    "Source",
)
CHECK, VERDICT, DO, FOUND, LIMIT, MARGIN, KNOWN, JUMP, READS, SOURCE = range(10)
WIDTHS = (24, 20, 38, 26, 19, 10, 40, 13, 20, 18)
SPACED = (DO, FOUND, LIMIT, KNOWN, JUMP, READS, SOURCE)
BAR_MM = 3.0  # margin at which the bar is full


def write_compatibility(book: Book) -> None:
    """Adds the sheet."""
    page = Page(book, NAME, palette.VERDICT_COLOURS[book.report.verdict][0], WIDTHS)
    _banner(page)
    _headings(page)
    for cells in summary_rows(book):
        page.line(apart(cells, (VERDICT, DO)), least=20)
    findings = book.report.findings
    idle = [finding for finding in findings if finding.verdict is Verdict.DOES_NOT_APPLY]
    last = _checks(page, [finding for finding in findings if finding.verdict is not Verdict.DOES_NOT_APPLY])
    page.sheet.autofilter(HEADING_ROW, 0, last, len(HEADINGS) - 1)
    _name_idle(page, idle)
    _faults(page)
    _cautions(page)
    page.finish()
    _idle_rows(page, idle)


def _banner(page: Page) -> None:
    """The verdict as a large word in its colour, and what it is about."""
    book, verdict = page.book, page.book.report.verdict
    style = book.format((f"banner {verdict}",))
    page.sheet.merge_range(0, CHECK, 0, VERDICT, "", style)
    page.sheet.write_string(0, CHECK, f"{SIGNS[verdict]} {sentence(verdict)}", style)
    here = ready(book.report, date.fromisoformat(book.now) if book.now else None)
    said = f"{here.said}. " if here.begun else ""
    page.put(DO, Cell(f"{said}{book.who or 'No vehicle named'}   ({book.made})", ("subtitle", "indented")), row=0)
    page.sheet.set_row(0, 36)


def _headings(page: Page) -> None:
    page.row = HEADING_ROW
    unit = "inches" if page.book.system == "inch" else "mm"
    cells = {column: Cell(words, ("heading",)) for column, words in enumerate(HEADINGS)}
    cells[KNOWN] = Cell(f"{HEADINGS[KNOWN]}, sizes in {unit}", ("heading",))
    cells[MARGIN] = Cell(HEADINGS[MARGIN], ("heading", "heading right"))
    page.line(apart(cells, (VERDICT, *SPACED)), least=24)
    page.keep_in_view()


def _checks(page: Page, live: Sequence[Finding]) -> int:
    """Every finding that applies, by interface; returns the last row."""
    bars: list[str] = []
    for name in dict.fromkeys(finding.interface for finding in live):
        page.group(interface_title(name))
        for finding in (one for one in live if one.interface == name):
            row = page.line(apart(_finding_cells(page.book, finding), SPACED))
            if finding.margin is not None and finding.unit == "mm":
                bars.append(address(row, MARGIN))
    _bars(page, bars)
    return page.row - 1


def _name_idle(page: Page, idle: Sequence[Finding]) -> None:
    """One line that is printed in the place of the rows of checks that do not apply."""
    if idle:
        counted = "1 check does" if len(idle) == 1 else f"{len(idle)} checks do"
        names = ", ".join(finding.title for finding in idle)
        page.across(f"{counted} not apply here (why: at the end of this sheet, not printed): {names}", "cell", "quiet")


def _idle_rows(page: Page, idle: Sequence[Finding]) -> None:
    """The checks that do not apply, in grey, each with its reason, outside of what is printed."""
    if idle:
        page.row += 1
        page.group("Checks that do not apply here, not printed", ("grey", "bold"))
    for finding in idle:
        page.line(apart(_idle_cells(finding), SPACED), least=15)


def _finding_cells(book: Book, finding: Finding) -> dict[int, Cell]:
    system = book.system
    found, details = found_lines(finding, system)
    found_at = places(finding.reads, book.report.job)
    return {
        CHECK: text(finding.title, "bold"),
        VERDICT: Cell(str(finding.verdict), (f"verdict {finding.verdict}", "top")),
        DO: _what_to_do(finding),
        FOUND: Cell(found, ("cell",), more=tuple((line, ("quiet",)) for line in details)),
        LIMIT: _limit_cell(finding, system),
        MARGIN: _margin_cell(finding, system),
        KNOWN: text(finding.formula, "small"),
        JUMP: jump_cell(found_at),
        READS: text(places_text(found_at), "quiet"),
        SOURCE: text(_source(finding), "quiet"),
    }


def _what_to_do(finding: Finding) -> Cell:
    """The remedy, and what follows from it."""
    follows = tuple((f"Then: {step}", ("quiet",)) for step in finding.chain)
    do = sentence(finding.do)
    return Cell(do or None, ("cell",), more=follows)


def _limit_cell(finding: Finding, system: str) -> Cell:
    if finding.limit is None:
        return text("")
    return Cell(limit_words(finding.limit, system), ("cell",), more=((set_by(finding.limit), ("quiet",)),))


def _margin_cell(finding: Finding, system: str) -> Cell:
    if finding.margin is None or abs(finding.margin) == float("inf"):
        return text("")
    shown = number_format(finding.unit, system)
    return Cell(in_unit(finding.margin, finding.unit, system, difference=True), ("cell", "right"), shown=shown)


def jump_cell(found: Sequence[tuple[str, str]]) -> Cell:
    """A link to the first of the cells that were read."""
    if not found:
        return text("")
    sheet, cell = found[0]
    return Cell(f"{sheet} {cell}", ("cell", "small", "link"), link=jump(sheet, cell), tip=f"Jump to {sheet} {cell}")


def _source(finding: Finding) -> str:
    rule, limit = finding.source, finding.limit.source if finding.limit is not None else ""
    texts = [rule] if limit.lower() in rule.lower() else [rule, f"limit: {limit}"]
    return "\n".join(sentence(one) for one in texts if one)


def _bars(page: Page, cells: list[str]) -> None:
    """A small bar behind each margin, to the left in orange where it is negative; full at 3 mm."""
    if not cells:
        return
    full = BAR_MM if page.book.system == "metric" else round(BAR_MM * INCH_PER_MM, 2)
    page.sheet.conditional_format(
        cells[0],
        {
            "type": "data_bar",
            "data_bar_2010": True,
            "multi_range": " ".join(cells),
            "bar_solid": True,
            "bar_color": palette.SKY,
            "bar_negative_color": palette.ORANGE,
            "bar_axis_position": "middle",
            "bar_axis_color": palette.QUIET,
            "min_type": "num",
            "max_type": "num",
            "min_value": -full,
            "max_value": full,
        },
    )


def _idle_cells(finding: Finding) -> dict[int, Cell]:
    looks = ("small", "grey")
    cells = {column: text("", *looks) for column in range(len(HEADINGS))}
    cells[CHECK] = text(finding.title, *looks)
    cells[VERDICT] = Cell(str(finding.verdict), (f"verdict {finding.verdict}", "small", "top"))
    cells[FOUND] = text(sentence(finding.said), *looks)
    return cells


def _faults(page: Page) -> None:
    """What is wrong with the workbook itself, by cell."""
    faults = page.book.report.job.faults
    if not faults:
        return
    page.row += 1
    page.group("Remarks on what was typed, by cell")
    for fault in faults:
        page.line(apart(_fault_cells(fault), (VERDICT, *SPACED)))


def _fault_cells(fault: Fault) -> dict[int, Cell]:
    place = f"{fault.place.sheet} {fault.place.cell}".strip() or fault.place.file
    link = jump(fault.place.sheet, fault.place.cell or "A1") if fault.place.sheet else ""
    word = "to be corrected" if fault.stops else "remark"
    typed = f'Typed: "{fault.typed}"' if fault.typed else ""
    return {
        CHECK: Cell(place, ("cell", "bold", "link") if link else ("cell", "bold"), link=link),
        VERDICT: text(word),
        DO: text(sentence(fault.instead)),
        FOUND: Cell(sentence(fault.wrong), ("cell",), more=((typed, ("quiet",)),) if typed else ()),
    }


def _cautions(page: Page) -> None:
    page.row += 1
    page.across("Cautions", "caution heading", last=FOUND)
    for caution in CAUTIONS:
        page.across(caution, "caution", last=FOUND)
