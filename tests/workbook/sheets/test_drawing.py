"""The drawing is to scale, and shows what the sizes say."""

import re
from io import BytesIO
from zipfile import ZipFile

import pytest
from openpyxl import load_workbook

from bomcheck.assess import assess
from bomcheck.io.sheets.build import build_sheets
from bomcheck.io.sheets.drawing import FACE, SIDE, outlines
from tests.workbook.sheets.conftest import build
from tests.workbook.sheets.sample_reports import VAN, van


def part(data: bytes, name: str) -> str:
    with ZipFile(BytesIO(data)) as package:
        return package.read(name).decode()


@pytest.mark.parametrize("name", ["fitting", "half_measured", "failing"])
def test_equal_axes(name: str) -> None:
    """In each chart a millimetre is as long upward as sideways: size of the chart x share of the drawn area / its range."""
    data = build(name).data
    drawing = part(data, "xl/drawings/drawing1.xml")
    sizes = re.findall(r'<xdr:oneCellAnchor>.*?<xdr:ext cx="(\d+)" cy="(\d+)"/>', drawing)
    assert len(sizes) == 2
    for number, (width, height) in enumerate(sizes, start=1):
        chart = part(data, f"xl/charts/chart{number}.xml")
        layout = re.search(r"<c:layoutTarget.*?</c:manualLayout>", chart)
        assert layout is not None
        share = {side: float(value) for side, value in re.findall(r'<c:([wh]) val="([\d.]+)"', layout[0])}
        ranges = [
            float(top) - float(low) for top, low in re.findall(r'<c:max val="([-\d.]+)"/><c:min val="([-\d.]+)"', chart)
        ]
        scale = [float(width) * share["w"] / ranges[0], float(height) * share["h"] / ranges[1]]
        assert scale[0] == pytest.approx(scale[1], rel=1e-3)


def test_rotor_and_caliper_stand_where_the_sizes_say() -> None:
    """The rotor's outline spans its thickness and radii; the caliper's centre is that of ear face and offset."""
    drawn, lacking = outlines(build("fitting").report, SIDE)
    shapes = {outline.name: [point for point in outline.points if point] for outline in drawn}
    assert lacking == {}
    xs, ys = zip(*shapes["rotor"], strict=True)
    assert max(xs) - min(xs) == pytest.approx(VAN["rotor_thickness"])
    assert (min(ys), max(ys)) == (VAN["rotor_ring_inner_diameter"] / 2, VAN["rotor_diameter"] / 2)
    xs, _ = zip(*shapes["caliper"], strict=True)
    stack = build("fitting").report.plans["axial"].likely.thickness
    centre = VAN["ear_face_position"] + VAN["bracket_offset"] + stack
    assert max(xs) - VAN["caliper_width_inboard"] == pytest.approx(centre)
    assert min(xs) + VAN["caliper_width_outboard"] == pytest.approx(centre)


def test_a_hole_for_every_stud() -> None:
    """Five studs are five rings on the circle."""
    drawn, _ = outlines(build("fitting").report, FACE)
    studs = next(outline for outline in drawn if outline.name == "hub studs")
    assert sum(point is None for point in studs.points) == 4


def test_blank_sizes_are_named() -> None:
    """What cannot be drawn is named with the sizes that it lacks, and nothing is drawn in its place."""
    drawn, lacking = outlines(build("half_measured").report, SIDE)
    assert "ear_face_position" in lacking["caliper"]
    assert "caliper" not in {outline.name for outline in drawn}
    texts = [str(cell.value) for cell in build("half_measured").values["Drawing"]["A"] if cell.value]
    told = [text for text in texts if text.startswith("Not drawn: ")]
    assert all(sum(name in text.split("(blank")[0] for text in told) == 1 for name in lacking)
    assert len(told) == len({frozenset(keys) for keys in lacking.values()}) < len(lacking)


def test_a_car_without_a_shield_lacks_none() -> None:
    """No size of a dust shield is called blank where the car has none."""
    report = assess(van(shield="none", without=("shield_position", "shield_radius")))
    sheet = load_workbook(BytesIO(build_sheets(report)[0]))["Drawing"]
    assert not [cell.value for cell in sheet["A"] if "Not drawn" in str(cell.value)]
