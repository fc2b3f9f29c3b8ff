"""What the Quote says beside its figures: labour by operation, and what is open. Hours: common practice, no source."""

from dataclasses import replace
from functools import cache

import pytest

from bomcheck.assess import assess
from bomcheck.car.checks import BAD, word
from bomcheck.io.read.job import read_job
from bomcheck.model.line import ASK, NO_SOURCE, ON_CAR, ON_SHELF, SURPLUS, TO_ORDER
from bomcheck.model.report import Report
from bomcheck.model.shipped import folder
from bomcheck.model.verdict import Verdict
from bomcheck.paper.quote import open_points, operations


@cache
def report(demo: str) -> Report:
    return assess(read_job(folder("demo_workbooks") / f"{demo}.xlsx")[0])


def points(given: Report) -> list[str]:
    return list(open_points(given))


def without(given: Report, role: str, status: str) -> Report:
    """The report with another status for the parts of one role."""
    return replace(given, parts=tuple(replace(one, status=status) if one.role == role else one for one in given.parts))


@pytest.mark.parametrize(
    ("status", "hours"), [(TO_ORDER, 1.0), (NO_SOURCE, 1.0), (ON_SHELF, 1.0), (ON_CAR, 0), (SURPLUS, 0), (ASK, 0)]
)
def test_labour_for_a_master_cylinder(status: str, hours: float) -> None:
    """One hour, once a car, where one is fitted: off and on, bled on the bench."""
    given = without(report("hatchback_too_strong"), "master cylinder", status)
    assert sum(one.hours * one.times for one in operations(given) if one.key == "master") == hours
    assert not [one for one in operations(report("estate_rear_axle")) if one.key == "master"]


def test_what_is_not_good_for_the_whole_car_is_named() -> None:
    """Each finding once, with what was found; what the quoted master cylinder puts right is said to be put right."""
    given = report("hatchback_too_strong")
    bad = [one for one in given.system if word(one) == BAD]
    assert len(bad) == 2
    found = [one for one in points(given) if one.startswith("Whole car, not good")]
    assert [one.said in words and one.title in words for one, words in zip(bad, found, strict=True)] == [True, True]
    cured = ". Put right by the quoted master cylinder"
    assert [words.endswith(cured) for words in found] == [any(one.demands) for one in bad] == [False, True]
    unquoted = [one for one in points(without(given, "master cylinder", SURPLUS)) if one.endswith(cured)]
    assert unquoted == []


@pytest.mark.parametrize(
    ("demo", "beginning", "named"),
    [
        ("saloon_drums_to_discs", "The kit only goes on after this work: ", "Bore the hat to 60.18 to 60.25 mm"),
        ("inch_pickup", "The kit does not fit as it is ", "another way is agreed"),
        ("half_measured_coupe", "It is not known yet whether the kit fits", "once it is known"),
    ],
)
def test_what_the_verdict_leaves_open(demo: str, beginning: str, named: str) -> None:
    """One sentence, first."""
    assert points(report(demo))[0].startswith(beginning)
    assert named in points(report(demo))[0]


NOT_JUDGED = "Nothing is entered on the System sheet: balance, pedal and heat are not judged"


def test_nothing_open() -> None:
    """A job that fits, with every part priced or in the kit, leaves open what the brakes as a whole fail, or were not judged for."""
    assert report("camper_van").verdict is Verdict.FITS
    pressure, circuit = points(report("camper_van"))
    assert pressure.startswith("Whole car, look at it. Line pressure")
    assert circuit.startswith("Whole car, look at it. Stop on one circuit")
    assert points(report("estate_rear_axle")) == [NOT_JUDGED]


def test_questions_are_one_line() -> None:
    """Their number and the sheet's name; what is not quoted yet is named."""
    given = report("half_measured_coupe")
    assert points(given)[1:] == [
        NOT_JUDGED,
        "Not quoted yet, to be settled first: hose, radial shims",
        f"{len(given.questions)} things are still to be measured or looked up (sheet Measure next)",
    ]
    one = replace(given, questions=given.questions[:1])
    assert points(one)[-1] == "1 thing is still to be measured or looked up (sheet Measure next)"


def test_a_parking_brake_that_is_made_anew_takes_its_hours() -> None:
    """New shoes at both corners of the estate: half an hour each, common practice; a kit without any takes none."""
    hours = {
        name: {one.key: one for one in operations(report(name))}
        for name in ("estate_rear_axle", "hill_climb_two_seater")
    }
    assert (hours["estate_rear_axle"]["park"].hours, hours["estate_rear_axle"]["park"].times) == (0.5, 2)
    assert "park" not in hours["hill_climb_two_seater"]
