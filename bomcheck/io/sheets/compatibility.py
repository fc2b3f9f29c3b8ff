"""Compatibility: a first page to read across a counter, then one line a check; the proofs stand on a sheet of their own."""

import re
from collections.abc import Iterator, Sequence
from datetime import date

from bomcheck.car.checks import BAD, LOOK, UNKNOWN, WORDS, counts, word
from bomcheck.io import layout as palette
from bomcheck.io.sheets.columns import columns_of
from bomcheck.io.sheets.corner_views import View
from bomcheck.io.sheets.drawing import BOTTOM, LEFT, RIGHT, TOP, drawn
from bomcheck.io.sheets.looks import SIGNS, height_of
from bomcheck.io.sheets.page import Book, Cell, Page, address, text
from bomcheck.io.sheets.proof import Proof, bar_formula, bar_text, colour_words, found_text, look_of, must_be
from bomcheck.io.sheets.sizes import CHANGED, LOST, TRIED, Sizes
from bomcheck.io.sheets.words import interface_title, jump, label, lower, number_format, quantity, sentence, shown_unit
from bomcheck.model.errors import Fault
from bomcheck.model.finding import Finding
from bomcheck.model.line import ASK, NO_SOURCE, TO_ORDER, Line
from bomcheck.model.report import Report
from bomcheck.model.verdict import Verdict
from bomcheck.paper.awaited import delivery, ready
from bomcheck.paper.summary import counted, not_looked_at
from bomcheck.tables import page as page_text
from bomcheck.tables import texts

NAME, KIND = "Compatibility", "compatibility"
COUNTED = (
    Verdict.DOES_NOT_FIT, Verdict.NEEDS_MACHINING, Verdict.NOT_KNOWN, Verdict.FITS_WITH_PARTS, Verdict.FITS,
    Verdict.DOES_NOT_APPLY,
)  # fmt: skip
WHOLE_CAR = {LOOK: "to look at"}
MOST_NAMED, MOST_DONE = 6, 4
NOTHING = {Verdict.DOES_NOT_FIT: "Nothing before another way is agreed"}
LONGEST_UNIT = 4  # letters beside a figure; a longer one stands with the limit
FROM_THE_SIDE = "The corner from the side"
WIDE, LEAST_HIGH, MOST_HIGH = 745.0, 200.0, 430.0  # pixels for the drawing
FLOOR = {"metric": 40.0, "inch": 38.1}  # mm from the hub's axis, below which the first page's drawing ends
BY_SIZES, BUY = "sizes", "What to buy"
UNSETTLED = "The remedies change each other and did not come to rest: ask the kit maker before anything is cut"
CHECKS = columns_of("Compatibility")
LAST = len(CHECKS.columns) - 1
HEADINGS = CHECKS.headings
CHECK, VERDICT, FOUND, MUST, ROOM, DO, PROOF = range(7)
OLDER = "Older than the sizes: something was changed since this was checked. Verdicts below follow where they can; parts and orders do not. Check again."
IS_TRIED = "What is tried on the sheets What if and Shims counts in the list below. Nothing of it is ordered."


def write_compatibility(
    book: Book, page: Page, proof: Proof | None, views: Sequence[View], marked: Sequence[Sizes]
) -> None:
    """Fills the sheet; Proof and Parts list must have been written before. proof: None for a car whose axles have theirs. marked: the
    sizes that what stands here may be older than."""
    findings = [one for one in book.report.findings if one.verdict is not Verdict.DOES_NOT_APPLY]
    idle = [one for one in book.report.findings if one.verdict is Verdict.DOES_NOT_APPLY]
    _banner(page)
    _mark(page, marked)
    for title, words, link in front(book):
        _section(page, title, words, link)
        if title.startswith(BUY) and not book.axle:
            _purchase(page)
    if proof is not None:
        _car(page)
    _draw(page, views)
    first = _checks(page, proof, findings)
    if proof is None:
        _car(page)
    _name_idle(page, idle)
    _faults(page)
    _cautions(page)
    page.start = first
    page.finish(breaks=(first,))


def _banner(page: Page) -> None:
    """The verdict as a large word in its colour, and what it is about."""
    book, verdict = page.book, page.book.report.verdict
    page.across(f"{SIGNS[verdict]} {sentence(verdict)}", f"banner {verdict}", last=LAST, least=48)
    page.sheet.freeze_panes(1, 0)
    page.across(book.who or "No vehicle named", "front", "bold", last=LAST)
    here = ready(book.report, date.fromisoformat(book.now) if book.now else None)
    if here.begun:
        page.across(f"{here.said}.", "front", "bold", last=LAST)
    page.across(sentence(book.made), "subtitle", last=LAST)


