"""The sheet Drawing: the corner to scale, from the side and along the axle, and its hub face."""

from collections.abc import Iterator, Mapping, Sequence
from math import ceil, floor
from typing import Any

from bomcheck.io import layout as palette
from bomcheck.io.sheets.corner_views import (
    ALONG,
    FACE,
    FAINT,
    HATCH,
    TOO_CLOSE,
    Points,
    Sizes,
    View,
    outlines,
    side_view,
)
from bomcheck.io.sheets.page import Book, Cell, Page, text
from bomcheck.io.sheets.words import found_lines, in_unit, label, limit_words, lower, sentence
from bomcheck.model.records import dataclass

NAME, KIND = "Drawing", "drawing"
WIDTHS = (13, 13, 15, 15, 15, 9, 18, 16)
POINTS_COLUMN = 12  # the drawn points stand to the right of the printed page
LEFT, TOP, RIGHT, BOTTOM = 58, 14, 160, 56  # pixels around the drawn area
ROW_PIXELS = 20
STEP = {"metric": 50.0, "inch": 50.8}  # mm between lines of the grid
ROOM = {"side": (620.0, 540.0), "face": (300.0, 300.0), "along": (460.0, 460.0)}  # pixels for the drawn area
BROWN, RUST, TAN, OCHRE, NAVY = "#7A4A1E", "#A0522D", "#C08A4A", "#B87300", "#1F3F66"
PENS: dict[str, tuple[str, float, str]] = {  # line colour, width [pt], dash: told apart without colour too
    "friction ring": (palette.BLUE, 3.0, "solid"), "hat": (palette.SKY, 3.0, "solid"),
    "hub flange": (NAVY, 2.25, "solid"), "ear": (BROWN, 1.5, "solid"), "bracket boss": (RUST, 2.0, "long_dash"),
    "bracket screw": (TAN, 1.25, "solid"), "caliper": (palette.ORANGE, 2.25, "solid"),
    "caliper bridge": (OCHRE, 1.5, "solid"), "pads": (palette.ORANGE, 1.75, "dash"),
    "dust shield": (BROWN, 1.5, "long_dash_dot"), "wheel barrel": (palette.INK, 2.25, "solid"),
    "spokes": (palette.INK, 2.25, "round_dot"), "caliper in the wheel": (RUST, 1.5, "square_dot"),
    "bracket arm": (RUST, 1.5, "solid"), "caliper at the wheel's valve": (palette.INK, 2.25, "solid"),
    "hose's end at the caliper": (RUST, 2.25, "solid"), "bleed screw": (OCHRE, 2.25, "solid"), "neighbours of the disc": (BROWN, 1.5, "solid"),
    "neighbours at full lock": (TAN, 1.5, "solid"), TOO_CLOSE: (palette.VERMILLION, 4.0, "solid"),
    HATCH: (palette.INK, 1.0, "solid"),
    "hub pilot": (palette.INK, 2.25, "solid"), "hat bore": (palette.SKY, 1.75, "dash"),
    "hub studs": (palette.INK, 2.0, "solid"), "hat holes": (palette.VERMILLION, 1.5, "solid"),
    "bolt circle": (palette.QUIET, 0.75, "long_dash_dot"),
}  # fmt: skip


def _pen(name: str) -> tuple[str, float, str]:
    """A body with a blank size in the same tone, light and dotted."""
    colour, width, dash = PENS[name.removesuffix(FAINT)]
    if not name.endswith(FAINT):
        return colour, width, dash
    light = (round(0.7 * int(colour[at : at + 2], 16) + 0.3 * 255) for at in (1, 3, 5))
    return "#" + "".join(f"{one:02X}" for one in light), 1.5, "round_dot"


