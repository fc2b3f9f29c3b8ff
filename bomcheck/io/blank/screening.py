"""Blank tables of corners and kits: every field's label, its unit below, a ± beside each size that takes one."""

import csv
import io
from collections.abc import Iterator
from pathlib import Path

from bomcheck.io.replace_file import write_new
from bomcheck.model.errors import Fault, Place, WorkbookError
from bomcheck.tables.fields import Field, part_fields, section_fields

SECTIONS = {"corners": ("job", "corner", "system"), "kits": ("kit",)}
FIRST = {"corners": "vehicle_label", "kits": "kit_number"}
LEFT_OUT = (
    "units", "currency", "note", "prepared_by", "shop_letterhead", "tax_percent", "labour_rate", "ordered_on",
    "chosen_kit",
)  # fmt: skip


def headings(kind: str, inch: bool) -> Iterator[tuple[str, str, Field]]:
    """(heading, unit, field) of every column; what was read with a kit on the car is of no other kit."""
    from bomcheck.io.layout import unit_text

    known = [one for section in SECTIONS[kind] for one in section_fields(section) if one.key not in LEFT_OUT]
    for one in sorted((one for one in known if not one.reads), key=lambda one: one.key != FIRST[kind]):
        unit = unit_text(one, "inch" if inch else "metric")
        yield one.label, unit, one
        if one.takes_plus_minus:
            yield f"{one.label} ±", unit, one


def write_blank(path: Path, kind: str, inch: bool = False) -> None:
    """A blank table, as a workbook or as CSV by the file's name. Raises WorkbookError."""
    if path.suffix.lower() == ".csv":
        table, text = list(headings(kind, inch)), io.StringIO(newline="")
        csv.writer(text).writerows([[one[0] for one in table], [one[1] for one in table]])
        write_new(path, text.getvalue().encode("utf-8-sig"))
    elif path.suffix.lower() == ".xlsx":
        write_new(path, _workbook(kind, inch))
    else:
        wrong, instead = "a blank table is a workbook or CSV", "Name it .xlsx or .csv"
        raise WorkbookError(Fault("file", Place(path.name), "", wrong, instead))


def _workbook(kind: str, inch: bool) -> bytes:
    from xlsxwriter import Workbook

    from bomcheck.io import layout as palette

    out = io.BytesIO()
    book = Workbook(out, {"in_memory": True})
    head = book.add_format(
        {"bold": True, "text_wrap": True, "valign": "top", "bg_color": palette.PALE_BLUE, "border": 1}
    )
    unit_look = book.add_format({"font_color": palette.QUIET, "bottom": 2})
    sheet = book.add_worksheet("Corners" if kind == "corners" else "Kits")
    for column, (text, unit, one) in enumerate(headings(kind, inch)):
        sheet.set_column(column, column, 8 if text.endswith("±") else 16)
        sheet.write_string(0, column, text, head)
        sheet.write_string(1, column, unit, unit_look)
        if not text.endswith("±"):
            sheet.write_comment(0, column, one.help, {"x_scale": 2})
        if one.notation == "choice" and one.choices and sum(map(len, one.choices)) < 250:
            choices = {"validate": "list", "source": list(one.choices), "error_title": "Not one of the choices"}
            sheet.data_validation(2, column, 5000, column, choices)
    sheet.freeze_panes(2, 1)
    if kind == "kits":
        box = book.add_worksheet(palette.BOX)
        number = next(one for one in section_fields("kit") if one.key == FIRST[kind])
        for column, one in enumerate((number, *(part_fields()[key] for key in palette.TABLES[palette.BOX]))):
            heading = one.label if one is number else palette.part_heading(one, "inch" if inch else "metric")
            box.set_column(column, column, 16)
            box.write_string(0, column, heading, head)
            box.write_comment(0, column, one.help, {"x_scale": 2})
        box.freeze_panes(1, 1)
    book.close()
    return out.getvalue()
