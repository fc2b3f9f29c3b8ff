"""What stands in a sheet is read as it is stored, whichever program wrote it."""

import datetime
import io
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter
from hypothesis import given, settings
from hypothesis import strategies as st

from bomcheck.io.cells import Cell, shortest, shows_date
from bomcheck.io.package import Package, open_package
from bomcheck.io.xml import column_letters, column_number
from tests.workbook.kitchen_sink import kitchen_sink
from tests.workbook.office import saved_by_libreoffice
from tests.workbook.packages import MAIN, OFFICE, minimal, relations, sheet, types, workbook, zipped

STYLES_LINK = ("rId2", "styles", "styles.xml")
SHEET_LINK = ("rId1", "worksheet", "worksheets/sheet1.xml")


def read(rows: str, **changes: str | bytes | None) -> dict[str, Cell]:
    """Cells of a minimal workbook with these rows; changes by part name, "/" written as "__"."""
    parts = {name.replace("__", "/"): content for name, content in changes.items()}
    data = zipped(minimal(), {"xl/worksheets/sheet1.xml": sheet(rows), **parts})
    return Package(Path("job.xlsx"), data).cells("Corner")


def seen(cell: Cell) -> tuple[str, object, str, bool]:
    return cell.kind, cell.value, cell.text, cell.is_formula


@pytest.mark.parametrize(
    ("stored", "expected"),
    [
        ('<c r="B2"><v>13</v></c>', ("number", 13.0, "13", False)),
        ('<c r="B2"><v>13.0</v></c>', ("number", 13.0, "13", False)),
        ('<c r="B2"><v>64.09999999999999</v></c>', ("number", 64.1, "64.1", False)),
        ('<c r="B2" t="n"><v>1.5E-3</v></c>', ("number", 0.0015, "0.0015", False)),
        ('<c r="B2"><f>A1+1</f><v>2</v></c>', ("number", 2.0, "2", True)),
        ('<c r="B2"><f>A1+1</f></c>', ("formula without value", None, "", True)),
        ('<c r="B2"><f>A1+1</f><v></v></c>', ("formula without value", None, "", True)),
        ('<c r="B2"><f>A1+1</f><v/></c>', ("formula without value", None, "", True)),
        ('<c r="B2" t="str"><f>A1</f><v>M12</v></c>', ("text", "M12", "M12", True)),
        ('<c r="B2" t="b"><v>1</v></c>', ("bool", True, "TRUE", False)),
        ('<c r="B2" t="e"><v>#N/A</v></c>', ("error", "#N/A", "#N/A", False)),
        ('<c r="B2" t="d"><v>2026-10-01</v></c>', ("date", "2026-10-01", "2026-10-01", False)),
        ('<c r="B2" t="inlineStr"><is><t>a&lt;b</t></is></c>', ("text", "a<b", "a<b", False)),
        (
            '<c r="B2" t="inlineStr"><is><r><t>M12</t></r><r><t xml:space="preserve"> x 1.5</t></r><rPh sb="0" eb="1"><t>no</t></rPh></is></c>',
            ("text", "M12 x 1.5", "M12 x 1.5", False),
        ),
        ('<c r="B2" t="inlineStr"><is><t>two_x000A_lines</t></is></c>', ("text", "two\nlines", "two\nlines", False)),
    ],
)  # fmt: skip
def test_each_kind_of_cell(stored: str, expected: tuple[str, object, str, bool]) -> None:
    """ISO/IEC 29500-1 18.18.11 (ST_CellType)."""
    cells = read(f'<row r="2">{stored}</row>')
    assert list(cells) == ["B2"]
    assert seen(cells["B2"]) == expected
    assert (cells["B2"].row, cells["B2"].column) == (2, 2)


@pytest.mark.parametrize(
    "stored", ['<c r="B2" s="0"/>', '<c r="B2" t="str"><f>""</f><v></v></c>', '<c r="B2" t="inlineStr"><is/></c>']
)
def test_what_looks_empty_is_left_out(stored: str) -> None:
    assert read(f'<row r="2">{stored}</row>') == {}


