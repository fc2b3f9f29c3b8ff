"""A new order workbook: what is text stays text, judged by openpyxl and LibreOffice."""

from pathlib import Path

from openpyxl import load_workbook
from openxml_audit import OpenXmlValidator

from bomcheck.io.order.new_file import write_new
from bomcheck.paper.order_rows import COLUMNS
from tests.export.shop_books import NASTY, ROWS
from tests.workbook.office import saved_by_libreoffice


def test_part_numbers_come_back_letter_for_letter(tmp_path: Path) -> None:
    """In both readers none is a formula or a number."""
    write_new(ROWS, tmp_path / "new.xlsx")
    at = [c.name for c in COLUMNS].index("part_number") + 1
    for path in (tmp_path / "new.xlsx", saved_by_libreoffice(tmp_path / "new.xlsx", tmp_path / "out")):
        sheet = load_workbook(path).active
        assert sheet is not None
        cells = [sheet.cell(number + 2, at) for number in range(len(NASTY))]
        assert [str(cell.value).rstrip() for cell in cells] == list(NASTY)
        assert {cell.data_type for cell in cells} == {"s"}
    assert not OpenXmlValidator().validate(str(tmp_path / "new.xlsx")).errors
