"""`bomcheck check --out FILE` where FILE is there already: an earlier result keeps its yellow entries, all else is refused."""

from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from openpyxl import Workbook

from bomcheck.commands.cli import main
from bomcheck.io.package import open_package
from bomcheck.io.read.own import kept_from
from bomcheck.model.shipped import folder
from tests.helpers.demo_jobs import checked, hill_climb
from tests.helpers.one_sheet import one_sheet
from tests.workbook.changed_quantity import headings

CLIP = "line clip @ line in its tab"


def check(job: Path, out: Path) -> Result:
    return CliRunner().invoke(main, ["check", str(job), "--out", str(out)])


def plain_workbook(path: Path) -> None:
    book = Workbook()
    book.active["A1"] = "orders of the year"
    book.save(path)


def template(path: Path) -> None:
    path.write_bytes((folder("templates_xlsx") / "job_metric.xlsx").read_bytes())


def words(path: Path) -> None:
    path.write_text("not a workbook")


@pytest.mark.parametrize("make", [plain_workbook, template, words], ids=["workbook", "blank job", "no workbook"])
def test_something_else_is_not_overwritten(tmp_path: Path, make) -> None:
    """One line, exit status 4, and every byte stays."""
    job, out = hill_climb(tmp_path), tmp_path / "mine.xlsx"
    make(out)
    before = out.read_bytes()
    done = check(job, out)
    assert done.exit_code == 4
    (line,) = done.stderr.strip().splitlines()
    assert line.startswith("mine.xlsx: ")
    assert "another name" in line
    assert out.read_bytes() == before


def test_what_was_typed_in_an_earlier_result_stays(tmp_path: Path) -> None:
    """Prices, amounts, notes and the figures of the quote; the job itself is not written."""
    job, out = hill_climb(tmp_path), tmp_path / "quote.xlsx"
    assert check(job, out).exit_code == 0
    source = job.read_bytes()
    typed = {
        CLIP: {"own_price": 1.25, "own_price_per": "pack of 4", "own_note": "call first", "received": 2.0},
        "quote kit": {"figure": 900.0},
        "quote rate": {"figure": 60.0},
    }
    checked(out, typed)
    assert check(job, out).exit_code == 0
    assert kept_from(open_package(out)) == typed
    assert job.read_bytes() == source


def test_the_earlier_result_comes_before_the_job(tmp_path: Path) -> None:
    """Of one cell the entry in the file that is overwritten counts; where it has none, that of the job."""
    job, out = hill_climb(tmp_path), tmp_path / "quote.xlsx"
    check(job, out)
    checked(job, {CLIP: {"received": 1.0, "own_note": "of the job"}})
    checked(out, {CLIP: {"received": 2.0}})
    assert check(job, out).exit_code == 0
    assert kept_from(open_package(out)) == {CLIP: {"received": 2.0, "own_note": "of the job"}}


def test_what_was_booked_there_stays(tmp_path: Path) -> None:
    """A packing slip that was booked in the earlier result is still booked, once."""
    job, out, slip = hill_climb(tmp_path), tmp_path / "quote.xlsx", tmp_path / "slip.csv"
    check(job, out)
    slip.write_text("Part no,Description,Qty,Side\nLC-1,clips,4,\n")
    CliRunner().invoke(main, ["receive", str(out), str(slip)])
    check(job, out)
    check(job, out)
    rows = [[cell.value for cell in row] for row in one_sheet(out, "Receiving").iter_rows()]
    assert [row[0] for row in rows].count("slip.csv") == 1
    assert "booked before" in CliRunner().invoke(main, ["receive", str(out), str(slip)]).stdout


def test_the_job_as_its_own_copy(tmp_path: Path) -> None:
    """--out with the name of the job itself writes in place, although no result stands in it yet."""
    job = hill_climb(tmp_path)
    assert check(job, job).exit_code == 0
    assert headings(one_sheet(job, "Parts list"))
