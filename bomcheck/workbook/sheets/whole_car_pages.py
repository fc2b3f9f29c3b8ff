"""How much room a printed page of a sheet has left, so that no chart is cut in two."""

from collections.abc import Mapping
from typing import Any

from bomcheck.workbook.sheets.page import HEADING_ROW, TITLE_ROW, Page

SHEET_OF_PAPER = {"metric": (841.9, 595.3), "inch": (792.0, 612.0)}  # pt, landscape: ISO 216 A4, ANSI letter
BESIDE, ABOVE = 57.6, 86.4  # pt; both margins as `Page` sets them
CAREFUL = 0.97  # programs draw rows a little taller
DEFAULT_ROW = 15.0  # pt


def room_on_page(page: Page) -> tuple[float, float]:
    """(Left on the last page, on a new one) in points of the sheet, title and headings repeated on each."""
    width, height = SHEET_OF_PAPER[page.book.system]
    sheet = sum(0.75 * (7 * characters + 5) for characters in page.widths)
    scale = min(1.0, (width - BESIDE) / sheet)
    whole = CAREFUL * (height - ABOVE) / scale
    repeated = _height(page, TITLE_ROW) + _height(page, HEADING_ROW)
    left = whole - repeated
    for row in range(HEADING_ROW + 1, page.row):
        tall = _height(page, row)
        left = (left if tall <= left else whole - repeated) - tall
    return left, whole - repeated


def _height(page: Page, row: int) -> float:
    """Of a row [pt]; XlsxWriter keeps pixels."""
    sizes: Mapping[int, Any] = page.sheet.row_sizes
    return 0.75 * float(sizes[row][0]) if row in sizes else DEFAULT_ROW
