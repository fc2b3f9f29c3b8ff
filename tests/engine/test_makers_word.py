"""The kit maker's list: stands in for what is not known, never against a size, never for what it cannot know."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bomcheck.assess import assess
from bomcheck.engine.makers_word import BASIS, NAME, covered
from bomcheck.model.job import Job, Value
from bomcheck.model.report import Report
from bomcheck.model.verdict import Verdict
from tests.helpers.jobs import good_job

FAILS = (Verdict.DOES_NOT_FIT, Verdict.NEEDS_MACHINING)
LISTED = {"maker_list_covers": "yes", "car_as_made": "yes", "maker_list_name": "List 4, revision C"}


def with_words(job: Job, **words: str) -> Job:
    return replace(job, values={**job.values, **{key: Value(key, word, typed=word) for key, word in words.items()}})


def without(job: Job, *keys: str) -> Job:
    return replace(job, values={key: value for key, value in job.values.items() if key not in keys})


def by_list(report: Report) -> set[str]:
    return {finding.check for finding in report.findings if finding.basis == BASIS and finding.check != NAME}


def test_it_stands_in_for_a_blank_and_says_so() -> None:
    """Bore and register blank: the pilot counts by the list; its finding says which list."""
    job = with_words(without(good_job(), "hat_bore", "hub_pilot_diameter"), **LISTED)
    report = assess(job)
    pilot = next(finding for finding in report.findings if finding.check == "pilot_fit")
    assert (pilot.verdict, pilot.basis) == (Verdict.FITS, BASIS)
    assert "List 4, revision C" in pilot.said


@pytest.mark.parametrize(
    "words",
    [
        {},
        {**LISTED, "maker_list_covers": "no"},
        {**LISTED, "maker_list_covers": "not listed"},
        {**LISTED, "car_as_made": "no"},
    ],
)
def test_without_it_nothing_counts(words: dict[str, str]) -> None:
    """A car that is not named, or not as it was made."""
    report = assess(with_words(without(good_job(), "hat_bore"), **words))
    assert by_list(report) == set()
    assert next(f.verdict for f in report.findings if f.check == "pilot_fit") is Verdict.NOT_KNOWN


def test_whether_the_car_is_as_made_is_asked() -> None:
    """The list alone is not enough: a swapped hub is another car."""
    report = assess(with_words(without(good_job(), "hat_bore"), maker_list_covers="yes"))
    assert by_list(report) == set()
    assert "car_as_made" in [question.key for question in report.questions]


def test_what_it_never_covers_stays_open() -> None:
    """Wheel, hose, torques, compound, parking brake."""
    job = with_words(without(good_job(), "wheel_bore", "line_end", "wheel_seat_depth"), **LISTED)
    report = assess(job)
    still = {f.interface for f in report.findings if f.verdict is Verdict.NOT_KNOWN}
    assert {"wheel", "line"} <= still
    assert report.verdict is Verdict.NOT_KNOWN
    assert "not covered: " in next(f.said for f in report.findings if f.check == NAME)


def test_a_size_that_contradicts_it_wins_and_is_said() -> None:
    """A bore smaller than the register needs machining, whatever the list says."""
    job = good_job()
    small = replace(job.values["hat_bore"], value=job.values["hub_pilot_diameter"].value - 1.0)
    report = assess(with_words(replace(job, values={**job.values, "hat_bore": small}), **LISTED))
    assert next(f.verdict for f in report.findings if f.check == "pilot_fit") in FAILS
    said = next(f for f in report.findings if f.check == NAME)
    assert said.said.startswith("Sizes that were typed contradict")
    assert said.do


@settings(max_examples=25, deadline=None)
@given(st.sets(st.sampled_from(sorted(good_job().values)), max_size=12), st.floats(-3.0, 3.0))
def test_the_list_never_changes_what_sizes_decide(blank: set[str], off: float) -> None:
    """With and without the list every settled verdict is the same; only what is not known and covered may become "fits"."""
    job = good_job()
    moved = replace(job.values["ear_face_position"], value=job.values["ear_face_position"].value + off)
    job = without(replace(job, values={**job.values, "ear_face_position": moved}), *blank)
    plain, listed = assess(job), assess(with_words(job, **LISTED))
    after = {finding.check: finding for finding in listed.findings}
    for finding in plain.findings:
        if finding.verdict is not Verdict.NOT_KNOWN or not covered(finding):
            if finding.check != "parts_complete":
                assert after[finding.check].verdict is finding.verdict
        else:
            assert (after[finding.check].verdict, after[finding.check].basis) == (Verdict.FITS, BASIS)
