"""`bomcheck receive` as a person types it: what is ticked off, what is named, and that a slip is booked once."""

import re
from io import BytesIO
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from openpyxl import load_workbook
from openxml_audit import OpenXmlValidator

from bomcheck.commands.cli import main
from bomcheck.io.package import open_package
from bomcheck.io.read.own import kept_from
from bomcheck.model.report import Report
from bomcheck.paper.awaited import expected
from tests.helpers.demo_jobs import checked, hill_climb
from tests.helpers.one_sheet import one_sheet
from tests.workbook.sheets.office import recalculated

HEAD = "Part no,Description,Qty,Side\n"
CLIP = "line clip @ line in its tab"


def receive(job: Path, slip: Path) -> Result:
    return CliRunner().invoke(main, ["receive", str(job), str(slip)])


def slip_of(folder: Path, lines: str, name: str = "slip.csv") -> Path:
    (folder / name).write_text(HEAD + lines)
    return folder / name


def made(folder: Path) -> Path:
    folder.mkdir()
    return folder


def everything(report: Report) -> str:
    """A slip with all that must come; one number once."""
    count: dict[str, float] = {}
    for one in expected(report):
        count[one.part_number] = count.get(one.part_number, 0.0) + one.quantity
    return "".join(f"{number},,{quantity:g} pcs,\n" for number, quantity in count.items())


def test_all_there_is_status_0(tmp_path: Path) -> None:
    """A slip with everything: all ticked off, nothing missing, and the sheets say so."""
    job = hill_climb(tmp_path)
    slip = slip_of(tmp_path, everything(checked(job)))
    done = receive(job, slip)
    assert done.exit_code == 0, done.output
    assert "All that was expected is there." in done.stdout
    sheet = one_sheet(job, "Receiving", data_only=True)
    states = [
        row[7].value for row in sheet.iter_rows(min_row=3) if row[4].value and isinstance(row[4].value, int | float)
    ]
    assert set(states) == {"there"}
    front = [cell.value for row in one_sheet(job, "Compatibility").iter_rows(max_row=16) for cell in row]
    assert "All here." in front
    assert any(str(text).startswith("Start with 1.50 mm") for text in front)
    assert not [text for text in front if re.search(r"\border\b", str(text), re.IGNORECASE)]
    assert not OpenXmlValidator().validate(str(job)).errors


def test_short_wrong_surplus_unknown_are_named(tmp_path: Path) -> None:
    """Each under its heading, status 1; what came stands in the Parts list."""
    job = hill_climb(tmp_path)
    lines = "RK-R280-L,rotor,2,left\nRK-HN6,nut,15,\nRK-BS38,screw M10x1.25 x 45,4,\nLC-1,clips,5,\nQQ,poster,1,\n"
    done = receive(job, slip_of(tmp_path, lines))
    assert done.exit_code == 1
    for words in (
        "two left ones came, and the right one is missing",
        "1 of 16 x all-metal lock nut M6",
        "length 45 mm on the slip, 38 mm expected",
        "1 x LC-1 clips (row 5): more than was expected",
        "1 x QQ poster (row 6): neither ordered nor in the kit's box",
        "2 x braided hose, swivel nut, 430 mm [HS-BU-3-430], from the order",
    ):
        assert words in done.stdout, words
    kept = kept_from(open_package(job))
    assert kept[CLIP]["received"] == 4
    assert next(typed["received"] for key, typed in kept.items() if key.startswith("hat nut")) == 15


def test_a_slip_is_booked_once(tmp_path: Path) -> None:
    """The same slip again changes nothing, under whatever name; the status still tells what is missing."""
    job = hill_climb(tmp_path)
    slip = slip_of(tmp_path, "LC-1,clips,4,\n")
    assert receive(job, slip).exit_code == 1
    before = job.read_bytes()
    again = receive(job, slip_of(tmp_path, "LC-1,clips,4,\n", "copy.csv"))
    assert "booked before" in again.stdout
    assert again.exit_code == 1
    assert job.read_bytes() == before


def test_two_parcels_add_up_and_a_check_keeps_them(tmp_path: Path) -> None:
    """Two hoses in two parcels; a check between them keeps the figures and the slips' lines."""
    job = hill_climb(tmp_path)
    receive(job, slip_of(tmp_path, "HS-BU-3-430,hose,1,\n", "a.csv"))
    assert CliRunner().invoke(main, ["check", str(job)]).exit_code == 0
    done = receive(job, slip_of(tmp_path, "HS-BU-3-430,hose,1,\nAT-18-3,adapter,2,\n", "b.csv"))
    assert "HS-BU-3-430], from" not in done.stdout
    sheet = one_sheet(job, "Receiving", data_only=True)
    rows = [[cell.value for cell in row] for row in sheet.iter_rows()]
    assert [row[0] for row in rows if row[0] in ("a.csv", "b.csv")] == ["a.csv", "b.csv", "b.csv"]
    hose = next(row for row in rows if row[2] == "HS-BU-3-430")
    assert hose[4:8] == [2, 2, 0, "there"]


def test_what_is_typed_by_hand_counts(tmp_path: Path) -> None:
    """A part that was ticked off by hand in the Parts list is not missing."""
    job = hill_climb(tmp_path)
    checked(job, {CLIP: {"received": 4.0}})
    assert "LC-1" not in receive(job, slip_of(tmp_path, "AT-18-3,adapter,2,\n")).stdout


def test_libreoffice_works_the_receiving_sheet_out_anew(tmp_path: Path) -> None:
    """Every formula gives what is stored; with three of four received typed in, one is missing and the line is short."""
    job = hill_climb(tmp_path)
    receive(job, slip_of(tmp_path, "LC-1,clips,4,\n"))
    stored = one_sheet(job, "Receiving", data_only=True)
    found = recalculated(job.read_bytes(), made(tmp_path / "a"))["Receiving"]
    for row in stored.iter_rows(min_row=3):
        for cell in row[4:8]:
            assert found[cell.coordinate].value == cell.value
    book = load_workbook(job)
    parts = book["Parts list"]
    heads = {cell.value: cell.column for cell in parts[2]}
    line = next(row[0].row for row in parts.iter_rows() if any(cell.value == "LC-1" for cell in row))
    parts.cell(line, heads["Received"]).value = 3
    out = BytesIO()
    book.save(out)
    changed = recalculated(out.getvalue(), made(tmp_path / "b"))["Receiving"]
    clip = next(row for row in changed.iter_rows() if row[2].value == "LC-1")
    assert [cell.value for cell in clip[4:8]] == [4, 3, 1, "short"]


@pytest.mark.parametrize(
    ("lines", "says"),
    [("LC-1,clips,four,\n", "this is no quantity"), ("LC-1,clips,1,up\n", "this is no side"), ("", "no line stands")],
)
def test_a_bad_slip_is_one_line_and_nothing_is_written(tmp_path: Path, lines: str, says: str) -> None:
    """Status 4; the job keeps its bytes."""
    job = hill_climb(tmp_path)
    before = job.read_bytes()
    done = receive(job, slip_of(tmp_path, lines))
    assert done.exit_code == 4
    assert says in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1
    assert job.read_bytes() == before


def test_a_word_in_received_is_named(tmp_path: Path) -> None:
    """It would be lost under the figure."""
    job = hill_climb(tmp_path)
    checked(job, {CLIP: {"received": "yes"}})
    done = receive(job, slip_of(tmp_path, "LC-1,clips,4,\n"))
    assert done.exit_code == 4
    assert "Parts list!" in done.stderr
    assert '"yes"' in done.stderr
