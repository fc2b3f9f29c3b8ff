"""The Quote: LibreOffice works it out to the same values, what is typed is kept and counts. Hours: common practice, no source."""

from dataclasses import replace
from datetime import date
from io import BytesIO
from pathlib import Path

import pytest
from openpyxl.worksheet.worksheet import Worksheet

from bomcheck.assess import assess
from bomcheck.io.package import Package
from bomcheck.io.read.job import read_job
from bomcheck.io.read.own import read_kept
from bomcheck.io.sheets.build import build_sheets
from bomcheck.io.sheets.quote_parts import FIGURE, LAST_PRINTED, QUANTITY, SHOP, TOTAL, USED
from bomcheck.model.job import Value
from bomcheck.model.shipped import folder
from bomcheck.paper.quote import operations, options
from tests.helpers.demo_jobs import checked, hill_climb
from tests.helpers.jobs import assessed
from tests.helpers.one_sheet import one_sheet
from tests.workbook.changed_quantity import money_sheets, saved
from tests.workbook.sheets.office import recalculated

DEMOS = sorted(folder("demo_workbooks").glob("*.xlsx"))
CLIP = "line clip @ line in its tab"


def row(sheet: Worksheet, words: str) -> list[object]:
    """The first row whose first cell begins with the words."""
    return next([cell.value for cell in one] for one in sheet.iter_rows() if str(one[0].value).startswith(words))


def total(sheet: Worksheet, words: str) -> object:
    """What stands in the column Total of that row."""
    return row(sheet, words)[TOTAL]


def quoted(path: Path, kept: dict[str, dict[str, object]] | None = None) -> Worksheet:
    checked(path, kept)
    return one_sheet(path, "Quote", data_only=True)


def made(folder: Path) -> Path:
    folder.mkdir()
    return folder


def test_by_hand(tmp_path: Path) -> None:
    """Hill climb: parts 112 + 85.60 + 13.60 + 8.40 + 3.80 + 9.50 + 3.60 + 25.20 = 261.70; labour 2 x 2.0 + 2 x 0.5 + 1.0 + 0.5
    = 6.5 h at 68 = 442.00; together 703.70, 20 % tax 140.74, in all 844.44."""
    sheet = quoted(hill_climb(tmp_path))
    totals = {
        words: total(sheet, words) for words in ("Parts, sub", "Labour, sub", "Total without", "Tax", "Total with tax")
    }
    assert list(totals.values()) == pytest.approx([261.70, 442.00, 703.70, 140.74, 844.44])


@pytest.mark.parametrize(
    ("changes", "hours"),
    [
        ({}, 6.5),
        ({"hub_removed             no": "hub_removed  yes"}, 8.5),
        ({"corners                 2": "corners  1", "corner_side             both": "corner_side  left"}, 4.0),
    ],
)
def test_hours_by_operation(tmp_path: Path, changes: dict[str, str], hours: float) -> None:
    """Per corner 2.0 h, hub 1.0, line 0.5; per car bleeding 1.0 and test 0.5: common practice, no source."""
    report = assess(read_job(hill_climb(tmp_path, changes))[0])
    assert sum(one.hours * one.times for one in operations(report)) == hours


def test_what_is_typed_counts_and_is_kept(tmp_path: Path) -> None:
    """Three hours a corner, a kit of 1,500, 5 % consumables, a rate of 70 and 14 days; the same after a further check.
    5 % of 595.00 + 1,761.70 are 117.835: half a cent goes up, as in a spreadsheet."""
    typed = {"quote labour corner": {"figure": 3.0}, "quote kit": {"figure": 1500.0}, "quote consumables": {"figure": "5"},
             "quote rate": {"figure": 70.0}, "quote days": {"figure": 14.0}}  # fmt: skip
    path = hill_climb(tmp_path)
    sheet = quoted(path, typed)
    labour, parts = 8.5 * 70, 1761.70
    assert total(sheet, "Labour, sub") == pytest.approx(labour)
    assert total(sheet, "Parts, sub") == pytest.approx(parts)
    assert total(sheet, "Consumables") == pytest.approx(117.84)
    assert total(sheet, "Valid until").date() == date(2026, 12, 9)  # type: ignore[attr-defined]
    kept = read_kept(Package(path, path.read_bytes()).cells("Quote"))
    assert {key: kept[key] for key in typed} == {**typed, "quote consumables": {"figure": 5.0}}
    again = quoted(path, kept)
    assert total(again, "Total with tax") == total(sheet, "Total with tax")


def test_a_word_in_a_yellow_cell_is_kept_and_counts_nothing(tmp_path: Path) -> None:
    """LibreOffice agrees: no error value, the other rows add up."""
    path = hill_climb(tmp_path)
    sheet = quoted(path, {"quote labour corner": {"figure": "see John"}})
    assert row(sheet, "Convert a corner")[FIGURE] == "see John"
    assert total(sheet, "Labour, sub") == pytest.approx(2.5 * 68)
    found = recalculated(path.read_bytes(), tmp_path)["Quote"]
    assert total(found, "Labour, sub") == pytest.approx(2.5 * 68)


def test_another_quantity_goes_through_to_the_total(tmp_path: Path) -> None:
    """Six clips needed instead of two: two packs, 3.80 more before tax, worked out by LibreOffice."""
    path = hill_climb(tmp_path)
    before = total(quoted(path), "Total without")
    book = money_sheets(path)
    parts = book["Parts list"]
    heads = {cell.value: cell.column for cell in parts[2]}
    line = next(one[0].row for one in parts.iter_rows() if any(cell.value == "LC-1" for cell in one))
    parts.cell(line, heads["Needed"]).value = 6
    found = recalculated(saved(book), tmp_path)["Quote"]
    assert total(found, "Total without") == pytest.approx(float(str(before)) + 3.80)
    assert row(found, "Spring clip")[QUANTITY] == 2


