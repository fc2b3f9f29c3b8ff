"""The sheets on which fields are filled in: Job, Corner, Kit, System."""

import json
from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from xlsxwriter.worksheet import Worksheet

from bomcheck.io import layout
from bomcheck.io import layout as palette
from bomcheck.io.sheets.looks import DEFAULT_ROW, Book, note_size, row_height
from bomcheck.model.limits import to_inches
from bomcheck.model.shipped import folder
from bomcheck.notation import units
from bomcheck.tables import page
from bomcheck.tables.fields import Field, part_fields, schema, supplier_fields
from bomcheck.tables.sources import SOURCES

WIDTHS = (28, 20, 12, 9, 11, 22, 41)  # so that the smallest print is 8 pt on either paper
TABS = {
    layout.JOB: palette.BLUE,
    layout.CORNER: palette.GREEN,
    layout.KIT: palette.ORANGE,
    layout.SYSTEM: palette.PURPLE,
}
TYPED_AS_TEXT = ("text", "thread", "bolt circle", "bolt circles", "line end", "shims", "bores", "pairs", "choices")
FRACTION_UNITS = ("in",)


def write_form(book: Book, name: str, axle: str = "", side: str = "", letter: str = "") -> None:
    """Adds one sheet of fields, with what is filled in. axle, side, letter of the kit: of a sheet that is of one alone."""
    section = layout.FIELD_SHEETS[name]
    tab = layout.kit_sheet(layout.axle_sheet(layout.SIDE_SHEETS.get(side, name), axle), letter)
    sheet = book.sheet(tab, TABS[name])
    book.head(sheet, tab, schema("job")["properties"][section]["description"], layout.FIELD_HEADINGS)
    for column, width in enumerate(WIDTHS):
        sheet.set_column(column, column, width)
    row = layout.FIRST_ROW
    headed = list[int]()
    for group, members in layout.groups(section).items():
        headed.append(row)
        row = _write_group(book, sheet, row, group, members)
    sheet.ignore_errors({"number_stored_as_text": f"B1:D{row}"})
    book.finish(sheet, row, WIDTHS, headed)


def _write_group(book: Book, sheet: Worksheet, row: int, group: str, members: list[Field]) -> int:
    """Heading of the group and its fields from `row` on; returns the row after them."""
    sheet.set_row(row, 20)
    for column in range(len(layout.FIELD_HEADINGS)):
        sheet.write(row, column, group if column == layout.WHAT else None, book.styles["group"])
    for field in members:
        row += 1
        _write_field(book, sheet, row, field)
    return row + 1


def _write_field(book: Book, sheet: Worksheet, row: int, field: Field) -> None:
    styles, system = book.styles, book.system
    sheet.set_row(row, _height(book, field))
    sheet.write_string(row, layout.WHAT, field.label, styles["label"])
    _write_value(book, sheet, row, field, book.filled.get(field.section, {}))
    put(sheet, row, layout.UNIT, layout.unit_text(field, system), styles["plain"])
    _write_plus_minus(book, sheet, row, field)
    sheet.write_string(row, layout.USUAL, usual_text(field, system), styles["small"])
    sheet.write_string(row, layout.HELP, field.help, styles["small"])


def _height(book: Book, field: Field) -> float:
    typed = book.filled.get(field.section, {}).get(field.key, "")
    return max(row_height(field.help, 52), row_height(str(typed), 19), row_height(usual_text(field, book.system), 28))


def _write_value(book: Book, sheet: Worksheet, row: int, field: Field, typed: Mapping[str, Any]) -> None:
    value = typed.get(field.key, book.system if field.key == "units" else None)
    put(sheet, row, layout.VALUE, value, book.styles[_value_style(field, book.system)])
    if field.notation == "choice":
        sheet.data_validation(row, layout.VALUE, row, layout.VALUE, drop_down(field))
    note = note_text(field, book.system)
    sheet.write_comment(row, layout.VALUE, note, note_size(note))


