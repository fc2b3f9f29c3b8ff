"""The Drawing sheet: the corner to scale, as charts with straight lines and equal axes."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import ceil, floor
from typing import Any

from bomcheck.workbook import palette
from bomcheck.workbook.sheets.outlines import FACE, SIDE, Outline, Point, Sizes, outlines
from bomcheck.workbook.sheets.page import Book, Cell, Page, text
from bomcheck.workbook.sheets.words import in_unit, label, lower, sentence

NAME, KIND = "Drawing", "drawing"
WIDTHS = (14,) * 8
POINTS_COLUMN = 12  # the drawn points stand to the right of the printed page
STEP = 50.0  # mm between lines of the grid
PIXELS = 1.7  # for a mm, unless the drawing gets too wide
WIDEST = 560.0
LEFT, TOP, RIGHT, BOTTOM = 58, 14, 130, 56  # pixels around the drawn area
ROW_PIXELS = 20
# line colour, width [pt], dash: told apart without colour too
PENS: dict[str, tuple[str, float, str]] = {
    "wheel barrel": (palette.INK, 2.25, "solid"),
    "spokes": (palette.INK, 2.25, "round_dot"),
    "hub": (palette.QUIET, 1.5, "solid"),
    "hat": (palette.SKY, 1.75, "solid"),
    "rotor": (palette.BLUE, 2.5, "solid"),
    "pads": (palette.ORANGE, 1.5, "square_dot"),
    "caliper": (palette.VERMILLION, 2.25, "solid"),
    "ear": (palette.GREEN, 1.75, "dash"),
    "dust shield": (palette.PURPLE, 1.5, "long_dash"),
    "hub flange": (palette.QUIET, 1.5, "solid"),
    "hub pilot": (palette.INK, 2.25, "solid"),
    "hat bore": (palette.SKY, 1.75, "dash"),
    "hub studs": (palette.INK, 2.0, "solid"),
    "hat holes": (palette.VERMILLION, 1.5, "solid"),
    "bolt circle": (palette.QUIET, 0.75, "long_dash_dot"),
}
VIEWS = (
    ("Side view: hub face at 0, inboard to the right, radius upward", SIDE),
    ("Hub face: the hub's studs and pilot, the hat's holes and bore", FACE),
)


def write_drawing(book: Book) -> list[tuple[float, float]]:
    """Adds the sheet; returns width and height [pixels] of its charts."""
    page = Page(book, NAME, palette.GREEN, WIDTHS, landscape=False)
    unit = "inches" if book.system == "inch" else "mm"
    page.head(NAME, f"{book.who}. To scale, in {unit}, with the remedies and the starting shims.")
    column, frames = POINTS_COLUMN, []
    for title, view in VIEWS:
        column, frame = _view(page, title, view, column)
        frames += [frame] if frame else []
    page.sheet.set_column(POINTS_COLUMN, column, 9)
    page.finish()
    return [(frame.width, frame.height) for frame in frames]


def _view(
    page: Page, title: str, view: Mapping[str, Callable[[Sizes], tuple[Point, ...]]], column: int
) -> tuple[int, "Frame | None"]:
    """One chart and what is not in it; returns the next free column for points, and the chart's frame."""
    drawn, lacking = outlines(page.book.report, dict(view))
    page.group(title)
    frame = _frame(drawn) if drawn else None
    if frame:
        column = _chart(page, drawn, frame, column)
        page.row += ceil(frame.height / ROW_PIXELS) + 1
    if page.book.report.cured.get("shield") == "none":
        lacking.pop("dust shield", None)
    for words in _not_drawn(lacking):
        page.line({0: text(words, "quiet", span=len(WIDTHS))})
    page.row += 1
    return column, frame


def _not_drawn(lacking: Mapping[str, tuple[str, ...]]) -> Iterator[str]:
    """One sentence for each set of blank sizes, with all parts that it hides. lacking: as `outlines` gives it."""
    hidden: dict[tuple[str, ...], list[str]] = {}
    for name, keys in lacking.items():
        hidden.setdefault(tuple(sorted(keys)), []).append(name)
    for keys, names in hidden.items():
        blank = ", ".join(lower(label(key)) for key in keys)
        yield f"Not drawn: {', '.join(names)} (blank: {blank})"


