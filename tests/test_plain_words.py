"""Sentences that a person reads: one of a thing is no plural, nothing is said twice, a verdict is quoted."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from bomcheck.commands.cli import main
from bomcheck.model.job import Part
from bomcheck.model.shipped import folder
from bomcheck.notation import read_line_end
from bomcheck.supply.line_ends import Joint, joins
from bomcheck.supply.line_question import _delivery
from tests.helpers.demo_jobs import checked, hill_climb
from tests.workbook.reading import only_fault, read, read_row


def test_the_thread_names_the_taper_joint() -> None:
    """NPT is the thread and the seat; other joints say both."""
    reasons = {}
    for first, second in (
        ("1/8-27 NPT male", "1/8-27 NPT female"),
        ("M10x1.0 banjo eye", "M10x1.0 banjo port"),
    ):
        joint = joins(read_line_end(first), read_line_end(second))
        assert isinstance(joint, Joint)
        reasons[first] = {need.reason for need in joint.needs}
    assert reasons == {"1/8-27 NPT male": {"1/8-27 NPT joint"}, "M10x1.0 banjo eye": {"M10x1.0 banjo joint"}}


@pytest.mark.parametrize(("days", "words"), [(1.0, "takes 1 day, needed"), (2.0, "takes 2 days, needed")])
def test_one_day(days: float, words: str) -> None:
    """Lead time against the days that are left."""
    assert words in _delivery(Part("hose", lead_days=days), "order", 0.0).against


@pytest.mark.parametrize(("lines", "words"), [("LC-1,4\n", "1 line\n"), ("LC-1,2\nQQ,1\n", "2 lines\n")])
def test_one_line_of_a_slip(tmp_path: Path, lines: str, words: str) -> None:
    """What `receive` prints first."""
    job, slip = hill_climb(tmp_path), tmp_path / "slip.csv"
    checked(job)
    slip.write_text(f"Part no,Qty\n{lines}")
    said = CliRunner().invoke(main, ["receive", str(job), str(slip)]).stdout
    assert said.startswith(f"slip.csv: {words}")


def test_the_verdict_is_quoted_in_an_order(tmp_path: Path) -> None:
    """Of a corner that is not known to fit."""
    job = folder("demo_workbooks") / "half_measured_coupe.xlsx"
    done = CliRunner().invoke(main, ["order", str(job), "--into", str(tmp_path / "order.csv")])
    assert 'the verdict on this corner is "not known".' in done.output


def test_four_corners_are_two_jobs() -> None:
    """Nothing is to be measured again."""
    fault = only_fault(read_row("corners", 4))
    assert fault.instead == "Type 1 or 2: a whole car is two jobs, one for each axle"


def test_a_price_is_not_measured() -> None:
    """It is typed again or left blank."""
    fault = only_fault(read(prices=[{"role": "fluid", "unit_price": -1}]))
    assert "easure" not in fault.instead
    assert "leave the cell blank" in fault.instead
