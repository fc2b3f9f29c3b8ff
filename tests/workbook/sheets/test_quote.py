"""The Quote: LibreOffice works it out to the same values, what is typed is kept and counts. Hours: common practice, no source."""

from datetime import date
from io import BytesIO
from pathlib import Path

import pytest
from openpyxl import load_workbook
from openpyxl.worksheet.worksheet import Worksheet

from bomcheck.assess import assess
from bomcheck.quote import operations
from bomcheck.quote_options import options
from bomcheck.shipped import folder
from bomcheck.workbook.package import Package
from bomcheck.workbook.read import read_job
from bomcheck.workbook.sheets.build import build_sheets
from bomcheck.workbook.sheets.kept import read_kept
from tests.helpers.demo_jobs import checked, hill_climb
from tests.workbook.sheets.office import recalculated

DEMOS = sorted(folder("demo_workbooks").glob("*.xlsx"))
CLIP = "line clip | clip for the line's tab"


def row(sheet: Worksheet, words: str) -> list[object]:
    """The first row whose first cell begins with the words."""
    return next([cell.value for cell in one] for one in sheet.iter_rows() if str(one[0].value).startswith(words))


def quoted(path: Path, kept: dict[str, dict[str, object]] | None = None) -> Worksheet:
    checked(path, kept)
    return load_workbook(path, data_only=True)["Quote"]


def made(folder: Path) -> Path:
    folder.mkdir()
    return folder


@pytest.mark.parametrize("demo", DEMOS, ids=[path.stem for path in DEMOS])
def test_every_demo_is_worked_out_to_what_is_stored(demo: Path, tmp_path: Path) -> None:
    """Each formula of Quote and Parts list gives in LibreOffice what is stored in its cell."""
    report = assess(read_job(demo)[0])
    data, _ = build_sheets(report, system=str(report.job.get("units")), now=date(2026, 11, 25))
    found, stored, live = (
        recalculated(data, tmp_path),
        *(load_workbook(BytesIO(data), data_only=one) for one in (True, False)),
    )
    count = 0
    for name in ("Quote", "Parts list"):
        for cell in (one for line in live[name].iter_rows() for one in line if one.data_type == "f"):
            wanted, got = stored[name][cell.coordinate].value, found[name][cell.coordinate].value
            if isinstance(wanted, int | float):
                assert got == pytest.approx(wanted, abs=1e-9), f"{name}!{cell.coordinate}"
            else:
                assert (got or "") == (wanted or ""), f"{name}!{cell.coordinate}"
            count += 1
    assert count > 15


def test_by_hand(tmp_path: Path) -> None:
    """Hill climb: parts 112 + 85.60 + 13.60 + 8.40 + 3.80 + 9.50 + 3.60 + 25.20 = 261.70; labour 2 x 2.0 + 2 x 0.5 + 1.0 + 0.5
    = 6.5 h at 68 = 442.00; together 703.70, 20 % tax 140.74, in all 844.44."""
    sheet = quoted(hill_climb(tmp_path))
    totals = {
        words: row(sheet, words)[5]
        for words in ("Parts, sub", "Labour, sub", "Total without", "Tax, 20 %", "Total with tax")
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
    """Three hours a corner, a kit of 1,500, 5 % consumables, a rate of 70 and 14 days; the same after a further check."""
    typed = {"quote labour corner": {"figure": 3.0}, "quote kit": {"figure": 1500.0}, "quote consumables": {"figure": "5"},
             "quote rate": {"figure": 70.0}, "quote days": {"figure": 14.0}}  # fmt: skip
    path = hill_climb(tmp_path)
    sheet = quoted(path, typed)
    labour, parts = 8.5 * 70, 1761.70
    assert row(sheet, "Labour, sub")[5] == pytest.approx(labour)
    assert row(sheet, "Parts, sub")[5] == pytest.approx(parts)
    assert row(sheet, "Consumables")[5] == pytest.approx(round((labour + parts) * 0.05, 2))
    assert row(sheet, "Valid until")[5].date() == date(2026, 12, 9)  # type: ignore[attr-defined]
    kept = read_kept(Package(path, path.read_bytes()).cells("Quote"))
    assert {key: kept[key] for key in typed} == {**typed, "quote consumables": {"figure": 5.0}}
    again = quoted(path, kept)
    assert row(again, "Total with tax")[5] == row(sheet, "Total with tax")[5]


def test_a_word_in_a_yellow_cell_is_kept_and_counts_nothing(tmp_path: Path) -> None:
    """LibreOffice agrees: no error value, the other rows add up."""
    path = hill_climb(tmp_path)
    sheet = quoted(path, {"quote labour corner": {"figure": "see John"}})
    assert row(sheet, "Convert a corner")[2] == "see John"
    assert row(sheet, "Labour, sub")[5] == pytest.approx(2.5 * 68)
    found = recalculated(path.read_bytes(), tmp_path)["Quote"]
    assert row(found, "Labour, sub")[5] == pytest.approx(2.5 * 68)


def test_another_quantity_goes_through_to_the_total(tmp_path: Path) -> None:
    """Six clips needed instead of two: two packs, 3.80 more before tax, worked out by LibreOffice."""
    path = hill_climb(tmp_path)
    before = row(quoted(path), "Total without")[5]
    book = load_workbook(path)
    parts = book["Parts list"]
    heads = {cell.value: cell.column for cell in parts[2]}
    line = next(one[0].row for one in parts.iter_rows() if any(cell.value == "LC-1" for cell in one))
    parts.cell(line, heads["Needed"]).value = 6
    out = BytesIO()
    book.save(out)
    found = recalculated(out.getvalue(), made(tmp_path / "office"))["Quote"]
    assert row(found, "Total without")[5] == pytest.approx(float(str(before)) + 3.80)
    assert row(found, "Spring clip")[3] == 2


def test_without_rate_and_tax_nothing_is_made_up(tmp_path: Path) -> None:
    """No labour total, no tax, and both are named as open."""
    sheet = quoted(hill_climb(tmp_path, {"labour_rate             68\n": "", "tax_percent             20\n": ""}))
    assert row(sheet, "Labour, sub")[5] == 0
    texts = [str(cell.value) for line in sheet.iter_rows() for cell in line if cell.value]
    assert not [text for text in texts if text.startswith("Tax, ")]
    assert "Labour rate is not stated on the Job sheet" in texts
    assert "Tax is not stated on the Job sheet" in texts


def test_options_for_the_duty(tmp_path: Path) -> None:
    """Fast road: F2 pads, never the road-only or the race-only ones; DOT 4 and, boiling later, DOT 5.1, never silicone."""
    report = assess(read_job(hill_climb(tmp_path))[0])
    assert [(one.what, one.grade, one.purchase.part.part_number) for one in options(report)] == [
        ("pads", "good", "P44-F2"), ("fluid", "good", "BF-4-1"), ("fluid", "better", "BF-51-05"),
    ]  # fmt: skip
    road = assess(read_job(hill_climb(tmp_path, {"duty                    fast road": "duty  road"}))[0])
    assert [(one.grade, one.purchase.part.part_number) for one in options(road) if one.what == "pads"] == [
        ("good", "P44-S1"), ("better", "P44-F2"),
    ]  # fmt: skip
