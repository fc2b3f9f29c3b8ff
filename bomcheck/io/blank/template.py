"""Builds job workbooks: the blank templates, and filled ones by the same way.

    python -m bomcheck.io.blank.template

writes `templates_xlsx/job_metric.xlsx` and `job_inch.xlsx`, the same bytes each time.
"""

import csv
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path
from typing import Any

from xlsxwriter import Workbook

from bomcheck.io import layout
from bomcheck.io.blank.forms import house_limit_rows, write_form, write_limits, write_lists, write_table, write_terms
from bomcheck.io.blank.start import write_start
from bomcheck.io.disk import content_of
from bomcheck.io.replace_file import write_file
from bomcheck.io.sheets.looks import DEFAULT_FONT, Book, styles
from bomcheck.model.records import replace
from bomcheck.model.shipped import folder
from bomcheck.tables import FOLDER
from bomcheck.tables.fields import fields, part_fields

SYSTEMS = ("metric", "inch")
CREATED = datetime(2025, 1, 1, tzinfo=UTC)
TABLE_KEYS = ("box", "shelf", "prices")
SECTION_KEYS = tuple(layout.FIELD_SHEETS.values())


def build_job_workbook(system: str, filled: Mapping[str, Any] | None = None, out: Path | BytesIO | None = None) -> None:
    """Writes a job workbook.

    system: "metric" or "inch", the units of bare numbers. filled: what to fill in, each part of it optional:
    "job", "corner", "kit", "system": {field key: number, or text as a person would type it};
    "plus_minus": {field key: number or text}; "box", "shelf", "prices": [{part key: value}]; "terms": [{key of the supplier schema: value}];
    "limits": {limit name: (low, high)}, None for a cell left blank; "start_note": a sentence for the first sheet;
    "axles": {"front" or "rear": {"corner", "kit", "plus_minus", "box" of that axle; "corner left", "corner right": what
    differs there}}, for a car whose axles both get a kit; "kits": {"B", "C" ...: {"kit", "plus_minus", "box", "axles" of
    that kit}}, for kits that are compared.
    out: file or buffer. Raises ValueError for a name that no sheet has.
    """
    given = dict(filled or {})
    _refuse_unknown(system, given)
    made = out if isinstance(out, BytesIO) else BytesIO()
    workbook = Workbook(made, {"in_memory": True, "default_format_properties": DEFAULT_FONT})
    workbook.set_properties({"title": f"Brake job workbook, {system}", "author": "bomcheck", "created": CREATED})
    book = Book(workbook, system, styles(workbook), given)
    write_start(book)
    for name in layout.FIELD_SHEETS:
        for axle, letter, own in _each(book, name):
            write_form(own, name, axle, letter=letter)
            if name == layout.CORNER:
                _write_sides(own, axle)
    for name in layout.TABLES:
        for axle, letter, own in _each(book, name):
            write_table(own, name, axle, letter)
    write_terms(book)
    write_limits(book)
    write_lists(book)
    workbook.close()
    if isinstance(out, Path):
        write_file(out, made.getvalue(), content_of(out))


def _by_axle(book: Book, name: str) -> list[tuple[str, Book]]:
    """The book for each axle that has a sheet of this name of its own, with what is filled in for it; else as it is."""
    axles = book.filled.get("axles", {}) if name in layout.OF_AXLE else {}
    return [(axle, replace(book, filled={**book.filled, **own})) for axle, own in axles.items()] or [("", book)]


def _each(book: Book, name: str) -> Iterator[tuple[str, str, Book]]:
    """Each sheet of this name: its axle, the letter of its kit, and the book with what is filled in there."""
    kits = book.filled.get("kits", {}) if name in layout.OF_KIT else {}
    for axle, own in _by_axle(book, name):
        yield axle, "", own
        for letter, kit in kits.items():
            of_axle = kit.get("axles", {}).get(axle, {}) if axle else kit
            yield axle, letter, replace(book, filled={**book.filled, "kit": {}, "box": [], "plus_minus": {}, **of_axle})


