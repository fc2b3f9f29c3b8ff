"""Two processes at once on one order file, and on one job: who comes second waits or is told, and nothing is lost."""

import subprocess
import sys
from pathlib import Path

from openpyxl import load_workbook

from bomcheck.io.package import open_package
from bomcheck.io.read.own import kept_from
from tests.export.shop_books import shop_book
from tests.helpers.demo_jobs import hill_climb, quoted_hill_climb
from tests.helpers.one_sheet import one_sheet

AGAIN = "import sys\nfrom bomcheck.commands.cli import main\nmain(sys.argv[1:])"
TRIES = 20


def at_once(*commands: list[str]) -> None:
    """Runs all, each again as long as it is told that another one was writing."""
    waiting = [(one, 0) for one in commands]
    while waiting:
        started = [
            (one, n, subprocess.Popen([sys.executable, "-c", AGAIN, *one], stdout=-1, stderr=-1)) for one, n in waiting
        ]
        waiting = []
        for one, tries, process in started:
            _, told = process.communicate()
            assert process.returncode in (0, 1, 3, 4), told.decode()
            if process.returncode == 4:
                assert tries < TRIES, told.decode()
                waiting.append((one, tries + 1))


def job(folder: Path, number: str) -> Path:
    folder.mkdir()
    path = hill_climb(folder)
    book = load_workbook(path)
    for row in book["Job"].iter_rows():
        if row[0].value == "Job number":
            row[1].value = number
    book.save(path)
    return path


def test_two_orders_into_one_file(tmp_path: Path) -> None:
    """Both jobs' eight lines are in, each once, and the list of what was written names all of them."""
    book = shop_book(tmp_path / "shop.xlsx")
    jobs = [job(tmp_path / number, number) for number in ("J-1", "J-2")]
    at_once(*(["order", str(one), "--into", str(book), "--yes"] for one in jobs))
    rows = [[cell.value for cell in row] for row in one_sheet(book, "Orders").iter_rows(min_row=5)]
    keys = [(row[5], row[0]) for row in rows if row[0]]
    assert len(keys) == len(set(keys)) == 16
    at_once(*(["order", str(one), "--into", str(book), "--yes"] for one in jobs))
    assert len([row for row in one_sheet(book, "Orders").iter_rows(min_row=5) if row[0].value]) == 16


def test_two_slips_into_one_job(tmp_path: Path) -> None:
    """Both are booked."""
    path = quoted_hill_climb(tmp_path)
    for name, line in (("a.csv", "HS-BU-3-430,hose,2"), ("b.csv", "AT-18-3,adapter,2")):
        (tmp_path / name).write_text(f"Part no,Description,Qty\n{line}\n")
    at_once(*(["receive", str(path), str(tmp_path / name)] for name in ("a.csv", "b.csv")))
    kept = kept_from(open_package(path))
    assert sorted(typed["received"] for typed in kept.values() if "received" in typed) == [2.0, 2.0]
    slips = [row[0].value for row in one_sheet(path, "Receiving").iter_rows() if row[0].value in ("a.csv", "b.csv")]
    assert sorted(slips) == ["a.csv", "b.csv"]
