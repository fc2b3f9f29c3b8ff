"""The head of the Quote: whose job it is and until when it holds; beside it the yellow figures for the whole quote."""

from collections.abc import Mapping
from datetime import date

from bomcheck.quote import VALID_DAYS
from bomcheck.workbook.sheets.page import Cell, Page, text
from bomcheck.workbook.sheets.quote_columns import DETAIL, ITEM, TOTAL
from bomcheck.workbook.sheets.quote_figures import DAYS, Figure, figure_cells, settings
from bomcheck.workbook.sheets.words import label

ABOUT = ("job_number", "customer_reference", "prepared_by", "currency")


def write_about(page: Page) -> dict[str, Figure]:
    """Adds the rows; returns the figures by key. The last row has the day until which the quote holds."""
    job, figures = page.book.report.job, dict[str, Figure]()
    rows = [{ITEM: text(label(key), "bold"), DETAIL: text(str(job.get(key) or ""))} for key in ABOUT]
    yellow = settings(_figure(job.get("labour_rate")), _figure(job.get("tax_percent")), VALID_DAYS)
    for row, one in enumerate(yellow):
        cells, figures[one.key] = figure_cells(page, one.key, one.note, one.usual, one.shown)
        page.line({**(rows[row] if row < len(rows) else _valid(page, figures[DAYS])), **cells})
    return figures


def _figure(stated: object) -> float | None:
    return float(stated) if isinstance(stated, int | float) else None


def _valid(page: Page, days: Figure) -> Mapping[int, Cell]:
    """The last day on which the quote holds; nothing where today is not known."""
    if not page.book.now:
        return {}
    today = date.fromisoformat(page.book.now)
    known = isinstance(days.value, float)
    until = (today - date(1899, 12, 30)).days + int(days.value) if known else ""
    formula = f'=IF(ISNUMBER({days.at}),DATE({today.year},{today.month},{today.day})+INT({days.at}),"")'
    cell = Cell(until, ("cell", "right"), formula=formula, shown="yyyy-mm-dd")
    return {ITEM: text("Valid until", "bold"), DETAIL: text(f"Quoted on {page.book.now}"), TOTAL: cell}
