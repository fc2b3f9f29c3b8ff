"""The Measure next sheet: every open question once, with room to write down what was found."""

from collections.abc import Mapping
from typing import Any

from bomcheck.io import layout
from bomcheck.io import layout as palette
from bomcheck.io.blank.forms import plus_minus_text
from bomcheck.io.read.own import FOUND, FOUND_BY, FOUND_PLUS_MINUS, KEY_HEADING, MEASURE_PREFIX
from bomcheck.io.sheets.page import HEADING_ROW, Book, Cell, Page, text
from bomcheck.io.sheets.words import blank_cell, jump, label, sentence
from bomcheck.model.report import Question
from bomcheck.tables.fields import fields

NAME, KIND = "Measure next", "measure"
HEADINGS = (
    "What",
    "How, and where",
    "With what",
    "How well",
    "Settles",
    FOUND,
    FOUND_PLUS_MINUS,
    FOUND_BY,
    "Type it in",
    "Effort",
    "For these checks",
    KEY_HEADING,
)
WHAT, ASK, WITH, WELL, SETTLES, VALUE, HALF, BY, TYPE_IN, EFFORT, CHECKS, KEY = range(12)
WIDTHS = (25, 46, 18, 17, 8, 14, 10, 16, 13, 12, 40, 3)
EFFORTS = {1: "look", 2: "measure", 3: "special gauge", 4: "take apart"}
SUBTITLE = "Most verdicts for the least effort first. Write down what was found, then type it in the cell named here."


def write_measure_next(book: Book) -> None:
    """Adds the sheet."""
    page = Page(book, NAME, palette.YELLOW, WIDTHS)
    page.head(NAME, f"{book.who}. {SUBTITLE}", HEADINGS, (SETTLES,))
    for number, question in enumerate(book.report.questions, start=1):
        page.line(_cells(book, number, question), least=30)
    if not book.report.questions:
        page.line({WHAT: text("Nothing", "bold"), ASK: text("No question is open: every size is known well enough.")})
    else:
        page.sheet.autofilter(HEADING_ROW, 0, page.row - 1, CHECKS)
    _answered(page)
    page.finish(columns=KEY)


def _answered(page: Page) -> None:
    """What was written down for questions that are open no longer."""
    asked = {f"{MEASURE_PREFIX}{question.key}" for question in page.book.report.questions}
    done = [key for key in page.book.kept if key.startswith(MEASURE_PREFIX) and key not in asked]
    if not done:
        return
    page.group("Written down earlier, no longer asked")
    for key in done:
        kept, field = page.book.kept[key], key.removeprefix(MEASURE_PREFIX)
        typed = {VALUE: _typed(kept, "found"), HALF: _typed(kept, "found_plus_minus"), BY: _typed(kept, "found_by")}
        page.line(
            {WHAT: text(label(field), "quiet"), **typed, TYPE_IN: _where(page.book, field), KEY: Cell(key, ("key",))}
        )


def _cells(book: Book, number: int, question: Question) -> dict[int, Cell]:
    key = f"{MEASURE_PREFIX}{question.key}"
    kept = book.kept.get(key, {})
    return {
        WHAT: text(f"{number}. {label(question.key)}", "bold"),
        ASK: text(question.ask),
        WITH: text(sentence(question.instrument)),
        WELL: text(_how_well(book, question)),
        SETTLES: Cell(question.settles, ("cell", "right"), shown="0"),
        VALUE: _typed(kept, "found"),
        HALF: _typed(kept, "found_plus_minus"),
        BY: _typed(kept, "found_by"),
        TYPE_IN: _where(book, question.key),
        EFFORT: text(EFFORTS.get(question.effort, "")),
        CHECKS: text("\n".join(question.checks), "quiet"),
        KEY: Cell(key, ("key",)),
    }


def _how_well(book: Book, question: Question) -> str:
    """The ± that settles, or that of the field's instrument; "" for what is exact by its nature."""
    field = fields().get(question.key)
    usual = f"usual ±{plus_minus_text(field, book.system)}" if field and field.takes_plus_minus else ""
    return question.how_well or usual


def _typed(kept: Mapping[str, Any], key: str) -> Cell:
    value = kept.get(key)
    return Cell(value if isinstance(value, int | float | str) else None, ("input",))


def _where(book: Book, key: str) -> Cell:
    """A link to the cell that was typed, or is blank; to the sheet where the blank one's row is not certain."""
    job = book.report.job
    value, held = job.values.get(key), job.rejected.get(key)
    place = value.place if value is not None else held.place if held is not None else None
    if place is not None and place.sheet and place.cell:
        return Cell(f"{place.sheet} {place.cell}", ("cell", "link"), link=jump(place.sheet, place.cell))
    sheet, blank = _sheet_of(book, key), blank_cell(job, key)
    if blank:
        return Cell(f"{sheet} {blank}", ("cell", "link"), link=jump(sheet, blank))
    return Cell(sheet, ("cell", "link"), link=jump(sheet)) if sheet else text("")


def _sheet_of(book: Book, key: str) -> str:
    """The sheet on which the other fields of the same section stand."""
    known = fields()
    if key not in known:
        return ""
    section = known[key].section
    for other, value in book.report.job.values.items():
        if other in known and known[other].section == section and value.place.sheet:
            return value.place.sheet
    return next((name for name, one in layout.FIELD_SHEETS.items() if one == section), "")
