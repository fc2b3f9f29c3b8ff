"""The drawing is to scale, and shows what the sizes say."""

import re
from collections.abc import Callable
from io import BytesIO
from itertools import pairwise
from zipfile import ZipFile

import pytest

from bomcheck import demos
from bomcheck.assess import assess
from bomcheck.engine.clearance import JobSight, too_near
from bomcheck.engine.inputs import Inputs
from bomcheck.io.read.job import read_job
from bomcheck.io.sheets import drawing
from bomcheck.io.sheets.build import build_sheets
from bomcheck.io.sheets.corner_views import FACE, Gap, Points, Sizes, outlines, side_view
from bomcheck.io.sheets.pictures import Canvas
from bomcheck.model.body import Space
from bomcheck.model.report import Report
from bomcheck.model.shipped import folder
from bomcheck.model.verdict import Verdict
from bomcheck.rules.bodies import BODIES, FIXED, TURNING
from bomcheck.rules.derived import DERIVATIONS
from tests.helpers.one_sheet import one_sheet
from tests.workbook.sheets.conftest import build
from tests.workbook.sheets.sample_reports import VAN, van


def part(data: bytes, name: str) -> str:
    with ZipFile(BytesIO(data)) as package:
        return package.read(name).decode()


SHAPE = re.compile(r'<a:path w="(\d+)" h="(\d+)">(.*?)</a:path>.*?srgbClr val="(\w+)"', re.DOTALL)
GROUP = re.compile(r'<xdr:ext cx="(\d+)" cy="(\d+)"/><xdr:grpSp>.*?</xdr:grpSp>', re.DOTALL)


def groups(data: bytes) -> list[tuple[tuple[int, int], str]]:
    """((width, height) [EMU], XML) of every picture, those of the front page first."""
    names = sorted(re.findall(r"xl/drawings/drawing\d+.xml", "\n".join(ZipFile(BytesIO(data)).namelist())))
    found = [one for name in names for one in GROUP.finditer(part(data, name))]
    return [((int(one[1]), int(one[2])), one[0]) for one in found]


def spots(path: str) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in re.findall(r'<a:pt x="(-?\d+)" y="(-?\d+)"/>', path)]


@pytest.mark.parametrize("name", ["fitting", "half_measured", "failing"])
def test_equal_axes(name: str) -> None:
    """In every picture a millimetre is as long upward as sideways: lines of the grid, 50 mm apart both ways, stand equally far
    apart, in the path's own units times its shape's size on the sheet (ISO/IEC 29500-1 20.1.9.15)."""
    pictures = groups(build(name).data)
    assert len(pictures) == 4  # first page; side, along the axle, hub face
    for (width, height), xml in pictures:
        across, up = set(), set()
        for w, h, path, colour in SHAPE.findall(xml):
            ends = spots(path)
            if colour in ("F2F4F6", "5F6B76") and len(ends) == 2:
                (x0, y0), (x1, y1) = ends
                across |= {x0 * width / float(w)} if x0 == x1 else set()
                up |= {y0 * height / float(h)} if y0 == y1 else set()
        steps = [max(b - a for a, b in pairwise(sorted(lines))) for lines in (across, up)]
        assert steps[0] == pytest.approx(steps[1], rel=2e-3)


def test_the_drawing_measures_what_the_sizes_say() -> None:
    """The friction ring's outline in the side view, by the scale of its grid: as thick as the rotor, from inner to outer radius."""
    xml = groups(build("fitting").data)[1][1]
    shapes = SHAPE.findall(xml)
    lines = sorted({spots(path)[0][0] for _, _, path, colour in shapes if colour == "F2F4F6" and len(spots(path)) == 2})
    scale = (lines[-1] - lines[-2]) / 50.0
    ring = next(spots(path) for _, _, path, colour in shapes if colour == "0072B2" and len(spots(path)) == 4)
    wide, high = (max(one[axis] for one in ring) - min(one[axis] for one in ring) for axis in (0, 1))
    assert wide / scale == pytest.approx(VAN["rotor_thickness"], abs=0.1)
    assert high / scale == pytest.approx((VAN["rotor_diameter"] - VAN["rotor_ring_inner_diameter"]) / 2, abs=0.1)


def test_what_decides_is_dimensioned() -> None:
    """The demo's pair of least room carries its distance on the drawing and on the first page, as the table below says it."""
    data = build_sheets(demo_report("saloon_boss_in_disc"))[0]
    for picture in groups(data)[:2]:
        assert "<a:t>\u221212.00</a:t>" in picture[1]


