"""A new order workbook: one sheet, a heading row, one row a line; what is text stays text."""

from collections.abc import Mapping, Sequence
from datetime import date
from io import BytesIO
from pathlib import Path
from typing import Any

from bomcheck.io import layout as palette
from bomcheck.io.disk import require_free
from bomcheck.io.replace_file import write_new as write_new_file
from bomcheck.paper.order_rows import COLUMNS

WIDTHS = {"description": 40, "spec": 40, "reason": 40, "used_at": 22, "line_key": 18, "vehicle_label": 24, "note": 30}


def write_new(rows: Sequence[Mapping[str, Any]], target: Path) -> None:
    """The order lines as a workbook at `target`, whole or not at all."""
    from xlsxwriter import Workbook

    require_free(target)

    out = BytesIO()
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    book = Workbook(out, options)
    sheet = book.add_worksheet("Order lines")
    heading = book.add_format({"bold": True, "bg_color": palette.BLUE, "font_color": palette.WHITE, "text_wrap": True})
    looks = {
        "string": book.add_format({"num_format": "@", "valign": "top", "text_wrap": True}),
        "number": book.add_format({"num_format": "#,##0.00", "valign": "top"}),
        "integer": book.add_format({"num_format": "0", "valign": "top"}),
        "date": book.add_format({"num_format": "yyyy-mm-dd", "valign": "top"}),
    }
    for number, column in enumerate(COLUMNS):
        sheet.set_column(number, number, WIDTHS.get(column.name, 13))
        sheet.write_string(0, number, column.title, heading)
        for line, row in enumerate(rows, start=1):
            _put(sheet, line, number, row.get(column.name), looks[column.type])
    sheet.freeze_panes(1, 1)
    sheet.autofilter(0, 0, max(len(rows), 1), len(COLUMNS) - 1)
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)
    sheet.repeat_rows(0)
    book.close()
    write_new_file(target, out.getvalue())


def _put(sheet: Any, line: int, number: int, value: Any, look: Any) -> None:
    if value is None or value == "":
        sheet.write_blank(line, number, None, look)
    elif isinstance(value, date):
        sheet.write_datetime(line, number, value, look)
    elif isinstance(value, int | float):
        sheet.write_number(line, number, value, look)
    else:
        text = str(value)
        sheet.write_string(line, number, f"{text} " if text.startswith("<r>") and text.endswith("</r>") else text, look)
