"""The Bill: what was really used, by the Tick list, at the quoted prices. Common practice, no source; sums by hand."""

from pathlib import Path

import pytest
from openpyxl import load_workbook
from openpyxl.worksheet.worksheet import Worksheet

from bomcheck.io.sheets.bill import _counted
from tests.helpers.demo_jobs import checked, hill_climb, quoted_hill_climb
from tests.helpers.one_sheet import one_sheet
from tests.workbook.sheets.office import recalculated
from tests.workbook.sheets.test_quote import row, total

FROM = "bench tick From Supplier"
FLUID = "fluid @ job"


def tick_names(path: Path) -> list[str]:
    """Names of the rows in which the bench writes."""
    sheet = one_sheet(path, "Tick list")
    return [str(cell.value) for line in sheet.iter_rows() for cell in line if str(cell.value).startswith("bench tick ")]


def name_of(names: list[str], line: str) -> str:
    return next(one for one in names if one.endswith(f", {line}"))


def billed(path: Path, kept: dict[str, dict[str, object]]) -> Worksheet:
    checked(path, kept)
    return one_sheet(path, "Bill", data_only=True)


def test_no_bill_before_the_bench_wrote_anything(tmp_path: Path) -> None:
    """A job that was only quoted has none."""
    path = quoted_hill_climb(tmp_path)
    assert "Bill" not in load_workbook(path).sheetnames


def test_what_was_used_is_billed(tmp_path: Path) -> None:
    """Four clips of the pack at 0.95, not the two that were planned; one bottle of fluid of 1 L at 12.60, as 0.8 L were used;
    four shims of the ten at 0.36; a mark-up of 10 % as on the quote; LibreOffice comes to the same."""
    path = quoted_hill_climb(tmp_path)
    names = tick_names(path)
    clip, fluid = name_of(names, "line clip @ line in its tab"), name_of(names, FLUID)
    (shim,) = [one for one in names if one.startswith("bench tick bought, shim")]
    kept: dict[str, dict[str, object]] = {
        shim: {"used": 4.0}, clip: {"used": 4.0}, fluid: {"used": 0.8}, "quote mark-up": {"figure": 10.0}, "quote kit": {"figure": 1500.0},
        "quote bill labour corner": {"figure": 5.0},
    }  # fmt: skip
    sheet = billed(path, kept)
    for one in (sheet, recalculated(path.read_bytes(), tmp_path)["Bill"]):
        assert row(one, "Spring clip")[2:5] == [4, pytest.approx(0.95 * 1.1), pytest.approx(4.18)]
        assert row(one, "Brake fluid")[2:5] == [1, pytest.approx(12.6 * 1.1), pytest.approx(13.86)]
        assert row(one, "Shim washer")[2:5] == [4, pytest.approx(0.36 * 1.1), pytest.approx(1.58)]
        assert total(one, "The kit") == 1500
        assert row(one, "Convert a corner")[2:5] == [5, 68, 340]
        assert total(one, "Labour, sub") == (5.0 + 2.5) * 68
    assert "written under Used" in str(row(sheet, "Spring clip")[5])
    assert str(row(sheet, "Braided hose")[5]).startswith("As quoted")


def test_a_decimal_comma_under_used_counts(tmp_path: Path) -> None:
    """3,0 clips typed as a text: a number on the Tick list from now on, so that the live bill counts it too."""
    path = quoted_hill_climb(tmp_path)
    clip = name_of(tick_names(path), "line clip @ line in its tab")
    billed(path, {clip: {"used": "3,0"}})
    found = [cell.value for row in one_sheet(path, "Tick list").iter_rows() for cell in row]
    assert 3 in found
    assert "3,0" not in found


def parts_block(sheet: Worksheet) -> list[tuple[str, object]]:
    """(item, total) of the rows between "Parts" and its subtotal."""
    rows = [[cell.value for cell in one] for one in sheet.iter_rows()]
    heads = [n for n, one in enumerate(rows) if one[0] == "Parts" or str(one[0]).startswith("Parts, subtotal")]
    return [(str(one[0]), one[4]) for one in rows[heads[0] + 1 : heads[1]]]


