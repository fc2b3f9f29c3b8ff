"""The parts of the corner as outlines in mm, to be drawn to scale. Pure geometry; what a blank size hides is named.

Side view: (axial position, radius), hub face at 0, + inboard. Hub face view: (sideways, upward) from the hub axis.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import ceil, cos, floor, pi, sin
from typing import Any

from bomcheck.engine.inputs import Inputs
from bomcheck.io import layout as palette
from bomcheck.io.sheets.page import Book, Cell, Page, text
from bomcheck.io.sheets.words import in_unit, label, lower, sentence
from bomcheck.model.report import Report
from bomcheck.model.sizes import Missing
from bomcheck.rules.derived import DERIVATIONS

Point = tuple[float, float] | None
"""None lifts the pen."""


@dataclass(frozen=True, slots=True)
class Outline:
    """A part as it is drawn."""

    name: str
    points: tuple[Point, ...]


class Sizes:
    """The sizes of the corner with all remedies and the likely shims. Raises Missing for a blank one."""

    def __init__(self, report: Report) -> None:
        self.inputs = Inputs(report.cured, DERIVATIONS)
        self.plans = report.plans

    def __getitem__(self, key: str) -> float:
        return self.inputs.number(key)

    def any(self, key: str) -> Any:
        """A value of any kind."""
        return self.inputs[key]

    def stack(self, name: str) -> float:
        """Thickness of the likely shims."""
        return self.plans[name].likely.thickness if name in self.plans else 0.0

    @property
    def caliper_centre(self) -> float:
        return self["ear_face_position"] + self["bracket_offset"] + self["shim_direction"] * self.stack("axial")

    @property
    def mounting_plane(self) -> float:
        return self["hub_axis_to_ears"] + self["bracket_rise"] + self.stack("radial")

    @property
    def wheel_face(self) -> float:
        return -(self["hat_flange_thickness"] + self["wheel_spacer_thickness"])


def _closed(*points: tuple[float, float]) -> tuple[Point, ...]:
    return (*points, points[0])


def _box(x0: float, x1: float, r0: float, r1: float) -> tuple[Point, ...]:
    return _closed((x0, r0), (x1, r0), (x1, r1), (x0, r1))


def _hub(s: Sizes) -> tuple[Point, ...]:
    pilot, flange = s["hub_pilot_diameter"] / 2, s["hub_flange_diameter"] / 2
    long, thick = s["hub_pilot_length"], s["hub_flange_thickness"]
    return ((-long, 0.0), (-long, pilot), (0.0, pilot), (0.0, flange), (thick, flange), (thick, 0.0))


def _hat(s: Sizes) -> tuple[Point, ...]:
    flange, bore, outer, inner = (
        -s["hat_flange_thickness"],
        s["hat_bore"] / 2,
        s["hat_outer_diameter"] / 2,
        s["hat_inner_diameter"] / 2,
    )
    end = s["rotor_plane"] + s["rotor_thickness"] / 2
    return _closed((0.0, bore), (flange, bore), (flange, outer), (end, outer), (end, inner), (0.0, inner))


def _rotor(s: Sizes) -> tuple[Point, ...]:
    half = s["rotor_thickness"] / 2
    inner, outer = s["rotor_ring_inner_diameter"] / 2, s["rotor_diameter"] / 2
    return _box(s["rotor_plane"] - half, s["rotor_plane"] + half, inner, outer)


def _pads(s: Sizes) -> tuple[Point, ...]:
    plane, half, thick = s["rotor_plane"], s["rotor_thickness"] / 2, s["pad_thickness"]
    top = s.mounting_plane + s["caliper_pad_top"]
    low = top - s["pad_height"]
    return (
        *_box(plane - half - thick, plane - half, low, top),
        None,
        *_box(plane + half, plane + half + thick, low, top),
    )


def _caliper(s: Sizes) -> tuple[Point, ...]:
    centre, plane, slot = s.caliper_centre, s.mounting_plane, s["caliper_slot_width"] / 2
    out, into = centre - s["caliper_width_outboard"], centre + s["caliper_width_inboard"]
    top, bridge = plane + s["caliper_body_height"], plane + s["caliper_bridge"]
    low = plane + s["caliper_pad_top"] - s["pad_height"]
    inside = ((centre + slot, low), (centre + slot, bridge), (centre - slot, bridge), (centre - slot, low))
    return _closed((out, low), (out, top), (into, top), (into, low), *inside)


def _ear(s: Sizes) -> tuple[Point, ...]:
    face, height, half = s["ear_face_position"], s["hub_axis_to_ears"], s["ear_hole_diameter"]
    other = face + s["ear_thickness"] * (1 if s.any("ear_side") == "outboard" else -1)
    return _box(min(face, other), max(face, other), height - half, height + half)


def _barrel(s: Sizes) -> tuple[Point, ...]:
    return tuple((s.wheel_face + along, radius) for along, radius in _table(s, "wheel_barrel"))


def _spokes(s: Sizes) -> tuple[Point, ...]:
    return tuple((s.wheel_face - away, radius) for radius, away in _table(s, "wheel_spoke"))


def _table(s: Sizes, key: str) -> Sequence[tuple[float, float]]:
    found = s.any(key)
    points: Sequence[tuple[float, float]] = getattr(found, "points", found)
    return points


def _shield(s: Sizes) -> tuple[Point, ...]:
    return ((s["shield_position"], s["hub_flange_diameter"] / 2), (s["shield_position"], s["shield_radius"]))


SIDE: dict[str, Callable[[Sizes], tuple[Point, ...]]] = {
    "wheel barrel": _barrel,
    "spokes": _spokes,
    "hub": _hub,
    "hat": _hat,
    "rotor": _rotor,
    "pads": _pads,
    "caliper": _caliper,
    "ear": _ear,
    "dust shield": _shield,
}


def _circle(radius: float, x: float = 0.0, y: float = 0.0, steps: int = 72) -> tuple[Point, ...]:
    angles = [2 * pi * step / steps for step in range(steps + 1)]
    return tuple((x + radius * cos(angle), y + radius * sin(angle)) for angle in angles)


def _holes(count: int, circle: float, diameter: float) -> tuple[Point, ...]:
    """Holes on a circle, the first one at the top."""
    points: list[Point] = []
    for number in range(count):
        angle = pi / 2 + 2 * pi * number / count
        points += [*_circle(diameter / 2, circle / 2 * cos(angle), circle / 2 * sin(angle), 20), None]
    return tuple(points[:-1])


def _studs(s: Sizes) -> tuple[Point, ...]:
    return _holes(s.any("hub_bolt_circle").count, s["hub_circle_diameter"], s["stud_fill_diameter"])


def _hat_holes(s: Sizes) -> tuple[Point, ...]:
    return _holes(
        s.any("hat_pattern").count, (s["hat_circle_low"] + s["hat_circle_high"]) / 2, s["hat_stud_hole_diameter"]
    )


FACE: dict[str, Callable[[Sizes], tuple[Point, ...]]] = {
    "hub flange": lambda s: _circle(s["hub_flange_diameter"] / 2),
    "hub pilot": lambda s: _circle(s["hub_pilot_diameter"] / 2),
    "hat bore": lambda s: _circle(s["hat_bore"] / 2),
    "hub studs": _studs,
    "hat holes": _hat_holes,
    "bolt circle": lambda s: _circle(s["hub_circle_diameter"] / 2),
}


def outlines(
    report: Report, view: dict[str, Callable[[Sizes], tuple[Point, ...]]]
) -> tuple[list[Outline], dict[str, tuple[str, ...]]]:
    """(what can be drawn, {part: blank fields that it needs}). view: SIDE or FACE."""
    sizes, drawn, lacking = Sizes(report), [], {}
    for name, outline in view.items():
        try:
            drawn.append(Outline(name, outline(sizes)))
        except Missing as missing:
            lacking[name] = missing.keys
    return drawn, lacking


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
                "categories": [page.name, rows[0], column, rows[1], column],
                "values": [page.name, rows[0], column + 1, rows[1], column + 1],
                "line": {"color": colour, "width": width, "dash_type": dash},
                "marker": {"type": "none"},
                "smooth": False,
            }
        )
        column += 2
    chart.show_blanks_as("gap")
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
