"""The shop's records: a workbook with a plain table each for kits, corners, wheels, kits' boxes and prices, and one for itself.

Kits and Corners have the columns of the screening tables, so one file serves both: headings in the first row, units in
the second. What else stands in these sheets (own columns, own rows) is kept; other sheets stay byte for byte.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field
from io import BytesIO
from pathlib import Path

from xlsxwriter import Workbook

from bomcheck.io import layout
from bomcheck.io.cells import Cell
from bomcheck.io.layout import PALE_BLUE, QUIET, TABLES, TERM_COLUMNS, unit_text
from bomcheck.io.mark import marked_sheets
from bomcheck.io.package import Package, cells_by_row, open_package
from bomcheck.io.refusal import refuse
from bomcheck.io.replace_file import write_new
from bomcheck.io.splice import reason_not_to_touch, write_back
from bomcheck.model.records import dataclass
from bomcheck.tables.fields import Field, fields, part_fields, section_fields, supplier_fields

KITS, CORNERS, WHEELS, SHOP = "Kits", "Corners", "Wheels", "Shop"
BOXES, PRICES, TERMS = layout.BOX, layout.PRICES, layout.TERMS
SHEETS = (KITS, CORNERS, WHEELS, BOXES, PRICES, SHOP, TERMS)
OF_SHOP = ("shop_letterhead", "currency", "tax_percent", "labour_rate")
"""What is the shop's own on the Job sheet and the same in every job: one row of records."""
KEPT_ON, FROM_JOB, NOT_AGREED = "Kept on", "From job", "Not agreed"
WHEEL_NAME, KIT_REVISION = "Wheel", "Kit revision"
PRICE_LINE = ("supplier", "part_number", "role", "side")
ONE_LINE = {
    BOXES: ("kit_number", KIT_REVISION, "role", "part_number", "description", "side"),
    PRICES: PRICE_LINE,
    TERMS: ("supplier",),
}
"""What makes two lines of a list one."""
LEFT_OUT = ("units", "currency", "note", "prepared_by", "shop_letterhead", "tax_percent", "labour_rate", "needed_by", "ordered_on", "customer_reference",
            "chosen_kit", "job_number", "corner_side", "corners")  # fmt: skip
Text = str | float


@dataclass
class Record:
    """One row: what stands under each heading."""

    cells: dict[str, Text] = field(default_factory=dict)

    def text(self, heading: str) -> str:
        """The cell as text, "" where it is empty."""
        return str(self.cells.get(heading, "")).strip()


@dataclass
class Records:
    """path; package: None for a file that is not there yet. rows: by sheet. own_columns: headings that we do not know."""

    path: Path
    package: Package | None
    rows: dict[str, list[Record]]
    own_columns: dict[str, list[str]]

    def find(self, sheet: str, **named: str) -> list[Record]:
        """The rows of a sheet whose cells are these, by field key or heading; capitals and spaces do not count."""
        wanted = {heading_of(name): _plain(text) for name, text in named.items() if text}
        return [row for row in self.rows[sheet] if all(_plain(row.text(at)) == text for at, text in wanted.items())]


def _plain(text: str) -> str:
    return " ".join(text.casefold().split())


def heading_of(name: str) -> str:
    """The heading of a field's or a part's column."""
    known = fields().get(name) or part_fields().get(name) or supplier_fields().get(name)
    return known.label if known else name


def columns(sheet: str) -> list[tuple[str, str, Field | None, bool]]:
    """(heading, unit, field, whether it holds the ±) of every column of a sheet, in order."""
    return list(_columns(sheet))


def _columns(sheet: str) -> Iterator[tuple[str, str, Field | None, bool]]:
    if sheet in ONE_LINE:
        if sheet == BOXES:
            yield heading_of("kit_number"), "", fields()["kit_number"], False
            yield KIT_REVISION, "", fields()["kit_revision"], False
        for one in (
            (supplier_fields()[key] for key in TERM_COLUMNS)
            if sheet == TERMS
            else (part_fields()[key] for key in TABLES[sheet])
        ):
            yield one.label, unit_text(one, "metric"), one, False
    else:
        if sheet == WHEELS:
            yield WHEEL_NAME, "", None, False
        for one in sheet_fields(sheet):
            yield one.label, unit_text(one, "metric"), one, False
            if one.takes_plus_minus:
                yield f"{one.label} ±", unit_text(one, "metric"), one, True
        yield NOT_AGREED, "", None, False
    yield KEPT_ON, "", None, False
    yield FROM_JOB, "", None, False


