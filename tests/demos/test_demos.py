"""The demo workbooks: what their first page promises is what the check finds, and one changed cell changes what it should."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from bomcheck.assess import assess
from bomcheck.car.checks import word
from bomcheck.commands.check import check_workbook
from bomcheck.demos import Demo, all_demos
from bomcheck.io import layout
from bomcheck.io.read.job import read_job
from bomcheck.model.finding import Finding
from bomcheck.model.job import Job
from bomcheck.model.line import IN_KIT, NO_SOURCE, SURPLUS, TO_ORDER, Line
from bomcheck.model.report import Report
from bomcheck.model.shipped import folder
from bomcheck.model.verdict import Verdict

TODAY = date(2025, 1, 1)
each_demo = pytest.mark.parametrize("demo", all_demos(), ids=lambda demo: demo.name)


def committed(name: str) -> Path:
    return folder("demo_workbooks") / f"{name}.xlsx"


@cache
def job_of(name: str) -> Job:
    job, _ = read_job(committed(name))
    return job


@cache
def report_of(name: str) -> Report:
    return assess(job_of(name), TODAY)


def changed(name: str, **values: Any) -> Report:
    """The report on the demo with these values in place of the typed ones; their ± stays."""
    job = job_of(name)
    new = {key: replace(job.values[key], value=value) for key, value in values.items()}
    return assess(replace(job, values={**job.values, **new}), TODAY)


def cells(path: Path) -> Iterator[tuple[str, str, object]]:
    for sheet in load_workbook(path, read_only=True):
        for row in sheet.iter_rows():
            yield from ((sheet.title, cell.coordinate, cell.value) for cell in row if cell.value is not None)


def findings(report: Report) -> dict[str, Finding]:
    return {finding.check: finding for finding in report.findings}


def verdicts_that_differ(before: Report, after: Report) -> dict[str, tuple[Verdict, Verdict]]:
    was = findings(before)
    return {f.check: (was[f.check].verdict, f.verdict) for f in after.findings if f.verdict is not was[f.check].verdict}


def checks_that_differ(before: Report, after: Report) -> set[str]:
    was = findings(before)
    return {finding.check for finding in after.findings if finding != was[finding.check]}


def lines_that_differ(before: Report, after: Report) -> tuple[list[Line], list[Line]]:
    """(Lines that are gone, lines that are new)."""
    return [one for one in before.parts if one not in after.parts], [
        one for one in after.parts if one not in before.parts
    ]


@each_demo
def test_a_demo_is_written_again_to_the_cells_that_are_committed(demo: Demo, tmp_path: Path) -> None:
    """The workbook in the repository is what `python -m bomcheck.demos` writes, the same bytes each time."""
    first, second = demo.write(tmp_path), (tmp_path / "again").absolute()
    second.mkdir()
    assert list(cells(first)) == list(cells(committed(demo.name))), (
        "the committed demo is not what is written today: run python -m bomcheck.demos"
    )
    assert first.read_bytes() == demo.write(second).read_bytes()


@each_demo
def test_a_demo_is_read_without_a_fault(demo: Demo) -> None:
    """No cell of a demo has to be corrected, and all that was typed arrives."""
    job = job_of(demo.name)
    assert job.faults == ()
    for filled, read in [
        (demo.filled, job),
        *(
            (own, axle)
            for own, axle in zip(demo.filled.get("axles", {}).values(), job.each_axle if job.axles else (), strict=True)
        ),
    ]:
        assert _typed(filled) <= set(read.values)


def _typed(filled: dict[str, Any]) -> set[str]:
    """The fields of these sheets in which something was typed."""
    blank = {"?", "TBC"}
    sections = [filled[section] for section in layout.FIELD_SHEETS.values() if section in filled]
    return {key for section in sections for key, cell in section.items() if cell not in blank}


@each_demo
def test_the_first_page_states_the_verdict_that_is_found(demo: Demo) -> None:
    """The sentence on the first sheet ends with the verdict of the check."""
    start = load_workbook(committed(demo.name), read_only=True)[layout.START]
    page = [str(cell) for row in start.iter_rows(values_only=True) for cell in row if cell]
    assert [text for text in page if text.endswith(f"Expected verdict: {report_of(demo.name).verdict}.")] == [
        demo.start_note
    ]


def test_together_they_show_every_verdict() -> None:
    """Fits, fits with parts, needs machining, does not fit, not known."""
    shown = {report_of(demo.name).verdict for demo in all_demos()}
    assert shown == set(Verdict) - {Verdict.DOES_NOT_APPLY}


@pytest.mark.parametrize(
    ("name", "status"),
    [("camper_van", 0), ("hill_climb_two_seater", 0), ("estate_rear_axle", 0), ("saloon_drums_to_discs", 1),
     ("inch_pickup", 1), ("half_measured_coupe", 3),
        ("hatchback_too_strong", 0), ("touring_coupe_both_axles", 0), ("saloon_boss_in_disc", 1)],
)  # fmt: skip
def test_the_exit_status_follows_from_the_verdict(name: str, status: int) -> None:
    """0 fits, 1 does not fit or needs machining, 3 not known."""
    assert check_workbook(committed(name), out=None, write=False, backup=False, today=TODAY).status == status


@pytest.mark.parametrize(
    ("name", "reasons"),
    [
        ("camper_van", set()),
        (
            "hill_climb_two_seater",
            {"pad_flush", "radial_stack_together", "pad_compound_suits", "line_closes", "parts_complete"},
        ),
        ("estate_rear_axle", {"park_shoes_reach", "parts_complete"}),
        ("saloon_drums_to_discs", {"pilot_fit"}),
        ("inch_pickup", {"caliper_in_wheel"}),
        ("hatchback_too_strong", {"parts_complete", "master_stroke"}),
        ("saloon_boss_in_disc", {"bracket_boss", "bracket_screws"}),
    ],
)
def test_a_demo_has_its_verdict_for_its_own_reason_only(name: str, reasons: set[str]) -> None:
    """Only the intended checks decide, and no other check is open or fails."""
    report = report_of(name)
    assert {finding.check for finding in report.deciding} == reasons
    good = (Verdict.FITS, Verdict.DOES_NOT_APPLY)
    assert {finding.check for finding in report.findings if finding.verdict not in good} == reasons - {"master_stroke"}


def test_the_hill_climb_kit_lacks_hoses_road_pads_and_shims() -> None:
    """What the box lacks is ordered from the two suppliers; nothing is left without a source."""
    report = report_of("hill_climb_two_seater")
    ordered = {(line.role, line.part_number) for line in report.parts if line.status == TO_ORDER}
    assert {("hose", "HS-BU-3-430"), ("adapter", "AT-18-3"), ("pad set", "P44-F2"), ("shim", "SH-10-10")} <= ordered
    assert not [line for line in report.parts if line.status in (NO_SOURCE, "ask")]
    assert {line.supplier for line in report.parts if line.status == TO_ORDER} == {"Supplier A", "Supplier B"}


def test_a_complete_box_leaves_nothing_to_order() -> None:
    """The camper's parts come from the box, the car and the shelf."""
    assert {line.status for line in report_of("camper_van").parts} == {IN_KIT, "on car", "on shelf", SURPLUS}