@dataclass(frozen=True, slots=True)
class Frame:
    """What the chart shows [mm], and its scale [pixels/mm]."""

    x0: float
    x1: float
    y0: float
    y1: float
    scale: float

    @property
    def width(self) -> float:
        return (self.x1 - self.x0) * self.scale + LEFT + RIGHT

    @property
    def height(self) -> float:
        return (self.y1 - self.y0) * self.scale + TOP + BOTTOM


def _frame(drawn: Sequence[Outline]) -> Frame:
    points = [point for outline in drawn for point in outline.points if point is not None]
    low = [floor(min(point[axis] for point in points) / STEP) * STEP for axis in (0, 1)]
    high = [ceil(max(point[axis] for point in points) / STEP) * STEP for axis in (0, 1)]
    return Frame(low[0], high[0], low[1], high[1], min(PIXELS, WIDEST / max(high[0] - low[0], high[1] - low[1])))


def _chart(page: Page, drawn: Sequence[Outline], frame: Frame, column: int) -> int:
    chart = page.book.workbook.add_chart({"type": "scatter", "subtype": "straight"})
    for outline in drawn:
        rows = _write_points(page, outline, column)
        colour, width, dash = PENS[outline.name]
        chart.add_series(
            {
                "name": sentence(outline.name),
                "categories": [NAME, rows[0], column, rows[1], column],
                "values": [NAME, rows[0], column + 1, rows[1], column + 1],
                "line": {"color": colour, "width": width, "dash_type": dash},
                "marker": {"type": "none"},
            }
        )
        column += 2
    _set_scale(chart, frame, page.book.system)
    page.sheet.insert_chart(page.row, 0, chart, {"object_position": 2, "x_offset": 4, "y_offset": 4})
    return column


def _write_points(page: Page, outline: Outline, column: int) -> tuple[int, int]:
    """The points as two columns of figures; returns the first and last row. An empty row lifts the pen."""
    page.put(column, Cell(sentence(outline.name), ("small", "quiet")), row=1)
    for row, point in enumerate(outline.points, start=2):
        for side in (0, 1):
            if point is not None:
                value = round(in_unit(point[side], "mm", page.book.system), 4)
                page.put(column + side, Cell(value, ("small", "quiet")), row=row)
    return 2, 1 + len(outline.points)


def _set_scale(chart: Any, frame: Frame, system: str) -> None:
    """Equal scales: the drawn area has as many pixels for a millimetre upward as sideways."""
    chart.set_size({"width": frame.width, "height": frame.height})
    area = {
        "x": LEFT / frame.width,
        "y": TOP / frame.height,
        "width": (frame.x1 - frame.x0) * frame.scale / frame.width,
        "height": (frame.y1 - frame.y0) * frame.scale / frame.height,
    }
    chart.set_plotarea({"layout": area, "border": {"color": palette.RULE}})
    unit = "in" if system == "inch" else "mm"
    chart.set_x_axis(
        _axis(frame.x0, frame.x1, f"outboard −, inboard +  [{unit}]" if frame.y0 >= 0 else f"[{unit}]", system)
    )
    chart.set_y_axis(_axis(frame.y0, frame.y1, f"from the hub axis [{unit}]", system))
    chart.set_legend({"position": "right", "font": {"name": "Arial", "size": 9}})
    chart.set_chartarea({"border": {"color": palette.RULE}})


def _axis(low: float, high: float, name: str, system: str) -> dict[str, Any]:
    font = {"name": "Arial", "size": 9, "color": palette.QUIET, "bold": False}
    return {
        "min": in_unit(low, "mm", system),
        "max": in_unit(high, "mm", system),
        "major_unit": in_unit(STEP, "mm", system),
        "name": name,
        "name_font": font,
        "num_font": font,
        "num_format": "0.0" if system == "inch" else "0",
        "major_gridlines": {"visible": True, "line": {"color": palette.PALE_GREY, "width": 0.75}},
        "label_position": "low",
        "crossing": "min",
    }
