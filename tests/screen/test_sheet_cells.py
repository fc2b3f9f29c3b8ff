"""The quick way to a workbook's cells gives what the careful way gives, or leaves the sheet to it."""

import io
import re
import zipfile
from pathlib import Path

import openpyxl
import pytest
from xlsxwriter import Workbook

from bomcheck.io.cells import MOST_CELLS
from bomcheck.io.package import Package, open_package
from bomcheck.screen.books import from_book, plain_cells
from bomcheck.screen.grids import as_cell
from bomcheck.screen.tables import read_grid

TEXTS = [
    "Kit",
    "0.8x8; 0.4x8",
    "R&D <one> \"two\" 'three'",
    "  spaced  ",
    "Größe 12",
    "_x0041_",
    "12.5",
    "-",
    "two\nlines",
    "a\u00a0b",
]
FIGURES = [0, 1, -2.5, 64.09999999999999, 0.1 + 0.2, 1e-7, 123456789012345.0, 1 / 3, 1e20]


def _written(**formulas: str) -> bytes:
    """A sheet of texts and figures, by XlsxWriter. formulas: {address: formula}, each with the result 7.5."""
    made = io.BytesIO()
    book = Workbook(made, {"in_memory": True})
    sheet = book.add_worksheet()
    for row, text in enumerate(TEXTS):
        sheet.write_string(row, 0, text)
        sheet.write_blank(row, 9, None, book.add_format({"bold": True}))
    for row, figure in enumerate(FIGURES):
        sheet.write_number(row, 2, figure)
    for address, formula in formulas.items():
        sheet.write_formula(address, formula, None, 7.5)
    book.close()
    return made.getvalue()


def _by_openpyxl() -> bytes:
    """The same with texts inside the cells, as openpyxl writes them."""
    book = openpyxl.Workbook()
    for row, text in enumerate(TEXTS, 1):
        book.active.cell(row, 1, text)
    for row, figure in enumerate(FIGURES, 1):
        book.active.cell(row, 3, figure)
    made = io.BytesIO()
    book.save(made)
    return made.getvalue()


def _changed(data: bytes, old: str, new: str) -> bytes:
    """A workbook with one change in the text of its first sheet."""
    made = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as source, zipfile.ZipFile(made, "w") as target:
        for name in source.namelist():
            content = source.read(name)
            if name.endswith("sheet1.xml"):
                assert re.search(old.encode(), content)
                content = re.sub(old.encode(), new.encode(), content, count=1)
            target.writestr(name, content)
    return made.getvalue()


def _quick(data: bytes):
    package = Package(Path("table.xlsx"), data)
    return package, plain_cells(package, package.sheets[0])


@pytest.mark.parametrize("data", [_written(), _written(E1="=A1", E2="=2+3"), _by_openpyxl()])
def test_same_as_the_careful_way(data):
    """Texts with marks in them, figures with too many digits, formulas with their result."""
    package, quick = _quick(data)
    _require_same(package, quick)
    assert quick is not None
    assert {type(entry) for row in quick.values() for entry in row.values()} == {str, float}


