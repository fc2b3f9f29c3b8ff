"""What is written down on Measure next is read at the next check as if typed in its own cell."""

import re
from pathlib import Path
from zipfile import ZipFile

import openpyxl
import pytest

from bomcheck.assess import assess
from bomcheck.commands.check import check_workbook
from bomcheck.io.package import open_package
from bomcheck.io.read.found import Found
from bomcheck.io.read.job import read_job
from bomcheck.io.read.measured import take_measured
from bomcheck.model.job import Job, Value
from bomcheck.model.shipped import folder
from bomcheck.notation import read_line_end, read_pairs, read_thread
from tests.helpers.one_sheet import one_sheet

DEMO = "half_measured_coupe.xlsx"


@pytest.fixture(scope="module")
def checked(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("measured") / "checked.xlsx"
    check_workbook(folder("demo_workbooks") / DEMO, out, write=True, backup=False)
    return out


def with_found(checked: Path, tmp_path: Path, found: dict[str, tuple[object, object]]) -> Job:
    """The job after figures were written down beside the questions of these fields."""
    path = tmp_path / "written.xlsx"
    path.write_bytes(checked.read_bytes())
    write_found(path, found)
    return read_job(path)[0]


def asked(job: Job) -> list[str]:
    return [question.key for question in assess(job).questions]


def blank_number(checked: Path) -> str:
    job = read_job(checked)[0]
    return next(
        key
        for key in asked(job)
        if key not in job.values and key not in job.rejected and key == key.lower() and key in NUMBERS
    )


NUMBERS = {"hub_pilot_length": 12.0, "ear_thickness": 16.0, "hose_path_length": 380.0, "wheel_seat_depth": 6.0, "hub_flange_diameter": 140.0,
           "hub_stud_length": 45.0, "bracket_screw_length": 40.0, "nut_thread_depth": 20.0, "wheel_pad_diameter": 140.0,
           "caliper_piston_stroke": 20.0, "ear_sideways_offset": 0.0, "wheel_bore": 72.0, "hub_flange_thickness": 12.0}  # fmt: skip


def test_a_blank_is_filled(checked: Path, tmp_path: Path) -> None:
    """The figure, its ± and its cell count from the next check on."""
    key = blank_number(checked)
    job = with_found(checked, tmp_path, {key: (NUMBERS[key], 0.1)})
    value = job.values[key]
    assert (value.value, value.plus_minus, value.place.sheet, value.source) == (
        NUMBERS[key],
        0.1,
        "Measure next",
        "measured",
    )
    assert key not in [k for k in asked(job) if k not in job.values]


def test_a_finer_figure_takes_the_place_of_a_coarser_one_that_agrees(checked: Path, tmp_path: Path) -> None:
    """A closer measurement that lies inside what was typed."""
    before = read_job(checked)[0]
    key = next(k for k in asked(before) if k in before.values and isinstance(before.values[k].value, float))
    typed = before.values[key]
    job = with_found(checked, tmp_path, {key: (typed.value, typed.plus_minus / 4)})
    assert job.values[key].plus_minus == pytest.approx(typed.plus_minus / 4)


def test_figures_that_cannot_both_be_true_are_named(checked: Path, tmp_path: Path) -> None:
    """Neither is used; the line names both cells."""
    before = read_job(checked)[0]
    key = next(k for k in asked(before) if k in before.values and isinstance(before.values[k].value, float))
    typed = before.values[key]
    job = with_found(checked, tmp_path, {key: (typed.value + 3 * typed.plus_minus + 0.5, 0.01)})
    assert key not in job.values
    fault = job.rejected[key]
    assert (fault.kind, fault.place.sheet) == ("entries disagree", "Measure next")
    assert typed.typed in fault.wrong


def test_what_cannot_be_read_is_named_there(checked: Path, tmp_path: Path) -> None:
    """One line with the cell of Measure next."""
    key = blank_number(checked)
    job = with_found(checked, tmp_path, {key: ("about so", None)})
    assert [fault.place.sheet for fault in job.faults if fault.key == key] == ["Measure next"]


def write_found(path: Path, found: dict[str, tuple[object, object]]) -> None:
    """Types figures beside the questions of a checked workbook. found: by the name of the line."""
    book = openpyxl.load_workbook(path)
    for sheet in (one for one in book if one.title.startswith("Measure next")):
        heads = {cell.value: cell.column for row in sheet.iter_rows(max_row=6) for cell in row if cell.value}
        for row in range(1, sheet.max_row + 1):
            key = str(sheet.cell(row, heads["Line"]).value).removeprefix("measure ")
            if key in found:
                sheet.cell(row, heads["Found"]).value, sheet.cell(row, heads["Its ±"]).value = found.pop(key)
    assert not found
    book.save(path)


def row_of(path: Path, tab: str, label: str) -> list[object]:
    """Value, unit, ± and where it is from, of a field in the workbook."""
    rows = [row for row in one_sheet(path, tab).iter_rows(values_only=True) if row[0] == label]
    assert len(rows) == 1
    return list(rows[0][1:5])


def everything(path: Path, tab: str) -> dict[str, tuple[object, int]]:
    """Content and look of every cell."""
    sheet = one_sheet(path, tab)
    return {cell.coordinate: (cell.value, cell.style_id) for row in sheet.iter_rows() for cell in row}


def test_it_is_written_into_its_own_blank_cell(checked: Path, tmp_path: Path) -> None:
    """Figure, ± and source; "?" counts as blank; every other cell and every look is as it was; a third run changes nothing."""
    job = tmp_path / "job.xlsx"
    job.write_bytes(checked.read_bytes())
    write_found(job, {"ear_thickness": (16.1, 0.1), "hose_path_length": (380, None)})
    before = everything(job, "Corner")
    done = check_workbook(job, None, write=True, backup=False)
    assert "now in its own cell: Corner B51, Corner B75" in done.text
    assert row_of(job, "Corner", "Ear thickness") == [16.1, "mm", 0.1, "measured"]
    assert row_of(job, "Corner", "Hose path length") == [380, "mm", None, "measured"]
    after = everything(job, "Corner")
    assert {at for at in before if before[at] != after[at]} == {"B51", "D51", "E51", "B75", "E75"}
    assert all(before[at][1] == after[at][1] for at in before)
    part = open_package(job).sheet("Corner").part
    content = open_package(job).archive.read(part)
    book = openpyxl.load_workbook(job)
    lines, told = (
        {cell.value for row in book[tab].iter_rows() for cell in row} for tab in ("Measure next", "Job history")
    )
    assert not {"measure ear_thickness", "measure hose_path_length"} & lines
    assert {"Found: Ear thickness, now in Corner B51", "16.1 ±0.1"} <= told
    again = check_workbook(job, None, write=True, backup=False)
    assert open_package(job).archive.read(part) == content
    assert "own cell" not in again.text
    assert [(f.check, f.verdict) for f in again.report.findings] == [(f.check, f.verdict) for f in done.report.findings]


def test_a_formula_is_never_written_over(checked: Path, tmp_path: Path) -> None:
    """One that gives nothing yet looks blank and is the user's own."""
    job = tmp_path / "job.xlsx"
    job.write_bytes(checked.read_bytes())
    write_found(job, {"ear_thickness": (16.1, 0.1)})
    book = openpyxl.load_workbook(job)
    book["Corner"]["B51"] = '=IF(1=2,16,"")'
    book.save(job)
    check_workbook(_with_results(job), None, write=True, backup=False)
    assert row_of(job, "Corner", "Ear thickness")[0] == '=IF(1=2,16,"")'


@pytest.mark.parametrize(("half", "filed"), [(0.1, None), (None, 16.1)])
def test_without_a_column_for_it_no_plus_minus_is_lost(
    checked: Path, tmp_path: Path, half: float | None, filed: float | None
) -> None:
    """A job whose column of ± was taken out: the answer with one stays on Measure next, that without goes into its cell."""
    job = tmp_path / "job.xlsx"
    job.write_bytes(checked.read_bytes())
    write_found(job, {"ear_thickness": (16.1, half)})
    book = openpyxl.load_workbook(job)
    book["Corner"].delete_cols(4)
    book.save(job)
    check_workbook(job, None, write=True, backup=False)
    assert row_of(job, "Corner", "Ear thickness")[0] == filed
    assert read_job(job)[0].values["ear_thickness"].plus_minus == 0.1


def _with_results(path: Path) -> Path:
    """The same workbook with the stored result that a spreadsheet program gives such a formula."""
    part = open_package(path).sheet("Corner").part
    with ZipFile(path) as old:
        content = {name: old.read(name) for name in old.namelist()}
    cell = re.compile(rb'<c r="B51"([^>]*?)(?: t="\w+")?><f>(.*?)</f><v ?/?>(?:</v>)?</c>')
    made, count = cell.subn(rb'<c r="B51"\1 t="str"><f>\2</f><v></v></c>', content[part])
    assert count == 1
    with ZipFile(path, "w") as new:
        for name, data in {**content, part: made}.items():
            new.writestr(name, data)
    return path


def test_a_cell_that_holds_something_is_left_alone(checked: Path, tmp_path: Path) -> None:
    """A closer figure is used from Measure next; what was typed first stays where it is."""
    job = tmp_path / "job.xlsx"
    job.write_bytes(checked.read_bytes())
    before = row_of(job, "Corner", "Hub pilot diameter")
    write_found(job, {"hub_pilot_diameter": (before[0], 0.01)})
    assert "own cell" not in check_workbook(job, None, write=True, backup=False).text
    assert row_of(job, "Corner", "Hub pilot diameter") == before


def test_in_a_row_with_a_unit_of_its_own(checked: Path, tmp_path: Path) -> None:
    """A bare figure on Measure next is in the job's units, so it takes them along; nothing else reads 16.1 as inches."""
    job = tmp_path / "job.xlsx"
    job.write_bytes(checked.read_bytes())
    write_found(job, {"ear_thickness": (16.1, 0.1)})
    book = openpyxl.load_workbook(job)
    book["Corner"]["C51"] = "in"
    book.save(job)
    check_workbook(job, None, write=True, backup=False)
    assert row_of(job, "Corner", "Ear thickness") == ["16.1 mm", "in", "0.1 mm", "measured"]
    value = read_job(job)[0].values["ear_thickness"]
    assert (value.value, value.plus_minus) == pytest.approx((16.1, 0.1))


def test_what_is_found_in_the_result_beside_the_job_counts(tmp_path: Path) -> None:
    """The same command again, with --out: read from there, written into the copy; the job itself is never changed."""
    source, out = tmp_path / "job.xlsx", tmp_path / "result.xlsx"
    source.write_bytes((folder("demo_workbooks") / DEMO).read_bytes())
    content = source.read_bytes()
    check_workbook(source, out, write=True, backup=False)
    write_found(out, {"ear_thickness": (16.1, 0.1)})
    done = check_workbook(source, out, write=True, backup=False)
    assert done.report.job.values["ear_thickness"].value == 16.1
    assert row_of(out, "Corner", "Ear thickness") == [16.1, "mm", 0.1, "measured"]
    assert source.read_bytes() == content
    third = check_workbook(source, out, write=True, backup=False)
    assert third.report.job.values["ear_thickness"].value == 16.1
    assert row_of(out, "Corner", "Ear thickness") == [16.1, "mm", 0.1, "measured"]


def test_each_corner_and_axle_has_its_own(tmp_path: Path) -> None:
    """A size of the rear left corner goes into the sheet of that corner, and no other."""
    source, out = tmp_path / "job.xlsx", tmp_path / "result.xlsx"
    book = openpyxl.load_workbook(folder("demo_workbooks") / "touring_coupe_both_axles.xlsx")
    tabs = [tab for tab in book.sheetnames if tab.startswith("Corner")]
    rows = {tab: next(row[0].row for row in book[tab].iter_rows() if row[0].value == "Ear thickness") for tab in tabs}
    for tab, row in rows.items():
        book[tab].cell(row, 2).value = None
    book.save(source)
    check_workbook(source, out, write=True, backup=False)
    names = [sheet.title for sheet in openpyxl.load_workbook(out) if sheet.title.startswith("Measure next")]
    place = next(name for name in names if name.endswith("left")).removeprefix("Measure next ")
    write_found(out, {f"{place} ear_thickness": (11.5, 0.1)})
    check_workbook(source, out, write=True, backup=False)
    book = openpyxl.load_workbook(out)
    filled = {tab: book[tab].cell(row, 2).value for tab, row in rows.items()}
    assert {tab for tab, value in filled.items() if value == 11.5} == {f"Corner {place}"}
    assert list(filled.values()).count(None) == len(tabs) - 1


def test_an_answer_that_was_filed_never_stands_against_a_later_correction(checked: Path, tmp_path: Path) -> None:
    """Once it is in its own cell that cell alone counts."""
    job = tmp_path / "job.xlsx"
    job.write_bytes(checked.read_bytes())
    write_found(job, {"ear_thickness": (16.1, 0.1)})
    check_workbook(job, None, write=True, backup=False)
    book = openpyxl.load_workbook(job)
    book["Corner"]["B51"] = 22.0
    book.save(job)
    value = read_job(job)[0].values["ear_thickness"]
    assert (value.value, value.place.cell) == (22.0, "B51")


@pytest.mark.parametrize(
    ("key", "typed", "found", "used"),
    [
        ("caliper_inlet", "M10x1 banjo", "M10x1 banjo port", "M10x1.0 banjo port"),
        ("caliper_inlet", "M10x1.0 banjo port", "M10x1 banjo", "M10x1.0 banjo port"),
        ("caliper_inlet", "M10x1 banjo", "M12x1 banjo port", None),
        ("hub_stud_thread", "M12", "M12x1.5", "M12x1.5"),
        ("hub_stud_thread", "M12x1.25", "M12x1.5", None),
    ],
)
def test_an_answer_that_says_more_takes_the_place_of_one_that_says_less(
    key: str, typed: str, found: str, used: str | None
) -> None:
    """All that both state must be the same."""
    both = [_value(key, text) for text in (typed, found)]
    whole, measured = Found("job.xlsx", "Corner", {key: both[0]}), Found("job.xlsx", "Measure next", {key: both[1]})
    take_measured(whole, measured)
    assert (whole.values[key].value.name if key in whole.values else None) == used


@pytest.mark.parametrize(
    ("found", "points"),
    [
        ("0:206; 150:203", 2),  # reaches as far and lies within the +-
        ("-20:206; 60:206; 121:203.6", 3),  # reaches further at one end
        ("20:204; 40:204", None),  # 2 mm off where both reach
        ("160:203; 200:203", 2),  # beyond: nothing in common, the wider one stays
    ],
)
def test_tables_agree_where_both_reach(found: str, points: int | None) -> None:
    """0:206, 90:205 with +-0.5, and what was read again."""
    key = "wheel_barrel"
    whole = Found("job.xlsx", "Corner", {key: _value(key, "0:206; 90:205")})
    take_measured(whole, Found("job.xlsx", "Measure next", {key: _value(key, found)}))
    assert (len(whole.values[key].value) if key in whole.values else None) == points


def _value(key: str, typed: str) -> Value:
    """A field's value as it is read from a cell."""
    readers = {"wheel_barrel": lambda text: read_pairs(text, "mm"), "caliper_inlet": read_line_end}
    return Value(key, readers.get(key, read_thread)(typed), 0.5 if key == "wheel_barrel" else 0.0, typed)
