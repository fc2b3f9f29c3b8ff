"""A hose of the kit whose ends are not clear is not there until they are: it is asked for, and a stated end counts.

Common practice, no source: nobody can tell from half an end whether a line will seal. The parts are invented.
"""

from dataclasses import replace
from typing import Any

import pytest

from bomcheck.assess import assess
from bomcheck.model.job import Part
from bomcheck.model.line import ASK, IN_KIT, TO_ORDER, Line
from bomcheck.model.report import Report
from bomcheck.notation.line_end import read_line_end
from tests.helpers.jobs import finding, good_job, hose

NEAR, FAR = "M10x1.0 bubble female", "M10x1.0 banjo eye"
GOOD = replace(hose(), part_number="H-9", description="hose of the list", quantity=None, unit_price=40.0, lead_days=2.0)

# End A, end B as typed ("" for blank), and whether what is stated speaks against the hose.
VARIANTS = (
    ("", "", False),
    (NEAR, "", False),
    ("", FAR, False),
    (FAR, "", False),
    ("3/8-24 inverted flare female", "", True),
    ("", "M10x1.25 banjo eye", True),
    ("M10x1.0 bubble", FAR, False),
    ("M10x1.0 bubble", "M10x1.0 banjo", False),
    ("M10 bubble female", FAR, False),
    ("M10x1.0", FAR, False),
    ("M10x1.0 inverted flare", FAR, True),
    ("M10x1.0 bubble male", "M10x1.0", True),
)


def with_hose(end_a: str, end_b: str, *prices: Part, **more: Any) -> Report:
    """The report on a corner that fits but for the ends of the two hoses in its box."""
    ends = {"end_a": read_line_end(end_a) if end_a else None, "end_b": read_line_end(end_b) if end_b else None}
    mine = replace(hose(), part_number="H-1", **ends, **more)
    return assess(replace(good_job(box=(mine,)), prices=prices))


def line_of(report: Report) -> Line:
    """The list's line for the hose."""
    (line,) = (line for line in report.parts if line.role == "hose" and line.needed)
    return line


@pytest.mark.parametrize(("end_a", "end_b", "against"), VARIANTS)
def test_with_a_good_hose_in_the_price_list(end_a: str, end_b: str, against: bool) -> None:
    """Nothing of the kit counts; both hoses are lacking, ordered where the stated end is wrong, else asked about."""
    line = line_of(with_hose(end_a, end_b, GOOD))
    assert (line.in_kit, line.to_order) == (0, 2)
    assert line.status == (TO_ORDER if against else ASK)
    assert against or "H-1" in line.note


@pytest.mark.parametrize(("end_a", "end_b", "against"), VARIANTS)
def test_with_nothing_to_buy(end_a: str, end_b: str, against: bool) -> None:
    """The line is not known to close while an end must be asked. Where a stated one is wrong, an adapter is looked for too,
    which by the other end's answer joins it to what it must meet."""
    report = with_hose(end_a, end_b)
    line = line_of(report)
    assert (line.in_kit, line.to_order) == (0, 2)
    assert line.status == ASK
    assert any(one.role == "adapter" for one in report.parts) is against
    assert str(finding("line_closes", report).verdict) == ("fits with parts" if against else "not known")


@pytest.mark.parametrize(("end_a", "end_b"), [("", ""), (NEAR, ""), ("M10x1.0 bubble", FAR)])
def test_the_question_names_the_end(end_a: str, end_b: str) -> None:
    """What is asked names the hose and the end that is open, and only that end."""
    note = line_of(with_hose(end_a, end_b)).note
    assert "H-1" in note
    assert ("end A of hose H-1" in note) is (end_a != NEAR)
    assert ("end B of hose H-1" in note) is (end_b == "")


def test_clear_ends_are_in_the_kit() -> None:
    """With both ends stated, either way round, nothing is asked."""
    for ends in ((NEAR, FAR), (FAR, NEAR)):
        line = line_of(with_hose(*ends, GOOD))
        assert (line.in_kit, line.to_order, line.status) == (2, 0, IN_KIT)


def test_a_hose_that_is_just_long_enough_is_measured_before_another_is_bought() -> None:
    """Path 400 +-5: 412 to 472 is right for each of them from 417 to 467; a hose of 415 is right for some, so it is asked."""
    line = line_of(with_hose(NEAR, FAR, GOOD, length=415.0))
    assert (line.status, line.to_order) == (ASK, 2)
    assert "Measure the hose's path within" in line.note
    short = line_of(with_hose(NEAR, FAR, GOOD, length=400.0))
    assert (short.status, short.to_order) == (TO_ORDER, 2)


def test_nothing_of_a_line_is_bought_before_its_path_is_measured() -> None:
    """The one hose on the price list is right for a part of the path's range only, and takes an adapter with a washer: hose,
    adapter and that washer are asked; the two washers of the caliper's banjo are needed by any line."""
    near, between = "M10x1.0 bubble female", "M12x1.0 crush"
    step = Part(
        "adapter", "A-1", "step", end_a=read_line_end(near), end_b=read_line_end(f"{between} female"), unit_price=8.0
    )
    long = replace(GOOD, end_a=read_line_end(f"{between} male"), end_b=read_line_end(FAR), length=415.0)
    report = assess(replace(good_job(box=()), prices=(step, long)))
    found = {
        (line.role, line.needed): line.status for line in report.parts if line.used_at == "brake line" and line.needed
    }
    assert found[("hose", 2)] == found[("adapter", 2)] == found[("sealing washer", 2)] == ASK
    assert found[("sealing washer", 4)] == "no source known"


@pytest.mark.parametrize(
    ("end_a", "end_b", "lacks"),
    [
        (NEAR, "M10x1.0 banjo", "State its gender"),
        (NEAR, "M10x1.0", "State what it seals on"),
        (NEAR, "", "State end B of"),
    ],
)
def test_the_verdict_asks_what_is_missing_and_not_the_path(end_a: str, end_b: str, lacks: str) -> None:
    """The path is typed: what the finding says to do names the end, and no field is asked."""
    found = finding("line_closes", with_hose(end_a, end_b))
    assert lacks in found.do
    assert "path" not in found.do
    assert found.asks == ()