def _mark(page: Page, marked: Sequence[Sizes]) -> None:
    """Whether what stands here is older than the sizes, or something is tried."""
    row, tried = page.row, any(one.moved(one.middle) for one in marked)
    changed, trying = (
        "+".join(one.total(key) for one in marked for key in keys) for keys in ((CHANGED, LOST), (TRIED,))
    )
    formula = f'=IF({changed}>0,"{OLDER}",IF({trying}>0,"{IS_TRIED}",""))'
    page.across("", "mark", last=LAST, least=30)
    page.sheet.write_formula(row, 0, formula, page.book.format(("mark",)), IS_TRIED if tried else "")
    style = page.book.workbook.add_format({"bg_color": palette.YELLOW, "font_color": palette.BLACK})
    area = f"{address(row, 0)}:{address(row, LAST)}"
    page.sheet.conditional_format(area, {"type": "formula", "criteria": f'=$A${row + 1}<>""', "format": style})


def _section(page: Page, title: str, words: str, link: str, *looks: str) -> None:
    """A heading and a text over the whole width."""
    page.line({0: Cell(title, ("group", *(looks or ("link",))) if link else ("group",), link=link)}, least=19)
    page.across(words, "front", last=LAST, least=24)


def front(book: Book) -> Iterator[tuple[str, str, str]]:
    """(Heading, words, where it leads) of what is said across the counter."""
    report = book.report
    yield "What decides", decides(report), ""
    yield "What to do", _do(report), jump("Fit-up and test")
    lines = _orders(report)
    bought = [line for line in lines if line.status != ASK]
    asked = [line for line in lines if line.status == ASK]
    words = sentence(_named([_part(line) for line in bought])) or NOTHING.get(report.verdict, "Nothing: all is there")
    if asked:
        words += f". To ask first: {_named([_part(one) for one in asked])}"
    yield f"{BUY} ({_count(len(bought), 'line')})", words, jump("Parts list")
    questions = [label(one.key) for one in report.questions]
    of_car = dict.fromkeys(label(key) for finding in report.system for key in finding.asks)
    nothing = "Nothing for the fit" if of_car else "Nothing: every size is known well enough"
    measure = sentence(_named(questions, ", ")) or nothing
    measure += f"; for the brakes as a whole: {_named(list(of_car), ', ')}" if of_car else ""
    yield f"What to measure ({_count(len(questions), 'question')})", measure, jump("Measure next")
    yield "Look at it yourself: no size tells it", f"{sentence('; '.join(not_looked_at(report)))}.", ""


def _do(report: Report) -> str:
    """What the deciding checks ask for, each once."""
    if report.verdict is Verdict.NOT_KNOWN:
        return "Measure or look up what is named below, and check again. Order nothing that depends on it."
    todo = list(dict.fromkeys(sentence(one.do).rstrip(".") for one in report.deciding if one.do))
    if report.parts and not _orders(report):
        left = (
            "; ".join(said for said in re.split(r"[.;] ", one) if not said.lower().startswith("order ")) for one in todo
        )
        todo = list(dict.fromkeys(sentence(one) for one in left if one))
    more = len(todo) - MOST_DONE
    words = ". ".join(todo[:MOST_DONE]) + (f". And {more} more, in the list of checks" if more > 0 else "")
    return f"{words}." if words else "Fit it, with the test on the sheet Fit-up and test."


def _purchase(page: Page) -> None:
    """Sum and day of what is bought, live as far as the Parts list is."""
    book = page.book
    lines = [line for line in _orders(book.report) if line.status in (TO_ORDER, NO_SOURCE)]
    if not lines:
        return
    currency = "".join(one for one in str(book.report.job.get("currency") or "") if one.isprintable() and one != '"')
    total = book.refs.get("purchase")
    cells = {column: Cell(None, ("front", "bold")) for column in range(LAST + 1)}
    cells[0] = Cell("Sum, freight included, no tax", ("front", "bold"), span=2)
    if total is not None:
        shown = f'#,##0.00" {currency}"' if currency else "#,##0.00"
        cells[2] = Cell(total.total_value, ("front", "bold", "middle"), f"={total.total}", shown=shown, span=2)
        cells.pop(3)
    cells.pop(1)
    cells[4] = Cell(_day(book), ("front", "bold"), span=2)
    cells.pop(5)
    page.line(cells, least=24)


