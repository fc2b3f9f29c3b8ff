"""Which lines an ordering spreadsheet has already, and what is said of those that have changed. Invented orders."""

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest
import xlsxwriter
from openpyxl import load_workbook
from openxml_audit import OpenXmlValidator

from bomcheck.io.order.append import append_rows
from tests.export.shop_books import NASTY, ROWS, parts_of, row, shop_book
from tests.helpers.one_sheet import one_sheet

FRONT = [row(n, part_number=f"P{n}", description=f"part {n}", axle="front", supplier="A") for n in (1, 2)]
REAR = [{**one, "axle": "rear"} for one in FRONT]


def small_file(book: Path) -> Path:
    return book.with_name(f"{book.name}.columns.json")


def numbers(book: Path) -> list[Any]:
    """What stands in the first column below the shop's own line."""
    sheet = one_sheet(book, "Orders")
    return [sheet.cell(n, 1).value for n in range(5, sheet.max_row + 1)]


def book_with(path: Path, heads: list[str], *lines: list[Any], sent: bool = False) -> Path:
    """Headings and lines of a shop's own; sent: another sheet, with the first line of the order J-7."""
    book = xlsxwriter.Workbook(path)
    sheet = book.add_worksheet("Orders")
    for number, line in enumerate([heads, *lines]):
        sheet.write_row(number, 0, line)
    if sent:
        book.add_worksheet("Sent").write_row(3, 1, ["P1", 1, "J-7"])
    book.close()
    return path


def test_a_second_axle_of_the_job_is_added(tmp_path: Path) -> None:
    """Same job number, same lines, the other axle; each axle once."""
    book = shop_book(tmp_path / "shop.xlsx")
    for lines in (FRONT, REAR):
        assert append_rows(book, lines)[0][-1].startswith("2 lines added")
    once = book.read_bytes()
    for lines in (FRONT, REAR):
        assert append_rows(book, lines)[0][-1].startswith("0 lines added")
        assert append_rows(book, lines)[1] == []
    assert book.read_bytes() == once
    assert numbers(book) == ["P1", "P2", "P1", "P2"]


def test_one_side_after_the_other_is_added(tmp_path: Path) -> None:
    """An order for the left corner, then one for the right."""
    book = shop_book(tmp_path / "shop.xlsx")
    for side in ("left", "right"):
        lines = [{**one, "axle": f"front {side}"} for one in FRONT]
        assert append_rows(book, lines)[0][-1].startswith("2 lines added")
    assert len(numbers(book)) == 4


def test_another_car_of_the_same_job_is_added_and_told(tmp_path: Path) -> None:
    """Two cars under one job number."""
    book = shop_book(tmp_path / "shop.xlsx")
    append_rows(book, [{**one, "vehicle_label": "red"} for one in FRONT])
    said, remarks = append_rows(book, [{**one, "vehicle_label": "blue"} for one in FRONT])
    assert said[-1].startswith("2 lines added")
    assert '"red" -> "blue"' in remarks[0]


def test_an_older_small_file_is_understood(tmp_path: Path) -> None:
    """It kept job, line and packs; the first axle that comes takes its lines over, the second is added."""
    book = shop_book(tmp_path / "shop.xlsx")
    append_rows(book, FRONT)
    read = json.loads(small_file(book).read_text("utf-8"))
    read["appended"] = [["J-7", "line 1", 1], ["J-7", "line 2", 1]]
    del read["written"]
    small_file(book).write_text(json.dumps(read), "utf-8")
    assert append_rows(book, FRONT)[0][-1].startswith("0 lines added")
    assert append_rows(book, REAR)[0][-1].startswith("2 lines added")


