"""Twenty faulty tables for screening, tiny and well named: (name, file's bytes, what the one line says).

`python -m tests.faulty.tables DIR` writes them out to look at.
"""

import csv
import io
import sys
import tempfile
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from tests.helpers import tables

ROWS = [{**tables.kits(1)[0], "kit_number": name} for name in ("A1", "A2", "A3")]


class Faulty(NamedTuple):
    """name: with the ending. content: of the file. says: text in the one line. place: where the line points. rows: of those three
    that are still read, 0 where the whole table is refused."""

    name: str
    content: bytes
    says: str
    place: str
    rows: int


def _table(rows: list[dict[str, object]], units: bool = True, drop: tuple[str, ...] = ()) -> str:
    kept = [{key: value for key, value in row.items() if key not in drop} for row in rows]
    with tempfile.TemporaryDirectory() as folder:
        return tables.write_csv(Path(folder) / "table.csv", kept, units=units).read_text("utf-8")


def _changed(key: str, value: object, row: int = 1) -> str:
    rows = [dict(one) for one in ROWS]
    rows[row][key] = value
    return _table(rows)


def _workbook(cell: str) -> bytes:
    from xlsxwriter import Workbook

    made = io.BytesIO()
    book = Workbook(made, {"in_memory": True})
    sheet = book.add_worksheet()
    for row, line in enumerate(_table(ROWS).splitlines()):
        for column, text in enumerate(next(csv.reader([line]))):
            try:
                sheet.write_number(row, column, float(text))
            except ValueError:
                sheet.write_string(row, column, text)
    if cell:
        sheet.write_formula(3, 2, cell, None, "#DIV/0!")
    book.close()
    return made.getvalue()


def faulty() -> Iterator[Faulty]:
    """All of them."""
    good = _table(ROWS)
    head, units, *lines = good.splitlines()
    yield Faulty("empty.csv", b"", "the file is empty", "empty.csv", 0)
    yield Faulty("headings_only.csv", f"{head}\n{units}\n".encode(), "holds no kits", "headings_only.csv", 0)
    yield Faulty("missing_column.csv", _table(ROWS, drop=("hat_bore", "hat_bore ±")).encode(), "Hat bore", "columns", 3)
    yield Faulty(
        "no_names.csv", _table(ROWS, drop=("kit_number",)).encode(), "no column names the kits", "no_names.csv", 0
    )
    yield Faulty(
        "mixed_units.csv", _changed("rotor_diameter", 13).encode(), "looks like", "row 4, column rotor_diameter", 2
    )
    yield Faulty(
        "no_units.csv", _table(ROWS, units=False).encode(), "nothing tells the unit", "row 2, column rotor_diameter", 0
    )
    yield Faulty("unknown_unit.csv", good.replace(",mm,", ",furlong,", 1).encode(), '"furlong" is no unit', "row 2", 0)
    yield Faulty(
        "twice_the_name.csv",
        _changed("kit_number", "A1").encode(),
        "row 3 has the same name",
        "row 4, column kit_number",
        2,
    )
    yield Faulty("twice_the_heading.csv", _twice(good).encode(), "two columns are called", "columns", 0)
    yield Faulty(
        "unknown_heading.csv",
        good.replace("hat_bore_chamfer", "hat bore champfer", 1).encode(),
        "no field has this name",
        "column hat bore champfer",
        3,
    )
    yield Faulty(
        "heading_of_corners.csv",
        good.replace("caliper_lowest", "ear_spacing", 1).encode(),
        "field of corners",
        "column ear_spacing",
        3,
    )
    yield Faulty(
        "million_columns.csv",
        ("kit_number" + ",x" * 1_000_000 + "\nA1\n").encode(),
        "more than 200,000 columns",
        "million_columns.csv",
        0,
    )
    yield Faulty("wrong_encoding.csv", good.replace("A2", "Größe", 1).encode("latin-1"), "not in UTF-8", "row 1", 0)
    yield Faulty("workbook_called.csv", _workbook(""), "no text table", "workbook_called.csv", 0)
    yield Faulty("torn_workbook.xlsx", _workbook("")[:900], "", "torn_workbook.xlsx", 0)
    yield Faulty("zip_of_nothing.xlsx", _zip(), "", "zip_of_nothing.xlsx", 0)
    yield Faulty("error_cell.xlsx", _workbook("=1/0"), "error value", "row 4, column rotor_diameter", 2)
    yield Faulty(
        "word_in_a_size.csv",
        _changed("hat_flange_thickness", "seven").encode(),
        "number with a unit",
        "row 4, column hat_flange_thickness",
        2,
    )
    yield Faulty(
        "thread_without_sense.csv",
        _changed("bracket_screw_thread", "M?x", 2).encode(),
        "",
        "row 5, column bracket_screw_thread",
        2,
    )
    yield Faulty(
        "not_a_choice.csv",
        _changed("caliper_build", "flaoting", 0).encode(),
        "not one of the choices",
        "row 3, column caliper_build",
        2,
    )
    yield Faulty(
        "row_too_long.csv",
        "\n".join([head, units, *lines[:1], lines[1] + ",,9", *lines[2:]]).encode(),
        "more cells than",
        "row 4",
        0,
    )
    yield Faulty("open_quote.csv", good.replace("A2", '"A2', 1).encode(), "no sound CSV", "open_quote.csv", 0)
    yield Faulty(
        "plus_minus_below_0.csv",
        good.replace(",0.02,", ",-0.02,", 1).encode(),
        "never below 0",
        "row 3, column hat_bore",
        2,
    )
    yield Faulty("notes.docx", b"PK\x03\x04", "this kind of file is not read", "notes.docx", 0)


def _twice(text: str) -> str:
    head, rest = text.split("\n", 1)
    return f"{head.replace('pad_shape', 'rotor_diameter', 1)}\n{rest}"


def _zip() -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as packed:
        packed.writestr("readme.txt", "nothing")
    return made.getvalue()


if __name__ == "__main__":
    for one in faulty():
        (Path(sys.argv[1]) / one.name).write_bytes(one.content)
