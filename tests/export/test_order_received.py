"""What has come, by the Parts list's column Received, is not ordered again. Hand counts on the hill-climb job."""

from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner

from bomcheck.assess import assess
from bomcheck.commands.cli import main
from bomcheck.model.line import Entries
from bomcheck.model.report import Report
from bomcheck.paper.order_rows import left_out, open_rows, order_rows
from tests.export.shop_books import shop_book
from tests.helpers.demo_jobs import TODAY, checked, hill_climb
from tests.helpers.one_sheet import one_sheet

CLIP, FLUID = "line clip @ line in its tab", "fluid @ job"


@pytest.fixture(scope="module")
def report(tmp_path_factory: pytest.TempPathFactory) -> Report:
    return checked(hill_climb(tmp_path_factory.mktemp("job")))


def left(report: Report, key: str, received: float) -> list[object]:
    """[needed, packs, ordered, total] of a line after so much has come; empty where nothing is left to order."""
    parts = [replace(one, own=Entries(received=received)) if one.key == key else one for one in report.parts]
    rows = [one for one in open_rows(order_rows(replace(report, parts=tuple(parts)))) if one["line_key"] == key]
    return [row[n] for row in rows for n in ("quantity_needed", "packs", "quantity_ordered", "line_total")]


@pytest.mark.parametrize(
    ("received", "rest"), [(0.0, [1.3, 2, 2, 25.2]), (0.5, [0.8, 1, 1, 12.6]), (1.3, []), (2.0, [])]
)
def test_what_came_is_taken_off(report: Report, received: float, rest: list[object]) -> None:
    """1.3 L are needed, in litres at 12.60: after half a litre 0.8 L are left, one litre."""
    assert left(report, FLUID, received) == rest


@pytest.mark.parametrize(("received", "packs"), [(1.0, [1]), (2.0, [1]), (3.0, [])])
def test_the_kit_s_box_is_counted_first(report: Report, received: float, packs: list[int]) -> None:
    """Three clips, one of them in the box: the first that comes is the box's own, and only the third ends the order."""
    parts = [replace(one, in_kit=1.0, needed=3.0) if one.key == CLIP else one for one in report.parts]
    assert left(replace(report, parts=parts), CLIP, received)[1:2] == packs


def test_what_came_without_a_known_source_is_not_missed(tmp_path: Path) -> None:
    """Two clips that nobody sells have come from somewhere."""
    found = checked(hill_climb(tmp_path, {"line clip      | LC-1 ": "cleaner      | LC-1 "}))
    assert any("clip" in text for text in left_out(found))
    assert not any(
        "clip" in text for text in left_out(assess(replace(found.job, own={CLIP: {"received": 2.0}}), TODAY))
    )


def test_the_command_orders_only_what_has_not_come(tmp_path: Path) -> None:
    """Into a CSV, a new workbook and the shop's spreadsheet; what came is told; lines ordered before are not meant."""
    job, before = hill_climb(tmp_path), shop_book(tmp_path / "before.xlsx")
    ordered = CliRunner().invoke(main, ["order", str(job), "--into", str(before), "--yes"])
    assert "8 lines added" in ordered.stdout
    checked(job, {CLIP: {"received": 2.0}})
    for name in ("order.csv", "new.xlsx", "shop.xlsx"):
        into = shop_book(tmp_path / name) if name == "shop.xlsx" else tmp_path / name
        done = CliRunner().invoke(main, ["order", str(job), "--into", str(into), "--yes"])
        assert done.exit_code == 0, done.output
        assert "7 lines" in done.stdout
        assert "Received already: 2 of LC-1 spring clip for a line tab; nothing is left to order." in done.stderr
    again = CliRunner().invoke(main, ["order", str(job), "--into", str(before), "--yes"])
    assert "0 lines added" in again.stdout
    assert "no longer needed" not in again.stderr
    assert "changed" not in again.stderr


def test_a_figure_in_received_that_cannot_be_read_stops_the_order(tmp_path: Path) -> None:
    """The cell is named, and nothing is written."""
    job = hill_climb(tmp_path)
    checked(job, {CLIP: {"received": "some"}})
    done = CliRunner().invoke(main, ["order", str(job), "--into", str(tmp_path / "order.csv")])
    assert done.exit_code == 4
    assert "Parts list!" in done.stderr
    assert not (tmp_path / "order.csv").exists()


def test_a_whole_car_goes_into_one_file_as_two_jobs(tmp_path: Path) -> None:
    """The same number for the front and the rear axle: both orders stand in the spreadsheet, and both in the CSV."""
    book, table = shop_book(tmp_path / "shop.xlsx"), tmp_path / "car.csv"
    for axle in ("front", "rear"):
        folder = tmp_path / axle
        folder.mkdir()
        job = hill_climb(folder, {"axle                    front": f"axle                    {axle}"})
        assert "0 lines added" not in CliRunner().invoke(main, ["order", str(job), "--into", str(book), "--yes"]).stdout
        done = CliRunner().invoke(main, ["order", str(job), "--into", str(table), "--yes"])
        assert done.exit_code in (0, 3), done.output
    assert "Lines kept in car.csv: those of" in done.stdout
    sheet = one_sheet(book, "Orders")
    numbers = [sheet.cell(n, 1).value for n in range(5, sheet.max_row + 1)]
    assert numbers.count("LC-1") == 2
    text = table.read_text("utf-8")
    assert text.count('"LC-1"') == 2
    assert text.count('"front"') == text.count("\n") - 1 - text.count('"rear"') > 0
