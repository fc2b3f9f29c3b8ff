"""The sheet Whole car: what was found of the brakes as a system, and its curves, which dash and mark tell apart without colour.

Solid: with the kit; dotted: now; dashes: the fluid, and what they are held against. Marks: the rear axle.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from math import ceil
from typing import Any

from xlsxwriter.chart import Chart as XlsxChart

from bomcheck.car import series
from bomcheck.car.assess import known_scene
from bomcheck.car.checks import BAD, GOOD, LOOK, UNKNOWN, word
from bomcheck.car.figures import limit_shown, now_and_then, scales, shown
from bomcheck.car.scene import Scene
from bomcheck.engine.inputs import Inputs
from bomcheck.io import layout as palette
from bomcheck.io.sheets.page import Book, Cell, Page, text
from bomcheck.io.sheets.pictures import Picture
from bomcheck.io.sheets.words import label, places, sentence
from bomcheck.model.finding import Finding
from bomcheck.model.job import Job
from bomcheck.model.records import dataclass, replace
from bomcheck.paper.fit_up_words import other_pads
from bomcheck.rules.derived import DERIVATIONS
from bomcheck.tables.fields import fields, section_fields

NOW, KIT, ALIKE = "round_dot", "solid", "dash"
RATE = "deceleration, in g"


@dataclass(frozen=True, slots=True)
class Curve:
    """One line of a chart: name, figures or names across, figures up (None: off the chart), colour, dash.

    mark: "" for none, else a form at each point, filled or hollow. width [pt].
    """

    name: str
    across: tuple[float | str, ...]
    up: tuple[float | None, ...]
    colour: str
    dash: str = KIT
    mark: str = ""
    filled: bool = True
    width: float = 2.0


@dataclass(frozen=True, slots=True)
class Chart:
    """title; curves; across, up: names of the axes. shown: number format of the axis that goes up."""

    title: str
    curves: tuple[Curve, ...]
    across: str
    up: str
    shown: str = "General"

    @property
    def by_name(self) -> bool:
        """Whether names, not figures, stand along the bottom."""
        return isinstance(self.curves[0].across[0], str)


def charts_of(scene: Scene, system: str = "metric") -> Iterator[Chart]:
    """Each chart that can be drawn. system: "metric" or "inch"."""
    grip, heat, stroke = series.grip_curves(scene), series.heat_curves(scene), series.stroke_budget(scene)
    if grip:
        yield Chart("Grip that each axle uses, against deceleration", tuple(_grip(grip)), RATE, "grip used", "0.0")
    share = series.share_curves(scene)
    if share:
        title = "Front axle's share of the braking, against deceleration"
        yield Chart(title, tuple(_share(share)), RATE, "front share", "0%")
    if heat:
        title, (curves, unit) = "Rotor and fluid over the stops of this duty", _in_unit(_heat(heat), "°C", system)
        yield Chart(title, curves, "seconds", unit, "0")
    if stroke:
        title, (curves, unit) = "Stroke of the master cylinder, added up", _in_unit(_stroke(stroke), "mm", system)
        yield Chart(title, curves, "after this part of the stroke", unit, "0.0" if system == "inch" else "0")


def _in_unit(curves: Iterator[Curve], unit: str, system: str) -> tuple[tuple[Curve, ...], str]:
    """The curves in the job's unit, and its name."""
    scale = scales(unit, system)[0]
    turned = (replace(one, up=tuple(None if y is None else scale.of(y) for y in one.up)) for one in curves)
    return tuple(turned), scale.name


def _grip(curves: series.GripCurves) -> Iterator[Curve]:
    yield Curve("both axles alike", curves.rates, curves.ideal, palette.QUIET, ALIKE, width=1.25)
    made = (
        Curve("front, now", curves.rates, curves.front_now, palette.SKY, NOW),
        Curve("rear, now", curves.rates, curves.rear_now, palette.ORANGE, NOW, "triangle", filled=False),
        Curve("front, with the kit", curves.rates, curves.front_kit, palette.BLUE),
        Curve("rear, with the kit", curves.rates, curves.rear_kit, palette.VERMILLION, KIT, "circle"),
    )
    yield from (curve for curve in made if curve.up)
    if curves.tyre_grip is not None:
        yield _level("grip of the road", curves.rates, curves.tyre_grip, palette.INK)


