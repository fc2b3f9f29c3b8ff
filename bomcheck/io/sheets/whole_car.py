"""How much room a printed page of a sheet has left, so that no chart is cut in two."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import ceil
from typing import Any

from xlsxwriter.chart import Chart as XlsxChart

from bomcheck.car.checks import BAD, GOOD, LOOK, UNKNOWN, word
from bomcheck.car.figures import limit_shown, now_and_then, shown
from bomcheck.engine.inputs import Inputs
from bomcheck.io import layout as palette
from bomcheck.io.sheets.page import DEFAULT_ROW, HEADING_ROW, TITLE_ROW, Book, Cell, Page, text
from bomcheck.io.sheets.whole_car_curves import Chart, Curve, charts_of
from bomcheck.io.sheets.words import label, places, sentence
from bomcheck.model.box import Range
from bomcheck.model.finding import Finding
from bomcheck.model.job import Job
from bomcheck.rules.derived import DERIVATIONS
from bomcheck.tables.fields import fields, section_fields


def room_on_page(page: Page) -> tuple[float, float]:
    """(Left on the last page, on a new one) in points of the sheet, title and headings repeated on each."""
    whole = page.paper()
    repeated = page.height(TITLE_ROW) + page.height(HEADING_ROW)
    left = whole - repeated
    for row in range(HEADING_ROW + 1, page.row):
        tall = page.height(row)
        left = (left if tall <= left else whole - repeated) - tall
    return left, whole - repeated


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


HIGH, WIDE = 0.09, 0.13  # of the chart's range: height of a name, and half its width
NEAR = 0.02  # another curve so close would be taken for the one that is named
EDGE = 0.12  # no name nearer to either end


@dataclass(frozen=True, slots=True)
class Place:
    """point: number of the point that carries the name. position: "above" or "left"."""

    point: int
    position: str


@dataclass(frozen=True, slots=True)
class _Room:
    """Room of a name: its middle, all in parts of the chart's range."""

    x: float
    y: float

    def apart(self, other: "_Room") -> bool:
        return abs(self.x - other.x) > 2 * WIDE or abs(self.y - other.y) > HIGH

    def holds(self, curve: Sequence[tuple[float, float | None]], below: float, right: float = 1.0) -> bool:
        """Whether the curve runs through the room, or less than `below` under it. right: how far it is looked at."""
        heights = (
            _whole_car_labels_height(curve, self.x + step * WIDE) for step in (-1.0, -0.5, 0.0, right / 2, right)
        )
        return any(y is not None and self.y - HIGH / 2 - below < y < self.y + HIGH / 2 for y in heights)


def name_places(curves: Sequence[Curve]) -> list[Place | None]:
    """For each curve where its name may stand, as far right as there is room; None for nowhere: the legend tells.

    The curves have figures along the bottom.
    """
    drawn = _parts_of_range(curves)
    taken: list[_Room] = []
    found: list[Place | None] = []
    for own in drawn:
        others = [one for one in drawn if one is not own]
        place = next((p for p in _places(own) if _free(p, own, others, taken)), None)
        found.append(place)
        if place is not None:
            taken.append(_room(own, place))
    return found


def _parts_of_range(curves: Sequence[Curve]) -> list[list[tuple[float, float | None]]]:
    """The curves' points from 0 to 1 across and up."""
    across = [float(x) for curve in curves for x in curve.across]
    left, span = min(across), (max(across) - min(across)) or 1.0
    top = max(y for curve in curves for y in curve.up if y is not None) or 1.0
    return [
        [((float(x) - left) / span, None if y is None else y / top) for x, y in zip(one.across, one.up, strict=True)]
        for one in curves
    ]


def _places(own: Sequence[tuple[float, float | None]]) -> list[Place]:
    """Points away from both ends, the last one first."""
    inside = [n for n, (x, y) in enumerate(own) if EDGE <= x <= 1 - EDGE and y is not None]
    return [Place(point, position) for point in reversed(inside) for position in ("above", "left")]


def _room(own: Sequence[tuple[float, float | None]], place: Place) -> _Room:
    x, y = own[place.point]
    return _Room(x, (y or 0.0) + 0.6 * HIGH) if place.position == "above" else _Room(x - 1.1 * WIDE, y or 0.0)


def _free(
    place: Place,
    own: Sequence[tuple[float, float | None]],
    others: Sequence[Sequence[tuple[float, float | None]]],
    taken: Sequence[_Room],
) -> bool:
    room = _room(own, place)
    if room.x < WIDE / 2 or room.holds(own, 0.0, 1.0 if place.position == "above" else 0.45):
        return False
    return all(room.apart(one) for one in taken) and not any(room.holds(other, NEAR) for other in others)


def _whole_car_labels_height(curve: Sequence[tuple[float, float | None]], x: float) -> float | None:
    """Where the curve runs at x; None beside it and where it has left the chart."""
    for (x0, y0), (x1, y1) in pairwise(curve):
        if x0 <= x <= x1 and y0 is not None and y1 is not None:
            return y1 if x1 == x0 else y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    return None


FIGURES_COLUMN = 12  # the drawn figures stand to the right of the printed page
SIZE = WIDTH, HEIGHT = 540, 280
SECOND_CHART = 4  # column at which the second chart of a row begins
ROWS = ceil(HEIGHT / 20)  # of 20 pixels
TITLE = 20.0  # pt
ROOM = TITLE + ROWS * DEFAULT_ROW
FONT = {"name": "Arial", "size": 9}