def _write_sides(book: Book, axle: str) -> None:
    """The corner sheets of the sides, with what differs there."""
    for side in layout.SIDE_SHEETS:
        if typed := book.filled.get(f"corner {side}"):
            write_form(
                replace(book, filled={**book.filled, "corner": typed, "plus_minus": {}}), layout.CORNER, axle, side
            )


def template_name(system: str) -> str:
    """File name of a blank template."""
    return f"job_{system}.xlsx"


def write_templates(into: Path) -> list[Path]:
    """Writes the blank templates, and those with the starter price list, into a folder."""
    paths = []
    for system in SYSTEMS:
        paths += [into / template_name(system), into / f"job_{system}_with_line_parts.xlsx"]
        build_job_workbook(system, out=paths[-2])
        build_job_workbook(system, filled={"prices": starter_rows(system)}, out=paths[-1])
    return paths


def starter_rows(system: str) -> list[dict[str, Any]]:
    """The starter price list, a dict by column key; an inch list states its millimetres."""
    lines = (FOLDER / "starter_line_parts.csv").read_text(encoding="utf-8").splitlines()
    columns = set(_columns_of("prices"))
    rows = csv.DictReader(line for line in lines if not line.startswith("# ") and line != "#")
    return [{key: _figure(key, cell, system) for key, cell in row.items() if cell and key in columns} for row in rows]


def _figure(key: str, cell: str, system: str) -> str | float:
    field = part_fields()[key]
    if field.notation != "number":
        return cell
    return f"{cell} mm" if field.unit == "mm" and system == "inch" else float(cell)


def _refuse_unknown(system: str, filled: Mapping[str, Any]) -> None:
    if system not in SYSTEMS:
        raise ValueError(f'"{system}" is no system of units; choose metric or inch')
    sides = [f"corner {side}" for side in layout.SIDE_SHEETS]
    known = {*SECTION_KEYS, *TABLE_KEYS, "terms", "plus_minus", "limits", "start_note", "axles", "kits", *sides}
    _refuse("part", set(filled) - known)
    _refuse("kit", set(filled.get("kits", {})) - set(layout.KITS[1:]))
    _refuse("axle", set(filled.get("axles", {})) - set(layout.AXLES))
    for own in (*filled.get("axles", {}).values(), *filled.get("kits", {}).values()):
        _refuse_unknown(system, own)
    for side in sides:
        _refuse(f"{side} field", set(filled.get(side, {})) - set(_keys_of("corner")))
    for section in SECTION_KEYS:
        _refuse(f"{section} field", set(filled.get(section, {})) - set(_keys_of(section)))
    _refuse(
        "field that takes a ±",
        set(filled.get("plus_minus", {})) - {f.key for f in fields().values() if f.takes_plus_minus},
    )
    for table in TABLE_KEYS:
        for line in filled.get(table, ()):
            _refuse(f"column of {table}", set(line) - set(_columns_of(table)))
    for line in filled.get("terms", ()):
        _refuse("column of the terms", set(line) - set(layout.TERM_COLUMNS))
    _refuse("limit", set(filled.get("limits", {})) - {row["name"] for row in house_limit_rows()})


def _keys_of(section: str) -> list[str]:
    return [field.key for field in fields().values() if field.section == section]


def _columns_of(table: str) -> tuple[str, ...]:
    sheet = dict(zip(TABLE_KEYS, (layout.BOX, layout.SHELF, layout.PRICES), strict=True))[table]
    return tuple(key for key in part_fields() if key in layout.TABLES[sheet])


def _refuse(what: str, unknown: set[str]) -> None:
    if unknown:
        raise ValueError(f"there is no {what} called {', '.join(sorted(unknown))}")


if __name__ == "__main__":
    for written in write_templates(folder("templates_xlsx")):
        print(written)
