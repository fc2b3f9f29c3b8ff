"""The Whole car sheet: the brakes as a system before and after the kit, apart from the fit verdict, with its charts."""

from math import ceil

from bomcheck.derived import DERIVATIONS
from bomcheck.system.result import BAD, GOOD, LOOK, UNKNOWN, SystemFinding, limit_shown, shown
from bomcheck.verdict.inputs import Inputs
from bomcheck.workbook import palette
from bomcheck.workbook.sheets.page import Book, Cell, Page, text
from bomcheck.workbook.sheets.whole_car_curves import Curve, charts_of
from bomcheck.workbook.sheets.words import label

NAME, KIND = "Whole car", "system"
HEADINGS = ("What", "Judged", "Before", "With the kit", "Limit", "What was found", "What to do", "How it is known")
WIDTHS = (28, 14, 20, 20, 18, 40, 40, 46)
FIGURES_COLUMN = 12  # the drawn figures stand to the right of the printed page
WIDTH, HEIGHT, ROW_PIXELS = 900, 380, 20
LOOKS = {
    GOOD: "verdict fits",
    LOOK: "verdict needs machining",
    BAD: "verdict does not fit",
    UNKNOWN: "verdict not known",
}
SUBTITLE = (
    "The fit verdict does not depend on this. Piston areas are those of one side of a caliper; torque counts both faces of "
    "the disc."
)


def write_whole_car(book: Book) -> list[tuple[float, float]]:
    """Adds the sheet; returns width and height [pixels] of its charts."""
    page = Page(book, NAME, palette.PURPLE, WIDTHS)
    page.head(NAME, f"{book.who}. {SUBTITLE}", HEADINGS)
    for finding in book.report.system:
        page.line(_cells(finding))
    if not book.report.system:
        page.line({0: text("Nothing", "bold"), 5: text("The System sheet is blank.")})
    page.row += 1
    sizes = Inputs(book.report.cured, DERIVATIONS)
    charts = list(charts_of(book.report.cured, sizes))
    column = FIGURES_COLUMN
    for title, curves, axes in charts:
        column = _chart(page, title, curves, axes, column)
    if charts:
        page.sheet.set_column(FIGURES_COLUMN, column, 9)
    page.finish()
    return [(WIDTH, HEIGHT)] * len(charts)


def _cells(finding: SystemFinding) -> dict[int, Cell]:
    asks = f"Fill in: {', '.join(label(key) for key in finding.asks)}" if finding.asks else ""
    return {
        0: text(finding.title, "bold"),
        1: Cell(finding.verdict, (LOOKS[finding.verdict],)),
        2: text(shown(finding.before, finding.unit) if finding.before else ""),
        3: text(shown(finding.after, finding.unit) if finding.after else ""),
        4: text(limit_shown(finding.limit) if finding.limit else "", "quiet"),
        5: text(finding.said),
        6: text(". ".join(part for part in (finding.do, asks) if part)),
        7: text(finding.formula, "quiet"),
    }


def _chart(page: Page, title: str, curves: list[Curve], axes: tuple[str, str], column: int) -> int:
    """One chart with its figures beside the page; returns the next free column."""
    page.group(title)
    chart = page.book.workbook.add_chart({"type": "scatter", "subtype": "straight"})
    top = page.row
    for curve in curves:
        page.sheet.write_string(top, column, curve.name)
        for step, (x, y) in enumerate(zip(curve.across, curve.up, strict=True), start=1):
            page.sheet.write_number(top + step, column, x)
            if y is not None:
                page.sheet.write_number(top + step, column + 1, y)
        last = top + len(curve.across)
        chart.add_series(
            {
                "name": [page.name, top, column],
                "categories": [page.name, top + 1, column, last, column],
                "values": [page.name, top + 1, column + 1, last, column + 1],
                "line": {"color": curve.colour, "width": 2, "dash_type": curve.dash},
            }
        )
        column += 2
    font = {"name": "Arial", "size": 9}
    chart.set_x_axis({"name": axes[0], "name_font": font, "num_font": font, "min": 0})
    chart.set_y_axis({"name": axes[1], "name_font": font, "num_font": font, "min": 0})
    chart.set_legend({"position": "right", "font": font})
    chart.set_size({"width": WIDTH, "height": HEIGHT})
    page.sheet.insert_chart(page.row, 0, chart, {"object_position": 2})
    page.row += ceil(HEIGHT / ROW_PIXELS) + 1
    return column