def test_a_hub_that_comes_off_takes_seals_nuts_pins_caps_and_grease() -> None:
    """One each for both corners; the one cotter pin on the shelf is used first."""
    lines = {line.role: line for line in report_of("estate_rear_axle").parts}
    for role in ("hub seal", "spindle nut", "cotter pin", "dust cap"):
        assert lines[role].needed == 2, role
    assert (lines["cotter pin"].on_shelf, lines["cotter pin"].to_order) == (1, 1)
    assert lines["park shoe set"].part_number == "PS-172"


def test_the_half_measured_car_is_asked_what_settles_most_first() -> None:
    """Every open check has a question, and the first question settles more than the last."""
    report = report_of("half_measured_coupe")
    open_checks = {f.title for f in report.findings if f.verdict is Verdict.NOT_KNOWN}
    assert open_checks == {title for question in report.questions for title in question.checks}
    worth = [question.settles / question.effort for question in report.questions]
    assert worth == sorted(worth, reverse=True)
    assert worth[0] > worth[-1]
    assert {"hub_bolt_circle", "ear_height", "hose_path_length", "wheel_barrel"} <= {q.key for q in report.questions}


def test_a_bore_two_tenths_too_small_changes_the_pilot_fit_alone() -> None:
    """From 71.56 to 71.26 mm on a pilot of 71.46 mm: machining, the wall is looked at again, no part changes."""
    before, after = report_of("camper_van"), changed("camper_van", hat_bore=71.26)
    assert verdicts_that_differ(before, after) == {"pilot_fit": (Verdict.FITS, Verdict.NEEDS_MACHINING)}
    assert checks_that_differ(before, after) <= {"pilot_fit", "bore_wall"}
    gone, new = lines_that_differ(before, after)
    assert gone == []
    assert {line.role for line in new} <= {"machining"}
    assert "71.54 to 71.61 mm" in findings(after)["pilot_fit"].do


