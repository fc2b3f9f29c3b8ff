"""Texts that a spreadsheet could take for formulas stay texts, wherever they come from."""

from io import BytesIO
from zipfile import ZipFile

from bomcheck.io.sheets.compatibility import NAME as COMPATIBILITY
from bomcheck.io.sheets.parts_list import NAME as PARTS
from tests.workbook.sheets.conftest import build
from tests.workbook.sheets.sample_reports import HOSTILE, written


def test_no_text_becomes_a_formula() -> None:
    """A job full of such texts has exactly the formulas that the same job has without them."""
    hostile, plain = (
        [
            (sheet.title, cell.coordinate)
            for sheet in build(name).formulas
            for row in sheet.iter_rows()
            for cell in row
            if cell.data_type == "f"
        ]
        for name in ("hostile", "fitting")
    )
    shims = ("Shims", "Brake line", "Measure next", "Drawing")
    assert [one for one in hostile if one[0] in shims] == [one for one in plain if one[0] in shims]
    for sheet in build("hostile").formulas:
        for row in sheet.iter_rows():
            for cell in row:
                assert cell.data_type != "f" or not any(
                    text.strip("=") in cell.value for text in HOSTILE if len(text) > 4
                )


def test_each_text_is_there_as_it_was_typed() -> None:
    """Nothing is cut off or changed to make it safe."""
    for name in (COMPATIBILITY, PARTS):
        texts = {
            cell.value for row in build("hostile").values[name].iter_rows() for cell in row if cell.data_type == "s"
        }
        for text in HOSTILE:
            assert any(written(text) in str(other) for other in texts), text


def test_no_link_leaves_the_workbook() -> None:
    """No sheet of ours holds an outside link."""
    with ZipFile(BytesIO(build("hostile").data)) as package:
        for name in package.namelist():
            assert b'TargetMode="External"' not in package.read(name)
