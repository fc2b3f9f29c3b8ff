"""Rows into the shop's own ordering spreadsheet: below the last one, in its formats, once, and nothing else changes."""

import json
import os
from datetime import date
from pathlib import Path

import pytest
import xlsxwriter
from openpyxl import load_workbook
from openxml_audit import OpenXmlValidator

from bomcheck.io.order.append import append_rows
from bomcheck.io.order.new_file import write_new
from bomcheck.io.package import open_package
from bomcheck.model.errors import WorkbookError
from bomcheck.paper.order_rows import COLUMNS
from tests.export.shop_books import HEADS, NASTY, ROWS, parts_of, prepared_book, row, saved_with, shop_book
from tests.helpers.one_sheet import one_sheet
from tests.workbook.office import saved_by_libreoffice


@pytest.mark.parametrize("table", [False, True], ids=["plain", "table"])
def test_rows_go_below_the_last_and_nothing_else_changes(tmp_path: Path, table: bool) -> None:
    """Only the sheet (and its table) differ; the price's format is taken over; filter and table reach the new end."""
    book = shop_book(tmp_path / "shop.xlsx", table)
    before = parts_of(book)
    append_rows(book, ROWS)
    after = parts_of(book)
    assert before.keys() == after.keys()
    changed = {name for name in before if before[name] != after[name]}
    of_table = {"xl/tables/table1.xml"} if table else {"xl/workbook.xml"}  # there the filter's name is kept
    assert changed == {"xl/worksheets/sheet2.xml", "xl/worksheets/sheet3.xml", *of_table}
    sheet = one_sheet(book, "Orders")
    assert [str(sheet.cell(number + 5, 1).value) for number in range(len(NASTY))] == list(NASTY)
    assert {sheet.cell(number + 5, 1).data_type for number in range(len(NASTY))} == {"s"}
    assert sheet["E9"].number_format == "0.00"
    end = len(NASTY) + 4
    assert (sheet.tables["Table1"].ref if table else sheet.auto_filter.ref) == f"A3:G{end}"
    assert not OpenXmlValidator().validate(str(book)).errors


@pytest.mark.parametrize("settings", ['<calcPr calcId="191029"/>', '<calcPr calcId="191029" fullCalcOnLoad="0"/>', ""])
def test_sums_elsewhere_that_stay_old_are_told(tmp_path: Path, settings: str) -> None:
    """As spreadsheet programs save it, without the request to work all out on opening: nothing but the sheet, its filter's
    name and the sum over its lines changes, and one line says how the shop's own sums take the new lines in."""
    book = saved_with(shop_book(tmp_path / "shop.xlsx"), settings)
    before = parts_of(book)
    assert "Ctrl+Alt+F9" in append_rows(book, ROWS)[0][-1]
    after = parts_of(book)
    assert {name for name in before if before[name] != after[name]} == {
        "xl/workbook.xml",
        "xl/worksheets/sheet2.xml",
        "xl/worksheets/sheet3.xml",
    }
    assert after.keys() == before.keys()
    once = book.read_bytes()
    assert "Ctrl+Alt+F9" not in " ".join(append_rows(book, ROWS)[0])
    assert book.read_bytes() == once


def test_who_uses_libreoffice_is_told(tmp_path: Path) -> None:
    """At its usual settings LibreOffice (7.4, tried) heeds stored values only; the line stands where lines were added."""
    book = saved_by_libreoffice(shop_book(tmp_path / "shop.xlsx"), tmp_path / "saved")
    assert "Ctrl+Shift+F9" in append_rows(book, ROWS)[0][-1]
    assert "Ctrl+Shift+F9" not in " ".join(append_rows(book, ROWS)[0])


@pytest.mark.skipif(os.name == "nt", reason="hard links are rare on Windows")
def test_another_name_of_the_file_is_told(tmp_path: Path) -> None:
    """A hard link keeps the old content: one line says so; nothing is refused."""
    book = shop_book(tmp_path / "shop.xlsx")
    before = book.read_bytes()
    os.link(book, tmp_path / "linked.xlsx")
    said, remarks = append_rows(book, ROWS)
    assert said[-1] == "shop.xlsx has another name (a hard link), which keeps the old content"
    assert remarks == []
    assert (tmp_path / "linked.xlsx").read_bytes() == before != book.read_bytes()
    assert "hard link" not in " ".join(append_rows(book, [row(99, part_number="X")])[0])


