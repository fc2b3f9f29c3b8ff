"""The yellow figures of the Quote: blank until the shop types one, so that what is usual stays what the program says."""

from dataclasses import dataclass

from xlsxwriter.utility import xl_rowcol_to_cell

from bomcheck.parts.typed import amount
from bomcheck.workbook.sheets.kept import QUOTE_PREFIX
from bomcheck.workbook.sheets.page import Cell, Page, address, text
from bomcheck.workbook.sheets.quote_columns import (
    FIGURE,
    KEY,
    MONEY,
    PERCENT,
    SHOP,
    USED,
    USUAL,
    Value,
)
from bomcheck.workbook.sheets.yellow import is_usable

DAYS, MARK_UP, RATE, CONSUMABLES, TAX = ("days", "mark-up", "rate", "consumables", "tax")


@dataclass(frozen=True, slots=True)
class Figure:
    """at: address of the cell that counts. value: what it gives, "" for none."""

    at: str
    value: Value


@dataclass(frozen=True, slots=True)
class Setting:
    """A yellow figure for the whole quote. key: without the prefix. note: what it is. usual: None for none."""

    key: str
    note: str
    usual: float | None
    shown: str


def settings(rate: float | None, tax: float | None, days: float) -> tuple[Setting, ...]:
    """Those of every quote. rate [currency/h], tax [%]: of the Job sheet, None where it does not say. days: usual."""
    return (
        Setting(DAYS, "Valid for, days", days, "0"),
        Setting(MARK_UP, "Mark-up on parts, percent; not on kit, freight and work", 0.0, PERCENT),
        Setting(RATE, f"Labour rate per hour{_said(rate)}", rate, MONEY),
        Setting(CONSUMABLES, "Consumables, percent: rags, gloves, disposal, no parts", 0.0, PERCENT),
        Setting(TAX, f"Tax, percent{_said(tax)}", tax, PERCENT),
    )


def _said(stated: float | None) -> str:
    return "; not stated on the Job sheet" if stated is None else "; usual: that of the Job sheet"


def figure_cells(page: Page, key: str, note: str, usual: float | None, shown: str) -> tuple[dict[int, Cell], Figure]:
    """Cells of the present row, and what counts: what was typed, or else the usual figure.

    A word and a figure below zero count nothing; they stay where they were typed.

    key: without the prefix. note: for the shop. shown: number format.
    """
    row, kept = page.row, page.book.kept.get(f"{QUOTE_PREFIX}{key}", {})
    typed, stands = amount(kept, "figure"), kept.get("figure")
    used: Value = typed if typed is not None else "" if stands is not None or usual is None else usual
    yours = address(row, FIGURE)
    otherwise = '""' if usual is None else f'IF({yours}="",{address(row, USUAL)},"")'
    number = typed if isinstance(stands, str) else stands
    figure = Cell(number, ("input figure",), shown=shown)
    cells = {
        SHOP: text(note, "small"),
        FIGURE: Cell(stands, ("input",)) if number is None and stands is not None else figure,
        USUAL: Cell(usual, ("cell", "right", "quiet"), shown=shown),
        USED: Cell(used, ("cell", "right"), formula=f"=IF({is_usable(yours)},{yours},{otherwise})", shown=shown),
        KEY: Cell(f"{QUOTE_PREFIX}{key}", ("key",)),
    }
    return cells, Figure(xl_rowcol_to_cell(row, USED, row_abs=True, col_abs=True), used)