@pytest.mark.parametrize("axle", [True, False])
def test_without_the_small_file_the_sheet_s_own_columns_count(tmp_path: Path, axle: bool) -> None:
    """Job and part number; with a column for the axle also the axle. Without it one line names what was taken for known."""
    book = book_with(tmp_path / "shop.xlsx", ["Part no", "Qty", "Job", *(["Axle"] if axle else [])])
    append_rows(book, FRONT)
    small_file(book).unlink()
    assert append_rows(book, FRONT)[0][-1].startswith("0 lines added")
    small_file(book).unlink()
    said, remarks = append_rows(book, REAR)
    assert said[-1].startswith("2 lines added" if axle else "0 lines added")
    assert axle or "known by job and part alone, and not added: P1 part 1, P2 part 2" in remarks[0]


def test_rows_that_were_taken_out_are_added_again(tmp_path: Path) -> None:
    """And it is told; those that the shop moved to another sheet of the workbook are not."""
    book = shop_book(tmp_path / "shop.xlsx")
    empty = book.read_bytes()
    append_rows(book, FRONT)
    book.write_bytes(empty)
    said, remarks = append_rows(book, FRONT)
    assert said[-1].startswith("2 lines added")
    assert remarks == ["shop.xlsx: no longer there, so added again: P1 part 1, P2 part 2."]
    moved = book_with(tmp_path / "moved.xlsx", ["Part no", "Qty", "Job"], sent=True)
    small_file(moved).write_bytes(small_file(book).read_bytes())
    read = json.loads(small_file(moved).read_text("utf-8"))
    read["columns"] = {"Part no": "part_number", "Qty": "packs", "Job": "job_number"}
    small_file(moved).write_text(json.dumps(read), "utf-8")
    assert append_rows(moved, FRONT)[0][-1].startswith("1 line added")
    assert one_sheet(moved, "Orders")["A2"].value == "P2"


def test_a_number_that_the_shop_changed_in_its_row_is_not_ordered_again(tmp_path: Path) -> None:
    """The description still tells the line."""
    book = shop_book(tmp_path / "shop.xlsx")
    append_rows(book, FRONT)
    changed = load_workbook(book)
    changed["Orders"]["A5"] = "OTHER-1"
    changed.save(book)
    assert append_rows(book, FRONT)[0][-1].startswith("0 lines added")


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"packs": 3}, "P1 part 1 has changed since it was ordered: packs 1 -> 3. Change it there."),
        ({"supplier": "B"}, 'P1 part 1 has changed since it was ordered: supplier "A" -> "B". Change it there.'),
        (
            {"part_number": "P9"},
            'P1 part 1 has changed since it was ordered: part number "P1" -> "P9". Change it there.',
        ),
    ],
)
def test_what_has_changed_is_told_until_the_row_says_it(tmp_path: Path, change: dict[str, Any], says: str) -> None:
    """Old -> new in one remark, on every run until somebody changes the row; no line is added."""
    book = shop_book(tmp_path / "shop.xlsx")
    append_rows(book, FRONT)
    lines = [{**FRONT[0], **change}, FRONT[1]]
    for _ in range(2):
        said, remarks = append_rows(book, lines)
        assert said[-1].startswith("0 lines added")
        assert remarks == [f"shop.xlsx: {says}"]
    edited = load_workbook(book)
    cell = {"packs": "B5", "supplier": "D5", "part_number": "A5"}[next(iter(change))]
    edited["Orders"][cell] = next(iter(change.values()))
    edited.save(book)
    assert append_rows(book, lines)[1] == []
    assert append_rows(book, lines)[1] == []


def test_what_is_no_longer_needed_is_told(tmp_path: Path) -> None:
    """Also where no line is left at all; the other axle's lines are not meant."""
    book = shop_book(tmp_path / "shop.xlsx")
    append_rows(book, REAR)
    append_rows(book, FRONT)
    assert append_rows(book, FRONT[:1])[1] == [
        "shop.xlsx: P2 part 2 is no longer needed: packs 1 -> 0. Take it out there, or send it back."
    ]
    remarks = append_rows(book, [], job={"job_number": "J-7", "axle": "front", "vehicle_label": ""})[1]
    assert [text.split(" is ")[0] for text in remarks] == ["shop.xlsx: P1 part 1", "shop.xlsx: P2 part 2"]


