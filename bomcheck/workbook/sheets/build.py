"""All sheets of the result in one small workbook, to be put into the user's."""

from collections.abc import Mapping, Sequence
from datetime import date
from io import BytesIO
from typing import TYPE_CHECKING, Any

from xlsxwriter import Workbook

from bomcheck.report import Report
from bomcheck.workbook.sheets import (
    compatibility,
    drawing,
    fit_up,
    line_sheet,
    measure_next,
    parts_list,
    quote,
    shims,
    tick_list,
    whole_car,
)
from bomcheck.workbook.sheets.page import Book
from bomcheck.workbook.sheets.true_scale import keep_sizes

if TYPE_CHECKING:
    from bomcheck.receive.receipts import Receipt

MODULES = (compatibility, parts_list, quote, tick_list, line_sheet, shims, measure_next, fit_up, drawing, whole_car)
OPTIONS = {
    "in_memory": True,
    "strings_to_formulas": False,
    "strings_to_urls": False,
    "strings_to_numbers": False,
    "default_format_properties": {"font_name": "Arial", "font_size": 10},
}


def build_sheets(
    report: Report,
    *,
    kept: Mapping[str, Mapping[str, Any]] | None = None,
    system: str = "metric",
    version: str = "",
    now: date | None = None,
    receipts: "Sequence[Receipt]" = (),
) -> tuple[bytes, dict[str, str]]:
    """Our sheets as a workbook, and the kind of each by its name.

    kept: what the user typed on an earlier run, from `kept.read_kept`. system: "metric" or "inch". now: the day that is
    printed, None for none. receipts: what was booked from packing slips; without any there is no Receiving sheet.
    """
    out = BytesIO()
    workbook = Workbook(out, OPTIONS)
    book = Book(workbook, report, system, version, now.isoformat() if now else "", kept or {})
    compatibility.write_compatibility(book)
    parts_list.write_parts_list(book)
    quote.write_quote(book)
    tick_list.write_tick_list(book)
    line_sheet.write_line(book)
    shims.write_shims(book)
    measure_next.write_measure_next(book)
    fit_up.write_fit_up(book)
    charts = [*drawing.write_drawing(book), *whole_car.write_whole_car(book)]
    kinds = {module.NAME: module.KIND for module in MODULES}
    if receipts:
        from bomcheck.workbook.sheets import receiving

        receiving.write_receiving(book, receipts)
        kinds[receiving.NAME] = receiving.KIND
    workbook.close()
    return keep_sizes(out.getvalue(), charts), kinds
