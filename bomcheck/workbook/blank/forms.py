"""The sheets on which fields are filled in: Job, Corner, Kit, System."""

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from xlsxwriter.worksheet import Worksheet

from bomcheck import units
from bomcheck.fields import Field, schema
from bomcheck.workbook import layout, palette
from bomcheck.workbook.blank.looks import Book, note_size, row_height

WIDTHS = (31, 24, 12, 9, 27, 66)
TABS = {
    layout.JOB: palette.BLUE,
    layout.CORNER: palette.GREEN,
    layout.KIT: palette.ORANGE,
    layout.SYSTEM: palette.PURPLE,
}
TYPED_AS_TEXT = ("text", "thread", "bolt circle", "bolt circles", "line end", "shims", "bores", "pairs", "choices")
ONE_PAGE_ROWS = 60
FRACTION_UNITS = ("in",)


def write_form(book: Book, name: str) -> None:
    """Adds one sheet of fields, with what is filled in."""
    section = layout.FIELD_SHEETS[name]
    sheet = book.sheet(name, TABS[name])
    book.head(sheet, name, schema("job")["properties"][section]["description"], layout.FIELD_HEADINGS)
    for column, width in enumerate(WIDTHS):
        sheet.set_column(column, column, width)
    row = layout.FIRST_ROW
    for group, members in layout.groups(section).items():
        row = _write_group(book, sheet, row, group, members)
    sheet.ignore_errors({"number_stored_as_text": f"B1:D{row}"})
    sheet.print_area(0, 0, row - 1, layout.HELP)
    if row <= ONE_PAGE_ROWS:
        sheet.fit_to_pages(1, 1)


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
    return max(row_height(field.help, 86), row_height(str(typed), 23), row_height(usual_text(field, book.system), 34))


def _write_value(book: Book, sheet: Worksheet, row: int, field: Field, typed: Mapping[str, Any]) -> None:
    value = typed.get(field.key, book.system if field.key == "units" else None)
    put(sheet, row, layout.VALUE, value, book.styles[_value_style(field, book.system)])
    if field.notation == "choice":
        sheet.data_validation(row, layout.VALUE, row, layout.VALUE, drop_down(field))
    note = note_text(field, book.system)
    sheet.write_comment(row, layout.VALUE, note, note_size(note))


def _write_plus_minus(book: Book, sheet: Worksheet, row: int, field: Field) -> None:
    if not field.takes_plus_minus:
        sheet.write_blank(row, layout.PLUS_MINUS, None, book.styles["none"])
        return
    fractions = field.shown_unit(book.system) in FRACTION_UNITS
    typed = book.filled.get("plus_minus", {}).get(field.key)
    put(sheet, row, layout.PLUS_MINUS, typed, book.styles["input text" if fractions else "input"])


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
        lines.append(f"Plausible: {_bounds(field, system)}.")
    if field.choices:
        lines.append("One of: " + ", ".join(field.choices) + ".")
    if field.takes_plus_minus:
        lines.append(f"± left blank: {plus_minus_text(field, system)}. ± 0 means exact.")
    return "\n".join(lines)


def _bounds(field: Field, system: str) -> str:
    assert field.low is not None
    assert field.high is not None
    low, high = (_shown(bound, field, system, figures=3) for bound in (field.low, field.high))
    return f"{low} to {high}"


def _shown(value: float, field: Field, system: str, figures: int, difference: bool = False) -> str:
    inside = units.named(field.unit)
    shown = units.named(field.shown_unit(system)) or inside
    if inside is None or shown is None or inside.name == "-":
        return f"{value:g}"
    converted = units.convert(value, inside, shown, difference)
    return f"{value if inside == shown else _rounded(converted, figures):g} {shown.name}"


def _rounded(value: float, figures: int) -> float:
    """To so many figures; whole numbers are kept whole."""
    return float(f"{value:.{figures}g}") if abs(value) < 10**figures else round(value)
