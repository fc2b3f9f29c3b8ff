"""Rows are tall enough for their texts, and not much taller."""

from pathlib import Path

import pytest

from bomcheck.io.sheets.looks import text_width
from tests.workbook.sheets.conftest import build
from tests.workbook.sheets.office import own_heights

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