def _write_plus_minus(book: Book, sheet: Worksheet, row: int, field: Field) -> None:
    """The ± of a size and where it is from."""
    if not field.takes_plus_minus:
        sheet.write_blank(row, layout.PLUS_MINUS, None, book.styles["none"])
        sheet.write_blank(row, layout.FROM, None, book.styles["none"])
        return
    fractions = field.shown_unit(book.system) in FRACTION_UNITS
    typed = book.filled.get("plus_minus", {}).get(field.key)
    put(sheet, row, layout.PLUS_MINUS, typed, book.styles["input text" if fractions else "input"])

    put(sheet, row, layout.FROM, book.filled.get("from", {}).get(field.key), book.styles["input long text"])
    sheet.data_validation(row, layout.FROM, row, layout.FROM, {**drop_down(field), "source": list(SOURCES)})


def _value_style(field: Field, system: str) -> str:
    """Cells that take a notation or a fraction are text cells, so that a spreadsheet makes no date of "10-1" or "3/4"."""
    if field.notation == "date":
        return "input date"
    if field.notation in TYPED_AS_TEXT:
        return "input long text"
    return "input text" if field.shown_unit(system) in (*FRACTION_UNITS, "") else "input"


def put(sheet: Worksheet, row: int, column: int, value: Any, style: Any) -> None:
    """Writes what a person would have typed: a number as a number, a day as a day, anything else as text."""
    if value is None or value == "":
        sheet.write_blank(row, column, None, style)
    elif isinstance(value, (int, float)):
        sheet.write_number(row, column, value, style)
    elif isinstance(value, date):
        sheet.write_datetime(row, column, datetime(value.year, value.month, value.day), style)
    else:
        sheet.write_string(row, column, str(value), style)


def drop_down(field: Field) -> dict[str, Any]:
    """Options of the drop-down of a field with choices."""
    return {
        "validate": "list",
        "source": list(field.choices),
        "error_title": field.label,
        "error_message": "Choose one of the list, or leave the cell blank.",
    }


def usual_text(field: Field, system: str) -> str:
    """The usual ± and the instrument, "±0.02 mm, micrometer"."""
    parts = [f"±{plus_minus_text(field, system)}"] if field.takes_plus_minus else []
    return ", ".join([*parts, field.instrument])


def plus_minus_text(field: Field, system: str) -> str:
    """The usual ± in the shown unit with at most two figures, "0.0008 in"."""
    return _shown(field.plus_minus, field, system, figures=2, difference=True)


def note_text(field: Field, system: str) -> str:
    """The cell note: what to find out, what is plausible, what to choose from."""
    lines = [field.question]
    if field.low is not None and field.high is not None:
        low, high = (_shown(bound, field, system, figures=3) for bound in (field.low, field.high))
        lines.append(f"Plausible: {low} to {high}.")
    if field.choices:
        lines.append("One of: " + ", ".join(field.choices) + ".")
    if field.takes_plus_minus:
        lines.append(f"± left blank: {plus_minus_text(field, system)}. ± 0 means exact.")
    return "\n".join(lines)


def _shown(value: float, field: Field, system: str, figures: int, difference: bool = False) -> str:
    inside = units.named(field.unit)
    shown = units.named(field.shown_unit(system)) or inside
    if inside is None or shown is None or inside.name == "-":
        return f"{value:g}"
    if inside != shown:  # to so many figures; whole numbers are kept whole
        value = units.convert(value, inside, shown, difference)
        value = float(f"{value:.{figures}g}") if abs(value) < 10**figures else round(value)
    return f"{value:g} {shown.name}"


FILLED_BY = {layout.BOX: "box", layout.SHELF: "shelf", layout.PRICES: "prices"}
TABLE_WIDTHS = {
    "role": 12, "part_number": 12, "description": 18, "quantity": 8, "on_hand": 8, "unit": 8, "supplier": 12,
    "side": 6, "thread": 10, "end_a": 11, "end_b": 11, "length": 8, "class": 7, "road_marked": 7, "note": 9,
}  # fmt: skip
TERM_WIDTHS = {"supplier": 26, "freight": 12, "minimum_order": 16, "note": 62}
LIMIT_WIDTHS = (39, 8, 8, 11, 9, 9, 24, 34)
LIMIT_TEXTS = {"title": 44, "source": 29, "governs": 43}  # characters that go on one line