def write_drawing(book: Book) -> list[tuple[float, float]]:
    """Adds the sheet; returns width and height [pixels] of its charts."""
    page = Page(book, NAME, palette.GREEN, WIDTHS, landscape=False)
    unit = "inches" if book.system == "inch" else "mm"
    page.head(NAME, f"{book.who}. To scale, in {unit}, with the remedies, the caliper where its shims bring it.")
    title = "Side view: hub face at 0, inboard to the right, radius upward; blue turns, orange and brown stand still"
    beside = side_view(book.report)
    column, side = _view(page, title, beside, "side", POINTS_COLUMN)
    _distances(page)
    page.start = page.row
    title = "Along the axle: how far what stands still reaches sideways; the barrel where it is narrowest"
    view = outlines(Sizes(book.report), ALONG)
    shown = {name.removesuffix(FAINT) for name in beside.drawn}  # what the side view does not show, it has named
    view.lacking = {name: keys for name, keys in view.lacking.items() if name in shown}
    column, along = _view(page, title, view, "along", column)
    title = "Hub face: the hub's studs and pilot, the hat's holes and bore"
    column, face = _view(page, title, outlines(Sizes(book.report), FACE), "face", column)
    page.sheet.set_column(POINTS_COLUMN, column, 9)
    page.finish(breaks=(page.start,))
    return [(frame.width, frame.height) for frame in (side, along, face) if frame]


def _view(page: Page, title: str, view: View, which: str, column: int) -> "tuple[int, Frame | None]":
    """One chart and what is not in it; returns the next free column for points, and the chart's frame."""
    page.group(title)
    frame = _frame(list(view.drawn.values()), ROOM[which], STEP[page.book.system]) if view.drawn else None
    if frame:
        across = "outboard −, inboard + " if which == "side" else ""
        column = _chart(page, view.drawn, frame, across, column)
        page.row += ceil(frame.height / ROW_PIXELS) + 1
    faint = "; ".join(f"{name} (blank: {_labels(keys)})" for name, keys in view.faint.items())
    for words in (*([f"Dotted, the least and the most: {faint}"] if faint else []), *_not_drawn(view.lacking)):
        page.line({0: text(words, "quiet", span=len(WIDTHS))})
    return column, frame


def _labels(keys: Sequence[str]) -> str:
    return ", ".join(lower(label(key)) for key in keys)


def _not_drawn(lacking: Mapping[str, tuple[str, ...]]) -> Iterator[str]:
    """One sentence for each set of blank sizes, with all parts that it hides."""
    hidden: dict[tuple[str, ...], list[str]] = {}
    for name, keys in lacking.items():
        hidden.setdefault(tuple(sorted(keys)), []).append(name)
    for keys, names in hidden.items():
        yield f"Not drawn: {', '.join(names)} (blank: {_labels(keys)})"


def _distances(page: Page) -> None:
    """What the verdict says of each fixed body: the turning body that decides, how far, and how far it must be."""
    page.group("Nearest of what turns, as found before any remedy")
    heads = ("Stands still", "Turns", "Distance", "Asked for", "Verdict")
    page.line({at: Cell(words, ("heading",), span=span) for words, (at, span) in zip(heads, PLACES, strict=True)})
    for finding in (one for one in page.book.report.findings if one.interface == "space"):
        pairs = sorted(finding.pairs, key=lambda pair: pair.value != finding.value)
        told = ("", finding.said, "")
        if pairs:
            distance, more = found_lines(finding, page.book.system)
            spread = f" ({', '.join(more).removesuffix(' inside the ±')})" if more else ""
            told = (pairs[0].turning, distance + spread, limit_words(pairs[0].limit, page.book.system))
        words = (finding.title, *told, str(finding.verdict))
        page.line({at: text(one, span=span) for one, (at, span) in zip(words, PLACES, strict=True)})
    page.row += 1


PLACES = ((0, 2), (2, 1), (3, 3), (6, 1), (7, 1))  # first column and how many


@dataclass(frozen=True, slots=True)
class Frame:
    """What the chart shows [mm], its scale [pixels/mm], and the lines of its grid [mm]."""

    x0: float
    x1: float
    y0: float
    y1: float
    scale: float
    step: float

    @property
    def width(self) -> float:
        return (self.x1 - self.x0) * self.scale + LEFT + RIGHT

    @property
    def height(self) -> float:
        return (self.y1 - self.y0) * self.scale + TOP + BOTTOM


