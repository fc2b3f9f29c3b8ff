"""What the bench writes on the sheets stays when the job is checked again, and is the job's history."""

from pathlib import Path

import pytest
from click.testing import CliRunner
from openpyxl import load_workbook
from openpyxl.worksheet.worksheet import Worksheet

from bomcheck.commands.cli import main
from bomcheck.io.sheets import history
from bomcheck.io.sheets.looks import wrapped_lines
from bomcheck.model.shipped import folder
from tests.helpers.demo_jobs import hill_climb, quoted_hill_climb
from tests.helpers.one_sheet import one_sheet


@pytest.fixture
def job(tmp_path: Path) -> Path:
    return quoted_hill_climb(tmp_path)


def check(path: Path) -> None:
    done = CliRunner().invoke(main, ["check", str(path)])
    assert done.exit_code in (0, 1, 3), done.output


def row_of(sheet: Worksheet, words: str) -> int:
    return next(r[0].row for r in sheet.iter_rows() if any(words in str(cell.value or "") for cell in r[:3]))


def column_of(sheet: Worksheet, words: str) -> int:
    return next(cell.column for r in sheet.iter_rows() for cell in r if cell.value == words)


def written(path: Path, sheet: str, words: str, column: str) -> object:
    tab = one_sheet(path, sheet)
    return tab.cell(row_of(tab, words), column_of(tab, column)).value


def write(path: Path, sheet: str, words: str, column: str, value: object) -> None:
    book = load_workbook(path)
    tab = book[sheet]
    tab.cell(row_of(tab, words), column_of(tab, column)).value = value  # type: ignore[assignment]
    book.save(path)


@pytest.mark.parametrize("demo", ["hill_climb_two_seater", "touring_coupe_both_axles"])
def test_final_shims_that_are_wrong_are_told_at_the_next_check(tmp_path: Path, demo: str) -> None:
    """12 mm written as final at the first stack of Fit-up, through the workbook, also of a car with two kits: no screw is as long."""
    path = tmp_path / "job.xlsx"
    path.write_bytes((folder("demo_workbooks") / f"{demo}.xlsx").read_bytes())
    check(path)
    write(path, "Fit-up and test", "Caliper centred on the rotor", "Done by", "12 mm")
    done = CliRunner().invoke(main, ["check", str(path)])
    assert done.exit_code == 1
    assert "xial shims as fitted: 12.00 mm at each screw. " in done.output


@pytest.mark.parametrize(
    ("sheet", "words", "column", "value"),
    [
        ("Fit-up and test", "Brake line", "Done by", "AB 3/12"),
        ("Fit-up and test", "Caliper centred on the rotor", "Done by", "1.8"),
        ("Fit-up and test", "Rotor turns free", "Done by", "AB"),
        ("Fit-up and test", "Fitted by, date", "Done by", "AB, 2026-12-03"),
        ("Tick list", "Bracket, aluminium", "Initials", "CD"),
        ("Shims", "Shim 0.80 mm", "Pieces tried", 2),
    ],
)
def test_what_the_bench_wrote_stays(job: Path, sheet: str, words: str, column: str, value: object) -> None:
    """Typed in, checked again twice: it stands there, and in the job's history."""
    before = written(job, sheet, words, column)
    assert before != value
    write(job, sheet, words, column, value)
    for _ in range(2):
        check(job)
        assert written(job, sheet, words, column) == value
    history = [[cell.value for cell in r] for r in one_sheet(job, "Job history").iter_rows(min_row=3)]
    assert sum(str(value) in (row[2], str(row[2])) for row in history) == 1


def test_what_was_fitted_is_kept_when_it_is_signed(job: Path) -> None:
    """The parts of each step, with who and when; a later correction is added, nothing is taken out."""
    write(job, "Fit-up and test", "Fitted by, date", "Done by", "AB, 2026-12-03")
    check(job)
    write(job, "Fit-up and test", "Fitted by, date", "Done by", "AB and CD, 2026-12-04")
    check(job)
    rows = [[str(cell.value or "") for cell in r] for r in one_sheet(job, "Job history").iter_rows(min_row=3)]
    assert [row[2] for row in rows if row[1] == "Fitted by, date"] == ["AB, 2026-12-03", "AB and CD, 2026-12-04"]
    assert any(row[1] == "Fitted: Brake line" and "HS-BU-3-430" in row[2] for row in rows)