def _share(curves: series.ShareCurves) -> Iterator[Curve]:
    yield Curve("suits both axles' grip", curves.rates, curves.ideal, palette.QUIET, ALIKE, width=1.25)
    if curves.now:
        yield Curve("now", curves.rates, curves.now, palette.SKY, NOW)
    if curves.kit:
        yield Curve("with the kit", curves.rates, curves.kit, palette.BLUE)


def _heat(curves: series.HeatCurves) -> Iterator[Curve]:
    if curves.rotor_now:
        yield Curve("rotor, now", curves.times, curves.rotor_now, palette.ORANGE, NOW)
    yield Curve("rotor, with the kit" if curves.rotor_now else "rotor", curves.times, curves.rotor, palette.VERMILLION)
    yield Curve("fluid in the caliper", curves.times, curves.fluid, palette.BLUE, "long_dash_dot")
    levels = (
        ("pad works from", curves.pad_low, palette.GREEN, "square_dot"),
        ("pad works up to", curves.pad_high, palette.INK, "long_dash"),
        ("fluid boils, dry", curves.fluid_dry, palette.SKY, "dash"),
        ("fluid boils, wet", curves.fluid_wet, palette.PURPLE, "dash_dot"),
    )
    for name, level, colour, dash in levels:
        if level is not None:
            yield _level(name, curves.times, level, colour, dash)


def _stroke(budget: series.StrokeBudget) -> Iterator[Curve]:
    names = budget.parts
    if budget.now:
        yield Curve("now", names, _added(budget.now), palette.SKY, NOW, "circle", filled=False)
    yield Curve("with the kit", names, _added(budget.kit), palette.BLUE, KIT, "square")
    for name, level, colour, dash in (
        ("stroke there is", budget.there_is, palette.INK, "long_dash"),
        ("most of it to use", budget.most, palette.ORANGE, "dash_dot"),
    ):
        if level is not None:
            yield Curve(name, names, (level,) * len(names), colour, dash)


def _added(parts: Sequence[float]) -> tuple[float, ...]:
    return tuple(sum(parts[: count + 1]) for count in range(len(parts)))


def _level(name: str, across: Sequence[float], level: float, colour: str, dash: str = "long_dash") -> Curve:
    """A line across, with points at which its name may stand."""
    left, right = across[0], across[-1]
    points = tuple(left + (right - left) * part for part in (0.0, 0.15, 0.35, 0.5, 0.65, 0.85, 1.0))
    return Curve(name, points, (level,) * len(points), colour, dash, width=1.25)


def sentences(*parts: str) -> str:
    """Parts that each may end with a stop of their own, with one stop between them.

    >>> sentences("Use scales.", "", "Is it fixed?", "Fill in: Mass")
    'Use scales. Is it fixed? Fill in: Mass'
    """
    kept = [part.strip().rstrip(".") for part in parts if part.strip(" .")]
    return " ".join(part if part[-1] in "?!" or part is kept[-1] else f"{part}." for part in kept)


def beyond_figures(finding: Finding, system: str) -> str:
    """What was found, without the figures that stand in columns of their own."""
    if finding.value is None:
        return finding.said
    figures = now_and_then(finding.before, finding.value, finding.limit, finding.unit, system, finding.check)
    return sentence(finding.said.removeprefix(figures).lstrip(".:; "))


def to_do(finding: Finding, job: Job, asked: set[str]) -> str:
    """What to do, and what to fill in. asked: keys that lines above have asked for already; this line's are added."""
    new = [key for key in finding.asks if key not in asked]
    seen = [key for key in finding.asks if key in asked]
    asked.update(finding.asks)
    do = _questions(new) if seen and word(finding) == UNKNOWN else finding.do
    above = f"{_named(seen)}: see above" if seen else ""
    return sentences(do, *_wanted(new, job), above)


