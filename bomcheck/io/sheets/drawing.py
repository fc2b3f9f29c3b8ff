"""The corner to scale: exactly the bodies that the verdict sees, and what stands too close; what a blank size hides is named.

Side view: (axial position, radius), hub face at 0, + inboard. Hub face view: (sideways, upward) from the hub axis. All in mm.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import field
from math import ceil, cos, floor, pi, sin
from typing import Any

from bomcheck.engine.clearance import fields_behind, standing, too_near
from bomcheck.engine.inputs import Inputs
from bomcheck.engine.sight import JobSight
from bomcheck.engine.space import Look
from bomcheck.io import layout as palette
from bomcheck.io.sheets.page import Book, Cell, Page, text
from bomcheck.io.sheets.words import found_lines, in_unit, label, limit_words, lower, sentence
from bomcheck.model.affine import NOISE
from bomcheck.model.body import Part, Space
from bomcheck.model.records import dataclass
from bomcheck.model.report import Report
from bomcheck.model.sizes import Missing
from bomcheck.rules.bodies import BODIES, FIXED, TURNING
from bomcheck.rules.body_sizes import corner_radius
from bomcheck.rules.derived import DERIVATIONS
from bomcheck.rules.wheel_shape import FITTING

Point = tuple[float, float] | None
"""None lifts the pen."""
Points = tuple[Point, ...]
FAINT = ", least and most"
TOO_CLOSE = "too close"
DOT = 1.0  # mm to each side of a point that was measured beside the disc


@dataclass
class View:
    """drawn: outlines by part. faint, lacking: blank fields of what is drawn with its least and most, and of what is not drawn."""

    drawn: dict[str, Points] = field(default_factory=dict)
    faint: dict[str, tuple[str, ...]] = field(default_factory=dict)
    lacking: dict[str, tuple[str, ...]] = field(default_factory=dict)


class Sizes:
    """The sizes of the corner with all remedies, the caliper where its shims bring it. Raises Missing for a blank one."""

    def __init__(self, report: Report) -> None:
        self.sight = JobSight(Inputs(report.cured, DERIVATIONS))

    def __getitem__(self, key: str) -> float:
        return self.sight.sizes.number(key)

    @property
    def wheel_face(self) -> float:
        return -(self["hat_flange_thickness"] + self["wheel_spacer_thickness"])

    def any(self, key: str) -> Any:
        """A value of any kind; of a table its points."""
        found = self.sight.sizes[key]
        return getattr(found, "points", found)


def _box(x0: float, x1: float, r0: float, r1: float) -> Points:
    return ((x0, r0), (x1, r0), (x1, r1), (x0, r1), (x0, r0))


def _joined(pieces: Sequence[Points]) -> Points:
    """All with the pen lifted between them."""
    return tuple(point for piece in pieces for point in (*piece, None))[:-1]


WHEN = {box: body.when for body, _ in BODIES for box in body.boxes}


def side_view(report: Report) -> View:
    """Everything that turns, everything that stands still, the wheel, and on top what is too close."""
    sizes, view = Sizes(report), View()
    for name in dict.fromkeys(part.body for part in (*TURNING, *FIXED)):
        _add_body(view, name, sizes.sight)
    others = outlines(sizes, BESIDE)
    view.lacking |= {name: keys for name, keys in others.lacking.items() if not NEEDS.get(name, set()) & set(keys)}
    view.drawn |= others.drawn
    zones = _zones(sizes, view.drawn)
    view.drawn |= {TOO_CLOSE: _joined(zones)} if zones else {}
    return view


def _add_body(view: View, name: str, sight: JobSight) -> None:
    """Its boxes: at the middle of each edge, or where a size is blank with least and most; named where even those say nothing."""
    sharp: list[Points] = []
    faint: list[Points] = []
    for part in (part for part in (*TURNING, *FIXED) if part.body == name):
        sure, maybe, blank = standing(part, WHEN.get(name, {}), sight)
        if not maybe:
            continue
        x0, x1, r0, r1 = (sight.edge_ends(edge) for edge in (part.x0, part.x1, part.r0, part.r1))
        if not blank:
            sharp.append(_box(x0.middle, x1.middle, r0.middle, r1.middle))
            continue
        told = view.faint if x0.high <= x1.low and r0.high <= r1.low else view.lacking
        told[name] = tuple(dict.fromkeys((*told.get(name, ()), *blank)))
        if told is view.faint:
            faint += [_box(x0.high, x1.low, r0.high, r1.low)] if sure else []
            faint.append(_box(x0.low, x1.high, r0.low, r1.high))
    view.drawn |= {title: _joined(boxes) for title, boxes in ((name, sharp), (name + FAINT, faint)) if boxes}


def _corners(s: Sizes) -> Points:
    """What the caliper's corners reach round the axis, by its outline, or by its body."""
    if s.sight.sizes.has("caliper_envelope"):
        points = s.any("caliper_envelope")
    else:
        points = [(x, s["caliper_body_height"]) for x in (-s["caliper_width_outboard"], s["caliper_width_inboard"])]
    centre, mount, width = s["caliper_centre"], s["mount_plane"], s["caliper_top_width"]
    return tuple((centre + x, corner_radius(mount + height, width)) for x, height in points)


