"""Remedies that cascade: each is applied to the job, what it touches is checked again, to a fixed point or a report."""

from dataclasses import replace
from typing import Any

import pytest

from bomcheck.assess import assess
from bomcheck.engine.rounds import MOST_PASSES, Cascade, Round
from bomcheck.engine.settle import settle
from bomcheck.model import rule as registry
from bomcheck.model.finding import Finding
from bomcheck.model.rule import Cure, Reading
from bomcheck.model.verdict import Verdict, worst
from bomcheck.rules import all_checks
from tests.helpers.jobs import assessed, finding, good_job
from tests.promises.random_corners import random_job


def test_a_job_without_remedies_takes_one_round() -> None:
    """Nothing to cure, nothing to change."""
    report = assessed()
    assert (report.passes, report.settled) == (1, True)
    assert all(not found.chain for found in report.findings)
    unchanged = {key: value for key, value in report.cured.values.items() if key in report.job.values}
    assert unchanged == report.job.values


def test_the_whole_chain_from_spoke_to_stud_is_told() -> None:
    """Spoke 10 mm too near: spacer 10; studs of 35 show 35 - 7 - 10 - 10 = 8 of 12 mm: longer; the spacer has a pilot of its own.

    The track change of 3 mm becomes 1 + 10 = 11 mm; it is stated, not judged.
    """
    report = assessed(wheel_spoke="60:10; 180:-6; 210:-8", hub_stud_length=35.0, stock_rotor_flange_thickness=6.0)
    chain = finding("caliper_in_wheel", report).chain
    assert [step.split(":")[0] for step in chain] == ["Wheel stud engaged in the wheel nut"]
    assert report.cured.get("wheel_spacer_thickness") == 10.0
    track = finding("track_change", report).value
    assert track is not None
    assert track.middle == pytest.approx(11.0)


def test_longer_studs_in_closed_nuts() -> None:
    """Studs of 26 show 9 of 12 mm: 30 at least. The closed nut with 13 mm of thread then takes 11 at most: 30 - 17 = 13,
    so open nuts as well; both are on the list."""
    report = assessed(hub_stud_length=26.0, nut_closed="yes", nut_thread_depth=(13.0, 0.1))
    assert finding("stud_engagement", report).verdict is Verdict.FITS_WITH_PARTS
    assert finding("closed_nut_bottoms", report).verdict is Verdict.FITS_WITH_PARTS
    assert {"wheel stud", "wheel nut"} <= {line.role for line in report.parts if line.needed}
    assert report.settled


def test_boring_the_hat_is_followed_by_the_wall() -> None:
    """5x98, pilot 72.5, bore 72.3: bored to 72.6 the wall is (98 - 13.5 - 72.6) / 2 = 5.95 < 6: said in the chain."""
    circle = {"hub_bolt_circle": "5x98", "hat_bolt_circle": "5x98", "wheel_bolt_circle": "5x98", "wheel_bore": 72.6}
    report = assessed(
        **circle, hub_pilot_diameter=(72.5, 0.0), hat_bore=(72.3, 0.0), hat_stud_hole_diameter=(13.5, 0.0)
    )
    assert any("Wall" in step for step in finding("pilot_fit", report).chain)
    assert report.verdict is Verdict.DOES_NOT_FIT


def test_a_spacer_under_the_caliper_takes_longer_studs() -> None:
    """Rise 28: spacer 10.5, a shim makes up the rest; 58 - 36 - 10.5 - 1 - 2 - 9 = -0.5: studs at least 4 mm longer."""
    report = assessed(bracket_rise=28.0)
    assert finding("pad_flush", report).verdict is Verdict.FITS_WITH_PARTS
    assert finding("caliper_nut_on_stud", report).verdict is Verdict.FITS_WITH_PARTS
    assert any("stud" in step for step in finding("pad_flush", report).chain)
    assert report.cured.get("caliper_screw_length") >= 61.0


@pytest.fixture
def quarrel() -> Any:
    """Two checks that undo each other's remedy, for as long as the test runs."""
    all_checks()

    def to(size: float) -> Any:
        def remedy(reading: Reading) -> Cure:
            return Cure(Verdict.NEEDS_MACHINING, f"Make it {size:g}", changes={"wheel_offset": (size, 0.0)})

        return remedy

    def wants_less(wheel_offset: Any) -> Any:
        """Wants less"""
        return 10.0 - wheel_offset

    def wants_more(wheel_offset: Any) -> Any:
        """Wants more"""
        return wheel_offset - 20.0

    for function, size in ((wants_less, 5.0), (wants_more, 25.0)):
        registry.check(limit="pad_inner_edge", remedy=to(size))(function)
    yield
    for name in ("wants_less", "wants_more"):
        registry.CHECKS.pop(name)


