"""The sheets that are tables: Box contents, On hand, Price list, Supplier terms, Limits, and the hidden list of roles."""

import json
from collections.abc import Mapping
from typing import Any

from xlsxwriter.worksheet import Worksheet

from bomcheck.fields import Field, part_fields, supplier_fields
from bomcheck.shipped import folder
from bomcheck.workbook import layout, palette
from bomcheck.workbook.blank.forms import FRACTION_UNITS, TYPED_AS_TEXT, drop_down, put
from bomcheck.workbook.blank.looks import Book, note_size, row_height

EXPLAINED = {
    layout.BOX: "What lies in the kit's box, counted for the whole axle. One line per part.",
    layout.SHELF: "What lies on your own shelf and may be used for this job.",
    layout.PRICES: "Where the rest can be bought. Lines of several suppliers may stand here together.",
}
FILLED_BY = {layout.BOX: "box", layout.SHELF: "shelf", layout.PRICES: "prices"}
WIDTHS = {
    "role": 18,
    "part_number": 16,
    "description": 28,
    "supplier": 16,
    "side": 8,
    "thread": 13,
    "end_a": 23,
    "end_b": 23,
    "class": 11,
    "note": 24,
}
TERMS_EXPLAINED = "What a delivery costs. It decides from whom the parts are bought at the least cost in all."
TERM_WIDTHS = {"supplier": 26, "freight": 12, "minimum_order": 16, "note": 40}
LIMIT_WIDTHS = (48, 9, 9, 12, 11, 11, 31, 50)
LIMIT_TEXTS = {"title": 58, "source": 40, "governs": 64}  # characters that go on one line
LIMITS_EXPLAINED = (
    "Low and High are the usual limits. A figure of your own in the yellow cells replaces one; a figure printed by the kit maker "
    "rules over both."
)


def write_table(book: Book, name: str) -> None:
    """Adds Box contents, On hand or Price list, with what is filled in and empty rows below."""
    columns = layout.part_table_columns(name, book.system)
    sheet = book.sheet(name, palette.SKY)
    book.head(sheet, name, EXPLAINED[name], tuple(heading for _, heading in columns), "table heading")
    lines = book.filled.get(FILLED_BY[name], ())
    last = layout.FIRST_ROW + max(layout.TABLE_ROWS, len(lines) + 10) - 1
    for column, (field, _) in enumerate(columns):
        _write_column(book, sheet, column, field, last, [line.get(field.key) for line in lines])
    sheet.autofilter(layout.HEADING_ROW, 0, last, len(columns) - 1)
    sheet.ignore_errors({"number_stored_as_text": f"A1:Z{last + 1}"})
    sheet.print_area(0, 0, last, len(columns) - 1)


def _write_column(book: Book, sheet: Worksheet, column: int, field: Field, last: int, typed: list[Any]) -> None:
    sheet.set_column(column, column, WIDTHS.get(field.key, 10))
    sheet.write_comment(layout.HEADING_ROW, column, field.help, note_size(field.help))
    style = book.styles[_cell_style(field, book.system)]
    for row in range(layout.FIRST_ROW, last + 1):
        index = row - layout.FIRST_ROW
        put(sheet, row, column, typed[index] if index < len(typed) else None, style)
    if field.choices:
        options = drop_down(field)
        if field.key == "role":
            options["source"] = f"={layout.LISTS}!$A$2:$A${len(field.choices) + 1}"
        sheet.data_validation(layout.FIRST_ROW, column, last, column, options)


def _cell_style(field: Field, system: str) -> str:
    if field.key in ("unit_price", "freight", "minimum_order"):
        return "table money"
    fractions = field.shown_unit(system) in FRACTION_UNITS
    return "table text" if field.notation in TYPED_AS_TEXT or fractions else "table input"


def write_terms(book: Book) -> None:
    """Adds Supplier terms, with what is filled in and empty rows below."""
    columns = [supplier_fields()[key] for key in layout.TERM_COLUMNS]
    sheet = book.sheet(layout.TERMS, palette.SKY)
    book.head(sheet, layout.TERMS, TERMS_EXPLAINED, tuple(field.label for field in columns), "table heading")
    lines = book.filled.get("terms", ())
    last = layout.FIRST_ROW + max(layout.TERM_ROWS, len(lines) + 4) - 1
    for column, field in enumerate(columns):
        _write_column(book, sheet, column, field, last, [line.get(field.key) for line in lines])
        sheet.set_column(column, column, TERM_WIDTHS[field.key])
    sheet.print_area(0, 0, last, len(columns) - 1)


def write_lists(book: Book) -> None:
    """Adds the hidden sheet that the roles' drop-down refers to: the list is too long to stand in the drop-down itself."""
    sheet = book.sheet(layout.LISTS, palette.RULE)
    sheet.write_string(0, 0, part_fields()["role"].label)
    for row, role in enumerate(part_fields()["role"].choices, start=1):
        sheet.write_string(row, 0, role)
    sheet.hide()


def write_limits(book: Book) -> None:
    """Adds the Limits sheet: every usual limit, with cells for figures that replace it."""
    sheet = book.sheet(layout.LIMITS, palette.VERMILLION)
    book.head(sheet, layout.LIMITS, LIMITS_EXPLAINED, layout.LIMIT_HEADINGS)
    for column, width in enumerate(LIMIT_WIDTHS):
        sheet.set_column(column, column, width)
    rows = house_limit_rows()
    for row, limit in enumerate(rows, start=layout.FIRST_ROW):
        _write_limit(book, sheet, row, limit)
    sheet.print_area(0, 0, layout.HEADING_ROW + len(rows), len(layout.LIMIT_HEADINGS) - 1)


def house_limit_rows() -> list[dict[str, Any]]:
    """The rows of `schemas/limits.json` in their order."""
    text = (folder("schemas") / "limits.json").read_text(encoding="utf-8")
    rows: list[dict[str, Any]] = json.loads(text)["limits"]
    return rows


def _write_limit(book: Book, sheet: Worksheet, row: int, limit: Mapping[str, Any]) -> None:
    styles = book.styles
    sheet.set_row(row, max(row_height(limit[text], wide) for text, wide in LIMIT_TEXTS.items()))
    sheet.write_string(row, layout.LIMIT_WHAT, limit["title"], styles["label"])
    for column, bound in ((layout.LIMIT_LOW, limit["low"]), (layout.LIMIT_HIGH, limit["high"])):
        put(sheet, row, column, bound, styles["figure"])
    put(sheet, row, layout.LIMIT_UNIT, "" if limit["unit"] == "-" else limit["unit"], styles["plain"])
    for column, own in zip(
        (layout.YOUR_LOW, layout.YOUR_HIGH), book.filled.get("limits", {}).get(limit["name"], (None, None)), strict=True
    ):
        put(sheet, row, column, own, styles["input"])
    sheet.write_string(row, layout.LIMIT_SOURCE, limit["source"], styles["small"])
    sheet.write_string(row, layout.LIMIT_USE, limit["governs"], styles["small"])