def test_what_was_used_is_what_was_fitted(job: Path) -> None:
    """Two clips and a pack of four of the threaded parts were planned; three clips were used, and none of the adapters: the history
    says so, and nothing in it is still to order."""
    write(job, "Tick list", "pring clip", "Used", 3)
    write(job, "Tick list", "aliper adapter", "Used", 0)
    write(job, "Fit-up and test", "Fitted by, date", "Done by", "AB, 2026-12-03")
    check(job)
    rows = [[str(cell.value or "") for cell in r] for r in one_sheet(job, "Job history").iter_rows(min_row=3)]
    (line,) = [row[2] for row in rows if row[1] == "Fitted: Brake line"]
    assert "3 x spring clip" in line
    assert "2 x braided hose" in line
    assert "AT-18-3" not in line
    assert "to order" not in line


def test_what_stands_on_the_tick_list_stays_where_another_sells_the_part(job: Path) -> None:
    """Ticks, initials and what was used: the row moves to another group, and they go along."""
    book = load_workbook(job)
    tab, parts = book["Tick list"], book["Parts list"]
    for heading, value in (("Initials", "CD"), ("Used", 3), ("OK", "x")):
        tab.cell(row_of(tab, "pring clip"), column_of(tab, heading)).value = value
    parts.cell(row_of(parts, "pring clip"), column_of(parts, "Supplier, yours")).value = "Corner shop"
    book.save(job)
    check(job)
    rows = [[cell.value for cell in row] for row in one_sheet(job, "Tick list").iter_rows()]
    assert [[row[0], *row[7:9]] for row in rows if "pring clip" in str(row[1])] == [["x", 3, "CD"]]


def test_a_column_of_ones_own_in_the_parts_list_stays(job: Path) -> None:
    """Inserted in the middle; it comes back behind ours, with its heading and every entry."""
    book = load_workbook(job)
    sheet = book["Parts list"]
    sheet.insert_cols(4)
    sheet.cell(2, 4).value = "Bin"
    hose = row_of(sheet, "raided hose")
    sheet.cell(hose, 4).value = "B7"
    book.save(job)
    for _ in range(2):
        check(job)
        assert written(job, "Parts list", "raided hose", "Bin") == "B7"


def test_a_renamed_box_is_named(tmp_path: Path) -> None:
    """Its lines would be gone without a word."""
    path = hill_climb(tmp_path)
    book = load_workbook(path)
    book["Box contents"].title = "Kit box"
    book.save(path)
    done = CliRunner().invoke(main, ["check", str(path)])
    assert done.exit_code == 4
    assert 'Rename the sheet to "Box contents"' in done.stderr
    assert "Kit box" in done.stderr


@pytest.mark.parametrize(
    "sheet", ["Job", "System", "Supplier terms", "Limits", "On hand", "Price list", "Box contents"]
)
def test_any_sheet_under_a_name_of_ones_own_is_named(tmp_path: Path, sheet: str) -> None:
    """Known by its labels, whatever it is called."""
    path = hill_climb(tmp_path)
    book = load_workbook(path)
    book[sheet].title = "Hydraulics"
    book.save(path)
    before = path.read_bytes()
    done = CliRunner().invoke(main, ["check", str(path)])
    assert done.exit_code == 4
    assert f'Hydraulics: "Hydraulics": it has the labels of "{sheet}"' in done.stderr
    assert path.read_bytes() == before


def test_the_title_of_the_history_fits_above_its_first_column() -> None:
    """Beside it stands the job, so it would be cut off on paper: one line of 15 pt bold."""
    assert wrapped_lines(history.NAME, history.WIDTHS[0], 15, True) == 1
