"""The Whole car sheet: the brakes as a system before and after the kit, apart from the fit verdict, with its charts."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil

from bomcheck.derived import DERIVATIONS
from bomcheck.system.result import BAD, GOOD, LOOK, UNKNOWN, SystemFinding, limit_shown, shown
from bomcheck.system.series import GripCurves, HeatCurves, StrokeBudget, grip_curves, heat_curves, stroke_budget
from bomcheck.verdict.inputs import Inputs
from bomcheck.workbook import palette
from bomcheck.workbook.sheets.page import Book, Cell, Page, text
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


@dataclass(frozen=True, slots=True)
class Curve:
    """One line of a chart: name, figures across and up (None: off the chart), colour, dash."""

    name: str
    across: tuple[float, ...]
    up: tuple[float | None, ...]
    colour: str
    dash: str = "solid"


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
    charts = list(_charts(book, sizes))
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


def _charts(book: Book, sizes: Inputs) -> Iterator[tuple[str, list[Curve], tuple[str, str]]]:
    job = book.report.cured
    grip, heat, stroke = grip_curves(job, sizes), heat_curves(job, sizes), stroke_budget(job, sizes)
    if grip:
        yield "Grip that each axle uses, against deceleration", list(_grip(grip)), ("deceleration, in g", "grip used")
    if heat:
        yield "Rotor and fluid over the stops of this duty", list(_heat(heat)), ("seconds", "°C")
    if stroke:
        yield "Stroke of the master cylinder, added up", list(_stroke(stroke)), ("part of the stroke", "mm")


def _grip(curves: GripCurves) -> Iterator[Curve]:
    yield Curve("both axles alike", curves.rates, curves.ideal, palette.QUIET, "dash")
    pairs = (
        ("front, now", curves.front_now, palette.SKY, "square_dot"),
        ("rear, now", curves.rear_now, palette.ORANGE, "square_dot"),
        ("front, with the kit", curves.front_kit, palette.BLUE, "solid"),
        ("rear, with the kit", curves.rear_kit, palette.VERMILLION, "solid"),
    )
    for name, up, colour, dash in pairs:
        if up:
            yield Curve(name, curves.rates, up, colour, dash)
    if curves.tyre_grip is not None:
        yield _level("grip of the road", curves.rates, curves.tyre_grip, palette.INK)


def _heat(curves: HeatCurves) -> Iterator[Curve]:
    yield Curve("rotor", curves.times, curves.rotor, palette.VERMILLION)
    yield Curve("fluid in the caliper", curves.times, curves.fluid, palette.BLUE)
    levels = (
        ("pad works from", curves.pad_low, palette.GREEN),
        ("pad works up to", curves.pad_high, palette.ORANGE),
        ("fluid boils, dry", curves.fluid_dry, palette.SKY),
        ("fluid boils, wet", curves.fluid_wet, palette.PURPLE),
    )
    for name, level, colour in levels:
        if level is not None:
            yield _level(name, curves.times, level, colour)


def _stroke(budget: StrokeBudget) -> Iterator[Curve]:
    steps = tuple(float(number) for number in range(len(budget.kit) + 1))
    if budget.now:
        yield Curve("now", steps, _added(budget.now), palette.SKY, "square_dot")
    yield Curve("with the kit", steps, _added(budget.kit), palette.BLUE)
    if budget.there_is is not None:
        yield _level("stroke there is", steps, budget.there_is, palette.INK)
    if budget.most is not None:
        yield _level("most of it to use", steps, budget.most, palette.ORANGE)


def _added(parts: Sequence[float]) -> tuple[float, ...]:
    return tuple(sum(parts[:count]) for count in range(len(parts) + 1))


def _level(name: str, across: tuple[float, ...], level: float, colour: str) -> Curve:
    return Curve(name, (across[0], across[-1]), (level, level), colour, "long_dash")


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