def sheet_fields(sheet: str) -> list[Field]:
    """The fields of Kits, Corners, Wheels or Shop, what names the row first."""
    if sheet == SHOP:
        return [fields()[key] for key in OF_SHOP]
    first: tuple[str, ...]
    if sheet == KITS:
        known, first = section_fields("kit"), ("kit_number", "kit_revision")
    elif sheet == WHEELS:
        known, first = [one for one in section_fields("corner") if one.group == "Wheel"], ()
    else:
        known = [one for section in ("job", "corner", "system") for one in section_fields(section)]
        first = ("vehicle_label", "axle")
    return sorted(
        (one for one in known if one.key not in LEFT_OUT and not one.reads), key=lambda one: one.key not in first
    )


def open_records(path: Path, must_exist: bool = False) -> Records:
    """The records, or empty ones for a file that is not there yet. Raises WorkbookError."""
    if path.suffix.lower() != ".xlsx":
        raise refuse("file", path.name, "records are a workbook", "Give a name that ends in .xlsx")
    if not path.exists():
        if must_exist:
            raise refuse("file", path.name, "there is no such file", "Make it with `bomcheck keep JOB --in FILE`")
        return Records(path, None, {sheet: [] for sheet in SHEETS}, {sheet: [] for sheet in SHEETS})
    package = open_package(path)
    marked = marked_sheets(package)
    found = Records(path, package, {}, {})
    for sheet in SHEETS:
        name = marked.get(kind_of(sheet)) or next((one for one in package.sheet_names if one == sheet), None)
        rows, headings = _read(package.cells(name)) if name else ([], [])
        ours = {heading for heading, *_ in columns(sheet)}
        found.rows[sheet] = rows
        found.own_columns[sheet] = [heading for heading in headings if heading not in ours]
        if name and name not in marked.values():
            wrong = f'the sheet "{name}" is not one that this program made'
            raise refuse("not a bomcheck sheet", path.name, wrong, "Keep the records in a file of their own")
    return found


def kind_of(sheet: str) -> str:
    """The mark by which a sheet of records is known again."""
    return f"records {sheet.lower()}"


def _read(cells: Mapping[str, Cell]) -> tuple[list[Record], list[str]]:
    by_row = cells_by_row(cells)
    headings = {column: cell.text.strip() for column, cell in sorted(by_row.get(1, {}).items())}
    rows = []
    for number in sorted(row for row in by_row if row > 2):
        made = {headings.get(at, f"column {at}"): cell.content for at, cell in sorted(by_row[number].items())}
        rows.append(Record({heading: text for heading, text in made.items() if text != ""}))
    return [row for row in rows if row.cells], list(headings.values())


def write_records(records: Records) -> None:
    """Writes all sheets of the records. Raises WorkbookError; the file is then unchanged."""
    made = _workbook(records)
    if records.package is None:
        write_new(records.path, made)
        return
    reason = reason_not_to_touch(records.package, records.path, in_place=True)
    if reason:
        raise refuse("file", records.path.name, f"{reason}, so nothing was written", "Close it there and try again")
    write_back(records.package, made, {sheet: kind_of(sheet) for sheet in SHEETS}, records.path)


def _workbook(records: Records) -> bytes:
    out = BytesIO()
    book = Workbook(out, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False})
    head = book.add_format({"bold": True, "text_wrap": True, "valign": "top", "bg_color": PALE_BLUE, "border": 1})
    unit_look = book.add_format({"font_color": QUIET, "bottom": 2})
    text_look = book.add_format({"num_format": "@", "valign": "top"})
    for name in SHEETS:
        sheet = book.add_worksheet(name)
        book.define_name(f"'{name}'!bomcheck_sheet", f'="{kind_of(name)}|{name}"')
        titles = [(heading, unit) for heading, unit, *_ in columns(name)] + [
            (own, "") for own in records.own_columns[name]
        ]
        for column, (heading, unit) in enumerate(titles):
            sheet.set_column(column, column, 8 if heading.endswith("±") else 16)
            sheet.write_string(0, column, heading, head)
            sheet.write_string(1, column, unit, unit_look)
        _fill(sheet, [heading for heading, _ in titles], records.rows[name], text_look)
        sheet.freeze_panes(2, 1)
    book.close()
    return out.getvalue()


def _fill(sheet: object, headings: Sequence[str], rows: Sequence[Record], look: object) -> None:
    for number, record in enumerate(rows, start=2):
        for column, heading in enumerate(headings):
            value = record.cells.get(heading)
            if isinstance(value, str):
                sheet.write_string(number, column, value, look)  # type: ignore[attr-defined]
            elif value is not None:
                sheet.write_number(number, column, value)  # type: ignore[attr-defined]
