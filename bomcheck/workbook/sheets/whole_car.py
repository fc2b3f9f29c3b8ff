"""The Whole car sheet: the brakes as a system before and after the kit, apart from the fit verdict, with its charts."""

from bomcheck.derived import DERIVATIONS
from bomcheck.system.figures import limit_shown, shown
from bomcheck.system.result import BAD, GOOD, LOOK, UNKNOWN, SystemFinding
from bomcheck.verdict.box import Range
from bomcheck.verdict.inputs import Inputs
from bomcheck.workbook import palette
from bomcheck.workbook.sheets.page import Book, Cell, Page, text
from bomcheck.workbook.sheets.whole_car_charts import SIZE, write_charts
from bomcheck.workbook.sheets.whole_car_curves import charts_of
from bomcheck.workbook.sheets.whole_car_words import beyond_figures, to_do, to_enter

NAME, KIND = "Whole car", "system"
HEADINGS = ("What", "Judged", "Before", "With the kit", "Limit", "What was found", "What to do", "How it is known")
WIDTHS = (31, 14, 24, 24, 20, 34, 38, 44)
SAID, DO = 5, 6
LOOKS = {
    GOOD: "verdict fits",
    LOOK: "verdict needs machining",
    BAD: "verdict does not fit",
    UNKNOWN: "verdict not known",
}
SUBTITLE = (
    "The fit verdict does not depend on this. Piston areas are those of one side of a caliper; torque counts both faces of "
    "the rotor."
)
NOTHING = "system"  # key of the one finding where nothing was entered


def write_whole_car(book: Book) -> list[tuple[int, int]]:
    """Adds the sheet; returns width and height [pixels] of its charts."""
    page = Page(book, NAME, palette.PURPLE, WIDTHS)
    page.head(NAME, f"{book.who}. {SUBTITLE}", HEADINGS)
    asked: set[str] = set()
    for finding in book.report.system:
        page.line(_cells(finding, book, asked))
    if [finding.key for finding in book.report.system] == [NOTHING]:
        _to_enter(page)
    page.row += 1
    charts = list(charts_of(book.report.cured, Inputs(book.report.cured, DERIVATIONS), book.system))
    if charts:
        write_charts(page, charts)
    page.finish()
    return [SIZE] * len(charts)


def _to_enter(page: Page) -> None:
    """What the System sheet asks for, so that this page serves where nothing is known yet."""
    page.group("To be entered on the System sheet; each size that is known already helps")
    for group, names in to_enter().items():
        page.line({0: text(group, "bold"), 1: text(names, span=len(WIDTHS) - 1)})


def _cells(finding: SystemFinding, book: Book, asked: set[str]) -> dict[int, Cell]:
    limit = limit_shown(finding.limit, book.system, finding.key) if finding.limit else ""
    return {
        0: text(finding.title, "bold"),
        1: Cell(finding.verdict, (LOOKS[finding.verdict],)),
        2: text(_figure(finding, finding.before, book.system)),
        3: text(_figure(finding, finding.after, book.system)),
        4: text(limit, "quiet"),
        SAID: text(beyond_figures(finding, book.system)),
        DO: text(to_do(finding, book.report.job, asked)),
        7: text(finding.formula, "quiet"),
    }


def _figure(finding: SystemFinding, value: Range | None, system: str) -> str:
    return shown(value, finding.unit, system, finding.key) if value else ""
