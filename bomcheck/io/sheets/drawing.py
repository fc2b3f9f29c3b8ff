"""The sheet Drawing: the corner to scale, from the side and along the axle, and its hub face, in vector shapes."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby
from math import ceil, floor

from bomcheck.io import layout as palette
from bomcheck.io.sheets.corner_views import ALONG, FACE, FAINT, TOO_CLOSE, Gap, Points, Sizes, View, outlines, side_view
from bomcheck.io.sheets.looks import text_width
from bomcheck.io.sheets.page import Book, Cell, Page, text
from bomcheck.io.sheets.pictures import PIXELS_PER_POINT, Canvas, Pen, Picture, Spot
from bomcheck.io.sheets.words import found_lines, in_unit, label, limit_words, lower, sentence
from bomcheck.model.line import half_up
from bomcheck.model.records import dataclass, replace
from bomcheck.model.verdict import Verdict
from bomcheck.tables import rows

NAME, KIND = "Drawing", "drawing"
WIDTHS = (12, 12, 13, 14, 13, 8, 17, 14)
LEFT, TOP, RIGHT, BOTTOM = 42, 24, 186, 40  # pixels around the drawn area
STEP = {"metric": 50.0, "inch": 50.8}  # mm between lines of the grid
ROOM = {"side": (526.0, 520.0), "face": (285.0, 285.0), "along": (385.0, 385.0)}  # pixels for the drawn area
LETTERS = 9.5  # pt
PENS = {
    row["body"]: Pen(palette.colour(row["colour"]), float(row["width"]), row["dash"] or "solid") for row in rows("pens")
}
HATCHED = {row["body"]: (float(row["step"]), int(row["lean"])) for row in rows("pens") if row["step"]}
GRID, AXES, DIMENSION = Pen(palette.PALE_GREY, 0.75), Pen(palette.QUIET, 1.0, "lgDashDot"), Pen(palette.INK, 1.0)
SHORT, HEAD = 30.0, 5.0  # pixels: a dimension line with its arrows outside, and an arrow's half
MOST_GAPS = 6  # dimension lines in one view
# where one may stand, in parts of how far it is the same to either side; then on lines drawn out
ASIDE = (0.0, -0.5, 0.5, -0.9, 0.9)


def _pen(name: str) -> Pen:
    """A body with a blank size in the same tone, light and dotted."""
    pen = PENS[name.removesuffix(FAINT)]
    if not name.endswith(FAINT):
        return pen
    light = (round(0.7 * int(pen.colour[at : at + 2], 16) + 0.3 * 255) for at in (1, 3, 5))
    return Pen("#" + "".join(f"{one:02X}" for one in light), 1.25, "sysDot")


def write_drawing(book: Book) -> View:
    """Adds the sheet; returns what is seen from the side."""
    page = Page(book, NAME, palette.GREEN, WIDTHS, landscape=False)
    unit = "inches" if book.system == "inch" else "mm"
    page.head(NAME, f"{book.who}. To scale, in {unit}, with the remedies, the caliper where its shims bring it.")
    title = "Side view: hub face at 0, inboard to the right, radius upward; blue turns, orange and brown stand still"
    beside = side_view(book.report)
    _view(page, title, beside, ROOM["side"])
    _distances(page)
    page.start = page.row
    title = "Along the axle: how far what stands still reaches sideways; the barrel where it is narrowest"
    view = outlines(Sizes(book.report), ALONG)
    shown = {name.removesuffix(FAINT) for name in beside.drawn}  # what the side view does not show, it has named
    view.lacking = {name: keys for name, keys in view.lacking.items() if name in shown}
    _view(page, title, view, ROOM["along"])
    title = "Hub face: the hub's studs and pilot, the hat's holes and bore"
    _view(page, title, outlines(Sizes(book.report), FACE), ROOM["face"])
    page.finish(breaks=(page.start,))
    return beside


def _view(page: Page, title: str, view: View, room: Spot) -> None:
    """One picture and what is not in it."""
    page.group(title)
    if view.drawn:
        page.row += page.picture(drawn(view, room, page.book.system, f"{title}. {page.book.who}"))
    for title, found in (("Dotted, the least and the most", view.faint), ("Not drawn", view.lacking)):
        told = "; ".join(
            f"{', '.join(names)} (blank: {', '.join(lower(label(key)) for key in keys)})"
            for keys, names in _by_blanks(found).items()
        )
        if told:
            page.line({0: text(f"{title}: {told}", "quiet", span=len(WIDTHS))})


def _by_blanks(found: Mapping[str, tuple[str, ...]]) -> Mapping[tuple[str, ...], list[str]]:
    """Each set of blank sizes with all parts that it hides."""
    hidden: dict[tuple[str, ...], list[str]] = {}
    for name, keys in found.items():
        hidden.setdefault(tuple(sorted(keys)), []).append(name)
    return hidden


def _distances(page: Page) -> None:
    """What the verdict says of each fixed body: the turning body that decides, how far, and how far it must be."""
    page.group("Least room to what turns, as found before any remedy")
    heads = ("Stands still", "Turns", "Distance", "Asked for", "Verdict")
    page.line({at: Cell(words, ("heading",), span=span) for words, (at, span) in zip(heads, PLACES, strict=True)})
    bodies = [one for one in page.book.report.findings if one.interface == "space"]
    idle = [sentence(one.title) for one in bodies if one.verdict is Verdict.DOES_NOT_APPLY]
    for finding in (one for one in bodies if one.verdict is not Verdict.DOES_NOT_APPLY):
        pairs = sorted(finding.pairs, key=lambda pair: pair.value != finding.value)
        told = ("", finding.said, "")
        if pairs:
            distance, more = found_lines(finding, page.book.system)
            spread = f" ({', '.join(more).removesuffix(' inside the ±')})" if more else ""
            told = (pairs[0].turning, distance + spread, limit_words(pairs[0].limit, page.book.system))
        words = (finding.title, *told, str(finding.verdict))
        page.line({at: text(one, span=span) for one, (at, span) in zip(words, PLACES, strict=True)})
    if idle:
        page.line({0: text(f"Not there, or nothing entered: {', '.join(idle)}", "quiet", span=len(WIDTHS))})
    page.row += 1


PLACES = ((0, 2), (2, 1), (3, 3), (6, 1), (7, 1))  # first column and how many


@dataclass(frozen=True, slots=True)
class Frame:
    """What is shown [mm], its scale [pixels/mm], and the lines of its grid [mm]."""

    x0: float
    x1: float
    y0: float
    y1: float
    scale: float
    step: float

    def at(self, x: float, y: float) -> Spot:
        """Where a point stands in the picture; one below what is shown on its lower edge."""
        return LEFT + (x - self.x0) * self.scale, TOP + (self.y1 - max(y, self.y0)) * self.scale

    def lines(self) -> Iterator[tuple[float, bool]]:
        """(Where, whether across) of each line of the grid."""
        for low, high, across in ((self.x0, self.x1, False), (self.y0, self.y1, True)):
            first = ceil(low / self.step - 1e-9)
            yield from ((self.step * n, across) for n in range(first, floor(high / self.step + 1e-9) + 1))


def _frame(drawn: Iterable[Points], room: Spot, step: float, floor_at: float) -> Frame:
    """As large as the room [pixels] allows; what is left sideways goes to both sides."""
    points = [point for outline in drawn for point in outline if point]
    fine = step / 5
    low = [floor(min(point[axis] for point in points) / fine) * fine for axis in (0, 1)]
    high = [ceil(max(point[axis] for point in points) / fine) * fine for axis in (0, 1)]
    low[1] = max(low[1], floor_at)
    scale = min(room[0] / (high[0] - low[0]), room[1] / (high[1] - low[1]))
    beside = (room[0] / scale - (high[0] - low[0])) / 2
    return Frame(low[0] - beside, high[0] + beside, low[1], high[1], scale, step)


def drawn(view: View, room: Spot, system: str, told: str, floor_at: float = float("-inf"), title: str = "") -> Picture:
    """The view as a picture with as many pixels for a millimetre upward as sideways. floor_at [mm]: what stands lower is left out.
    title: of a small one, without the names of its bodies."""
    frame = _frame(view.drawn.values(), room, STEP[system], floor_at)
    right, bottom = frame.at(frame.x1, frame.y0)
    canvas = Canvas(right + (0 if title else RIGHT), bottom + BOTTOM)
    _grid(canvas, frame, system, (right, bottom), title)
    for name, points in view.drawn.items():
        _body(canvas, frame, name, points)
    taken: list[Area] = []
    most = MOST_GAPS if floor_at == float("-inf") else MOST_GAPS // 2  # the first page is read on a telephone, too
    tightest = sorted(view.gaps, key=lambda one: one.room)[:most]
    for gap in sorted(tightest, key=lambda one: one.aside):  # those that can stand nowhere else first
        if min(gap.start[1], gap.end[1]) >= frame.y0:
            _dimension(canvas, frame, gap, system, taken)
    if not title:
        _names(canvas, view.drawn, right + 12)
    return canvas.done(told)


def _grid(canvas: Canvas, frame: Frame, system: str, corner: Spot, title: str) -> None:
    """Lines at round figures, the hub face and the axis."""
    right, bottom = corner
    unit = "in" if system == "inch" else "mm"
    for where, across in frame.lines():
        x, y = frame.at(frame.x0 if across else where, where if across else frame.y0)
        pen = AXES if abs(where) < 1e-9 else GRID
        canvas.lines([[(LEFT, y), (right, y)] if across else [(x, TOP), (x, bottom)]], pen)
        figure = f"{in_unit(where, 'mm', system) + 0.0:.0f}"
        spot = (LEFT - 4, y) if across else (x, bottom + 9)
        canvas.words(spot, figure, LETTERS, palette.QUIET, "r" if across else "ctr")
    canvas.words((4, 9), title or f"{unit} from the hub's axis", LETTERS, palette.QUIET, bold=bool(title))
    if frame.y0 >= 0:
        words = f"{unit} from the hub face{'' if title else ': outboard −, inboard +'}"
        canvas.words(((LEFT + right) / 2, bottom + 27), words, LETTERS, palette.QUIET, "ctr")


def _body(canvas: Canvas, frame: Frame, name: str, points: Points) -> None:
    pieces = [[frame.at(*one) for one in piece] for piece in _pieces(points)]
    pen = _pen(name)
    if name in HATCHED:
        step, lean = HATCHED[name]
        strokes = [one for piece in pieces if len(piece) == 5 for one in _strokes(piece, step, lean)]
        canvas.lines(strokes, Pen(pen.colour, 1.25 if name == TOO_CLOSE else 0.5))
    canvas.lines(pieces, pen)


def _pieces(points: Points) -> Iterator[list[Spot]]:
    for drawn, piece in groupby(points, key=lambda one: one is not None):
        if drawn:
            yield [point for point in piece if point]


def _strokes(box: Sequence[Spot], step: float, lean: int) -> Iterator[tuple[Spot, Spot]]:
    """Slanting strokes over a box."""
    (x0, x1), (y0, y1) = ((min(one[axis] for one in box), max(one[axis] for one in box)) for axis in (0, 1))
    wide, high = x1 - x0, y1 - y0
    for number in range(1, floor((wide + high) / step) + 1):
        at = number * step
        a, b = (max(0.0, at - high), min(at, high)), (min(at, wide), max(0.0, at - wide))
        ends = [(x0 + x if lean > 0 else x1 - x, y0 + y) for x, y in (a, b)]
        yield ends[0], ends[1]


Area = tuple[float, float, float, float]
"""Left, top, right and bottom [pixels]."""


def _dimension(canvas: Canvas, frame: Frame, gap: Gap, system: str, taken: list[Area]) -> None:
    """A line with arrows between two bodies, and how far they are apart. taken: where lines and figures stand."""
    words = str(half_up(in_unit(gap.value, "mm", system), 3 if system == "inch" else 2)).replace("-", "−")
    wide = text_width(words, LETTERS, True) * PIXELS_PER_POINT + 4
    (xa, ya), (xb, yb) = sorted((frame.at(*gap.start), frame.at(*gap.end)))
    upward = abs(yb - ya) > abs(xb - xa)
    if upward:
        ya, yb = sorted((ya, yb))
    dx, dy = (0.0, 1.0) if upward else (1.0, 0.0)
    out = -1.0 if max(xb - xa, yb - ya) < SHORT else 1.0
    far = 3 * HEAD if out < 0 else 0.0

    def areas(by: float) -> tuple[Area, Area]:
        """Of the line and of its figure, moved to the side."""
        line = (xa + by * dy - far * dx, ya + by * dx - far * dy, xb + by * dy + far * dx, yb + by * dx + far * dy)
        left, middle = (line[2] + 5, (line[1] + line[3]) / 2) if upward else (line[2] + 3, line[3])
        pad = (HEAD * dy, HEAD * dx)
        thick = (line[0] - pad[0], line[1] - pad[1], line[2] + pad[0], line[3] + pad[1])
        return thick, (left, middle - 8, left + wide, middle + 8)

    free = gap.aside * frame.scale
    steps = [*(share * free for share in ASIDE), *(way * (free + 8 * n) for n in range(1, 12) for way in (1, -1))]
    by = next(
        (
            one
            for one in steps
            if not any(a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3] for a in areas(one) for b in taken)
        ),
        0.0,
    )
    taken += areas(by)
    before, (xa, ya, xb, yb) = ((xa, ya), (xb, yb)), (xa + by * dy, ya + by * dx, xb + by * dy, yb + by * dx)
    if abs(by) > free:
        canvas.lines(zip(before, ((xa, ya), (xb, yb)), strict=True), Pen(palette.INK, 0.5))
    ends = []
    for x, y, way in ((xa, ya, out), (xb, yb, -out)):
        back = (x + 2 * HEAD * way * dx, y + 2 * HEAD * way * dy)
        ends += [[(back[0] + HEAD * dy * side, back[1] + HEAD * dx * side), (x, y)] for side in (0.6, -0.6)]
    canvas.lines([[(xa - far * dx, ya - far * dy), (xb + far * dx, yb + far * dy)], *ends], DIMENSION)
    left, top, _, bottom = taken[-1]
    canvas.words((left, (top + bottom) / 2), words, LETTERS, palette.INK, bold=True, under=palette.WHITE)


def _names(canvas: Canvas, shown: Mapping[str, Points], left: float) -> None:
    """Each body's line and name, from the top down; one that is dotted in part is named once."""
    shown = {
        name: at for name, at in shown.items() if not name.endswith(FAINT) or name.removesuffix(FAINT) not in shown
    }
    room = (canvas.height - TOP) / max(len(shown), 1)
    step = min(24.0, room)
    for number, (name, points) in enumerate(shown.items()):
        hatched = name in HATCHED and any(len(piece) == 5 for piece in _pieces(points))
        y = TOP + step * (number + 0.5)
        box = [(left, y - 6), (left + 24, y - 6), (left + 24, y + 6), (left, y + 6), (left, y - 6)]
        pen = _pen(name)
        if hatched:
            canvas.lines(list(_strokes(box, *HATCHED[name])), Pen(pen.colour, 0.5))
        canvas.lines([box] if hatched else [[(left, y), (left + 24, y)]], replace(pen, width=min(pen.width, 1.75)))
        canvas.words((left + 30, y), sentence(name.replace(FAINT, ", dotted")), LETTERS, palette.INK)