def _require_same(package, quick):
    """Kind, value and text of every cell, a text or a figure standing for itself."""
    assert quick is not None
    careful = package.cells(package.sheets[0].name).values()
    expected = {(cell.row, cell.column): (cell.kind, cell.value, cell.text) for cell in careful}
    cells = {(row, column): as_cell(entry) for row, line in quick.items() for column, entry in line.items()}
    found = {place: (cell.kind, cell.value, cell.text) for place, cell in cells.items() if cell is not None}
    stripped = {place: (k, v.strip(), t.strip()) if k == "text" else (k, v, t) for place, (k, v, t) in expected.items()}
    assert found == stripped


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('<c r="C2"><v>1</v>', '<c r="C1"><v>1</v>'),
        ('<c r="C2"><v>1</v>', '<c r="ZZZ2"><v>1</v>'),
        ('<c r="C2"><v>1</v>', '<c r="C9999999"><v>1</v>'),
        ('<c r="C2"><v>1</v>', '<c r="C2"><v>one</v>'),
        ('<c r="C2"><v>1</v>', '<c r="C2"><v>1e999</v>'),
        ('<c r="C2"><v>1</v>', '<c r="C2" t="s"><v>99</v>'),
        ('<c r="C2"><v>1</v>', '<c r="C2" t="s"><v>-1</v>'),
        ('<c r="C2"><v>1</v>', '<c r="C2" t="inlineStr"><is><r><t>1</t></r></is>'),
        ('<c r="C2"><v>1</v>', '<c r="C2" t="str"><v>&nbsp;</v>'),
        ('<c r="C2"><v>1</v>', '<c r="C2" t="str"><v>&#1;</v>'),
        ('<c r="C2"><v>1</v>', '<c r="C2" t="str"><v>&#xD800;</v>'),
        ('<c r="C2"><v>1</v>', '<c r="C2" t="str"><v>&#x110000;</v>'),
        ("</row>", "</row><!-- a note -->"),
        ("</row>", "</raw>"),
        ("</sheetData>", "</sheetData><open>"),
        ('encoding="UTF-8"', 'encoding="ISO-8859-1"'),
    ],
)
def test_left_to_the_careful_way(old, new):
    """Whatever is out of the ordinary, or damaged, is not read quickly."""
    assert _quick(_changed(_written(), old, new))[1] is None


@pytest.mark.parametrize(
    "cell",
    [
        '<c r="C2" t="e"><v>#N/A</v>', '<c r="C2" t="e"><f>NA()</f><v>#N/A</v>', '<c r="C2" t="b"><v>1</v>',
        '<c r="C2" t="b"><v>0</v>', '<c r="C2"><f>1+1</f>', '<c r="C2"><f>1+1</f><v></v>', '<c r="C2"><v> </v>',
        '<c r="C2" t="str"><f>A1</f><v>as &lt; &#65;</v>', '<c r="C2" t="str"><f>A1</f>', '<c r="C2" t="d"><v>2026-10-01</v>',
        '<c r="C2" t="n"><v>64.09999999999999</v>', '<c r="C2" t="inlineStr">',
    ],
)  # fmt: skip
def test_odd_cells_are_what_they_are_to_the_careful_way(cell):
    """Errors, truth values, formulas without a result: the same kind, value and text."""
    package, quick = _quick(_changed(_written(), '<c r="C2"><v>1</v>', cell))
    _require_same(package, quick)


def test_a_day_number_in_a_dated_cell_is_a_date(tmp_path):
    """Days, hours, and a number that is no day."""
    book = Workbook(str(tmp_path / "dated.xlsx"))
    sheet, dated = book.add_worksheet(), book.add_format({"num_format": "yyyy-mm-dd"})
    for row, number in enumerate((45_000, 0.5, 45_000.25, -3, 59, 61)):
        sheet.write_number(row, 0, number, dated)
    book.close()
    package = open_package(tmp_path / "dated.xlsx")
    _require_same(package, plain_cells(package, package.sheets[0]))
    assert from_book(tmp_path / "dated.xlsx").headings == ["2023-03-15"]


def test_more_cells_than_a_job_may_have(tmp_path):
    """A table of thousands of kits has more cells than the sheet of a job may have; it is read all the same."""
    book = Workbook(str(tmp_path / "large.xlsx"), {"constant_memory": True})
    sheet, rows, width = book.add_worksheet(), 2600, 60
    for row in range(rows):
        for column in range(width):
            sheet.write_string(0, column, f"heading {column}") if row == 0 else sheet.write_number(row, column, row)
    book.close()
    assert rows * width > MOST_CELLS
    grid = read_grid(tmp_path / "large.xlsx")
    assert len(grid.columns) == width
    assert grid.columns[-1] == [float(row) for row in range(1, rows)]


def test_two_far_corners_of_a_sheet_do_not_fill_the_memory(tmp_path):
    """Two cells far apart are two cells, not a sheet full of blanks."""
    book = Workbook(str(tmp_path / "far.xlsx"))
    sheet = book.add_worksheet()
    sheet.write_string(0, 0, "kit_number")
    sheet.write_string(1_048_575, 0, "A1")
    book.close()
    grid = read_grid(tmp_path / "far.xlsx")
    assert grid.rows == [1_048_576]
    assert grid.columns == [["A1"]]