def test_a_cycle_is_reported_not_looped(quarrel: None) -> None:
    """Less than 10 and more than 20 cannot both be: five rounds, then the report says that it did not come to rest."""
    report = assessed(wheel_offset=(15.0, 0.0))
    assert report.passes == MOST_PASSES
    assert not report.settled
    assert report.verdict is not Verdict.FITS
    unrest = finding("remedies_come_to_rest", report)
    assert "Wants" in unrest.said


def test_the_worst_finding_rules_the_corner() -> None:
    """Parts below machining below not fitting; work to be done outranks what is not known."""
    order = [Verdict.FITS, Verdict.FITS_WITH_PARTS, Verdict.NOT_KNOWN, Verdict.NEEDS_MACHINING, Verdict.DOES_NOT_FIT]
    for index, one in enumerate(order):
        assert worst(order[: index + 1]) is one
    both = assessed(hat_bore=(66.3, 0.02), ear_height=None)
    assert both.verdict is Verdict.NEEDS_MACHINING
    assert [found.check for found in both.deciding] == ["pilot_fit"]


def test_random_corners_come_to_rest_and_their_remedies_hold() -> None:
    """Over random corners: five rounds are enough, and no remedy that sets a size is called for again at the end."""
    for seed in range(120):
        cascade = Cascade(Round(settle(random_job(seed))))
        assert cascade.steady, seed
        assert cascade.passes <= MOST_PASSES
        assert not [name for name, cure in cascade.last.cures.items() if cure.changes], seed


def test_taking_over_what_is_untouched_changes_nothing() -> None:
    """The last round, in which untouched checks are taken over, says what a round from scratch says."""
    seen = 0
    for seed in range(200, 300):
        last = Cascade(Round(settle(random_job(seed)))).last
        whole = Round(last.job)
        seen += last.before is not None
        assert without_reads(last) == without_reads(whole), seed
        assert (last.cures, last.plans) == (whole.cures, whole.plans), seed
    assert seen > 30


def without_reads(now: Round) -> dict[str, Finding]:
    """Findings, but for the fields that a check which does not apply would have read."""
    return {name: replace(found, reads=()) for name, found in now.findings.items()}


def test_assessing_twice_gives_the_same() -> None:
    """Nothing is kept between jobs: the same report again, also after another job in between."""
    job = good_job(hat_bore=(67.0, 0.02))
    first = assess(job)
    assess(good_job(bracket_rise=28.0))
    assert assess(job) == first


def test_a_first_round_failure_that_the_cured_corner_passes_is_gone() -> None:
    """Studs M12 for a bracket tapped so: they do not pass the caliper's holes of 10.5, so spacing fails at first by far more than
    their float; with the holes drilled to 13 it fits, and no other caliper is asked for."""
    report = assessed(bracket_caliper_thread="M12x1.5", caliper_nut_height=10.0)
    assert finding("screw_in_caliper_hole", report).verdict is Verdict.NEEDS_MACHINING
    assert report.cured.get("caliper_hole_diameter") == 13.0
    assert finding("caliper_spacing_fits", report).verdict is Verdict.FITS
    assert "do not belong together" not in " ".join(found.do for found in report.findings)


def test_parts_of_an_abandoned_remedy_are_not_ordered() -> None:
    """A hole of 12.5 is too small for M14 only until the screws of the ear's own thread, M12x1.5, are ordered: no drilling is told."""
    changes = {"bracket_screw_thread": "M14x1.5", "bracket_screw_into": "bracket", "ear_hole": "plain through", "ear_hole_diameter": 12.5,
               "bracket_ear_thread": "M12x1.5", "bracket_thread_depth": 30.0, "bracket_ear_tapping": "through", "bracket_screw_length": 52.0}  # fmt: skip
    report = assessed(**changes)
    assert report.cured.get("bracket_screw_thread").name == "M12x1.5"
    assert next(line.spec for line in report.parts if line.role == "bracket screw").startswith("M12x1.5")