def test_without_rate_and_tax_nothing_is_made_up(tmp_path: Path) -> None:
    """No labour total, no tax, no total with it; the shop is told where both come from."""
    path = hill_climb(tmp_path, {"labour_rate             68\n": "", "tax_percent             20\n": ""})
    sheet = quoted(path)
    assert total(sheet, "Labour, sub") == 0
    assert row(sheet, "Labour, sub")[SHOP] == "No price yet: the labour"
    assert [total(sheet, "Tax: not stated"), total(sheet, "Total with tax: not known")] == [None, None]
    texts = [str(cell.value) for line in sheet.iter_rows() for cell in line if cell.value]
    assert sum(text.endswith("; not stated on the Job sheet") for text in texts) == 2
    found = recalculated(path.read_bytes(), tmp_path)["Quote"]
    assert [total(found, "Tax: not stated") or "", total(found, "Total with tax: not known") or ""] == ["", ""]


def test_rate_and_tax_typed_beside_it(tmp_path: Path) -> None:
    """Where the Job sheet states neither: LibreOffice comes to 6.5 h at 70 = 455.00, and to 10 % on that and 261.70."""
    path = hill_climb(tmp_path, {"labour_rate             68\n": "", "tax_percent             20\n": ""})
    quoted(path, {"quote rate": {"figure": 70.0}, "quote tax": {"figure": 10.0}})
    found = recalculated(path.read_bytes(), tmp_path)["Quote"]
    assert total(found, "Labour, sub") == pytest.approx(455.0)
    assert total(found, "Tax") == pytest.approx(71.67)
    assert total(found, "Total with tax") == pytest.approx(788.37)


def test_any_word_for_a_currency(tmp_path: Path) -> None:
    """Quotes and control characters in it do not break the formulas of the totals."""
    report = assess(read_job(hill_climb(tmp_path))[0])
    values = {**report.job.values, "currency": Value("currency", 'so "called" \x07coins')}
    data = build_sheets(replace(report, job=replace(report.job, values=values)))[0]
    for sheet in (one_sheet(BytesIO(data), "Quote", data_only=True), recalculated(data, tmp_path)["Quote"]):
        assert row(sheet, "Total with tax")[0] == 'Total with tax, so "called" coins (at least)'


def test_what_the_customer_gets(tmp_path: Path) -> None:
    """The printed columns name no supplier and no part number, and tell the shop nothing; questions are one line."""
    for demo in DEMOS:
        report = assess(read_job(demo)[0])
        sheet = one_sheet(BytesIO(build_sheets(report)[0]), "Quote", data_only=True)
        assert sheet.print_area.split("$")[3] == "E"
        texts = [str(cell.value) for line in sheet.iter_rows(max_col=LAST_PRINTED + 1) for cell in line if cell.value]
        for line in report.parts:
            assert not [one for one in texts for word in (line.supplier, line.part_number) if word and word in one]
        assert not [one for one in texts if "type" in one.lower().replace("people typed", "") or "change them" in one]
        asked = len(report.questions)
        assert sum("Measure next" in one for one in texts) == bool(asked)
        assert not asked or any(one.startswith(f"{asked} thing") for one in texts)


def test_what_was_typed_in_a_row_that_is_gone_is_kept(tmp_path: Path) -> None:
    """Hours for a hub that no longer comes off stand below, and count again once it does."""
    path = hill_climb(tmp_path)
    sheet = quoted(path, {"quote labour hub": {"figure": 1.75}})
    assert total(sheet, "Labour, sub") == 6.5 * 68
    kept = read_kept(Package(path, path.read_bytes()).cells("Quote"))
    assert kept == {"quote labour hub": {"figure": 1.75}}
    again = quoted(hill_climb(tmp_path, {"hub_removed             no": "hub_removed  yes"}), kept)
    assert total(again, "Labour, sub") == (6.5 + 2 * 1.75) * 68
    assert row(again, "Hub off and on")[USED] == 1.75


def test_options_for_the_duty(tmp_path: Path) -> None:
    """Fast road: F2 pads, never the road-only or the race-only ones; on the road those for it, as the check says; DOT 4 and, boiling later, DOT 5.1, never silicone."""
    report = assess(read_job(hill_climb(tmp_path))[0])
    assert [(one.what, one.grade, one.purchase.part.part_number) for one in options(report)] == [
        ("pads", "good", "P44-F2"), ("fluid", "good", "BF-4-1"), ("fluid", "better", "BF-51-05"),
    ]  # fmt: skip
    road = assess(read_job(hill_climb(tmp_path, {"duty                    fast road": "duty  road"}))[0])
    assert [(one.grade, one.purchase.part.part_number) for one in options(road) if one.what == "pads"] == [
        ("good", "P44-S1"),
    ]  # fmt: skip


def test_a_kit_without_a_number_is_named_before_it_is_ordered(tmp_path: Path) -> None:
    """The kit's line says that its number is blank; with it the line says nothing of the kind."""
    for number, said in (("", True), ("BK-7", False)):
        path = made(tmp_path / f"kit{said}") / "job.xlsx"
        path.write_bytes(build_sheets(assessed(kit_number=number or None), system="metric")[0])
        words = " ".join(map(str, row(one_sheet(path, "Quote"), "The kit")))
        assert ("Kit number blank" in words) is said
