"""Means to make job workbooks with one thing wrong: a small good job, and cells of it replaced in the file itself."""

import io
import re
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Any
from xml.sax.saxutils import escape, quoteattr

from openpyxl import load_workbook

from bomcheck.io.blank.template import build_job_workbook

GOOD: dict[str, Any] = {
    "job": {"axle": "front", "corners": 2, "corner_side": "both", "currency": "EUR", "needed_by": date(2026, 10, 1)},
    "corner": {"hub_bolt_circle": "5x112", "hub_pilot_diameter": 66.5, "ear_spacing": 130.0},
    "kit": {"rotor_diameter": 330.0, "hat_bore": 66.6, "caliper_inlet": "M10x1.0 banjo port"},
    "box": [{"role": "rotor", "part_number": "R-1", "quantity": 2, "outer_diameter": 330, "thickness": 28}],
    "prices": [
        {"role": "fluid", "part_number": "F-1", "supplier": "A", "unit": "L", "pack_size": 0.5, "unit_price": 18}
    ],
}


@dataclass(frozen=True)
class Put:
    """XML of what a cell holds: its type and its inner elements. is_date: shown by the workbook's style for a date."""

    kind: str
    inner: str
    is_date: bool = False


def text(typed: str) -> Put:
    return Put("inlineStr", f'<is><t xml:space="preserve">{escape(typed)}</t></is>')


def number(value: float) -> Put:
    return Put("n", f"<v>{value!r}</v>")


def day(year: int, month: int, day_of_month: int) -> Put:
    """A date as a spreadsheet makes it out of "10-1"; days are counted from 30 December 1899."""
    return Put("n", f"<v>{(date(year, month, day_of_month) - date(1899, 12, 30)).days}</v>", is_date=True)


def clock(hours: int, minutes: int) -> Put:
    """A time of day as a spreadsheet makes it out of "4:1"."""
    return Put("n", f"<v>{(hours * 60 + minutes) / 1440!r}</v>", is_date=True)


def error(shown: str) -> Put:
    return Put("e", f"<f>1+{escape(shown)}</f><v>{escape(shown)}</v>")


def formula_without_value(formula: str) -> Put:
    return Put("n", f"<f>{escape(formula)}</f>")


def job_bytes(units: str = "metric", /, **changes: Any) -> bytes:
    """A workbook with the good job and changes, by the parts that the template's builder takes."""
    filled: dict[str, Any] = {key: value.copy() for key, value in GOOD.items()}
    for part, change in changes.items():
        filled[part] = {**filled.get(part, {}), **change} if isinstance(change, Mapping) else change
    stream = io.BytesIO()
    build_job_workbook(units, filled, stream)
    return stream.getvalue()


@cache
def good_bytes() -> bytes:
    return job_bytes()


def address(sheet: str, label: str, heading: str = "Value") -> str:
    """Address of the cell in the row of a label, under a heading; found with openpyxl, not with the reader."""
    rows = [row for row, cells in texts()[sheet].items() if row > 2 and cells.get("A") == label]
    return f"{column(sheet, heading)}{rows[-1]}"


def column(sheet: str, heading: str) -> str:
    """Letters of the column under a heading, its unit left out."""
    return next(letters for letters, said in texts()[sheet][2].items() if str(said).split(" [")[0] == heading)


@cache
def texts() -> dict[str, dict[int, dict[str, Any]]]:
    """Values of all sheets of the good job by row and column; labels stand in the same rows in every job."""
    book = load_workbook(io.BytesIO(good_bytes()))
    return {sheet.title: {row[0].row: _by_column(row) for row in sheet.iter_rows()} for sheet in book.worksheets}


def _by_column(row: tuple[Any, ...]) -> dict[str, Any]:
    return {cell.column_letter: cell.value for cell in row if cell.value is not None}


def with_cells(cells: Mapping[str, Put], data: bytes | None = None) -> bytes:
    """The workbook with cells replaced in the file, by "Sheet!B12"; below the last row, rows are added."""
    parts = unzipped(data or good_bytes())
    names = re.findall(r'<sheet name="([^"]+)"', parts["xl/workbook.xml"].decode())
    for where, put in cells.items():
        sheet, cell = where.split("!")
        part = f"xl/worksheets/sheet{names.index(sheet) + 1}.xml"
        style = _date_style(parts, names) if put.is_date else None
        parts[part] = _placed(parts[part].decode(), cell, put, style).encode()
    return zipped_again(parts)


def _date_style(parts: Mapping[str, bytes], names: list[str]) -> str:
    """The style of the good job's "Needed by", which shows a date."""
    sheet = parts[f"xl/worksheets/sheet{names.index('Job') + 1}.xml"].decode()
    found = re.search(rf'<c r="{address("Job", "Needed by")}" s="(\d+)"', sheet)
    assert found
    return found[1]


def _placed(sheet: str, cell: str, put: Put, style: str | None) -> str:
    there = re.search(rf'<c r="{cell}"(?: s="(\d+)")?[^>]*?(?:/>|>.*?</c>)', sheet)
    shown = style or (there[1] if there else None)
    styled = f" s={quoteattr(shown)}" if shown else ""
    made = f'<c r="{cell}"{styled} t="{put.kind}">{put.inner}</c>'
    if there:
        return sheet[: there.start()] + made + sheet[there.end() :]
    row = re.sub(r"\D", "", cell)
    if end := re.search(rf'<row r="{row}"[^>]*>.*?(?=</row>)', sheet):
        return sheet[: end.end()] + made + sheet[end.end() :]
    return sheet.replace("</sheetData>", f'<row r="{row}">{made}</row></sheetData>')


def renamed_sheet(old: str, new: str, data: bytes | None = None) -> bytes:
    """The workbook with the name of a tab changed."""
    parts = unzipped(data or good_bytes())
    before, after = f'<sheet name="{old}"', f'<sheet name="{new}"'
    assert before in parts["xl/workbook.xml"].decode()
    parts["xl/workbook.xml"] = parts["xl/workbook.xml"].decode().replace(before, after).encode()
    return zipped_again(parts)


def unzipped(data: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def zipped_again(parts: Mapping[str, bytes]) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    return stream.getvalue()