def _draw(page: Page, views: Sequence[View]) -> None:
    """Each corner from the side, beside one another, in what is left of the first page."""
    if not all(view.drawn for view in views):
        return
    left = page.paper() - sum(height_of(page.sheet, row) for row in range(page.row)) - 30
    high = min(MOST_HIGH, left / 0.75)
    if high < LEAST_HIGH:
        instead = "The drawing stands on a sheet of its own"
        page.line({0: Cell(instead, ("front", "link"), link=jump("Drawing"), span=LAST + 1)}, least=24)
        return
    page.line({0: Cell(f"{FROM_THE_SIDE}, to scale", ("group", "link"), link=jump("Drawing"))}, least=19)
    names = [sentence(one.job.place) for one in page.book.report.axles] or [""]
    wide, system = WIDE / len(views), page.book.system
    room = (wide - LEFT - (8 if names[0] else RIGHT + 8), high - TOP - BOTTOM - 16)
    told = f"{FROM_THE_SIDE}. {page.book.who}"
    pictures = [drawn(view, room, system, told, FLOOR[system], name) for view, name in zip(views, names, strict=True)]
    page.row += max(page.picture(one, left=2 + at * wide) for at, one in enumerate(pictures))


def _day(book: Book) -> str:
    """When all of it is there, in few words."""
    found = delivery(book.report, date.fromisoformat(book.now) if book.now else None)
    count = len(found.open)
    without = f"no day for {found.open[0] if count == 1 else f'{count} parts'}" if count else ""
    day = "" if found.last is None else f"There by {found.day}" if found.day else f"There in {found.last:g} days"
    return sentence("; ".join(filter(None, (day, without))))


def _orders(report: Report) -> list[Line]:
    """What is bought, or asked first, and is not here yet."""
    listed = [line for line in report.parts if line.status in (TO_ORDER, NO_SOURCE, ASK) and not line.out_of]
    return [line for line in listed if not line.here or line.still_lacks]


def decides(report: Report) -> str:
    """One sentence."""
    if not report.deciding:
        return "Every check holds for every true size inside the ±."
    first, *others = report.deciding
    rest = f" The same verdict: {_named([lower(one.title) for one in others])}." if others else ""
    unsettled = "" if report.settled else f" {UNSETTLED}."
    return f"{first.title}: {(first.said or first.do).rstrip('.')}.{rest}{unsettled}"


def _car(page: Page) -> None:
    """What was found of the brakes as a whole, which the fit verdict does not count; nothing where nothing is known."""
    report = page.book.report
    said = [word(finding) for finding in report.system]
    if not set(said) - {UNKNOWN}:
        return
    count = ", ".join(f"{said.count(one)} {WHOLE_CAR.get(one, one)}" for one in WORDS if one in said)
    bad = ("verdict does not fit",) if BAD in said else ()
    _section(page, f"The car as a whole: {count}", _of_car(report), jump("Whole car"), *bad)


def _of_car(report: Report) -> str:
    bad, look = ([one for one in report.system if word(one) == said] for said in (BAD, LOOK))
    told = {True: "counted in the verdict", False: "which the verdict does not count"}
    named = {words: [one.title for one in bad if counts(one) is counted] for counted, words in told.items()}
    said = ". ".join(f"Not good, {words}: {'; '.join(names)}" for words, names in named.items() if names)
    looked = f"To look at: {_named([one.title for one in look])}" if look else "Nothing speaks against it"
    return said or looked


