"""How the hoses lie on the axle: covered, or refused in clear words."""

from dataclasses import replace

import pytest

from bomcheck.assess import assess
from bomcheck.model.job import Part
from bomcheck.supply.line_arrangement import ARRANGEMENTS, CENTRE_HOSE, EACH_CORNER, RIGID_TUBE, solve_axle
from bomcheck.supply.line_chain import Closed, LineQuestion, Open
from bomcheck.supply.line_ends import Supply
from tests.helpers.jobs import finding, good_job
from tests.parts.line_samples import end, hose

FLARE, PORT = "3/8-24 inverted flare female", "3/8-24 inverted flare male"
LEFT = LineQuestion(end(PORT), end("M10x1.0 bubble female"), (300.0, 5.0), road_use=True, side="left")
BOTH = (LEFT, replace(LEFT, side="right"))
TEE = Part("tee", part_number="T1", end_a=end(FLARE), end_b=end(FLARE), unit_price=12.0)
CENTRE = hose(FLARE, PORT, 340.0, part_number="centre", quantity=1.0)


def test_one_centre_hose_serves_both_calipers_through_a_tee() -> None:
    """One hose from the car's line to the tee's inlet; the tubes beyond are named with their nuts, not planned."""
    lines = solve_axle(Supply(box=(CENTRE,), prices=(TEE,)), BOTH, CENTRE_HOSE)
    assert not lines.refused
    assert len(lines.answers) == 1
    assert lines.tee is TEE
    assert lines.tee_source == "order"
    answer = lines.answers[0]
    assert isinstance(answer, Closed)
    assert answer.chain.hose.part_number == "centre"
    assert [(need.spec, need.quantity) for need in lines.tubes] == [
        ("3/8-24 inverted flare male", 2),
        ("M10x1.0 bubble male", 1),
        ("M10x1.0 bubble male", 1),
    ]
    assert "bent and flared on the car" in lines.remarks[0]


def test_a_tube_cannot_be_screwed_to_a_banjo_port() -> None:
    """With a centre hose a caliper with a banjo port is told in words, not passed over."""
    banjo = tuple(replace(question, caliper_inlet=end("M10x1.0 banjo port")) for question in BOTH)
    lines = solve_axle(Supply(box=(CENTRE, TEE)), banjo, CENTRE_HOSE)
    assert sum("cannot be screwed to" in remark for remark in lines.remarks) == 2


def test_the_tee_that_closes_the_line_is_taken() -> None:
    """Of two tees the one that the hose joins is used, also if the other is free."""
    other = replace(TEE, part_number="T2", end_a=end("M10x1.0 bubble female"))
    lines = solve_axle(Supply(box=(CENTRE, other), prices=(TEE,)), BOTH, CENTRE_HOSE)
    assert lines.tee is TEE
    assert isinstance(lines.answers[0], Closed)


def test_a_sided_hose_is_no_centre_hose() -> None:
    """A hose for one side does not lie in the middle."""
    lines = solve_axle(Supply(box=(replace(CENTRE, side="left"), TEE)), BOTH, CENTRE_HOSE)
    assert isinstance(lines.answers[0], Open)


def test_without_a_tee_the_centre_hose_is_refused() -> None:
    """A tee is used only where one is stated; a tee with an unclear inlet is asked about."""
    assert "no tee" in solve_axle(Supply(box=(CENTRE,)), BOTH, CENTRE_HOSE).refused
    unclear = replace(TEE, end_a=end("3/8-24 inverted flare"))
    lines = solve_axle(Supply(box=(CENTRE, unclear)), BOTH, CENTRE_HOSE)
    assert lines.refused
    assert "gender" in lines.remarks[0]


def test_a_solid_axle_with_a_hose_at_each_corner_is_solved_like_any_other() -> None:
    """From the axle's tube to each caliper, two hoses."""
    short = hose(FLARE, "M10x1.0 bubble male", 340.0, quantity=2.0)
    lines = solve_axle(Supply(box=(short,)), BOTH, EACH_CORNER)
    assert [type(answer) for answer in lines.answers] == [Closed, Closed]


@pytest.mark.parametrize("arrangement", [RIGID_TUBE, "something else"])
def test_what_is_not_covered_is_refused_in_words(arrangement: str) -> None:
    """A rigid tube straight to the caliper has no hose: refused with the reason; so is an unknown word."""
    lines = solve_axle(Supply(box=(CENTRE,)), BOTH, arrangement)
    assert lines.answers == ()
    assert lines.refused
    assert ("no hose" in lines.refused) == (arrangement == RIGID_TUBE)
    assert all(known in lines.refused for known in ARRANGEMENTS) == (arrangement != RIGID_TUBE)


@pytest.mark.parametrize("arrangement", ARRANGEMENTS)
def test_a_sliding_caliper_takes_a_hose_of_its_own(arrangement: str) -> None:
    """It moves against a rigid tube, behind a tee or straight to it: refused in both; with a hose at each corner all is well."""
    lines = solve_axle(Supply(box=(CENTRE,), prices=(TEE,)), BOTH, arrangement, "sliding")
    assert ("slides" in lines.refused) == (arrangement != EACH_CORNER)


def test_kit_hoses_for_both_corners_are_no_centre_hose() -> None:
    """Where the kit's two hoses close the line at each corner, a centre hose is not planned beside them: it is asked."""
    kit = hose(FLARE, "M10x1.0 bubble male", 340.0, quantity=2.0)
    lines = solve_axle(Supply(box=(kit,), prices=(TEE, CENTRE)), BOTH, CENTRE_HOSE)
    assert "say which is meant" in lines.refused
    assert not solve_axle(Supply(box=(replace(kit, quantity=1.0), CENTRE), prices=(TEE,)), BOTH, CENTRE_HOSE).refused


def test_a_line_that_stays_open_behind_the_tee_does_not_close() -> None:
    """A caliper with a banjo port takes no flared tube: the check of the line is not known, and says why."""
    job = good_job(hose_arrangement=CENTRE_HOSE, line_end=FLARE, box=(replace(CENTRE, length=430.0), TEE))
    found = finding("line_closes", assess(job))
    assert str(found.verdict) == "not known"
    assert "cannot be screwed to" in found.said