def test_a_bore_six_tenths_too_large_takes_a_ring() -> None:
    """From 71.56 to 72.16 mm: a metal ring, and only that, joins the list."""
    before, after = report_of("camper_van"), changed("camper_van", hat_bore=72.16)
    changed_now = (Verdict.FITS, Verdict.FITS_WITH_PARTS)
    assert verdicts_that_differ(before, after) == {"pilot_fit": changed_now, "parts_complete": changed_now}
    gone, new = lines_that_differ(before, after)
    assert gone == []
    assert [(line.role, line.needed) for line in new] == [("centring ring", 2)]


def test_a_longer_hose_path_takes_the_next_hose_and_nothing_else() -> None:
    """40 mm more of path: the 480 mm hose in place of the 430 mm one; verdicts and all other lines stay."""
    before, after = report_of("hill_climb_two_seater"), changed("hill_climb_two_seater", hose_path_length=420.0)
    assert verdicts_that_differ(before, after) == {}
    assert checks_that_differ(before, after) == {"line_closes"}
    gone, new = lines_that_differ(before, after)
    assert [(line.role, line.part_number) for line in gone] == [("hose", "HS-BU-3-430")]
    assert [(line.role, line.part_number) for line in new] == [("hose", "HS-BU-3-480")]


def test_a_hose_in_the_box_that_is_too_long_opens_the_line() -> None:
    """A 520 mm hose over a path of 420 mm: the line is open, hoses are wanted, those of the box are left over."""
    before, job = report_of("camper_van"), job_of("camper_van")
    box = tuple(replace(part, length=520.0) if part.role == "hose" else part for part in job.box)
    after = assess(replace(job, box=box), TODAY)
    changed_now = (Verdict.FITS, Verdict.FITS_WITH_PARTS)
    assert verdicts_that_differ(before, after) == {"line_closes": changed_now, "parts_complete": changed_now}
    hoses = [(line.status, line.needed or line.in_kit) for line in after.parts if line.role == "hose"]
    assert hoses == [(NO_SOURCE, 2), (SURPLUS, 2)]
    gone, new = lines_that_differ(before, after)
    assert {line.role for line in (*gone, *new)} == {"hose"}


def test_pads_are_not_taken_against_the_words_of_their_line() -> None:
    """The kit's pads are said to suit fast road use, but their own line says "for race use only": the car stays without pads and says so."""
    before, after = (
        report_of("hill_climb_two_seater"),
        changed("hill_climb_two_seater", pad_duty=("fast road", "track")),
    )
    assert verdicts_that_differ(before, after) == {"pad_compound_suits": (Verdict.FITS_WITH_PARTS, Verdict.FITS)}
    gone, new = lines_that_differ(before, after)
    assert [(line.status, line.part_number) for line in gone] == [(TO_ORDER, "P44-F2"), (SURPLUS, "P44-R9")]
    assert [(line.status, line.part_number) for line in new] == [(NO_SOURCE, ""), (SURPLUS, "P44-R9")]
    assert "by its own words it is not for public roads" in new[0].note


def test_pads_for_racing_only_are_replaced() -> None:
    """The camper's pads are said to be for racing only: road pads are wanted, and nothing but pads changes."""
    before, after = report_of("camper_van"), changed("camper_van", pad_duty=("race",))
    assert verdicts_that_differ(before, after) == {"pad_compound_suits": (Verdict.FITS, Verdict.FITS_WITH_PARTS)}
    gone, new = lines_that_differ(before, after)
    assert {line.role for line in (*gone, *new)} == {"pad set"}


def test_a_kit_that_bolts_on_is_refused_by_the_system_checks() -> None:
    """It stops later than now, in metres; the next master cylinder that works is on the parts list and in the price list."""
    report = report_of("hatchback_too_strong")
    bad = {finding.check: finding for finding in report.system if word(finding) == "not good"}
    assert set(bad) == {"best_stop_loss", "master_stroke"}
    assert "m farther to stop" in bad["best_stop_loss"].said
    ordered = [
        (line.role, line.part_number, line.to_order) for line in report.parts if line.to_order and line.role != "labour"
    ]
    assert ordered == [("master cylinder", "MC-286", 1)]