def test_the_old_rows_keep_their_bytes(tmp_path: Path) -> None:
    """Of the sheet's own part, everything up to the end of the last line is the same, but for its stated extent."""
    book = shop_book(tmp_path / "shop.xlsx")
    before = parts_of(book)["xl/worksheets/sheet2.xml"]
    append_rows(book, ROWS)
    after = parts_of(book)["xl/worksheets/sheet2.xml"]
    head = before[before.index(b"<sheetData>") : before.index(b"</sheetData>")]
    assert head in after


def test_libreoffice_reads_the_same_rows(tmp_path: Path) -> None:
    """Opened and saved by LibreOffice, every part number is the same text."""
    book = shop_book(tmp_path / "shop.xlsx")
    append_rows(book, ROWS)
    sheet = one_sheet(saved_by_libreoffice(book, tmp_path / "out"), "Orders")
    assert [sheet.cell(number + 5, 1).value for number in range(len(NASTY))] == list(NASTY)
    assert {sheet.cell(number + 5, 1).data_type for number in range(len(NASTY))} == {"s"}


def test_prepared_rows_are_filled_in(tmp_path: Path) -> None:
    """Lines go into the ruled rows, their formulas stay and come to the total, and the day goes in as a day.

    The formula's old value, 0, is gone: a program that trusts stored values would go on to show it.
    """
    book = prepared_book(tmp_path / "shop.xlsx")
    append_rows(book, ROWS[:2], today=date(2026, 11, 25))
    sheet, values = one_sheet(book, "Orders"), one_sheet(book, "Orders", data_only=True)
    assert [sheet.cell(3, column).value for column in (2, 3, 4, 5)] == ["J-7", "00123", 1, 3.5]
    assert values["A3"].value.date() == date(2026, 11, 25)
    assert (sheet["F3"].value, values["F3"].value) == ("=D3*E3", None)
    assert (sheet["G3"].value, values["G3"].value) == ("=ROUND(D3*E3*0.97,2)", None)
    assert values["F5"].value == 0
    assert sheet["G4"].value == "=ROUND(D4*E4*0.97,2)"
    assert sheet["F5"].value == "=D5*E5"
    assert sheet["C4"].border.left.style == "thin"
    worked_out = one_sheet(saved_by_libreoffice(book, tmp_path / "out"), "Orders", data_only=True)
    assert worked_out["F3"].value == pytest.approx(3.5)
    assert worked_out["G3"].value == pytest.approx(3.4)
    assert not OpenXmlValidator().validate(str(book)).errors


def test_a_second_run_adds_nothing_twice(tmp_path: Path) -> None:
    """The same rows again: the file keeps its bytes; one more row: only that one is added."""
    book = shop_book(tmp_path / "shop.xlsx")
    append_rows(book, ROWS)
    once = book.read_bytes()
    assert append_rows(book, ROWS)[0][-1].startswith("0 lines added")
    assert book.read_bytes() == once
    assert append_rows(book, [*ROWS, row(99, part_number="X")])[0][-1].startswith("1 line added")


def test_nothing_twice_without_the_small_file(tmp_path: Path) -> None:
    """Job and part number in the sheet are enough to know the lines again; another job's same part is another line."""
    book = shop_book(tmp_path / "shop.xlsx")
    append_rows(book, ROWS)
    (tmp_path / "shop.xlsx.columns.json").unlink()
    once = book.read_bytes()
    append_rows(book, ROWS)
    assert book.read_bytes() == once
    assert append_rows(book, [{**one, "job_number": "J-8"} for one in ROWS])[0][-1].startswith(f"{len(ROWS)} lines")


def test_a_new_order_workbook_takes_further_lines(tmp_path: Path) -> None:
    """The workbook made by the first order is an ordering spreadsheet like any other: by its line column nothing comes twice."""
    book = tmp_path / "new.xlsx"
    write_new(ROWS, book)
    assert append_rows(book, [*ROWS, row(77, part_number="N")])[0][-1].startswith("1 line added")
    sheet = load_workbook(book).active
    assert sheet is not None
    at = [c.name for c in COLUMNS].index("part_number") + 1
    assert [str(sheet.cell(n + 2, at).value).rstrip() for n in range(len(NASTY) + 1)] == [*NASTY, "N"]
    assert sheet.auto_filter.ref.endswith(str(len(NASTY) + 2))