def test_a_column_that_is_named_later_is_filled_in(tmp_path: Path) -> None:
    """The part number had no column: one line says so and how to name it; then the rows get it, nothing else changes."""
    book = book_with(
        tmp_path / "shop.xlsx", ["Teilenr.", "Qty", "Description", "Job", "Signed"], ["X", 1, "own", "J-1"]
    )
    said = append_rows(book, FRONT, today=date(2026, 12, 1))[0]
    assert (
        "No column takes the part number (not understood: Teilenr., Signed). "
        'Write it under columns in shop.xlsx.columns.json: "Teilenr.": "part_number"'
    ) in said
    before = parts_of(book)
    read = json.loads(small_file(book).read_text("utf-8"))
    read["columns"]["Teilenr."] = "part_number"
    small_file(book).write_text(json.dumps(read), "utf-8")
    said = append_rows(book, FRONT)[0]
    assert "2 rows of shop.xlsx filled in where a column was named since" in said
    sheet = one_sheet(book, "Orders")
    assert [[cell.value for cell in line] for line in sheet["A2:D4"]] == [
        ["X", 1, "own", "J-1"],
        ["P1", 1, "part 1, pack of 5, front axle", "J-7"],
        ["P2", 1, "part 2, pack of 5, front axle", "J-7"],
    ]
    after = parts_of(book)
    assert {name for name in before if before[name] != after[name]} == {"xl/worksheets/sheet1.xml"}
    assert not OpenXmlValidator().validate(str(book)).errors
    once = book.read_bytes()
    assert append_rows(book, FRONT)[0][-1].startswith("0 lines added")
    assert book.read_bytes() == once


def test_awkward_texts_are_known_again_by_their_words(tmp_path: Path) -> None:
    """Line breaks, control signs, capitals: without a column for the number, and without the small file."""
    book = book_with(tmp_path / "shop.xlsx", ["Description", "Qty", "Job"])
    texts = [*NASTY, "two\r\nlines more", "bell\x07", "  spaces ", "ÄÖ, pack of 4"]
    lines = [row(n, part_number=f"N{n}", description=text) for n, text in enumerate(texts)]
    append_rows(book, lines)
    once = book.read_bytes()
    for _ in range(2):
        assert append_rows(book, lines)[0][-1].startswith("0 lines added")
        small_file(book).unlink()
    assert book.read_bytes() == once


def test_a_unit_column_named_later_does_not_turn_packs_into_pieces(tmp_path: Path) -> None:
    """A row that counts packs gets the pack as its unit."""
    book = book_with(tmp_path / "shop.xlsx", ["Part no", "Qty", "Job", "Einheit"])
    append_rows(book, ROWS[:1])
    read = json.loads(small_file(book).read_text("utf-8"))
    read["columns"]["Einheit"] = "unit"
    small_file(book).write_text(json.dumps(read), "utf-8")
    append_rows(book, ROWS[:1])
    assert [cell.value for cell in one_sheet(book, "Orders")[2]] == ["00123", 1, "J-7", "pack of 5"]


@pytest.mark.parametrize(
    ("typed", "told"), [(1, "packs 1 stand there, 3 are needed"), (None, "packs 0 stand there"), (3, ""), (4, "")]
)
def test_fewer_in_the_sheet_than_needed_is_told(tmp_path: Path, typed: int | None, told: str) -> None:
    """Somebody wrote another number into the row, or took it out: too few is told each time, more is the shop's own affair."""
    book = shop_book(tmp_path / "shop.xlsx")
    lines = [{**one, "packs": 3, "quantity_ordered": 15.0} for one in FRONT]
    append_rows(book, lines)
    opened = load_workbook(book)
    sheet = opened["Orders"]
    sheet.cell(5, 2).value = typed
    opened.save(book)
    for _ in range(2):
        said, remarks = append_rows(book, lines)
        assert said[-1].startswith("0 lines added")
        assert len(remarks) == bool(told)
        assert told in "".join(remarks)