def _count(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def _part(line: Line) -> str:
    source = " (no source known)" if line.status == NO_SOURCE else ""
    name = f"{line.description or line.role}{source}"
    lacks = line.still_lacks if line.came else line.to_order
    times = " x" if line.unit in ("each", "") else ""
    return f"{quantity(lacks, line.unit)}{times} {name}" if lacks else name


def _named(names: Sequence[str], between: str = "; ") -> str:
    """The first few, and how many more."""
    more = len(names) - MOST_NAMED
    shown = between.join(names[:MOST_NAMED])
    return f"{shown} and {more} more" if more > 0 else shown


def _checks(page: Page, proof: Proof | None, live: Sequence[Finding]) -> int:
    """Every finding that applies, by interface; returns the row of the headings."""
    report = page.book.report
    first = page.row
    judged = len(report.findings) - report.count(Verdict.DOES_NOT_APPLY)
    page.across(
        f"{page.book.who}. {judged} checks: {counted(report, COUNTED)}. {page_text('bars')}", "cell", "small", last=LAST
    )
    top = page.headings(HEADINGS, CHECKS.figures)
    page.repeat(first, top)
    for name in dict.fromkeys(finding.interface for finding in live):
        page.group(interface_title(name))
        for finding in (one for one in live if one.interface == name):
            page.line(_finding_cells(page.book, proof, finding))
    last = page.row - 1
    page.sheet.autofilter(top, 0, max(last, top), LAST)
    colour_words(page, f"{address(top + 1, VERDICT)}:{address(max(last, top + 1), VERDICT)}")
    return first


def _finding_cells(book: Book, proof: Proof | None, finding: Finding) -> dict[int, Cell]:
    if proof is None:
        return {
            CHECK: text(finding.title, "bold"),
            VERDICT: Cell(str(finding.verdict), (look_of(str(finding.verdict)), "top")),
            FOUND: text(found_text(finding, book.system), "small", span=3),
            DO: _what_to_do(finding),
        }
    at, shown = proof.rows[finding.check], proof.shown[finding.check]
    word = f"={proof.at(finding.check, 'verdict')}"
    cells = {
        CHECK: text(finding.title, "bold"),
        PROOF: Cell(
            f"row {at + 1}", ("cell", "small", "link"), link=jump("Proof", address(at, 0)), tip="How it is known"
        ),
        VERDICT: Cell(shown.verdict, (look_of(shown.verdict), "top"), formula=word),
        DO: _what_to_do(finding),
    }
    if finding.value is None or finding.limit is None:
        return {**cells, FOUND: text(found_text(finding, book.system), "small", span=3)}
    unit = shown_unit(finding.unit, book.system)
    form = number_format(finding.unit, book.system) + (f'" {unit}"' if unit and len(unit) <= LONGEST_UNIT else "")
    return {
        **cells,
        FOUND: Cell(shown.found, ("cell", "right"), formula=f"={proof.at(finding.check, 'found')}", shown=form),
        MUST: text(must_be(finding, book.system), "small"),
        ROOM: Cell(bar_text(proof, finding, shown), ("cell", "small", "one line"), formula=bar_formula(proof, finding)),
    }


def _what_to_do(finding: Finding) -> Cell:
    """The remedy, and what follows from it."""
    follows = tuple((f"Then: {step}", ("quiet",)) for step in finding.chain)
    if finding.basis != BY_SIZES:
        follows = ((f"By the {finding.basis}, not by sizes", ("quiet",)), *follows)
    return Cell(sentence(finding.do) or None, ("cell", "small"), more=follows)


def _name_idle(page: Page, idle: Sequence[Finding]) -> None:
    """One line that stands for the checks that do not apply."""
    if idle:
        counted = "1 check does" if len(idle) == 1 else f"{len(idle)} checks do"
        names = ", ".join(finding.title for finding in idle)
        page.across(f"{counted} not apply here (why: at the end of the sheet Proof): {names}", "cell", "quiet")


def _faults(page: Page) -> None:
    """What is wrong with the workbook itself, by cell."""
    faults = page.book.report.job.faults
    if not faults:
        return
    page.row += 1
    page.group("Remarks on what was typed, by cell")
    for fault in faults:
        page.line(_fault_cells(fault))


def _fault_cells(fault: Fault) -> dict[int, Cell]:
    place = f"{fault.place.sheet} {fault.place.cell}".strip() or fault.place.file
    link = jump(fault.place.sheet, fault.place.cell or "A1") if fault.place.sheet else ""
    typed = f'Typed: "{fault.typed}"' if fault.typed else ""
    more = ((typed, ("quiet",)),) if typed else ()
    return {
        CHECK: Cell(place, ("cell", "bold", "link") if link else ("cell", "bold"), link=link),
        VERDICT: text("to be corrected" if fault.stops else "remark"),
        FOUND: Cell(sentence(fault.wrong), ("cell", "small"), more=more, span=3),
        DO: text(sentence(fault.instead), "small"),
    }


def _cautions(page: Page) -> None:
    page.row += 1
    page.across("Cautions", "caution heading", last=LAST)
    for caution in texts("first_sheet")["cautions"]:
        page.across(caution, "caution", last=LAST)
