"""The Parts list: every line once, live formulas, and what the user typed is there again."""

from dataclasses import replace
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook
from openpyxl.worksheet.worksheet import Worksheet

from bomcheck.assess import assess
from bomcheck.io.package import Package
from bomcheck.io.read.own import read_kept
from bomcheck.io.sheets.build import build_sheets
from bomcheck.io.sheets.columns import Table
from bomcheck.io.sheets.parts_freight import PARTS
from bomcheck.io.sheets.parts_list import NAME
from bomcheck.model.line import TO_ORDER, WORK
from tests.helpers.one_sheet import one_sheet
from tests.workbook.sheets.conftest import Built, build
from tests.workbook.sheets.sample_reports import written

plain_row = Table.row
TYPED = {
    "on_hand": 1.0,
    "own_price": 20.0,
    "own_price_per": "box of 3",
    "own_supplier": "the shop next door",
    "received": 1.0,
    "own_note": "=call first",
}


def rows(sheet: Worksheet) -> dict[str, int]:
    """Row of each line by the name in its last column."""
    return {str(cell.value): cell.row for cell in sheet[column(PARTS["key"])] if cell.value and cell.row > 2}


def column(col: int) -> str:
    return "ABCDEFGHIJKLMNOPQRSTUVWXYZ"[col]


def test_every_line_stands_once(built: Built) -> None:
    """Each line of the report has one row, none is left out."""
    names = [str(cell.value) for cell in built.values[NAME][column(PARTS["key"])] if cell.value and cell.row > 2]
    assert sorted(names) == sorted(written(line.key) for line in built.report.parts)


def test_every_column_has_its_value(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each line fills each column of the sheet, blank or not; what is filled has a column."""
    given: list[set[str]] = []

    def row(table: Table, **cells: Any) -> dict[int, Any]:
        if table is not PARTS:
            return plain_row(table, **cells)
        given.append(set(cells))
        return {}

    monkeypatch.setattr(Table, "row", row)
    build_sheets(build("fitting").report)
    names = {column.name for column in PARTS}
    lacking, strange = names - given[0], given[0] - names
    assert not lacking, f"give _line_cells of bomcheck/io/sheets/parts_list.py a value for {sorted(lacking)}"
    assert not strange, f"give bomcheck/tables/parts_columns.txt a row for {sorted(strange)}"


def test_figures_are_those_of_the_balance(built: Built) -> None:
    """Without anything typed by the user, what is to be ordered, its packs and its total are the report's."""
    sheet = built.values[NAME]
    for line in built.report.parts:
        row = rows(sheet)[written(line.key)]
        found = [sheet.cell(row, col + 1).value for col in (PARTS["to_order"], PARTS["packs"], PARTS["line_total"])]
        wanted = max(0.0, round(line.needed - line.in_kit - line.on_car - line.on_shelf, 6))
        assert found[0] == pytest.approx(wanted)
        if line.status == TO_ORDER:
            assert found[0] == pytest.approx(line.to_order)
            assert found[1] == line.packs
            assert found[2] == pytest.approx(line.line_total)


def test_total_is_what_the_lines_come_to() -> None:
    """The total is the sum of the lines to order and of the work."""
    built = build("fitting")
    sheet = built.values[NAME]
    lines = sum(line.line_total or 0.0 for line in built.report.parts if line.status in (TO_ORDER, WORK))
    total = next(cell.row for cell in sheet["A"] if str(cell.value).startswith("Total without tax"))
    assert sheet.cell(total, PARTS["line_total"] + 1).value == pytest.approx(lines)
    assert "not everything has a price" in str(sheet.cell(total, 1).value)


def again(kept: dict[str, dict[str, object]]) -> tuple[bytes, dict[str, dict[str, object]]]:
    """A second run with what a first one kept, and what is read from it."""
    report = assess(replace(build("fitting").report.job, own=kept))
    data, _ = build_sheets(report, kept=kept)
    return data, read_kept(Package(Path("ours.xlsx"), data).cells(NAME))


def test_what_the_user_typed_survives() -> None:
    """All input columns of every line are read back as they were typed, and again after a second run."""
    kept = {line.key: dict(TYPED) for line in build("fitting").report.parts}
    _, once = again(kept)
    assert once == kept
    assert again(once)[1] == kept


def test_nothing_typed_nothing_kept(built: Built) -> None:
    """A fresh list keeps nothing."""
    assert read_kept(Package(Path("ours.xlsx"), built.data).cells(NAME)) == {}


def test_what_is_on_hand_is_not_ordered() -> None:
    """One hose of the user's own: one is left to order, at the user's own price; with two the line is covered."""
    line = next(line for line in build("fitting").report.parts if line.role == "hose" and line.status == TO_ORDER)
    for held, order, total, status in ((1.0, 1, 20.0, "to order"), (2.0, 0, 0.0, "on hand")):
        data, _ = again({line.key: {"on_hand": held, "own_price": 20.0}})
        sheet = one_sheet(BytesIO(data), NAME, data_only=True)
        row = rows(sheet)[line.key]
        found = [sheet.cell(row, col + 1).value for col in (PARTS["to_order"], PARTS["line_total"], PARTS["status"])]
        assert found == [order, total, status]


def test_moved_columns_and_sorted_rows_do_no_harm() -> None:
    """What was typed is found by headings and names, wherever the user moved the columns and rows."""
    line, other = build("fitting").report.parts[:2]
    data, _ = again({line.key: {"on_hand": 3.0}, other.key: {"own_note": "blue"}})
    book = load_workbook(BytesIO(data))
    sheet = book[NAME]
    moved = book.create_sheet("moved")
    for number, cells in enumerate(reversed(list(sheet.iter_rows(min_row=3))), start=5):
        moved.append([]) if number == 5 else None
        for cell in reversed(cells):
            moved.cell(number, 40 - cell.column, cell.value)
    for cell in sheet[2]:
        moved.cell(4, 40 - cell.column, cell.value)
    out = BytesIO()
    book.save(out)
    assert read_kept(Package(Path("moved.xlsx"), out.getvalue()).cells("moved")) == {
        line.key: {"on_hand": 3.0},
        other.key: {"own_note": "blue"},
    }


def test_a_line_that_is_gone_keeps_what_was_typed() -> None:
    """What was typed in a line that is no longer needed stays, in a group of its own, on every further run."""
    kept = {"hose | of another plan": {"on_hand": 2.0, "own_note": "bought already"}}
    _, once = again(kept)
    assert once == kept
    assert again(once)[1] == kept


def test_left_and_right_are_separate() -> None:
    """A part for one side says so in a line of its own."""
    sheet = build("fitting").values[NAME]
    sides = [sheet.cell(row, PARTS["side"] + 1).value for row in rows(sheet).values()]
    assert "left" in sides
    assert "right" in sides