def _wanted(keys: list[str], job: Job) -> Iterable[str]:
    """Blank fields to fill in, and filled ones to look at again."""
    blank = [key for key in keys if key not in job.values and key not in job.rejected]
    if blank:
        yield f"Fill in: {_named(blank)}"
    for key in (one for one in keys if one not in blank):
        where = ", ".join(f"{sheet} {cell}" for sheet, cell in places((key,), job))
        yield f"Look again at {label(key)}{f' ({where})' if where else ''}"


def _questions(keys: list[str]) -> str:
    known = fields()
    return " ".join(known[key].question for key in keys if key in known)


def _named(keys: Iterable[str]) -> str:
    return ", ".join(label(key) for key in keys)


def to_enter() -> dict[str, str]:
    """Fields of the System sheet by their heading there, in one line each."""
    groups: dict[str, list[str]] = {}
    for field in section_fields("system"):
        groups.setdefault(field.group, []).append(field.key)
    return {group: "; ".join(map(label, keys)) for group, keys in groups.items()}


FIGURES_COLUMN = 12  # the drawn figures stand to the right of the printed page
WIDTH, HEIGHT = 484, 250  # no wider than the columns left of the second
SECOND_CHART = 4  # column at which the second chart of a row begins
A_ROW = ceil(HEIGHT / 20) + 1  # rows of 20 pixels under a chart
ON_A_PAGE = 4
FONT = {"name": "Arial", "size": 9}


def write_charts(page: Page, charts: Sequence[Chart]) -> list[int]:
    """All charts, two in a row and four on a page, with their figures beside the page. Returns the rows before which a page
    begins."""
    figures, breaks = FIGURES_COLUMN, []
    for first in range(0, len(charts), 2):
        if first % ON_A_PAGE == 0:
            breaks.append(page.row)
        pair = list(zip((0, SECOND_CHART), charts[first : first + 2], strict=False))
        page.line({place: Cell(drawn.title, ("group",)) for place, drawn in pair}, least=20.0)
        for place, drawn in pair:
            page.picture(Picture(WIDTH, HEIGHT, drawn.title), place, _chart(page, drawn, figures))
            figures += 2 * len(drawn.curves)
        page.row += A_ROW
    page.sheet.set_column(FIGURES_COLUMN, figures, 9)
    return breaks


def _chart(page: Page, drawn: Chart, column: int) -> XlsxChart:
    """One chart, its figures written from this column on."""
    chart = page.book.workbook.add_chart(
        {"type": "line"} if drawn.by_name else {"type": "scatter", "subtype": "straight"}
    )
    for number, curve in enumerate(drawn.curves):
        chart.add_series(_series(page, curve, column + 2 * number))
    bottom, fonts = {} if drawn.by_name else {"min": 0}, {"name_font": FONT, "num_font": FONT}
    chart.set_x_axis({**fonts, "name": drawn.across, **bottom})
    lines = {"visible": True, "line": {"color": palette.RULE, "width": 0.5}}
    up = {"name": drawn.up, "min": 0, "num_format": drawn.shown, "major_gridlines": lines}
    chart.set_y_axis({**fonts, **up})
    chart.set_legend({"position": "bottom", "font": FONT})
    chart.set_size({"width": WIDTH, "height": HEIGHT})
    chart.show_blanks_as("gap")
    return chart


def _series(page: Page, curve: Curve, column: int) -> dict[str, Any]:
    """The curve's figures written beside the page, and the series that draws them."""
    top, last = page.row, page.row + len(curve.across)
    page.sheet.write_string(top, column, curve.name)
    for step, (x, y) in enumerate(zip(curve.across, curve.up, strict=True), start=1):
        page.sheet.write(top + step, column, x)
        if y is not None:
            page.sheet.write_number(top + step, column + 1, y)
    line = {"color": curve.colour, "width": curve.width, "dash_type": curve.dash}
    return {
        "name": [page.name, top, column],
        "categories": [page.name, top + 1, column, last, column],
        "values": [page.name, top + 1, column + 1, last, column + 1],
        "line": line,
        "smooth": False,
        "marker": _marker(curve),
    }


