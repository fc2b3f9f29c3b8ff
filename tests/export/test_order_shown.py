"""How lines read in a shop's columns: packs, headings of the trade, days, currencies. Invented orders."""

from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest
import xlsxwriter
from openpyxl import load_workbook
from openxml_audit import OpenXmlValidator

from bomcheck.io.order.append import append_rows
from bomcheck.io.order.columns import propose
from tests.export.shop_books import parts_of, row
from tests.export.test_order_known import book_with
from tests.helpers.one_sheet import one_sheet

GREASE = row(
    1, part_number="G-400", description="wheel bearing grease, cartridge", unit="g", quantity_needed=60.0, pack_size=400.0,
    packs=1, quantity_ordered=400.0, price_each=0.02, price_per_pack=8.0, line_total=8.0, currency="EUR",
)  # fmt: skip
PIECE = row(2, part_number="S-1", description="screw", unit="each", pack_size=1.0, packs=3, quantity_ordered=3.0)


def second_line(book: Path) -> list[Any]:
    return [cell.value for cell in one_sheet(book, "Orders")[2]]


def test_without_unit_or_pack_a_quantity_is_packs(tmp_path: Path) -> None:
    """One cartridge at 8.00, not 400 at 0.02; the first run says so once; single pieces stay as they are."""
    book = book_with(tmp_path / "shop.xlsx", ["Description", "Qty", "Price", "Job"])
    said = append_rows(book, [GREASE, PIECE])[0]
    assert second_line(book) == ["wheel bearing grease, cartridge, pack of 400 g", 1, 8, "J-7"]
    assert [cell.value for cell in one_sheet(book, "Orders")[3]] == ["screw", 3, 0.7, "J-7"]
    assert len([text for text in said if "quantities are packs" in text]) == 1
    assert "quantities are packs" not in " ".join(append_rows(book, [GREASE, PIECE])[0])


@pytest.mark.parametrize(
    ("heads", "line"),
    [
        (["Part no", "Qty", "Unit", "Price"], ["G-400", 1, "pack of 400 g", 8]),
        (["Part no", "Packs", "Unit", "Price"], ["G-400", 1, "pack of 400 g", 8]),
        (["Part no", "Qty", "Unit", "Packs", "Price"], ["G-400", 400, "g", 1, 0.02]),
        (["Part no", "Qty", "Unit", "Pack size", "Price"], ["G-400", 400, "g", 400, 0.02]),
        (["Part no", "Qty", "Pack size", "Price"], ["G-400", 1, 400, 8]),
        (
            ["Part no", "Description", "Qty", "Pack of"],
            ["G-400", "wheel bearing grease, cartridge, pack of 400 g", 1, 400],
        ),
        (["Part no", "Packs", "Pack size", "Price"], ["G-400", 1, 400, 8]),
        (["Part no", "Qty", "Packs", "Price"], ["G-400", 400, 1, 0.02]),
        (["Part no", "Packs", "Price"], ["G-400", 1, 8]),
    ],
)
def test_with_a_pack_column_the_quantity_is_in_the_unit(tmp_path: Path, heads: list[str], line: list[Any]) -> None:
    """Where only packs are counted, or the sheet has no unit, 400 would be packs and the price is that of a pack; a unit without a pack's size is the pack itself, so that 1 is never
    one gram and 50 never fifty packs."""
    book = book_with(tmp_path / "shop.xlsx", heads)
    append_rows(book, [GREASE])
    assert second_line(book) == line


def test_a_pack_of_fifty_is_one_pack(tmp_path: Path) -> None:
    """Qty and Unit alone: 2 packs of 50 clips at 6.00, three screws as they are, two litres in bottles of one; the second run adds nothing, also where the small
    file is lost, and where an earlier run wrote 100 each."""
    clips = {
        **GREASE,
        "part_number": "CL-50",
        "unit": "each",
        "pack_size": 50.0,
        "packs": 2,
        "quantity_ordered": 100.0,
        "price_per_pack": 6.0,
    }
    book = book_with(tmp_path / "shop.xlsx", ["Part no", "Qty", "Unit", "Price", "Job"])
    fluid = {
        **GREASE,
        "line_key": "K3",
        "part_number": "BF-1",
        "unit": "L",
        "pack_size": 1.0,
        "packs": 2,
        "quantity_ordered": 2.0,
    }
    said = append_rows(book, [clips, PIECE, fluid])[0]
    assert second_line(book) == ["CL-50", 2, "pack of 50", 6, "J-7"]
    assert [cell.value for cell in one_sheet(book, "Orders")[4]] == ["BF-1", 2, "L", 8, "J-7"]
    assert [cell.value for cell in one_sheet(book, "Orders")[3]] == ["S-1", 3, "each", 0.7, "J-7"]
    assert [text for text in said if "the unit says what is in one" in text]
    book.with_name("shop.xlsx.columns.json").unlink()
    assert append_rows(book, [clips, PIECE, fluid])[0][-1].startswith("0 lines added")
    old = load_workbook(book)
    old["Orders"]["B2"], old["Orders"]["C2"] = 100, "each"
    old.save(book)
    book.with_name("shop.xlsx.columns.json").unlink()
    said, remarks = append_rows(book, [clips, PIECE, fluid])
    assert said[-1].startswith("0 lines added")
    assert not [text for text in remarks if "changed" in text]