def test_the_mapping_is_kept_and_may_be_edited(tmp_path: Path) -> None:
    """The first run proposes it; edited, it rules the next one; columns may move."""
    book = shop_book(tmp_path / "shop.xlsx")
    assert '"Part no" takes part_number' in append_rows(book, ROWS[:1])[0][0]
    kept = tmp_path / "shop.xlsx.columns.json"
    read = json.loads(kept.read_text("utf-8"))
    read["columns"]["Signed"] = "line_key"
    kept.write_text(json.dumps(read), "utf-8")
    append_rows(book, [row(50, part_number="Y")])
    assert one_sheet(book, "Orders")["G6"].value == "line 50"


def test_a_proposal_that_lacks_a_quantity_is_written_down(tmp_path: Path) -> None:
    """One line says what is missing and where to write it; completed there, the next run adds the lines."""
    path = tmp_path / "shop.xlsx"
    book = xlsxwriter.Workbook(path)
    book.add_worksheet("Orders").write_row(0, 0, ["Part no", "Supplier", "Ctd"])
    book.close()
    before = path.read_bytes()
    with pytest.raises(WorkbookError, match="no column is known to take how many are ordered"):
        append_rows(path, ROWS)
    assert path.read_bytes() == before
    kept = tmp_path / "shop.xlsx.columns.json"
    read = json.loads(kept.read_text("utf-8"))
    read["columns"]["Ctd"] = "packs"
    kept.write_text(json.dumps(read), "utf-8")
    append_rows(path, ROWS)
    assert one_sheet(path, "Orders")["C2"].value == 1


def broken(path: Path, how: str) -> None:
    """Makes the ordering spreadsheet one that may not be written into."""
    book = xlsxwriter.Workbook(path)
    sheet = book.add_worksheet("Orders")
    sheet.write_row(0, 0, HEADS)
    sheet.write_row(1, 0, ["00001", 2, "clip", "A", 1])
    if how == "protected":
        sheet.protect()
    book.close()


@pytest.mark.parametrize(
    ("how", "says"),
    [
        ("protected", "the sheet is protected"),
    ],
)
def test_what_stands_in_the_way_is_named(tmp_path: Path, how: str, says: str) -> None:
    """One line; the spreadsheet keeps its bytes and no small file is left."""
    path = tmp_path / "shop.xlsx"
    broken(path, how)
    before = path.read_bytes()
    with pytest.raises(WorkbookError, match=says):
        append_rows(path, ROWS)
    assert path.read_bytes() == before
    assert [one.name for one in tmp_path.iterdir()] == ["shop.xlsx"]


def test_a_read_only_spreadsheet_is_left_alone(tmp_path: Path) -> None:
    """Also for a user who could write to it all the same."""
    book = shop_book(tmp_path / "shop.xlsx")
    book.chmod(0o444)
    with pytest.raises(WorkbookError, match="read-only"):
        append_rows(book, ROWS)


def test_a_full_disk_leaves_both_files_as_they_were(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The n-th replacement fails: neither the spreadsheet nor the small file is changed, for every n."""
    from bomcheck.io import disk as files

    book = shop_book(tmp_path / "shop.xlsx")
    append_rows(book, ROWS[:1])
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    real = files.replace
    for fails_at in (1, 2):
        calls = 0

        def replace(new: Path, old: Path, fails_at: int = fails_at) -> None:
            nonlocal calls
            calls += 1
            if calls == fails_at:
                raise OSError(28, "No space left on device")
            real(new, old)

        monkeypatch.setattr(files, "replace", replace)
        with pytest.raises(WorkbookError, match="the disk is full"):
            append_rows(book, ROWS)
        monkeypatch.setattr(files, "replace", real)
        assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before


def test_a_job_without_a_number_is_refused(tmp_path: Path) -> None:
    """Without it a second run could not know its lines."""
    book = shop_book(tmp_path / "shop.xlsx")
    with pytest.raises(WorkbookError, match="the job has no number"):
        append_rows(book, [row(1, job_number="")], "job.xlsx")
    assert open_package(book).sheet_names == ("Notes", "Orders", "Sums")