def test_cells_without_addresses_are_counted() -> None:
    """The address is optional in the standard (18.3.1.4, 18.3.1.73): then a cell follows the one before it."""
    assert list(
        read('<row><c><v>1</v></c><c r="D1"><v>2</v></c><c><v>3</v></c></row><row r="7"><c><v>4</v></c></row>')
    ) == ["A1", "D1", "E1", "A7"]


def test_reading_order_does_not_depend_on_the_order_in_the_file() -> None:
    assert list(
        read('<row r="2"><c r="B2"><v>1</v></c><c r="A2"><v>1</v></c></row><row r="1"><c r="C1"><v>1</v></c></row>')
    ) == ["C1", "A2", "B2"]


def test_prefixes_absolute_names_and_no_styles() -> None:
    """As some producers write it: every tag with a prefix, absolute part names, capitals, no styles, no texts."""
    data = zipped(
        {
            "[Content_Types].xml": types(),
            "_rels/.rels": relations(("a", "officeDocument", "/XL/workbook.xml")),
            "xl/workbook.xml": f'<x:workbook xmlns:x="{MAIN}" xmlns:q="{OFFICE}"><x:sheets><x:sheet name="One" sheetId="1" state="veryHidden" q:id="b"/></x:sheets></x:workbook>',
            "xl/_rels/workbook.xml.rels": relations(("b", "worksheet", "/xl/worksheets/sheet1.xml")),
            "xl/worksheets/sheet1.xml": f'<x:worksheet xmlns:x="{MAIN}"><x:sheetData><x:row r="1"><x:c r="A1"><x:v>5</x:v></x:c></x:row></x:sheetData></x:worksheet>',
        }
    )  # fmt: skip
    package = Package(Path("job.xlsx"), data)
    assert package.cells("One")["A1"].value == 5.0
    assert package.sheets[0].visibility == "very hidden"


def dated(code: str, value: str, since_1904: bool = False) -> tuple[str, object]:
    """(kind, value) of a number shown in a custom format."""
    styles = f'<styleSheet xmlns="{MAIN}"><numFmts count="1"><numFmt numFmtId="170" formatCode="{code}"/></numFmts><cellXfs count="2"><xf numFmtId="0"/><xf numFmtId="170"/></cellXfs></styleSheet>'
    settings_part = '<workbookPr date1904="1"/>' if since_1904 else ""
    cells = read(
        f'<row r="1"><c r="A1" s="1"><v>{value}</v></c></row>',
        **{
            "xl__styles.xml": styles,
            "xl___rels__workbook.xml.rels": relations(SHEET_LINK, STYLES_LINK),
            "xl__workbook.xml": workbook(
                f'{settings_part}<sheets><sheet name="Corner" sheetId="1" r:id="rId1"/></sheets>'
            ),
        },
    )
    return cells["A1"].kind, cells["A1"].value


@pytest.mark.parametrize(
    ("code", "value", "expected"),
    [
        ("d-mmm", "45931", ("date", "2025-10-01")),
        ("dd/mm/yyyy\\ hh:mm", "45931.5", ("date", "2025-10-01T12:00:00")),
        ("[h]:mm", "0.75", ("date", "18:00:00")),
        ("0.00&quot; mm&quot;", "12.5", ("number", 12.5)),
        ("[Red]0.0", "12.5", ("number", 12.5)),
        ("0\\d", "12", ("number", 12.0)),
        ("General", "12", ("number", 12.0)),
        ("yyyy", "1", ("date", "1900-01-01")),
        ("yyyy", "59", ("date", "1900-02-28")),
        ("yyyy", "61", ("date", "1900-03-01")),
        ("yyyy", "-5", ("number", -5.0)),
    ],
)
def test_dates_by_number_format_and_only_then(code: str, value: str, expected: tuple[str, object]) -> None:
    """ISO/IEC 29500-1 18.17.4.1: day 1 is 1 January 1900, and a 29 February 1900 is counted."""
    assert dated(code, value) == expected


def test_dates_since_1904() -> None:
    """ISO/IEC 29500-1 18.17.4.1: day 0 is 1 January 1904."""
    assert dated("yyyy-mm-dd", "0", since_1904=True) == ("date", "1904-01-01")
    assert dated("yyyy-mm-dd", "1", since_1904=True) == ("date", "1904-01-02")