@pytest.mark.parametrize(
    "heading",
    [
        "Art. #",
        "Supplier part no",
        "Mfr part no",
        "Mfr. Part No.",
        "SKU",
        "Item no",
        "ITEM\nNO.",
        "Part #",
        "MPN",
        "Cat. no.",
    ],
)
def test_words_of_the_trade_for_the_part_number(heading: str) -> None:
    """Common practice, no source."""
    assert propose([heading, "Qty"]) == {heading: "part_number", "Qty": "quantity_ordered"}


def test_a_heading_with_a_line_break_is_found_again(tmp_path: Path) -> None:
    """SUPPLIER over NAME takes the supplier, on every run; what is told stays on one line."""
    book = book_with(tmp_path / "shop.xlsx", ["Art. #", "Qty", "SUPPLIER\nNAME", "Job"])
    said = append_rows(book, [{**PIECE, "supplier": "A"}])[0]
    assert '"SUPPLIER NAME" takes supplier' in said[0]
    assert second_line(book) == ["S-1", 3, "A", "J-7"]
    assert append_rows(book, [{**PIECE, "supplier": "A"}])[0][-1].startswith("0 lines added")


def dated_book(path: Path, how: str) -> Path:
    """A column of days: without a format, or with the shop's own days in it."""
    book = xlsxwriter.Workbook(path)
    sheet = book.add_worksheet("Orders")
    sheet.write_row(0, 0, ["Date", "Part no", "Qty", "Job"])
    if how == "days above":
        sheet.write_datetime(1, 0, datetime(2026, 1, 5), book.add_format({"num_format": "d mmm yyyy"}))
        sheet.write_row(2, 0, ["5 Jan", "X", 1, "J-1"])
    if how == "column":
        sheet.set_column(0, 0, 12, book.add_format({"num_format": "d mmm yyyy"}))
    book.close()
    return path


@pytest.mark.parametrize(("how", "at"), [("none", "A2"), ("days above", "A4"), ("column", "A2")])
def test_a_day_is_never_a_bare_number(tmp_path: Path, how: str, at: str) -> None:
    """In the column's format where it has one, else as text; the styles keep their bytes."""
    book = dated_book(tmp_path / "shop.xlsx", how)
    before = parts_of(book)
    append_rows(book, [PIECE], today=date(2026, 11, 27))
    cell = one_sheet(book, "Orders")[at]
    assert cell.value == ("2026-11-27" if how == "none" else datetime(2026, 11, 27))
    assert cell.number_format == ("General" if how == "none" else "d mmm yyyy")
    after = parts_of(book)
    assert {name for name in before if before[name] != after[name]} == {"xl/worksheets/sheet1.xml"}
    assert not OpenXmlValidator().validate(str(book)).errors


@pytest.mark.parametrize(
    ("heads", "line", "says"),
    [
        (["Part no", "Qty", "Price"], ["X", 1, 2], ["shop.xlsx: no column takes the currency; the prices of the lines added are in EUR."]),
        (["Part no", "Qty", "Price", "Currency"], ["X", 1, 2, "GBP"], ["shop.xlsx: rows in GBP stand there too; the prices of the lines added are in EUR."]),
        (["Part no", "Qty", "Price", "Currency"], ["X", 1, 2, "eur"], []),
        (["Part no", "Qty"], ["X", 1], []),
    ],
)  # fmt: skip
def test_two_currencies_in_one_sheet_are_told(
    tmp_path: Path, heads: list[str], line: list[Any], says: list[str]
) -> None:
    """One line where lines with prices are added."""
    book = book_with(tmp_path / "shop.xlsx", heads, line)
    assert append_rows(book, [GREASE])[1] == says
