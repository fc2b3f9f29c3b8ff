"""Sheets for one side: they override the common one; what differs is never used for both."""

import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import load_workbook

from bomcheck.assess import assess
from bomcheck.io.package import Package
from bomcheck.io.read.contradictions import both_sides
from bomcheck.io.read.found import Found
from bomcheck.io.read.job import job_of, jobs_of
from bomcheck.model.job import Job, Value
from bomcheck.model.verdict import Verdict
from tests.faulty.jobs import cell_of
from tests.faulty.making import good_bytes, job_bytes
from tests.workbook.reading import NAME, only_fault

PILOT, STUD = cell_of("hub_pilot_diameter"), cell_of("hub_stud_thread")


def package(sides: dict[str, dict[str, object]], keep_corner: bool = True, data: bytes | None = None) -> Package:
    """The good job with copies of its Corner sheet; sides: by the copy's name, cells that are changed in it."""
    book = load_workbook(io.BytesIO(data or good_bytes()))
    for name, cells in sides.items():
        copy = book.copy_worksheet(book["Corner"])
        copy.title = name
        for row in copy.iter_rows(min_row=3, min_col=2, max_col=2):
            row[0].value = None
        for address, value in cells.items():
            copy[address] = value
    if not keep_corner:
        del book["Corner"]
    stream = io.BytesIO()
    book.save(stream)
    return Package(NAME, stream.getvalue())


def test_one_sheet_describes_both() -> None:
    """Without sheets of their own the two sides are one job."""
    assert [side for side, _ in jobs_of(package({}))] == ["both"]


def test_a_side_overrides_what_it_says_and_no_more() -> None:
    """The left pilot is its own, the bolt circle that of the common sheet; each value knows its sheet."""
    jobs = dict(jobs_of(package({"Corner left": {PILOT: 66.3}, "Corner right": {PILOT: 66.7}})))
    assert {side: job.get("hub_pilot_diameter") for side, job in jobs.items()} == {"left": 66.3, "right": 66.7}
    assert [job.get("ear_spacing") for job in jobs.values()] == [130.0, 130.0]
    assert jobs["left"].values["hub_pilot_diameter"].place.sheet == "Corner left"
    assert jobs["left"].values["ear_spacing"].place.sheet == "Corner"


def test_a_good_side_takes_the_place_of_a_faulty_common_cell() -> None:
    """What the side states is used there; the fault of the common sheet stays on record."""
    made = package({"Corner left": {PILOT: 66.3}}, data=job_bytes(corner={"hub_pilot_diameter": "big"}))
    left = job_of(made, "left")
    assert (left.get("hub_pilot_diameter"), list(left.rejected)) == (66.3, [])
    assert only_fault(left).place.sheet == "Corner"
    assert list(job_of(made, "right").rejected) == ["hub_pilot_diameter"]


def test_one_check_of_both_holds_what_is_not_the_same() -> None:
    """Asked for both at once, threads that differ are held and both cells are named; equal ones are used."""
    job = job_of(package({"Corner left": {STUD: "M12x1.5"}, "Corner right": {STUD: "M12x1.25"}}))
    fault = only_fault(job)
    assert (fault.kind, fault.key, fault.stops) == ("entries disagree", "hub_stud_thread", True)
    assert f"Corner left!{STUD}" in fault.wrong
    assert f"Corner right!{STUD}" in fault.wrong
    assert job.rejected == {"hub_stud_thread": fault}
    same = job_of(package({"Corner left": {PILOT: 66.3}, "Corner right": {PILOT: 66.3}}))
    assert (same.faults, same.get("hub_pilot_diameter")) == ((), 66.3)


def test_sizes_that_differ_are_judged_for_all_between_them() -> None:
    """66.30 ± 0.02 left and 66.36 ± 0.01 right, by hand: every size from 66.28 to 66.37; both cells are named, nothing stops."""
    half = PILOT.replace("B", "D")
    job = job_of(package({"Corner left": {PILOT: 66.30, half: 0.02}, "Corner right": {PILOT: 66.36, half: 0.01}}))
    value, fault = job.values["hub_pilot_diameter"], only_fault(job)
    assert (value.value - value.plus_minus, value.value + value.plus_minus) == pytest.approx((66.28, 66.37))
    assert (fault.kind, fault.stops, job.rejected) == ("entries disagree", False, {})
    assert f"Corner left!{PILOT}" in fault.wrong
    assert f"Corner right!{PILOT}" in fault.wrong


@given(*(st.floats(66.2, 66.8) for _ in range(2)), *(st.floats(0, 0.05) for _ in range(2)))
@settings(max_examples=60, deadline=None)
def test_a_verdict_for_both_is_the_verdict_of_each(left: float, right: float, first: float, second: float) -> None:
    """Where the check of both at once is sure of the pilot's fit, the check of either side alone says the same."""
    found, sides = Found(NAME, ""), {"left": Found(NAME, ""), "right": Found(NAME, "")}
    for side, size, half_width in (("left", left, first), ("right", right, second)):
        sides[side].values["hub_pilot_diameter"] = Value("hub_pilot_diameter", size, half_width, f"{size}")
    both_sides(found, sides)
    bore = Value("hat_bore", 66.6, 0.0)
    verdicts = [
        pilot_verdict({"hub_pilot_diameter": one.values["hub_pilot_diameter"], "hat_bore": bore})
        for one in (found, *sides.values())
    ]
    if verdicts[0] is not Verdict.NOT_KNOWN:
        assert set(verdicts) == {verdicts[0]}


def pilot_verdict(values: dict[str, Value]) -> Verdict:
    return next(one.verdict for one in assess(Job(values)).findings if one.check == "pilot_fit")


def test_one_side_against_the_common_sheet() -> None:
    """Only a left sheet: the right side is the common one, and a difference counts as one."""
    assert only_fault(job_of(package({"Corner left": {PILOT: 66.3}}))).key == "hub_pilot_diameter"


def test_the_job_sheet_may_name_the_side() -> None:
    """Only the left corner is converted: its sheet is used, the right one's is named as not used."""
    data = job_bytes(job={"corners": 1, "corner_side": "left"})
    made = package({"Corner left": {PILOT: 66.3}, "Corner right": {PILOT: 66.7}}, data=data)
    job = job_of(made)
    assert job.get("hub_pilot_diameter") == 66.3
    assert (only_fault(job).place.sheet, only_fault(job).stops) == ("Corner right", False)
    assert [side for side, _ in jobs_of(made)] == ["left"]


def test_sides_without_a_common_sheet() -> None:
    """Two sheets of their own need no common one."""
    made = package({"Corner left": {PILOT: 66.3}, "Corner right": {PILOT: 66.7}}, keep_corner=False)
    assert [job.get("hub_pilot_diameter") for _, job in jobs_of(made)] == [66.3, 66.7]


@pytest.mark.parametrize(("name", "stops"), [("Corner lfet", True), ("Corner (2)", False), ("My notes", None)])
def test_other_sheets(name: str, stops: bool | None) -> None:
    """A misspelt side must be renamed, a copy is named as not read, a sheet of the user's own is left alone."""
    job = job_of(package({name: {PILOT: 60}}))
    assert [fault.stops for fault in job.faults] == ([] if stops is None else [stops])
    assert job.get("hub_pilot_diameter") == 66.5