def _marker(curve: Curve) -> dict[str, Any]:
    if not curve.mark:
        return {"type": "none"}
    fill = {"color": curve.colour if curve.filled else palette.WHITE}
    return {"type": curve.mark, "size": 6, "border": {"color": curve.colour}, "fill": fill}


NAME, KIND = "Whole car", "system"
HEADINGS = ("What", "Judged", "Before", "With the kit", "Limit", "What was found", "What to do", "How it is known")
WIDTHS = (24, 13, 15, 15, 12, 30, 31, 44)
PRINTED = 7
SAID, DO = 5, 6
LOOKS = {
    GOOD: "verdict fits",
    LOOK: "verdict needs machining",
    BAD: "verdict does not fit",
    UNKNOWN: "verdict not known",
}
SUBTITLE = (
    "The verdict counts rear wheels that lock first, braking below the rules' curve and a pedal out of stroke. Piston areas are those of one side of a caliper; torque counts both faces of "
    "the rotor."
)
OTHER_PADS = "Other pads are ordered than the kit's, with which this is judged: enter their edge code beside them, or their friction as the kit's"
NOTHING = "system"  # key of the one finding where nothing was entered


def write_whole_car(book: Book) -> None:
    """Adds the sheet."""
    page = Page(book, NAME, palette.PURPLE, WIDTHS, printed=PRINTED)
    page.head(NAME, f"{book.who}. {SUBTITLE}", HEADINGS)
    asked: set[str] = set()
    if any(map(other_pads, book.report.axles or [book.report])) and book.report.system[0].check != NOTHING:
        page.line({0: text(OTHER_PADS, "bold", span=PRINTED)})
    for finding in book.report.system:
        page.line(_cells(finding, book, asked))
    if [finding.check for finding in book.report.system] == [NOTHING]:
        _to_enter(page)
    page.row += 1
    breaks, charts = page.page_breaks(), list(_charts(book))
    if charts:
        breaks += write_charts(page, charts)
    page.start = breaks[-1] if breaks else 0
    page.finish(breaks=breaks)


def _charts(book: Book) -> Iterable[Chart]:
    """The car's charts; of a car with two kits, what is an axle's own once for each."""
    axles = [(one.cured, Inputs(one.cured, DERIVATIONS)) for one in book.report.each_axle]
    drawn, parts = dict[tuple[Curve, ...], None](), [part for one in book.report.system for part in one.demands]
    for job, sizes in axles:
        scene = known_scene(job, sizes, [one for one in axles if one[0] is not job], parts)
        for chart in charts_of(scene, book.system) if scene else ():
            if chart.curves in drawn:
                continue
            drawn[chart.curves] = None
            own = len(axles) > 1 and ("Rotor" in chart.title or "Stroke" in chart.title)
            yield replace(chart, title=f"{chart.title}, {job.get('axle')} axle") if own else chart


def _to_enter(page: Page) -> None:
    """What the System sheet asks for, so that this page serves where nothing is known yet."""
    page.group("To be entered on the System sheet; each size that is known already helps")
    for group, names in to_enter().items():
        page.line({0: text(group, "bold"), 1: text(names, span=PRINTED - 1)})


def _cells(finding: Finding, book: Book, asked: set[str]) -> dict[int, Cell]:
    limit = limit_shown(finding.limit, book.system, finding.check) if finding.limit else ""
    return {
        0: text(finding.title, "bold"),
        1: Cell(word(finding), (LOOKS[word(finding)],)),
        **{
            at: text(_signed(shown(size, finding.unit, book.system, finding.check) if size else ""))
            for at, size in ((2, finding.before), (3, finding.value))
        },
        4: text(limit, "quiet"),
        SAID: text(_signed(beyond_figures(finding, book.system))),
        DO: text(to_do(finding, book.report.job, asked)),
        7: text(finding.formula, "quiet"),
    }


def _signed(words: str) -> str:
    return re.sub(r"(?<!\w)-(?=\d)", "−", words)  # behind this sign no line ends
