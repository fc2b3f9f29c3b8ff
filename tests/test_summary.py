"""The counts on a terminal and in the bar on top of Compatibility: words that agree with their number."""

from dataclasses import replace

import pytest

from bomcheck.assess import assess
from bomcheck.io.read.job import read_job
from bomcheck.io.sheets.compatibility import COUNTED as IN_THE_BAR
from bomcheck.model.finding import Finding, Reason, Weight
from bomcheck.model.job import Job
from bomcheck.model.report import Report
from bomcheck.model.shipped import folder
from bomcheck.model.verdict import Verdict
from bomcheck.paper.summary import COUNTED, counted, not_looked_at, summary
from bomcheck.rules import all_checks
from bomcheck.tables import rows
from tests.helpers.jobs import assessed


def report(**counts: int) -> Report:
    """With so many findings of each verdict, by the verdict's name."""
    findings = tuple(
        Finding(check="x", interface="hub", title="X", verdict=Verdict[name]) for name, count in counts.items() for _ in range(count)
    )  # fmt: skip
    return Report(Job({}), Job({}), Verdict.FITS, (), findings)


@pytest.mark.parametrize(
    ("counts", "words"),
    [
        ({"DOES_NOT_FIT": 1, "DOES_NOT_APPLY": 24}, "1 does not fit, 24 do not apply"),
        ({"DOES_NOT_FIT": 3, "DOES_NOT_APPLY": 1}, "3 do not fit, 1 does not apply"),
        ({"NEEDS_MACHINING": 2, "NOT_KNOWN": 2, "FITS": 20}, "2 need machining, 2 not known, 20 fit"),
        ({"NEEDS_MACHINING": 1, "NOT_KNOWN": 1, "FITS_WITH_PARTS": 1, "FITS": 1},
         "1 needs machining, 1 not known, 1 fits with parts, 1 fits"),
        ({"FITS_WITH_PARTS": 4}, "4 fit with parts"),
        ({}, ""),
    ],
)  # fmt: skip
def test_counted(counts: dict[str, int], words: str) -> None:
    """One fits, two fit."""
    assert counted(report(**counts), IN_THE_BAR) == words


def test_on_a_terminal() -> None:
    """Checks that do not apply are not counted there."""
    given = replace(report(FITS=2, DOES_NOT_FIT=1, DOES_NOT_APPLY=5), verdict=Verdict.DOES_NOT_FIT)
    assert Verdict.DOES_NOT_APPLY not in COUNTED
    assert summary(given).splitlines()[1] == "3 checks: 1 does not fit, 2 fit"


def test_what_may_fail_of_the_car_is_said() -> None:
    """Straddling its limit, whatever counts is named; what is only blank, or only to look at, is not."""
    one = next(one for one in assessed().findings if one.verdict is Verdict.FITS)
    may = replace(
        one, title="Which wheels lock first", verdict=Verdict.NOT_KNOWN, reason=Reason.STRADDLES, said="-2 to 3 points"
    )
    only = [replace(may, title="Other", reason=Reason.BLANK), replace(may, title="Third", weight=Weight.LOOK)]
    said = summary(replace(assessed(), system=(may, *only)))
    assert (
        "Not sure for the brakes as a whole, and not counted above:\n  Which wheels lock first: -2 to 3 points" in said
    )
    assert "Other" not in said
    assert "Third" not in said


def test_what_no_size_tells_is_said() -> None:
    """Nothing is typed of neighbours and bleed screw: they are named, with what no size tells at all; once typed they are judged."""
    blank = not_looked_at(assessed())
    assert "caliper and bracket beside knuckle, strut and arms" in blank
    assert "bleed screw under the wheel" in blank
    typed = not_looked_at(assessed(neighbours="120:90", caliper_bleeder_axial=-25.0, caliper_bleeder_height=50.0))
    assert set(blank) - set(typed) == {
        "ball joint, tie-rod end, arm and strut beside disc and wheel", "bleed screw under the wheel",
    }  # fmt: skip
    assert "Not looked at here: caliper and bracket" in summary(assessed())
    rear = not_looked_at(assessed(axle="rear"))
    assert not any("lock" in one for one in rear)


def test_every_check_that_is_looked_at_by_hand_exists() -> None:
    """A row of the table names a check that waits for its sizes, or none."""
    waiting = {name for name, check in all_checks().items() if check.requires}
    assert {row["check"] for row in rows("look_yourself")} - {"", "system", "pads"} <= waiting


def _demo(name: str) -> Report:
    return assess(read_job(folder("demo_workbooks") / f"{name}.xlsx")[0])


def test_what_of_the_whole_car_was_not_judged_is_named() -> None:
    """A blank System sheet; of pads that are ordered in place of the kit's see tests/system."""
    blank = _demo("saloon_drums_to_discs")
    assert any("nothing stands on the sheet System" in one for one in not_looked_at(blank))
    assert not any("judged with" in one or "sheet System" in one for one in not_looked_at(_demo("inch_pickup")))
