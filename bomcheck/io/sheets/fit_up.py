"""The Fit-up and test sheet: the work in order with parts, torques, tools, shims, checks and test, on one or two pages."""

from collections.abc import Iterable

from bomcheck.io import layout as palette
from bomcheck.io.sheets.page import Book, Cell, Page, text
from bomcheck.io.sheets.words import sentence
from bomcheck.paper.fit_up import FitUp, fit_up

NAME, KIND = "Fit-up and test", "fit-up"
WIDTHS = (4, 28, 42, 1.5, 39, 12)
NUMBER, TITLE, DO, _GAP, PARTS, DONE = range(6)
DONE_WORDS = "Done by"
LINE = "_______"


def write_fit_up(book: Book) -> None:
    """Adds the sheet."""
    page, made = Page(book, NAME, palette.GREEN, WIDTHS, landscape=False), fit_up(book.report)
    page.head(NAME, "")
    page.put(DO, Cell(book.who, ("subtitle",)), row=0)
    if made.warning:
        page.across(made.warning, "cell", "caution")
    _tools(page, made)
    _steps(page, made)
    _torques(page, made)
    page.sheet.set_h_pagebreaks([page.row])
    _shims(page, made)
    _checks(page, "Before the wheel goes on", made.before_wheel)
    _checks(page, "Bleeding", made.bleeding)
    _checks(page, "Test before driving", made.test)
    _checks(page, "Bedding the pads", made.bedding)
    page.group("Cautions", ("caution heading",))
    for words in made.cautions:
        page.across(words, "cell", "caution")
    page.line(
        {TITLE: text("Fitted by, date", "bold"), DO: text(""), PARTS: text("Checked by, date", "bold"), DONE: text("")},
        least=26,
    )
    page.finish()


def _steps(page: Page, made: FitUp) -> None:
    page.headings(("", "Step", "Do", "", "With these parts, for the whole job", DONE_WORDS))
    for step in made.steps:
        page.line(
            {
                NUMBER: Cell(step.number, ("cell", "small", "centre"), shown="0"),
                TITLE: text(step.title, "bold", "small"),
                DO: text(" ".join(step.do), "small"),
                PARTS: text("\n".join(step.parts), "small"),
                DONE: text(""),
            }
        )


def _torques(page: Page, made: FitUp) -> None:
    page.headings(("", "Joint and screws", "Torque, as the kit prints it", "", "How", DONE_WORDS))
    for row in made.torques:
        figure = Cell(row.torque, ("cell", "bold"), more=((row.strength, ("quiet", "plain")),) if row.strength else ())
        page.line(
            {
                TITLE: Cell(sentence(row.place), ("cell", "bold", "small"), more=((row.screws, ("quiet", "plain")),)),
                DO: figure,
                PARTS: text(row.how, "small"),
                DONE: text(""),
            }
        )
    page.across(" ".join(made.torque_notes), "cell", "small")


def _tools(page: Page, made: FitUp) -> None:
    page.group("Tools")
    words = "; ".join(f"{tool.name} ({tool.use})" for tool in made.tools)
    page.across(f"{sentence(words)}.", "cell", "small")


def _shims(page: Page, made: FitUp) -> None:
    if not made.shims:
        return
    page.headings(("", "Shims", "Start with, at each screw", "", "How to go on", "Final"))
    for row in made.shims:
        page.line(
            {
                TITLE: text(row.title, "bold", "small"),
                DO: Cell(row.start, ("cell", "bold"), more=((f"may be needed: {row.span}", ("quiet", "plain")),)),
                PARTS: text(" ".join(row.adjust), "small"),
                DONE: text(LINE),
            }
        )


def _checks(page: Page, title: str, lines: Iterable[str]) -> None:
    found = list(lines)
    if not found:
        return
    page.group(title)
    for number, words in enumerate(found, start=1):
        page.line(
            {
                NUMBER: Cell(number, ("cell", "small", "centre"), shown="0"),
                TITLE: Cell(words, ("cell", "small"), span=4),
                DONE: text("☐"),
            }
        )