def test_the_first_page_has_few_figures_and_no_name_is_hatched_where_nothing_is() -> None:
    """Five distances on the drawing's own sheet, the three of least room on the first page, which is read on a telephone, too. On the
    hub face the flange is a circle: a line, not a box, stands before its name."""
    front, side, _, face = (xml for _, xml in groups(build_sheets(demo_report("hatchback_too_strong"))[0]))
    counted = [len(re.findall(r"<a:t>\u2212?\d+\.\d\d</a:t>", xml)) for xml in (front, side)]
    assert counted == [3, 5]
    assert "<a:t>Hub flange</a:t>" in face
    assert not [path for _, _, path, colour in SHAPE.findall(face) if colour == "1F3F66" and len(spots(path)) == 4]


def boxes(points: Points) -> set[tuple[float, ...]]:
    """The rectangles of a series as (x0, x1, r0, r1); each is closed."""
    found: list[list[tuple[float, float]]] = [[]]
    for point in points:
        if point is None:
            found.append([])
        else:
            found[-1].append(point)
    for one in found:
        assert len(one) == 5
        assert one[0] == one[4]
    return {(one[0][0], one[1][0], one[0][1], one[2][1]) for one in found}


def demo_report(name: str) -> Report:
    return assess(read_job(folder("demo_workbooks") / f"{name}.xlsx")[0])


BLANKS = (
    (), ("ear_side",), ("ear_thickness",), ("ear_face_position",), ("bracket_screw_into",), ("rotor_height",), ("shield",),
    ("shield_position",), ("hat_inner_depth", "hub_flange_thickness"), ("caliper_pad_top",), ("caliper_slot_width",),
    ("rotor_build",), ("pad_height",),
)  # fmt: skip


@pytest.mark.parametrize("without", BLANKS, ids=",".join)
def test_every_box_of_the_verdict_is_drawn_or_named(without: tuple[str, ...]) -> None:
    """Each box that is or may be there: sharp at the middle of its edges, or dotted, or named, with a blank field that the job
    really lacks."""
    check_all_shown(assess(van(without=without)))


@pytest.mark.parametrize("name", demos.NAMES)
def test_every_box_of_a_demo_is_drawn_or_named(name: str) -> None:
    """The same for the demos."""
    report = demo_report(name)
    for one in report.axles or (report,):
        check_all_shown(one)


def check_all_shown(report: Report) -> None:
    """Reads the rows of the bodies anew, with the numbers that the verdict has."""
    view, sight = side_view(report), JobSight(Inputs(report.cured, DERIVATIONS), report.plans)
    sharp: dict[str, set[tuple[float, ...]]] = {}
    for part in (*TURNING, *FIXED):
        there = {**part.when, **next((body.when for body, _ in BODIES if part.body in body.boxes), {})}
        if not sight.holds(there)[1]:
            continue
        ends = [sight.edge_ends(edge) for edge in (part.x0, part.x1, part.r0, part.r1)]
        middle = tuple(end.middle for end in ends)
        if part.body in view.drawn and middle in boxes(view.drawn[part.body]):
            sharp.setdefault(part.body, set()).add(middle)
            assert max(end.high - end.low for end in ends) < 15  # mm: no plausible range of a blank size is as narrow
            continue
        most = (ends[0].low, ends[1].high, ends[2].low, ends[3].high)
        dotted = view.drawn.get(f"{part.body}, least and most", ())
        asked = view.faint if dotted and most in boxes(dotted) else view.lacking
        assert asked[part.body]
        assert not [key for key in asked[part.body] if sight.sizes.has(key)]
    turning_and_fixed = {part.body for part in (*TURNING, *FIXED)}
    assert {name: boxes(points) for name, points in view.drawn.items() if name in turning_and_fixed} == sharp


def test_rotor_and_caliper_stand_where_the_sizes_say() -> None:
    """The friction ring spans its thickness and radii; the caliper, whose underside is blank, stands to both sides
    of the rotor's middle, with its widths and what centring leaves open."""
    shapes = side_view(build("fitting").report).drawn
    ((x0, x1, r0, r1),) = boxes(shapes["friction ring"])
    assert x1 - x0 == pytest.approx(VAN["rotor_thickness"])
    assert (r0, r1) == (VAN["rotor_ring_inner_diameter"] / 2, VAN["rotor_diameter"] / 2)
    ends = [x for box in boxes(shapes["caliper, least and most"]) for x in box[:2]]
    open_by = max(ends) - VAN["caliper_width_inboard"] - (x0 + x1) / 2
    assert 0 < open_by < 3
    assert min(ends) + VAN["caliper_width_outboard"] == pytest.approx((x0 + x1) / 2 - open_by)


def test_boss_in_the_disc_is_marked() -> None:
    """The demo's boss reaches from 44 mm inboard into a disc that ends at 56 mm: that much is marked, and told below the chart."""
    report = demo_report("saloon_boss_in_disc")
    zones = boxes(side_view(report).drawn["too close"])
    assert [box for box in zones if box[:2] == pytest.approx((44.0, 56.0))]
    sheet = one_sheet(BytesIO(build_sheets(report)[0]), "Drawing")
    told = next(row for row in sheet.iter_rows(max_col=8, values_only=True) if row[0] == "Bracket boss")
    assert told[2:4] == ("friction ring", "-12.00 mm (-12.72 to -11.28 mm)")
    assert told[6:8] == ("at least 3.00 mm", "does not fit")


