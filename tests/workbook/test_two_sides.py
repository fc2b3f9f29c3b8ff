"""Sheets for one side: they override the common one; what differs is never used for both."""

import io
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import load_workbook

from bomcheck.assess import assess
from bomcheck.io.package import Package
from bomcheck.io.read.job import job_of
from bomcheck.model.job import Job, Value
from bomcheck.model.verdict import Verdict, worst
from tests.faulty.jobs import cell_of
from tests.faulty.making import good_bytes, job_bytes
from tests.helpers.jobs import good_job
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


def corners(made: Package) -> dict[str, Job]:
    """The corners that are judged apart, by side."""
    return {job.side: job for job in job_of(made).axles}


def test_one_sheet_describes_both() -> None:
    """Without sheets of their own, or with such as say the same, the two sides are one job."""
    assert job_of(package({})).axles == ()
    same = job_of(package({"Corner left": {PILOT: 66.3}, "Corner right": {PILOT: 66.3}}))
    assert (same.axles, same.faults, same.get("hub_pilot_diameter")) == ((), (), 66.3)


def test_a_side_overrides_what_it_says_and_no_more() -> None:
    """The left pilot is its own, the bolt circle that of the common sheet; each value knows its sheet."""
    jobs = corners(package({"Corner left": {PILOT: 66.3}, "Corner right": {PILOT: 66.7}}))
    assert {side: job.get("hub_pilot_diameter") for side, job in jobs.items()} == {"left": 66.3, "right": 66.7}
    assert [job.get("ear_spacing") for job in jobs.values()] == [130.0, 130.0]
    assert jobs["left"].values["hub_pilot_diameter"].place.sheet == "Corner left"
    assert jobs["left"].values["ear_spacing"].place.sheet == "Corner"


def test_a_good_side_takes_the_place_of_a_faulty_common_cell() -> None:
    """What the side states is used there; the fault of the common sheet stays on record, and holds the other corner."""
    made = package({"Corner left": {PILOT: 66.3}}, data=job_bytes(corner={"hub_pilot_diameter": "big"}))
    jobs = corners(made)
    assert (jobs["left"].get("hub_pilot_diameter"), list(jobs["left"].rejected)) == (66.3, [])
    assert list(jobs["right"].rejected) == ["hub_pilot_diameter"]
    assert only_fault(job_of(made)).place.sheet == "Corner"


def test_threads_may_differ_as_well() -> None:
    """M12x1.5 left and M12x1.25 right: each corner is judged with its own, and nothing stops."""
    nut = {cell_of("nut_thread"): "M12x1.5"}
    made = package({"Corner left": {STUD: "M12x1.5", **nut}, "Corner right": {STUD: "M12x1.25", **nut}})
    jobs = corners(made)
    assert job_of(made).faults == ()
    assert {side: job.get("hub_stud_thread").pitch for side, job in jobs.items()} == {"left": 1.5, "right": 1.25}
    found = {job.side: {one.check: one.verdict for one in assess(job).findings} for job in jobs.values()}
    assert found["left"]["stud_and_nut"] is Verdict.FITS
    assert found["right"]["stud_and_nut"] is not Verdict.FITS


@given(*(st.floats(66.2, 66.8) for _ in range(2)))
@settings(max_examples=12, deadline=None)
def test_each_corner_has_the_verdicts_that_it_has_alone_and_the_car_the_worst(left: float, right: float) -> None:
    """Random pilots: every finding of a corner is that of a job of this corner alone."""
    car = both(left, right)
    report = assess(car)
    for one in report.axles:
        values = {**one.job.values, "corners": Value("corners", 1)}
        alone = assess(replace(one.job, values=values, place=""))
        told = {finding.check: (finding.verdict, finding.said) for finding in one.findings}
        for finding in alone.findings:
            if finding.interface != "parts":
                assert told[finding.check] == (finding.verdict, finding.said)
    assert report.verdict is worst([one.verdict for one in report.axles])


def both(left: float, right: float) -> Job:
    """The good job with another pilot on each side."""
    job, jobs = good_job(), []
    for side, size in (("left", left), ("right", right)):
        own = {"hub_pilot_diameter": Value("hub_pilot_diameter", size), "corner_side": Value("corner_side", side)}
        jobs.append(replace(job, values={**job.values, **own}, place=side))
    return replace(job, axles=tuple(jobs))


def test_what_both_corners_need_alike_is_one_line_and_what_differs_its_own() -> None:
    """Equal corners judged apart need just what they need as one; with another ear height the shims are each side's own."""
    alike, plain = assess(both(66.5, 66.5)), assess(good_job())
    assert [(one.role, one.side, one.needed) for one in alike.parts] == [
        (one.role, one.side, one.needed) for one in plain.parts
    ]
    moved = both(66.5, 66.5)
    left, right = moved.axles
    ear = right.values["ear_face_position"]
    right = replace(right, values={**right.values, "ear_face_position": replace(ear, value=ear.value + 0.7)})
    report = assess(replace(moved, axles=(left, right)))
    shims = [(line.side, line.needed) for line in report.parts if line.role == "shim" and line.needed]
    whole = [(line.role, line.needed) for line in report.parts if line.role not in ("shim", "pad set") and line.needed]
    assert {side for side, _ in shims} >= {"left", "right"} or {side for side, _ in shims} >= {"right"}
    assert whole == [
        (line.role, line.needed) for line in plain.parts if line.role not in ("shim", "pad set") and line.needed
    ]
    first, second = (one.plans["axial"].likely for one in report.axles)
    assert first != second


def test_one_side_against_the_common_sheet() -> None:
    """Only a left sheet: the right side is the common one, and a difference counts as one."""
    jobs = corners(package({"Corner left": {PILOT: 66.3}}))
    assert [job.get("hub_pilot_diameter") for job in jobs.values()] == [66.3, 66.5]


def test_the_job_sheet_may_name_the_side() -> None:
    """Only the left corner is converted: its sheet is used, the right one's is named as not used."""
    data = job_bytes(job={"corners": 1, "corner_side": "left"})
    job = job_of(package({"Corner left": {PILOT: 66.3}, "Corner right": {PILOT: 66.7}}, data=data))
    assert (job.get("hub_pilot_diameter"), job.axles) == (66.3, ())
    assert (only_fault(job).place.sheet, only_fault(job).stops) == ("Corner right", False)


def test_sides_without_a_common_sheet() -> None:
    """Two sheets of their own need no common one."""
    made = package({"Corner left": {PILOT: 66.3}, "Corner right": {PILOT: 66.7}}, keep_corner=False)
    assert [job.get("hub_pilot_diameter") for job in corners(made).values()] == [66.3, 66.7]


@pytest.mark.parametrize(("name", "stops"), [("Corner lfet", True), ("Corner (2)", False), ("My notes", None)])
def test_other_sheets(name: str, stops: bool | None) -> None:
    """A misspelt side must be renamed, a copy is named as not read, a sheet of the user's own is left alone."""
    job = job_of(package({name: {PILOT: 60}}))
    assert [fault.stops for fault in job.faults] == ([] if stops is None else [stops])
    assert job.get("hub_pilot_diameter") == 66.5
