"""The mark-up on parts: live, on every line of the Parts list and on the options, not on kit, freight, work and labour."""

from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

import pytest

from bomcheck.io.sheets.quote_parts import FIGURE, KEY, TOTAL
from bomcheck.model.shipped import folder
from tests.helpers.demo_jobs import checked
from tests.helpers.one_sheet import one_sheet
from tests.workbook.changed_quantity import headings, money_sheets, saved
from tests.workbook.sheets.office import recalculated, recalculated_all
from tests.workbook.sheets.test_quote import row, total

ESTATE, SALOON = (folder("demo_workbooks") / f"{name}.xlsx" for name in ("estate_rear_axle", "saloon_drums_to_discs"))
PRICES = {
    "Shaft seal": "12.80", "Spindle washer": "2.40", "Cotter pin": "3.00", "Grease cap": "5.20", "Wheel bearing grease": "8.00",
    "Parking-brake shoes": "38.90", "Springs, pins": "14.20",
}  # fmt: skip
PERCENTS = ("0", "12.5", "25", "33.3", "7.5")
ONE_PIN = "0.12"
"""A cotter pin from the shelf: 3.00 for a pack of 25."""
"""Of the estate's parts, in the order of its Parts list; freight 16.30."""


def raised(price: str, percent: str) -> Decimal:
    """By hand, in decimals, half a cent up."""
    value = Decimal(price) * (1 + Decimal(percent) / 100)
    return value.quantize(Decimal("0.01"), ROUND_HALF_UP)


def test_typed_into_the_result(tmp_path: Path) -> None:
    """LibreOffice works it out, and a further check writes the same: each line to the cent, freight and labour as before."""
    path = tmp_path / ESTATE.name
    path.write_bytes(ESTATE.read_bytes())
    checked(path)
    result, book, typed = path.read_bytes(), money_sheets(path), list[bytes]()
    stored, sheet = one_sheet(path, "Quote", data_only=True), book["Quote"]
    before = {words: total(stored, words) for words in ("Freight", "Labour, sub")}
    at = next(line[0].row for line in sheet.iter_rows() if line[KEY].value == "quote mark-up")
    for percent in PERCENTS:
        sheet.cell(at, FIGURE + 1).value = float(percent)
        typed.append(saved(book))
    for percent, found in zip(PERCENTS, recalculated_all(typed, tmp_path), strict=True):
        path.write_bytes(result)
        checked(path, {"quote mark-up": {"figure": float(percent)}})
        for one in (found["Quote"], one_sheet(path, "Quote", data_only=True)):
            for words, price in PRICES.items():
                assert Decimal(str(row(one, words)[TOTAL])) == raised(price, percent), (words, percent)
            assert {words: total(one, words) for words in before} == before
            parts = sum(raised(price, percent) for price in (*PRICES.values(), ONE_PIN)) + Decimal("16.30")
            assert total(one, "Parts, subtotal") == pytest.approx(float(parts)), percent
            assert total(one, "Fluid, good") == pytest.approx(float(raised("25.20", percent))), percent


def test_not_on_work_and_kit(tmp_path: Path) -> None:
    """Boring two hats at 40 and a kit of 900 stay what they are at 50 %."""
    path = tmp_path / SALOON.name
    path.write_bytes(SALOON.read_bytes())
    checked(path)
    parts = one_sheet(path, "Parts list")
    key = next(
        line[headings(parts)["Line"] - 1].value
        for line in parts.iter_rows(min_row=3)
        if str(line[0].value).startswith("Bore the hat")
    )
    checked(path, {"quote mark-up": {"figure": 50.0}, "quote kit": {"figure": 900.0}, str(key): {"own_price": 40.0}})
    for one in (one_sheet(path, "Quote", data_only=True), recalculated(path.read_bytes(), tmp_path)["Quote"]):
        assert [row(one, words)[TOTAL] for words in ("The kit", "Bore the hat")] == [900, 80]


def test_a_word_for_a_mark_up_raises_nothing(tmp_path: Path) -> None:
    """LibreOffice shows no error and the list's prices."""
    path = tmp_path / ESTATE.name
    path.write_bytes(ESTATE.read_bytes())
    checked(path, {"quote mark-up": {"figure": "as agreed"}})
    for one in (one_sheet(path, "Quote", data_only=True), recalculated(path.read_bytes(), tmp_path)["Quote"]):
        assert total(one, "Parts, subtotal") == pytest.approx(100.92)