@pytest.mark.parametrize("name", ["hill_climb_two_seater", "camper_van"])
def test_nothing_is_marked_where_all_is_clear(name: str) -> None:
    """A corner whose bodies all fit has no such zone."""
    assert "too close" not in side_view(demo_report(name)).drawn


@pytest.mark.parametrize("name", demos.NAMES)
def test_no_zone_without_a_verdict(name: str) -> None:
    """A pair that is marked is never one that the verdict calls clear."""
    report = demo_report(name)
    for one in report.axles or (report,):
        found = {finding.check: finding.verdict for finding in one.findings}
        sight = JobSight(Inputs(one.cured, DERIVATIONS), one.plans)
        for body, _ in BODIES:
            near = list(too_near(Space(body, body.parts(FIXED), body.past(TURNING)), sight))
            assert not (near and found[body.name] in (Verdict.FITS, Verdict.DOES_NOT_APPLY))
            assert near or found[body.name] is not Verdict.DOES_NOT_FIT


def test_a_point_beside_the_disc_is_drawn_and_marked() -> None:
    """A point in the disc's way, one far from it: both drawn, one marked."""
    plane = next(iter(boxes(side_view(build("fitting").report).drawn["friction ring"])))
    beside = f"120:{plane[1] + 1:.1f}; 121:{plane[1] + 60:.1f}"
    view = side_view(assess(van(neighbours=beside)))
    assert len(boxes(view.drawn["neighbours of the disc"])) == 2
    marked = boxes(view.drawn["too close"]) - boxes(side_view(build("fitting").report).drawn["too close"])
    assert len(marked) == 1
    assert marked.pop()[:2] == pytest.approx((plane[1] + 1 - 3, plane[1] + 1 + 3), abs=0.1)


def test_a_hole_for_every_stud() -> None:
    """Five studs are five rings on the circle."""
    drawn = outlines(Sizes(build("fitting").report), FACE).drawn
    assert sum(point is None for point in drawn["hub studs"]) == 4


def test_blank_sizes_are_named() -> None:
    """What cannot be drawn is named with the sizes that it lacks, and nothing is drawn in its place."""
    view = side_view(build("half_measured").report)
    assert view.lacking["ear"][0] == "ear_face_position"
    assert not {"ear", "ear, least and most"} & set(view.drawn)
    texts = [str(cell.value) for cell in build("half_measured").values["Drawing"]["A"] if cell.value]
    told = "; ".join(text.removeprefix("Not drawn: ") for text in texts if text.startswith("Not drawn: "))
    named = [name for one in told.split("; ") for name in one.split(" (blank: ")[0].split(", ")]
    assert [named.count(name) for name in view.lacking] == [1] * len(view.lacking)


def test_a_car_without_a_shield_lacks_none() -> None:
    """No size of a dust shield is called blank where the car has none."""
    report = assess(van(shield="none", without=("shield_position", "shield_radius")))
    sheet = one_sheet(BytesIO(build_sheets(report)[0]), "Drawing")
    told = [str(cell.value) for cell in sheet["A"] if "(blank: " in str(cell.value)]
    assert not [text for text in told if "shield" in text]


@pytest.mark.parametrize("name", sorted(path.stem for path in folder("demo_workbooks").glob("*.xlsx")))
def test_no_figure_lies_on_another(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Figures of distances, by the room that their letters take, lie neither on one another nor on another's dimension line."""
    report = assess(read_job(folder("demo_workbooks") / f"{name}.xlsx")[0])
    for one in report.axles or [report]:
        taken: list[drawing.Area] = []
        monkeypatch.setattr(drawing, "_dimension", _kept(taken, drawing._dimension))
        drawing.drawn(side_view(one), drawing.ROOM["side"], "metric", "")
        monkeypatch.undo()
        assert not [1 for at, a in enumerate(taken) for b in taken[at + 1 :] if _overlap(a, b)]


def _overlap(one: drawing.Area, other: drawing.Area) -> bool:
    """Whether the middles of two areas are nearer than half of both, along and across."""
    ways = [
        (abs(one[at] + one[at + 2] - other[at] - other[at + 2]), one[at + 2] - one[at] + other[at + 2] - other[at])
        for at in (0, 1)
    ]
    return all(apart < room - 1e-9 for apart, room in ways)


def _kept(kept: list[drawing.Area], dimension: Callable[..., None]) -> Callable[..., None]:
    def watched(canvas: Canvas, frame: drawing.Frame, gap: Gap, system: str, taken: list[drawing.Area]) -> None:
        dimension(canvas, frame, gap, system, taken)
        kept[:] = [area for pair in zip(taken[::2], taken[1::2], strict=True) for area in pair]

    return watched