def write_charts(page: Page, charts: Sequence[Chart]) -> list[int]:
    """Returns the rows before which a page begins. All charts, two in a row and none across two pages, with their figures beside the page."""
    figures, breaks = FIGURES_COLUMN, []
    left, whole = room_on_page(page)
    for first in range(0, len(charts), 2):
        if left < ROOM:
            breaks.append(page.row)
            left = whole
        pair = list(zip((0, SECOND_CHART), charts[first : first + 2], strict=False))
        page.line({place: Cell(drawn.title, ("group",)) for place, drawn in pair}, least=TITLE)
        for place, drawn in pair:
            page.sheet.insert_chart(page.row, place, _chart(page, drawn, figures), {"object_position": 2})
            figures += 2 * len(drawn.curves)
        page.row += ROWS
        left -= ROOM
    page.sheet.set_column(FIGURES_COLUMN, figures, 9)
    return breaks


def _chart(page: Page, drawn: Chart, column: int) -> XlsxChart:
    """One chart, its figures written from this column on."""
    chart = page.book.workbook.add_chart(
        {"type": "line"} if drawn.by_name else {"type": "scatter", "subtype": "straight"}
    )
    names = [None] * len(drawn.curves) if drawn.by_name else name_places(drawn.curves)
    for number, curve in enumerate(drawn.curves):
        chart.add_series(_series(page, curve, column + 2 * number) | _name_at(curve, names[number]))
    bottom = {} if drawn.by_name else {"min": 0}
    chart.set_x_axis({"name": drawn.across, "name_font": FONT, "num_font": FONT, **bottom})
    lines = {"visible": True, "line": {"color": palette.RULE, "width": 0.5}}
    chart.set_y_axis(
        {
            "name": drawn.up,
            "name_font": FONT,
            "num_font": FONT,
            "min": 0,
            "num_format": drawn.shown,
            "major_gridlines": lines,
        }
    )
    chart.set_legend({"position": "bottom", "font": FONT})
    chart.set_size({"width": WIDTH, "height": HEIGHT})
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
        "marker": _marker(curve),
    }


def _marker(curve: Curve) -> dict[str, Any]:
    if not curve.mark:
        return {"type": "none"}
    fill = {"color": curve.colour if curve.filled else palette.WHITE}
    return {"type": curve.mark, "size": 6, "border": {"color": curve.colour}, "fill": fill}


def _name_at(curve: Curve, place: Place | None) -> dict[str, Any]:
    """The curve's name at this point alone."""
    if place is None:
        return {}
    others: list[dict[str, Any] | None] = [{"delete": True} for _ in curve.up]
    others[place.point] = None
    return {"data_labels": {"series_name": True, "position": place.position, "font": FONT, "custom": others}}


NAME, KIND = "Whole car", "system"
HEADINGS = ("What", "Judged", "Before", "With the kit", "Limit", "What was found", "What to do", "How it is known")
WIDTHS = (25, 12, 17, 17, 15, 24, 25, 44)
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
NOTHING = "system"  # key of the one finding where nothing was entered


def write_whole_car(book: Book) -> list[tuple[int, int]]:
    """Adds the sheet; returns width and height [pixels] of its charts."""
    page = Page(book, NAME, palette.PURPLE, WIDTHS, printed=PRINTED)
    page.head(NAME, f"{book.who}. {SUBTITLE}", HEADINGS)
    asked: set[str] = set()
    for finding in book.report.system:
        page.line(_cells(finding, book, asked))
    if [finding.check for finding in book.report.system] == [NOTHING]:
        _to_enter(page)
    page.row += 1
    charts = list(_charts(book))
    if charts:
        breaks = write_charts(page, charts)
    page.finish()
    if charts:
        page.sheet.set_h_pagebreaks(breaks)
    return [SIZE] * len(charts)


def _charts(book: Book) -> Iterable[Chart]:
    """The car's charts; of a car with two kits, what is an axle's own once for each."""
    axles = [(one.cured, Inputs(one.cured, DERIVATIONS)) for one in book.report.each_axle]
    drawn: dict[tuple[Curve, ...], None] = {}
    for job, sizes in axles:
        for chart in charts_of(job, sizes, book.system, [one for one in axles if one[0] is not job]):
            if chart.curves in drawn:
                continue
            drawn[chart.curves] = None
            yield replace(chart, title=f"{chart.title}, {job.get('axle')} axle") if _is_of_axle(chart, axles) else chart


def _is_of_axle(chart: Chart, axles: Sequence[object]) -> bool:
    return len(axles) > 1 and ("Rotor" in chart.title or "Stroke" in chart.title)


def _to_enter(page: Page) -> None:
    """What the System sheet asks for, so that this page serves where nothing is known yet."""
    page.group("To be entered on the System sheet; each size that is known already helps")
    for group, names in to_enter().items():
        page.line({0: text(group, "bold"), 1: text(names, span=len(WIDTHS) - 1)})


def _cells(finding: Finding, book: Book, asked: set[str]) -> dict[int, Cell]:
    limit = limit_shown(finding.limit, book.system, finding.check) if finding.limit else ""
    return {
        0: text(finding.title, "bold"),
        1: Cell(word(finding), (LOOKS[word(finding)],)),
        2: text(_figure(finding, finding.before, book.system)),
        3: text(_figure(finding, finding.value, book.system)),
        4: text(limit, "quiet"),
        SAID: text(beyond_figures(finding, book.system)),
        DO: text(to_do(finding, book.report.job, asked)),
        7: text(finding.formula, "quiet"),
    }


def _figure(finding: Finding, value: Range | None, system: str) -> str:
    return shown(value, finding.unit, system, finding.check) if value else ""