@pytest.mark.parametrize("code", ["dd/mm/yyyy", "mmm-yy", "[$-409]d/m/yy", "h:mm AM/PM", "[mm]:ss", "yyyy;@"])
def test_date_formats(code: str) -> None:
    assert shows_date(code)


@pytest.mark.parametrize(
    "code", ["0", "0.00E+00", "#,##0.00", '0 "days"', "[Red]0", "# ?/?", "@", "General", '"yes";"no"', "0_d"]
)
def test_formats_of_numbers(code: str) -> None:
    assert not shows_date(code)


def test_columns() -> None:
    assert [column_letters(number) for number in (1, 26, 27, 702, 703, 16_384)] == ["A", "Z", "AA", "ZZ", "AAA", "XFD"]
    assert all(column_number(column_letters(number)) == number for number in range(1, 16_385))


@given(st.decimals(min_value=-(10**9), max_value=10**9, places=4))
def test_numbers_are_shown_as_typed(typed: object) -> None:
    """A decimal of 13 digits comes back as it was typed, trailing zeros apart."""
    text = f"{typed:f}"
    bare = text.rstrip("0").rstrip(".") if "." in text else text
    assert shortest(float(text)) == ("0" if bare in ("-0", "") else bare)


CELLS = st.dictionaries(
    st.tuples(st.integers(0, 40), st.integers(0, 12)),
    st.one_of(
        st.floats(allow_nan=False, allow_infinity=False, width=32),
        st.booleans(),
        st.text(st.characters(exclude_categories=("Cs", "Cc", "Co", "Cn")), min_size=1, max_size=12),
        st.dates(datetime.date(1901, 1, 1), datetime.date(2090, 1, 1)),
    ),
    max_size=30,
)


@settings(max_examples=40, deadline=None)
@given(CELLS)
def test_the_same_as_openpyxl_reads(cells: dict[tuple[int, int], object]) -> None:
    """Against openpyxl, on workbooks written by XlsxWriter and saved again by openpyxl."""
    stream = io.BytesIO()
    book = xlsxwriter.Workbook(stream, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False})
    tab, day = book.add_worksheet("Corner"), book.add_format({"num_format": "dd/mm/yyyy"})
    for (row, column), value in cells.items():
        if isinstance(value, datetime.date):
            tab.write_datetime(row, column, value, day)
        elif isinstance(value, str):
            tab.write_string(row, column, value)
        else:
            tab.write(row, column, value)
    book.close()
    judge, again = openpyxl.load_workbook(stream), io.BytesIO()
    judge.save(again)
    for data in (stream.getvalue(), again.getvalue()):
        ours = Package(Path("job.xlsx"), data).cells("Corner")
        theirs = {c.coordinate: c.value for row in judge["Corner"].iter_rows() for c in row if c.value is not None}
        assert {address: _as_openpyxl(cell) for address, cell in ours.items()} == {
            a: _plain(v) for a, v in theirs.items()
        }


def _as_openpyxl(cell: Cell) -> object:
    return cell.text if cell.kind == "number" else cell.value


def _plain(value: object) -> object:
    if isinstance(value, datetime.datetime):
        return value.date().isoformat()
    if isinstance(value, (bool, str)):
        return value
    return shortest(float(value))  # type: ignore[arg-type]


def test_libreoffice_keeps_what_we_read(tmp_path: Path) -> None:
    """The same cells before and after LibreOffice saved the workbook; it makes a formula of TRUE, so that is not compared."""
    path = kitchen_sink(tmp_path / "job.xlsx")
    before, after = open_package(path), open_package(saved_by_libreoffice(path, tmp_path / "saved"))
    for name in ("Corner", "Diary", "Hidden"):
        now, then = after.cells(name), before.cells(name)
        assert {a: seen(c)[:3] for a, c in now.items()} == {a: seen(c)[:3] for a, c in then.items()}
    assert [(s.name, s.visibility) for s in after.sheets] == [(s.name, s.visibility) for s in before.sheets]
