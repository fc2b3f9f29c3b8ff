"""`bomcheck order` as a person types it: what it writes, and one clear line for everything that stops it."""

import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from bomcheck.commands.cli import main
from tests.export.shop_books import shop_book
from tests.helpers.demo_jobs import checked, hill_climb
from tests.helpers.one_sheet import one_sheet

CLIP = "line clip @ line in its tab"


def order(job: Path, into: Path) -> Result:
    return CliRunner().invoke(main, ["order", str(job), "--into", str(into), "--yes"])


def contents(folder: Path) -> dict[str, bytes]:
    """The files of a folder."""
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


def stopped(job: Path, into: Path) -> str:
    """The one line; nothing may be written."""
    before = contents(into.parent)
    done = order(job, into)
    assert done.exit_code == 4, done.output
    assert contents(into.parent) == before
    assert done.stdout == ""
    lines = done.stderr.strip().splitlines()
    assert len(lines) == 1, lines
    return lines[0]


def test_the_demo_s_lines_go_into_the_shop_s_spreadsheet_once(tmp_path: Path) -> None:
    """Eight lines, packs rounded up; ten shims are one pack of ten, as the sheet has no column for unit or pack; a second
    run adds none and changes no byte."""
    job, book = hill_climb(tmp_path), shop_book(tmp_path / "shop.xlsx")
    done = order(job, book)
    assert done.exit_code == 0, done.output
    assert "8 lines added" in done.stdout
    sheet = one_sheet(book, "Orders")
    ordered = {sheet.cell(n, 1).value: sheet.cell(n, 2).value for n in range(5, 13)}
    assert ordered["HS-BU-3-430"] == 2
    assert ordered["SH-10-10"] == 1
    once = book.read_bytes()
    assert "0 lines added" in order(job, book).stdout
    assert book.read_bytes() == once


def test_what_stands_in_the_parts_list_counts(tmp_path: Path) -> None:
    """Clips on hand are not ordered."""
    job = hill_climb(tmp_path)
    checked(job, {CLIP: {"on_hand": 2.0}})
    assert "7 lines in order.csv" in order(job, tmp_path / "order.csv").stdout


def test_what_cannot_be_ordered_is_named_and_the_status_says_so(tmp_path: Path) -> None:
    """No source for the clips: the rest is written, the clips are named on standard error, status 3."""
    job = hill_climb(tmp_path, {"line clip      | LC-1 ": "cleaner      | LC-1 "})
    done = order(job, tmp_path / "order.xlsx")
    assert done.exit_code == 3
    assert "Not in the order: 2 x clip for the line's tab: no source known" in done.stderr
    assert (tmp_path / "order.xlsx").exists()


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("| -0.95 |", "-0.95"),
        ("| 0.95 GBP |", "not in EUR"),
        ("| free |", "free"),
    ],
)
def test_a_price_that_cannot_be_used_stops_the_order(tmp_path: Path, typed: str, says: str) -> None:
    """Negative, another currency, no number: file, sheet, cell and what was typed in one line."""
    into = tmp_path / "out"
    into.mkdir()
    line = stopped(hill_climb(tmp_path, {"| Supplier A | 0.95 |": f"| Supplier A {typed}"}), into / "order.csv")
    assert "Price list!" in line
    assert says in line


def test_a_pack_of_none_stops_the_order(tmp_path: Path) -> None:
    """A pack of 0 would never be enough."""
    into = tmp_path / "out"
    into.mkdir()
    line = stopped(hill_climb(tmp_path, {"| 0.95 | pack_size 4": "| 0.95 | pack_size 0"}), into / "order.csv")
    assert "Price list!" in line
    assert '"0"' in line


def test_a_missing_price_is_told_and_left_blank(tmp_path: Path) -> None:
    """The line is ordered all the same."""
    job = hill_climb(
        tmp_path,
        {"| spring clip for a line tab | Supplier A | 0.95 |": "| spring clip for a line tab | Supplier A | |"},
    )
    done = order(job, tmp_path / "order.csv")
    assert done.exit_code == 0, done.output
    assert "No price is known, so it is left blank: spring clip for a line tab." in done.stderr


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({"own_price": -3.0}, "a price is never negative"),
        ({"own_price": "3 GBP"}, "not in EUR"),
        ({"own_price": "ask"}, "cannot be read as one price"),
        ({"on_hand": "two"}, "this is no quantity"),
        ({"on_hand": -1.0}, "this is no quantity"),
    ],
)
def test_a_bad_figure_in_the_parts_list_stops_the_order(tmp_path: Path, typed: dict[str, object], says: str) -> None:
    """The cell of the Parts list is named."""
    into = tmp_path / "out"
    into.mkdir()
    job = hill_climb(tmp_path)
    checked(job, {CLIP: typed})
    line = stopped(job, into / "order.csv")
    assert "Parts list!" in line
    assert says in line


def test_each_thing_that_is_wrong_with_the_file_is_one_line(tmp_path: Path) -> None:
    """A column that is gone, an unknown order column, two for one, a lock, read-only, another CSV, an ending, the job itself."""
    job = hill_climb(tmp_path)
    folder = tmp_path / "shop"
    folder.mkdir()
    book, kept = shop_book(folder / "shop.xlsx"), folder / "shop.xlsx.columns.json"
    kept.write_text('{"sheet": "Orders", "columns": {"Part no": "part_number", "Article": "packs"}}')
    assert 'the column "Article" is gone' in stopped(job, book)
    kept.write_text('{"sheet": "Orders", "columns": {"Part no": "part_nr"}}')
    assert "which is no order column" in stopped(job, book)
    kept.write_text('{"sheet": "Orders", "columns": {"Part no": "packs", "Qty": "packs"}}')
    assert "two columns are to take" in stopped(job, book)
    kept.write_text('{"sheet": "Bestellungen", "columns": {"Part no": "part_number", "Qty": "packs"}}')
    assert 'no sheet named "Bestellungen"' in stopped(job, book)
    kept.write_text("{")
    assert "cannot be read" in stopped(job, book)
    kept.unlink()
    lock = folder / ".~lock.shop.xlsx#"
    lock.write_text("")
    assert "is open in a spreadsheet program" in stopped(job, book)
    lock.unlink()
    book.chmod(0o444)
    assert "read-only" in stopped(job, book)
    (folder / "other.csv").write_text("a,b\n1,2\n")
    assert "no headings of orders" in stopped(job, folder / "other.csv")
    assert "orders go into .csv or .xlsx" in stopped(job, folder / "order.txt")
    gone = order(job, folder / "none" / "order.csv")
    assert gone.exit_code == 4
    assert "its folder is not there" in gone.stderr
    assert "this is the job workbook itself" in stopped(job, job)
    (folder / "fake.xlsx").write_text("not a workbook")
    assert "not a workbook" in stopped(job, folder / "fake.xlsx")


def test_nothing_heavy_is_imported(tmp_path: Path) -> None:
    """Neither openpyxl nor pandas is needed for an order."""
    job, book = hill_climb(tmp_path), shop_book(tmp_path / "shop.xlsx")
    code = (
        "import sys; from click.testing import CliRunner; from bomcheck.commands.cli import main;"
        f"CliRunner().invoke(main, ['order', {str(job)!r}, '--into', {str(book)!r}]);"
        "print([name for name in ('openpyxl', 'pandas', 'numpy', 'pint') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
