"""The CSV and its data package: judged by frictionless, pandas and LibreOffice."""

import json
from pathlib import Path

import frictionless
import pandas
import pytest
from openpyxl import load_workbook

from bomcheck.io.order.csv_file import as_csv, safe_text, write_csv
from bomcheck.model.errors import WorkbookError
from bomcheck.paper.order_rows import COLUMNS
from tests.export.shop_books import NASTY, ROWS, row
from tests.workbook.office import convert

TEXTS = [column.name for column in COLUMNS if column.type == "string"]


def test_it_is_rfc_4180_and_its_data_package_validates(tmp_path: Path) -> None:
    """frictionless, a Data Package library, finds no error in the package, its schema or its rows."""
    write_csv(ROWS, tmp_path / "order.csv")
    report = frictionless.Package(str(tmp_path / "datapackage.json")).validate()
    assert report.valid, report.flatten(["message"])
    raw = (tmp_path / "order.csv").read_bytes()
    assert raw.count(b"\r\n") == len(ROWS) + 1
    assert raw.startswith(b"\xef\xbb\xbfline_key,job_number,"), (
        "without the mark programs take it for the old code page"
    )


def test_pandas_loads_the_same_rows(tmp_path: Path) -> None:
    """Texts letter for letter, figures and days as such."""
    write_csv(ROWS, tmp_path / "order.csv")
    types = dict.fromkeys(TEXTS, str)
    read = pandas.read_csv(tmp_path / "order.csv", dtype=types, keep_default_na=False, parse_dates=["needed_by"])
    for name in TEXTS:
        assert list(read[name]) == [safe_text(str(one[name])) for one in ROWS], name
    assert list(read["packs"]) == [one["packs"] for one in ROWS]
    assert list(read["line_total"]) == [one["line_total"] for one in ROWS]
    assert [day.date() for day in read["needed_by"]] == [one["needed_by"] for one in ROWS]


def test_libreoffice_loads_the_same_rows(tmp_path: Path) -> None:
    """With quoted fields as text, "00123" and "1E5" stay what they are and nothing is a formula."""
    write_csv(ROWS, tmp_path / "order.csv")
    book = convert(
        tmp_path / "order.csv", "xlsx:Calc MS Excel 2007 XML", tmp_path / "out", "CSV:44,34,76,1,,0,true,true"
    )
    sheet = load_workbook(book / "order.xlsx").active
    assert sheet is not None
    at = [column.name for column in COLUMNS].index("part_number") + 1
    cells = [sheet.cell(number + 2, at) for number in range(len(NASTY))]
    assert {cell.data_type for cell in cells} == {"s"}
    assert [cell.value for cell in cells] == [safe_text(text) for text in NASTY]


@pytest.mark.parametrize("text", ["=1+1", "+5", "-3", "@x", "\tx", "\rx", "＝1", "=cmd|' /C calc'!A0"])
def test_no_text_can_become_a_formula(text: str) -> None:
    """A text that begins with = + - @ or a tab gets an apostrophe before it, in every column of text."""
    for name in TEXTS:
        line = as_csv([row(1, **{name: text})]).split(b"\r\n", 1)[1].decode("utf-8")
        assert f"\"'{text}" in line


def test_a_second_order_joins_the_data_package(tmp_path: Path) -> None:
    """Two CSVs in one folder: one data package that describes both; written again, none is described twice."""
    for name in ("a.csv", "b.csv", "a.csv"):
        write_csv(ROWS, tmp_path / name)
    package = json.loads((tmp_path / "datapackage.json").read_text("utf-8"))
    assert sorted(one["path"] for one in package["resources"]) == ["a.csv", "b.csv"]
    assert frictionless.Package(str(tmp_path / "datapackage.json")).validate().valid


@pytest.mark.parametrize(
    ("name", "content", "says"),
    [
        ("order.csv", "name,age\nx,1\n", "which is no order"),
        ("datapackage.json", "[1]", "describes no tables"),
        ("datapackage.json", "{", "describes no tables"),
        (".~lock.order.csv#", "x", "is open in a spreadsheet program"),
    ],
)
def test_what_is_somebody_else_s_stays(tmp_path: Path, name: str, content: str, says: str) -> None:
    """Another CSV, another json, a lock: one line, and both files are as they were."""
    (tmp_path / name).write_text(content)
    with pytest.raises(WorkbookError, match=says):
        write_csv(ROWS, tmp_path / "order.csv")
    assert (tmp_path / name).read_text() == content
    assert [path.name for path in tmp_path.iterdir()] == [name]


def test_every_row_has_every_column() -> None:
    """The sample has the columns that the schema names."""
    assert set(ROWS[0]) == {column.name for column in COLUMNS}