def _fitting(s: Sizes, along: str, height: str) -> Points:
    x, radius = s[along] + s["caliper_centre"], s[height] + s["mount_plane"]
    return ((x - FITTING, radius), (x + FITTING, radius))


def _valve(s: Sizes) -> Points:
    x, radius = s.wheel_face + s["wheel_valve_position"], s["wheel_valve_radius"]
    return ((x - FITTING, radius), (x + FITTING, radius))


def _dots(points: Sequence[tuple[float, float]], half: float = DOT) -> Points:
    """points: (radius, position)."""
    return _joined([_box(x - half, x + half, radius - half, radius + half) for radius, x in points])


BESIDE: dict[str, Callable[[Sizes], Points]] = {
    "wheel barrel": lambda s: tuple((s.wheel_face + along, radius) for along, radius in s.any("wheel_barrel")),
    "spokes": lambda s: tuple((s.wheel_face - away, radius) for radius, away in s.any("wheel_spoke")),
    "caliper in the wheel": _corners,
    "bracket arm": lambda s: _dots([(r, s["caliper_centre"] + x) for r, x in s.any("bracket_arm")]),
    "caliper at the wheel's valve": lambda s: _valve(s),
    "hose's end at the caliper": lambda s: _fitting(s, "caliper_inlet_axial", "caliper_inlet_height"),
    "bleed screw": lambda s: _fitting(s, "caliper_bleeder_axial", "caliper_bleeder_height"),
    "neighbours of the disc": lambda s: _dots(s.any("neighbours")),
    "neighbours at full lock": lambda s: _dots(s.any("neighbours_at_lock")),
}
# without these nothing is known to be there, which the list below the chart says
NEEDS = {lower(body.title): set(body.requires) for body, _ in BODIES if body.requires}


def _zones(s: Sizes, drawn: Mapping[str, Points]) -> list[Points]:
    """Of each pair that is nearer than its air as it is drawn, or whatever a blank is, the overlap, or the gap that is too small."""
    found: list[Points] = []
    for body, _ in BODIES:
        for look in too_near(Space(body, body.parts(FIXED), body.past(TURNING)), s.sight):
            if look.parts:
                found.append(_between(look.parts, s.sight))
            elif lower(body.title) in drawn:
                found.append(_beside(look, drawn[lower(body.title)], s))
    return [zone for zone in found if zone]


def _between(parts: tuple[Part, ...], sight: JobSight) -> Points:
    """What two boxes share, or the gap between them; of a box with a blank size what it fills at least."""
    ends = [[_end(part, *edges, sight) for part in parts] for edges in (("x0", "x1"), ("r0", "r1"))]
    along, out = (sorted((max(low for low, _ in each), min(high for _, high in each))) for each in ends)
    return _box(along[0], along[1], out[0], out[1])