def test_once_it_is_signed_all_stands_as_quoted(tmp_path: Path) -> None:
    """Nothing written under Used: what the Quote sells, row by row: the pack of four clips at 4 x 0.95 = 3.80, not the two that
    the job needs; a bottle is a bottle; one hose of the shop's own beside one that is bought, two rows on both."""
    path = hill_climb(tmp_path)
    kept: dict[str, dict[str, object]] = {
        "bench signed Fitted by, date": {"done": "AB 2026-12-03"}, "hose @ brake line": {"on_hand": 1.0},
    }  # fmt: skip
    sheet = billed(path, kept)
    assert row(sheet, "Spring clip")[2:5] == [4, pytest.approx(0.95), pytest.approx(3.8)]
    assert row(sheet, "Shim washer")[2:5] == [10, pytest.approx(0.36), pytest.approx(3.6)]
    assert row(sheet, "Threadlocker")[2] == 1
    assert row(sheet, "Brake fluid")[2] == 2
    quote = one_sheet(path, "Quote", data_only=True)
    assert parts_block(sheet) == parts_block(quote)
    assert [one for one, _ in parts_block(sheet) if one.startswith("Braided hose")] == [
        "Braided hose, swivel nut, 430 mm"
    ] * 2
    found = recalculated(path.read_bytes(), tmp_path)
    assert parts_block(found["Bill"]) == parts_block(found["Quote"])
    assert total(billed(path, kept), "Total with tax") == total(quote, "Total with tax")


def test_what_is_used_of_the_shelf_and_of_the_order_is_billed_apart(tmp_path: Path) -> None:
    """One hose on hand, one bought; the bench used the one of the shelf alone: 42.80 once, and 0 x the other."""
    path = hill_climb(tmp_path)
    on_hand: dict[str, dict[str, object]] = {"hose @ brake line": {"on_hand": 1.0}}
    checked(path, on_hand)
    names = [one for one in tick_names(path) if one.endswith(", hose @ brake line")]
    shelf, order = sorted(names, key=lambda one: "shelf" not in one)
    sheet = billed(path, {**on_hand, shelf: {"used": 1.0}, order: {"used": 0.0}})
    hoses = [one for one in parts_block(sheet) if one[0].startswith("Braided hose")]
    assert sorted(float(str(value)) for _, value in hoses) == [0, pytest.approx(42.8)]


def test_a_word_under_used_is_named(tmp_path: Path) -> None:
    """ "all" is no quantity: it stays, it counts nothing, and the cell is named."""
    path = quoted_hill_climb(tmp_path)
    sheet = billed(path, {name_of(tick_names(path), FLUID): {"used": "all"}})
    assert row(sheet, "Brake fluid")[2] == 2
    from bomcheck.io.package import open_package
    from bomcheck.io.read.own import own_faults

    said = [str(one) for one in own_faults(open_package(path), "EUR")]
    assert any("Tick list" in one and "all" in one for one in said)


def test_the_letterhead_and_a_list_price(tmp_path: Path) -> None:
    """Name and address of the shop head quote and bill; a hose at its list price of 50 each takes no mark-up: 100.00."""
    path = hill_climb(tmp_path, {"prepared_by             ": "shop_letterhead  Hill Works, 3 Pit Lane\nprepared_by  "})
    kept: dict[str, dict[str, object]] = {
        "quote list hose @ brake line": {"figure": 50.0}, "quote mark-up": {"figure": 25.0},
        "bench signed Fitted by, date": {"done": "AB"},
    }  # fmt: skip
    checked(path, kept)
    book = load_workbook(path, data_only=True)
    office = recalculated(path.read_bytes(), tmp_path)
    for name in ("Quote", "Bill"):
        heads = [str(cell.value) for cell in book[name][1]]
        assert any(one.startswith("Hill Works, 3 Pit Lane") for one in heads)
        for one in (book[name], office[name]):
            assert total(one, "Braided hose") == 100
            assert total(one, "Caliper adapter") == 17


def test_what_the_shop_has_on_hand_is_billed_too(tmp_path: Path) -> None:
    """One hose typed as on hand: one is bought, the other comes from the shelf, at its price in the list; 85.60 in all."""
    path = hill_climb(tmp_path)
    checked(path, {"hose @ brake line": {"on_hand": 1.0}})
    sheet = one_sheet(path, "Quote", data_only=True)
    lines = [[cell.value for cell in one] for one in sheet.iter_rows() if str(one[0].value).startswith("Braided hose")]
    assert [line[2] for line in lines] == [1, 1]
    assert sum(float(str(line[4])) for line in lines) == pytest.approx(85.6)


@pytest.mark.parametrize(("first", "second", "used"), [(4, None, 6), (6, None, 6), (None, 3, 7), (5, 1, 6), (4, 0, 4)])
def test_a_place_where_nothing_is_written_is_not_billed_as_none(
    first: float | None, second: float | None, used: float
) -> None:
    """One pack for four places and for two; beside the second stands nothing: two as planned, unless more than the four are written
    beside the first."""
    formula, value = _counted([("A1", first, 4.0), ("B1", second, 2.0)])
    assert value == used
    assert formula == 'IF(COUNTIF(A1,">=0"),N(A1),4)+IF(COUNTIF(B1,">=0"),N(B1),IF(N(A1)>4,0,2))'
