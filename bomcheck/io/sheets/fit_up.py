"""The Fit-up and test sheet: the work in order with parts, torques, tools, shims, checks and test, on three pages."""

from collections.abc import Iterable

from bomcheck.io import layout as palette
from bomcheck.io.read.own import DONE as DONE_WORDS
from bomcheck.io.read.own import FINAL, ROOM
from bomcheck.io.sheets.page import Book, Cell, Page, text
from bomcheck.io.sheets.words import sentence
from bomcheck.paper.fit_up import FitUp, fit_up, written_against

NAME, KIND = "Fit-up and test", "fit-up"
WIDTHS = (3.5, 18, 38.2, 0.3, 37, 8.5)
NUMBER, TITLE, DO, _GAP, PARTS, DONE = range(6)
BOX, LINE = ROOM


def write_fit_up(book: Book) -> None:
    """Adds the sheet."""
    page, made = Page(book, NAME, palette.GREEN, WIDTHS, landscape=False), fit_up(book.report)
    page.head(NAME, book.who, beside=DO)
    for words in filter(None, (made.warning, *written_against(book.report))):
        page.across(words, "cell", "caution")
    _tools(page, made)
    _steps(page, made)
    _torques(page, made)
    _shims(page, made)
    _checks(page, "Bleeding", made.bleeding)
    _checks(page, "Before the wheel goes on", made.before_wheel)
    _checks(page, "Test before driving", made.test)
    _checks(page, "Bedding the pads", made.bedding)
    page.group("Cautions", ("caution heading",))
    for words in made.cautions:
        page.across(words, "cell", "caution")
    for words in ("Fitted by, date", "Checked by, date"):
        done = _written(page, f"signed {words}", words)
        page.line({TITLE: Cell(words, ("cell", "bold"), span=4), DONE: done}, least=20)
    page.finish()


def _written(page: Page, name: str, about: str, room: str = "") -> Cell:
    """Room for the bench to write in, with what stands there already."""
    stands = page.written(name, about).get("done")
    return Cell(stands, ("cell",)) if isinstance(stands, int | float) else text(str(stands or room))


def _steps(page: Page, made: FitUp) -> None:
    page.name_column(page.headings(("", "Step", "Do", "", "With these parts, for the whole job", DONE_WORDS)))
    for step in made.steps:
        done = _written(page, f"step {step.title}", step.title)
        page.line(
            {
                NUMBER: Cell(step.number, ("cell", "small", "centre"), shown="0"),
                TITLE: text(step.title, "bold", "small"),
                DO: text(" ".join(step.do), "small"),
                PARTS: text("\n".join(step.parts), "small"),
                DONE: done,
            }
        )


def _torques(page: Page, made: FitUp) -> None:
    page.name_column(
        page.headings(
            ("", "Joint and screws", "Torque, as the kit prints it", "", "How far the screw is used", DONE_WORDS)
        )
    )
    for row in made.torques:
        done = _written(page, row.bench, f"{sentence(row.place)}: {row.torque}")
        figure = Cell(row.torque, ("cell", "bold"), more=((row.how, ("small", "plain")),) if row.how else ())
        page.line(
            {
                TITLE: Cell(sentence(row.place), ("cell", "bold", "small"), more=((row.screws, ("quiet", "plain")),)),
                DO: figure,
                PARTS: text(row.strength, "quiet"),
                DONE: done,
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
    page.name_column(page.headings(("", "Shims at each screw", "How to go on", "", "", FINAL)))
    for row in made.shims:
        final = _written(page, f"shims {row.title}", f"{row.title}: final shims, from {row.start}", LINE)
        start = f"Start with {row.start}; may be needed: {row.span}"
        page.line(
            {
                TITLE: text(row.title, "bold", "small"),
                DO: Cell(start, ("cell", "bold", "small"), more=((" ".join(row.adjust), ("plain",)),), span=3),
                DONE: final,
            }
        )


def _checks(page: Page, title: str, lines: Iterable[str]) -> None:
    found = list(lines)
    if not found:
        return
    page.group(title)
    for number, words in enumerate(found, start=1):
        done = _written(page, f"check {title} {words[:60]}", f"{title}: {words}", BOX)
        page.line(
            {
                NUMBER: Cell(number, ("cell", "small", "centre"), shown="0"),
                TITLE: Cell(words, ("cell", "small"), span=4),
                DONE: done,
            },
            least=14,
        )
