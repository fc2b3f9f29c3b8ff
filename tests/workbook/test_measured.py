"""What is written down on Measure next is read at the next check as if typed in its own cell."""

from pathlib import Path

import openpyxl
import pytest

from bomcheck.assess import assess
from bomcheck.commands.check import check_workbook
from bomcheck.io.read.job import read_job
from bomcheck.model.job import Job
from bomcheck.model.shipped import folder

DEMO = "half_measured_coupe.xlsx"


@pytest.fixture(scope="module")
def checked(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("measured") / "checked.xlsx"
    check_workbook(folder("demo_workbooks") / DEMO, out, write=True, backup=False)
    return out


def with_found(checked: Path, tmp_path: Path, found: dict[str, tuple[object, object]]) -> Job:
    """The job after figures were written down beside the questions of these fields."""
    book = openpyxl.load_workbook(checked)
    sheet = book["Measure next"]
    heads = {cell.value: cell.column for row in sheet.iter_rows(max_row=6) for cell in row if cell.value}
    for row in range(1, sheet.max_row + 1):
        key = str(sheet.cell(row, heads["Line"]).value).removeprefix("measure ")
        if key in found:
            sheet.cell(row, heads["Found"]).value, sheet.cell(row, heads["Its ±"]).value = found.pop(key)
    assert not found
    path = tmp_path / "written.xlsx"
    book.save(path)
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
