"""Rows are tall enough for their texts, and not much taller."""

from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

import pytest
from openpyxl import load_workbook
from openpyxl.cell import Cell
from openpyxl.utils import range_boundaries
from openpyxl.worksheet.worksheet import Worksheet

from bomcheck.io.layout import BLUE
from bomcheck.io.sheets.columns import Table
from bomcheck.io.sheets.compatibility import CHECKS
from bomcheck.io.sheets.looks import (
    INDENT_POINTS,
    PADDING_PIXELS,
    PIXELS_PER_CHARACTER,
    POINTS_PER_PIXEL,
    SIGNS,
    text_width,
    wrapped_lines,
)  # fmt: skip
from bomcheck.io.sheets.proof import PROOF
from bomcheck.model.verdict import Verdict
from tests.workbook.sheets.conftest import build
from tests.workbook.sheets.office import own_heights
from tests.workbook.sheets.sample_reports import SAMPLES

ROUNDING = 1.0  # points


def test_no_text_is_cut_off(tmp_path: Path) -> None:
    """LibreOffice, left to itself, makes no row taller than it is here, nor is a row here much taller than it would be."""
    wanted, rows = own_heights(build("failing").data, tmp_path), 0
    for sheet in build("failing").values:
        for number, row in sheet.row_dimensions.items():
            needed = wanted[sheet.title].row_dimensions[number].height
            if row.height is not None and needed is not None and needed < 400:
                rows += 1
                assert row.height >= needed - ROUNDING, f"{sheet.title} row {number}: {row.height}, needed {needed}"
    assert rows > 100


@pytest.mark.parametrize(
    ("text", "thousandths"), [("Hello", 722 + 556 + 222 + 222 + 556), ("10 mm", 2 * 556 + 278 + 2 * 833)]
)
def test_widths_are_the_font_s(text: str, thousandths: int) -> None:
    """Widths of Helvetica as in Adobe's font metrics (Core 14 AFM files), figures from memory."""
    assert text_width(text, 1000) == thousandths


@pytest.mark.parametrize("table", [CHECKS, PROOF], ids=["Compatibility", "Proof"])
def test_every_verdict_is_read_whole(table: Table) -> None:
    """The longest verdict with its sign, bold and one step in, has room in the columns that hold it and are not wrapped."""
    width = table.widths[table["verdict"]]
    for verdict in Verdict:
        assert wrapped_lines(f"{SIGNS[str(verdict)]} {verdict}", width, 10.0, bold=True, indent=1) == 1, verdict


def _placed(sheet: Worksheet) -> Iterator[tuple[Cell, int, float]]:
    """Every text, the last column that its cell takes, and the room in it [pt]."""
    wide = {at: one.width for one in sheet.column_dimensions.values() for at in range(one.min, one.max + 1)}
    ends = {one.start_cell.coordinate: one.max_col for one in sheet.merged_cells.ranges}
    for cell in (cell for row in sheet.iter_rows() for cell in row if isinstance(cell.value, str)):
        end = ends.get(cell.coordinate, cell.column)
        columns = sum(wide.get(at, 8.43) for at in range(cell.column, end + 1))
        room = (columns * PIXELS_PER_CHARACTER - PADDING_PIXELS) * POINTS_PER_PIXEL
        yield cell, end, room - (cell.alignment.indent or 0) * INDENT_POINTS


@pytest.mark.parametrize("name", SAMPLES)
def test_what_is_on_one_line_is_not_cut_off_by_its_neighbour(name: str) -> None:
    """Every cell of the first twenty columns whose text is not wrapped: it fits its column, or may run on into an empty one."""
    cut, seen = [], 0
    for sheet in load_workbook(BytesIO(build(name).data), data_only=True):
        for cell, end, room in _placed(sheet):
            if cell.alignment.wrap_text or cell.alignment.shrink_to_fit or cell.column > 20:
                continue
            seen += 1
            beside = sheet.cell(cell.row, end + 1).value
            if beside not in (None, "") and text_width(cell.value, cell.font.sz, bool(cell.font.b)) > room:
                cut.append(f"{sheet.title} {cell.coordinate}: {cell.value}")
    assert cut == []
    assert seen > 50


@pytest.mark.parametrize("name", SAMPLES)
def test_no_text_runs_off_the_paper(name: str) -> None:
    """What begins in a printed column ends in one."""
    off, seen = [], 0
    for sheet in (one for one in build(name).values if one.print_area):
        last = range_boundaries(sheet.print_area.rpartition("!")[2].replace("$", ""))[2]
        seen += len(sheet.merged_cells.ranges)
        off += [f"{sheet.title} {one}" for one in sheet.merged_cells.ranges if one.min_col <= last < one.max_col]
    assert off == []
    assert seen > 20


@pytest.mark.parametrize("name", SAMPLES)
def test_no_word_of_a_heading_is_broken(name: str) -> None:
    """Each word of a heading, white and bold, has room on one line of its column in figures of 7 pixels (Arial 10, from memory)."""
    broken, seen = [], 0
    for sheet in load_workbook(BytesIO(build(name).data), data_only=True):
        for cell, _, room in _placed(sheet):
            if cell.fill.start_color.rgb != f"FF{BLUE[1:]}" or not cell.alignment.wrap_text:
                continue
            seen += 1
            broken += [
                f"{sheet.title}: {one}" for one in cell.value.split() if text_width(one, cell.font.sz, True) > room
            ]
    assert broken == []
    assert seen > 50
