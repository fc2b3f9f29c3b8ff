"""Order files: CSV with its data package, a new workbook, and rows added to the shop's own spreadsheet."""

import json
import zipfile
from datetime import date
from pathlib import Path

import frictionless
import openpyxl
import pandas
import pytest
import xlsxwriter
from click.testing import CliRunner

from bomcheck.cli import main
from bomcheck.export.order_append import append_rows
from bomcheck.export.order_csv import as_csv, safe_text, write_csv
from bomcheck.export.order_new import write_new
from bomcheck.export.order_rows import COLUMNS
from bomcheck.shipped import folder

JOB = folder("demo_workbooks") / "hill_climb_two_seater.xlsx"
NASTY = ("00123", "10-1", "1E5", "=1+1", "+5", "-3", "@x", "a,b", 'say "x"', "two\nlines", "<r>no</r>", "ä & <b>")


def row(number: int, **given: object) -> dict[str, object]:
    """One order line; texts as given, figures plausible."""
    blank: dict[str, object] = {c.name: "" if c.type == "string" else None for c in COLUMNS}
    figures = {"quantity_needed": 2.0, "pack_size": 5.0, "packs": 1, "quantity_ordered": 5.0, "price_per_pack": 3.5,
               "line_total": 3.5, "lead_days": 2.0, "needed_by": date(2026, 12, 1)}  # fmt: skip
    return {**blank, **figures, "line_key": f"line {number}", "job_number": "J-7", **given}


ROWS = [row(number, part_number=text, description=f"part {text}") for number, text in enumerate(NASTY)]


def shop_book(path: Path, table: bool = False) -> Path:
    """An ordering spreadsheet of a shop: a sheet of notes, orders with own formats, and a sheet that adds up."""
    book = xlsxwriter.Workbook(path)
    book.add_worksheet("Notes").write("A1", "hello")
    sheet = book.add_worksheet("Orders")
    money = book.add_format({"num_format": "0.00", "bg_color": "#FFEECC"})
    heads = ["Part no", "Qty", "Description", "Vendor", "Price", "Job", "Signed"]
    sheet.write("A1", "Orders of the shop")
    sheet.write_row(2, 0, heads)
    sheet.write_row(3, 0, ["00001", 2, "clip", "A"])
    sheet.write_number(3, 4, 3.5, money)
    if table:
        sheet.add_table(2, 0, 3, 6, {"columns": [{"header": head} for head in heads]})
    else:
        sheet.autofilter(2, 0, 3, 6)
    book.add_worksheet("Sums").write_formula("A1", "=SUM(Orders!B4:B4)", None, 2)
    book.close()
    return path