def write_table(book: Book, name: str, axle: str = "", letter: str = "") -> None:
    """Adds Box contents, On hand or Price list, with what is filled in and empty rows below. axle, letter: of whose kit the
    box is."""
    columns = layout.part_table_columns(name, book.system)
    tab = layout.kit_sheet(layout.axle_sheet(name, axle), letter)
    sheet = book.sheet(tab, palette.SKY)
    book.head(sheet, tab, page(name), tuple(heading for _, heading in columns), "table heading")
    lines = book.filled.get(FILLED_BY[name], ())
    last = layout.FIRST_ROW + max(layout.TABLE_ROWS, len(lines) + 10) - 1
    for column, (field, _) in enumerate(columns):
        _write_column(book, sheet, column, field, last, [line.get(field.key) for line in lines])
    widths = {field.key: TABLE_WIDTHS.get(field.key, 9) for field, _ in columns}
    for row, line in enumerate(lines, start=layout.FIRST_ROW):
        wrapped = {
            key: row_height(str(line.get(key, "")), int(wide * 1.1), least=DEFAULT_ROW) for key, wide in widths.items()
        }
        sheet.set_row(row, max(wrapped.values()))
    sheet.autofilter(layout.HEADING_ROW, 0, last, len(columns) - 1)
    sheet.ignore_errors({"number_stored_as_text": f"A1:Z{last + 1}"})
    book.finish(sheet, last + 1, list(widths.values()))


def _write_column(book: Book, sheet: Worksheet, column: int, field: Field, last: int, typed: list[Any]) -> None:
    sheet.set_column(column, column, TABLE_WIDTHS.get(field.key, 9))
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
    book.head(sheet, layout.TERMS, page(layout.TERMS), tuple(field.label for field in columns), "table heading")
    lines = book.filled.get("terms", ())
    last = layout.FIRST_ROW + max(layout.TERM_ROWS, len(lines) + 4) - 1
    for column, field in enumerate(columns):
        _write_column(book, sheet, column, field, last, [line.get(field.key) for line in lines])
        sheet.set_column(column, column, TERM_WIDTHS[field.key])
    book.finish(sheet, last + 1, list(TERM_WIDTHS.values()))


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
    book.head(sheet, layout.LIMITS, page(layout.LIMITS), layout.LIMIT_HEADINGS)
    for column, width in enumerate(LIMIT_WIDTHS):
        sheet.set_column(column, column, width)
    rows = house_limit_rows()
    for row, limit in enumerate(rows, start=layout.FIRST_ROW):
        _write_limit(book, sheet, row, limit)
    book.finish(sheet, layout.FIRST_ROW + len(rows), LIMIT_WIDTHS)


def house_limit_rows() -> list[dict[str, Any]]:
    """The rows of `schemas/limits.json` in their order."""
    text = (folder("schemas") / "limits.json").read_text(encoding="utf-8")
    rows: list[dict[str, Any]] = json.loads(text)["limits"]
    return rows


def _write_limit(book: Book, sheet: Worksheet, row: int, limit: Mapping[str, Any]) -> None:
    styles = book.styles
    sheet.set_row(row, max(row_height(limit[text], wide) for text, wide in LIMIT_TEXTS.items()))
    sheet.write_string(row, layout.LIMIT_WHAT, limit["title"], styles["label"])
    inches = limit["unit"] == "mm" and book.system == "inch"
    for column, bound in ((layout.LIMIT_LOW, limit["low"]), (layout.LIMIT_HIGH, limit["high"])):
        put(sheet, row, column, to_inches(bound) if inches and bound is not None else bound, styles["figure"])
    unit = "in" if inches else "" if limit["unit"] == "-" else limit["unit"]
    put(sheet, row, layout.LIMIT_UNIT, unit, styles["plain"])
    for column, own in zip(
        (layout.YOUR_LOW, layout.YOUR_HIGH), book.filled.get("limits", {}).get(limit["name"], (None, None)), strict=True
    ):
        put(sheet, row, column, f"{own:g} mm" if inches and own is not None else own, styles["input"])
    sheet.write_string(row, layout.LIMIT_SOURCE, limit["source"], styles["small"])
    sheet.write_string(row, layout.LIMIT_USE, limit["governs"], styles["small"])