def _end(part: Part, low: str, high: str, sight: JobSight) -> tuple[float, float]:
    texts = getattr(part, low), getattr(part, high)
    first, last = (sight.edge_ends(one) for one in texts)
    least = first.high <= last.low and fields_behind(tuple(sight.edge(one) for one in texts), sight)
    return (first.high, last.low) if least else (first.middle, last.middle)


def _beside(look: Look, points: Points, s: Sizes) -> Points:
    """The same for a distance that a table says: as high or as wide as what is drawn, as thick as the distance."""
    known = [point for point in points if point]
    x0, x1, top = min(x for x, _ in known), max(x for x, _ in known), max(radius for _, radius in known)
    if look.pair.turning == "wheel barrel":
        barrel = top + look.value.middle
        return _box(x0, x1, min(top, barrel), max(top, barrel))
    if look.pair.turning == "spokes":
        backs = x0 - look.value.middle
        return _box(min(x0, backs), max(x0, backs), s.sight.edge_ends("mount_plane + caliper_bottom").middle, top)
    ring = [s.sight.edge_ends(edge).middle for edge in (TURNING[0].x0, TURNING[0].x1, TURNING[0].r0, TURNING[0].r1)]
    centres = [(known[at][1] + DOT, known[at][0] + DOT) for at in range(0, len(known), 5)]
    near = [(r, x) for r, x in centres if max(x - ring[1], ring[0] - x, r - ring[3], ring[2] - r) < look.air - NOISE]
    return _dots(near, 3 * DOT)


def _circle(radius: float, x: float = 0.0, y: float = 0.0, steps: int = 72) -> Points:
    angles = [2 * pi * step / steps for step in range(steps + 1)]
    return tuple((x + radius * cos(angle), y + radius * sin(angle)) for angle in angles)


def _holes(count: int, circle: float, diameter: float) -> Points:
    """Holes on a circle, the first one at the top."""
    turns = [pi / 2 + 2 * pi * number / count for number in range(count)]
    return _joined([_circle(diameter / 2, circle / 2 * cos(turn), circle / 2 * sin(turn), 20) for turn in turns])


FACE: dict[str, Callable[[Sizes], Points]] = {
    "hub flange": lambda s: _circle(s["hub_flange_diameter"] / 2),
    "hub pilot": lambda s: _circle(s["hub_pilot_diameter"] / 2),
    "hat bore": lambda s: _circle(s["hat_bore"] / 2),
    "hub studs": lambda s: _holes(s.any("hub_bolt_circle").count, s["hub_circle_diameter"], s["stud_fill_diameter"]),
    "hat holes": lambda s: _holes(
        s.any("hat_pattern").count, (s["hat_circle_low"] + s["hat_circle_high"]) / 2, s["hat_stud_hole_diameter"]
    ),
    "bolt circle": lambda s: _circle(s["hub_circle_diameter"] / 2),
}


def outlines(sizes: Sizes, parts: Mapping[str, Callable[[Sizes], Points]]) -> View:
    """What no box describes."""
    view = View()
    for name, outline in parts.items():
        try:
            view.drawn[name] = outline(sizes)
        except Missing as missing:
            view.lacking[name] = missing.keys
    return view


NAME, KIND = "Drawing", "drawing"
WIDTHS = (13, 13, 15, 15, 15, 9, 18, 16)
POINTS_COLUMN = 12  # the drawn points stand to the right of the printed page
LEFT, TOP, RIGHT, BOTTOM = 58, 14, 160, 56  # pixels around the drawn area
ROW_PIXELS = 20
STEP = {"metric": 50.0, "inch": 50.8}  # mm between lines of the grid
ROOM = {"side": (620.0, 540.0), "face": (300.0, 300.0)}  # pixels for the drawn area, the side view as wide as the page
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
    column, side = _view(page, title, side_view(book.report), "side", POINTS_COLUMN)
    _distances(page)
    page.start = page.row
    title = "Hub face: the hub's studs and pilot, the hat's holes and bore"
    column, face = _view(page, title, outlines(Sizes(book.report), FACE), "face", column)
    page.sheet.set_column(POINTS_COLUMN, column, 9)
    page.finish(breaks=(page.start,))
    return [(frame.width, frame.height) for frame in (side, face) if frame]


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