def _frame(drawn: Sequence[Points], room: tuple[float, float], step: float) -> Frame:
    """As large as the room [pixels] allows; what is left sideways goes to both sides."""
    points = [point for outline in drawn for point in outline if point]
    low = [floor(min(point[axis] for point in points) / step) * step for axis in (0, 1)]
    high = [ceil(max(point[axis] for point in points) / step) * step for axis in (0, 1)]
    scale = min(room[0] / (high[0] - low[0]), room[1] / (high[1] - low[1]))
    outboard = low[0] - floor((room[0] / scale - (high[0] - low[0])) / (2 * step) + 1e-9) * step
    return Frame(outboard, outboard + room[0] / scale, low[1], high[1], scale, step)


def _chart(page: Page, drawn: Mapping[str, Points], frame: Frame, across: str, column: int) -> int:
    chart = page.book.workbook.add_chart({"type": "scatter", "subtype": "straight"})
    for name, points in drawn.items():
        rows = _write_points(page, name, points, column)
        colour, width, dash = _pen(name)
        series: dict[str, Any] = {"name": sentence(name), "marker": {"type": "none"}, "smooth": False}
        for at, what in enumerate(("categories", "values"), start=column):
            series[what] = [page.name, rows[0], at, rows[1], at]
        series["line"] = {"color": colour, "width": width, "dash_type": dash}
        chart.add_series(series)
        column += 2
    chart.show_blanks_as("gap")
    _set_scale(chart, frame, across, page.book.system)
    page.sheet.insert_chart(page.row, 0, chart, {"object_position": 2, "x_offset": 4, "y_offset": 4})
    return column


def _write_points(page: Page, name: str, points: Points, column: int) -> tuple[int, int]:
    """The points as two columns of figures; returns the first and last row. An empty row lifts the pen."""
    page.put(column, Cell(sentence(name), ("small", "quiet")), row=1)
    for row, point in enumerate(points, start=2):
        for side in (0, 1):
            if point is not None:
                value = round(in_unit(point[side], "mm", page.book.system), 4)
                page.put(column + side, Cell(value, ("small", "quiet")), row=row)
    return 2, 1 + len(points)


def _set_scale(chart: Any, frame: Frame, across: str, system: str) -> None:
    """Equal scales: the drawn area has as many pixels for a millimetre upward as sideways."""
    chart.set_size({"width": frame.width, "height": frame.height})
    wide, high = (frame.x1 - frame.x0) * frame.scale, (frame.y1 - frame.y0) * frame.scale
    start, share = (
        {"x": LEFT / frame.width, "y": TOP / frame.height},
        {"width": wide / frame.width, "height": high / frame.height},
    )
    chart.set_plotarea({"layout": start | share, "border": {"color": palette.RULE}})
    chart.set_x_axis(_axis(frame.x0, frame.x1, frame.step, across, system))
    chart.set_y_axis(_axis(frame.y0, frame.y1, frame.step, "from the hub axis", system))
    beside = {"x": 1 - (RIGHT - 6) / frame.width, "y": 0.05, "width": (RIGHT - 10) / frame.width, "height": 0.8}
    chart.set_legend({"position": "right", "layout": beside, "font": {"name": "Arial", "size": 8}})
    chart.set_chartarea({"border": {"color": palette.RULE}})


def _axis(low: float, high: float, step: float, name: str, system: str) -> dict[str, Any]:
    font = {"name": "Arial", "size": 9, "color": palette.QUIET, "bold": False}
    return {
        "min": in_unit(low, "mm", system),
        "max": in_unit(high, "mm", system),
        "major_unit": in_unit(step, "mm", system),
        "name": f"{name} [{'in' if system == 'inch' else 'mm'}]".strip(),
        "name_font": font,
        "num_font": font,
        "num_format": "0.0" if system == "inch" else "0",
        "major_gridlines": {"visible": True, "line": {"color": palette.PALE_GREY, "width": 0.75}},
        "label_position": "low",
        "crossing": "min",
    }
