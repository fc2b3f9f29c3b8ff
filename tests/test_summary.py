"""The counts on a terminal and in the bar on top of Compatibility: words that agree with their number."""

from dataclasses import replace

import pytest

from bomcheck.io.sheets.compatibility import COUNTED as IN_THE_BAR
from bomcheck.model.finding import Finding
from bomcheck.model.job import Job
from bomcheck.model.report import Report
from bomcheck.model.verdict import Verdict
from bomcheck.paper.summary import COUNTED, counted, summary


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
