"""Results in which a shop typed other quantities, prices, hours and rates, one workbook for each demo."""

import warnings
from collections.abc import Iterator
from functools import partial
from io import BytesIO
from pathlib import Path

from openpyxl import Workbook, load_workbook
from openpyxl.worksheet.worksheet import Worksheet

from tests.workbook.every_workbook import DEMOS, Build, checked

PAID = ("To order", "Needed, but no source", "Work")
"""How the titles of those groups of the Parts list begin whose lines cost money."""

FIGURES = {"quote kit": 1234.5, "quote rate": 71.3, "quote labour corner": 3.25, "quote consumables": 4.5,
           "quote mark-up": 12.5}  # fmt: skip
"""What is typed in the Quote: the kit's price, the rate of an hour, hours for a corner, percent of consumables and mark-up."""


def headings(sheet: Worksheet) -> dict[str, int]:
    """Column number of each heading, found by the heading of the last one."""
    row = next(row for row in sheet.iter_rows(max_row=9) if "Line" in [cell.value for cell in row])
    return {str(cell.value): cell.column for cell in row}


def line_rows(sheet: Worksheet) -> Iterator[int]:
    """Rows of the lines of the Parts list."""
    key, needed = (headings(sheet)[words] for words in ("Line", "Needed"))
    for row in range(3, sheet.max_row + 1):
        if sheet.cell(row, key).value and isinstance(sheet.cell(row, needed).value, int | float):
            yield row


def change_parts(sheet: Worksheet) -> None:
    """In turn: a pack and one more needed, half of it on hand, twice as many at another price, all of it on hand."""
    at = headings(sheet)
    for turn, row in enumerate(line_rows(sheet)):
        needed, price = sheet.cell(row, at["Needed"]), sheet.cell(row, at["Price, yours"])
        if turn % 4 == 0:
            needed.value += (sheet.cell(row, at["Pack of"]).value or 1) + 1
        elif turn % 4 == 2:
            needed.value, price.value = needed.value * 2, 7.77
        else:
            sheet.cell(row, at["On hand, yours"]).value = needed.value / (2 if turn % 4 == 1 else 1)
        if turn % 2 == 0 and sheet.cell(row, at["Price of a pack"]).value is None:
            price.value = 12.35


def change_quote(sheet: Worksheet) -> None:
    """Types FIGURES."""
    at = headings(sheet)
    rows = {sheet.cell(row, at["Line"]).value: row for row in range(3, sheet.max_row + 1)}
    for key, value in FIGURES.items():
        sheet.cell(rows[key], at["Yours"]).value = value


def money_sheets(path: Path) -> Workbook:
    """The two sheets of a result that reckon with money, to type in; openpyxl stores no values in formulas."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)
        book = load_workbook(path)
    for sheet in [one for one in book if one.title not in ("Parts list", "Quote")]:
        book.remove(sheet)
    return book


def saved(book: Workbook) -> bytes:
    """As it would lie on disk now."""
    out = BytesIO()
    book.save(out)
    return out.getvalue()


def changed(demo: Path, path: Path) -> None:
    """Those two sheets of a demo's result with other figures."""
    checked(demo, path)
    book = money_sheets(path)
    change_parts(book["Parts list"])
    change_quote(book["Quote"])
    book.save(path)


CHANGED: dict[str, Build] = {f"changed {demo.stem}": partial(changed, demo) for demo in DEMOS}