def parts_of(path: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(path) as book:
        return {name: book.read(name) for name in book.namelist()}


def test_csv_is_rfc_4180_and_its_data_package_validates(tmp_path: Path) -> None:
    """frictionless finds no error; pandas loads the same rows; part numbers are still text."""
    write_csv(ROWS, tmp_path / "order.csv")
    report = frictionless.Package(str(tmp_path / "datapackage.json")).validate()
    assert report.valid, report.flatten(["message"])
    read = pandas.read_csv(tmp_path / "order.csv", dtype=str, keep_default_na=False)
    assert list(read["part_number"]) == [safe_text(text) for text in NASTY]
    assert list(read["line_key"]) == [one["line_key"] for one in ROWS]
    assert as_csv(ROWS).count(b"\r\n") == len(ROWS) + 1


def test_no_text_of_the_csv_can_become_a_formula() -> None:
    """Every field that begins with = + - @ is preceded by an apostrophe."""
    for text in ("=1+1", "+5", "-3", "@x", "\tx"):
        assert safe_text(text) == f"'{text}"
    assert [safe_text(text) for text in ("00123", "10-1", "1E5")] == ["00123", "10-1", "1E5"]


def test_new_workbook_keeps_text_as_text(tmp_path: Path) -> None:
    """Part numbers come back letter for letter, none is a formula."""
    write_new(ROWS, tmp_path / "new.xlsx")
    sheet = openpyxl.load_workbook(tmp_path / "new.xlsx").active
    column = [c.name for c in COLUMNS].index("part_number") + 1
    cells = [sheet.cell(number + 2, column) for number in range(len(NASTY))]
    assert [str(cell.value).rstrip() for cell in cells] == list(NASTY)
    assert {cell.data_type for cell in cells} == {"s"}


@pytest.mark.parametrize("table", [False, True], ids=["plain", "table"])
def test_rows_go_below_the_last_and_nothing_else_changes(tmp_path: Path, table: bool) -> None:
    """Only the sheet (and its table) differ; the price's format is taken over; filter and table reach the new end."""
    book = shop_book(tmp_path / "shop.xlsx", table)
    before = parts_of(book)
    append_rows(book, ROWS)
    after = parts_of(book)
    assert before.keys() == after.keys()
    changed = {name for name in before if before[name] != after[name]}
    assert changed == {"xl/worksheets/sheet2.xml"} | ({"xl/tables/table1.xml"} if table else set())
    sheet = openpyxl.load_workbook(book)["Orders"]
    assert [str(sheet.cell(number + 5, 1).value) for number in range(len(NASTY))] == list(NASTY)
    assert {sheet.cell(number + 5, 1).data_type for number in range(len(NASTY))} == {"s"}
    assert sheet["E9"].number_format == "0.00"
    end = len(NASTY) + 4
    assert (sheet.tables["Table1"].ref if table else sheet.auto_filter.ref) == f"A3:G{end}"


def test_a_second_run_adds_nothing_twice(tmp_path: Path) -> None:
    """The same rows again: the file keeps its bytes; one more row: only that one is added."""
    book = shop_book(tmp_path / "shop.xlsx")
    append_rows(book, ROWS)
    once = book.read_bytes()
    assert "0 lines added" in append_rows(book, ROWS)[-1]
    assert book.read_bytes() == once
    assert append_rows(book, [*ROWS, row(99, part_number="X")])[-1].startswith("1 lines added")


def test_the_mapping_is_kept_and_may_be_edited(tmp_path: Path) -> None:
    """The first run proposes it; edited, it rules the next one."""
    book = shop_book(tmp_path / "shop.xlsx")
    assert '"Part no" takes part_number' in append_rows(book, ROWS[:1])[0]
    kept = tmp_path / "shop.xlsx.columns.json"
    read = json.loads(kept.read_text("utf-8"))
    read["columns"]["Signed"] = "line_key"
    kept.write_text(json.dumps(read), "utf-8")
    append_rows(book, [row(50, part_number="Y")])
    assert openpyxl.load_workbook(book)["Orders"]["G6"].value == "line 50"


def bad_line(job: Path, into: Path) -> str:
    done = CliRunner().invoke(main, ["order", str(job), "--into", str(into)])
    assert done.exit_code == 4, done.output
    lines = [line for line in done.stderr.strip().splitlines() if not line.startswith("Not in the order")]
    assert len(lines) == 1
    return lines[0]


def test_one_line_for_each_thing_that_is_wrong(tmp_path: Path) -> None:
    """A column that is gone, an unknown order column, a lock, no headings, something below, an ending; nothing is written."""
    book = shop_book(tmp_path / "shop.xlsx")
    before = book.read_bytes()
    kept = tmp_path / "shop.xlsx.columns.json"
    kept.write_text(json.dumps({"sheet": "Orders", "columns": {"Part no": "part_number", "Article": "packs"}}), "utf-8")
    assert 'the column "Article" is gone' in bad_line(JOB, book)
    kept.write_text(json.dumps({"sheet": "Orders", "columns": {"Part no": "part_nr"}}), "utf-8")
    assert "which is no order column" in bad_line(JOB, book)
    kept.write_text("{", "utf-8")
    assert "cannot be read" in bad_line(JOB, book)
    kept.unlink()
    lock = tmp_path / ".~lock.shop.xlsx#"
    lock.write_text("")
    assert "is open in a spreadsheet program" in bad_line(JOB, book)
    lock.unlink()
    assert book.read_bytes() == before
    assert "orders go into .csv or .xlsx" in bad_line(JOB, tmp_path / "order.txt")
    plain = tmp_path / "plain.xlsx"
    empty = xlsxwriter.Workbook(plain)
    empty.add_worksheet().write("A1", "x")
    empty.close()
    assert "no row of headings" in bad_line(JOB, plain)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["plain.xlsx", "shop.xlsx"]


def test_the_command_orders_what_the_list_says(tmp_path: Path) -> None:
    """The demo's eight lines, packs rounded up, in the shop's own spreadsheet."""
    book = shop_book(tmp_path / "shop.xlsx")
    done = CliRunner().invoke(main, ["order", str(JOB), "--into", str(book)])
    assert done.exit_code == 0, done.output
    assert "8 lines added" in done.stdout
    sheet = openpyxl.load_workbook(book)["Orders"]
    ordered = {sheet.cell(n, 1).value: sheet.cell(n, 2).value for n in range(5, 13)}
    assert ordered["HS-BU-3-430"] == 2
    assert ordered["SH-10-10"] == 10
