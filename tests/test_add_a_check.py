"""A check added in one file, with its limit and field, appears everywhere with nothing else to touch."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from bomcheck.assess import assess
from bomcheck.commands.cli import main
from bomcheck.io.package import Package
from bomcheck.io.sheets.build import build_sheets
from bomcheck.model import limits
from bomcheck.model import rule as registry
from bomcheck.model.limits import Limit
from bomcheck.model.verdict import Verdict
from bomcheck.paper.json_report import report_as_json
from bomcheck.rules import all_checks
from tests.helpers.jobs import good_job

NAME = "wheel_width_stated"


@pytest.fixture
def added(monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    """A check of the rim's width, held against a limit of its own, for as long as the test runs."""
    all_checks()
    house = {**limits.house_limits(), "rim": Limit("rim", "Rim width", 5.0, None, "-", "this test")}
    monkeypatch.setattr(limits, "house_limits", lambda: house)
    monkeypatch.setattr("bomcheck.paper.manual.house_limits", lambda: house)

    def wheel_width_stated(wheel_rim_width: Any) -> Any:
        """Rim width as stated

        Must be true:
            The rim is at least five inches wide.
        Why:
            It shows that a new check is found everywhere.
        Example:
            >>> 1
            1
        Remedy:
            Another wheel.
        Source:
            this test
        """
        return wheel_rim_width

    registry.check(limit="rim", unit="-")(wheel_width_stated)
    yield NAME
    registry.CHECKS.pop(NAME)


def test_it_is_judged_printed_and_explained(added: str) -> None:
    """In the findings, the JSON, the workbook, the list of checks and its manual page; blank, it is asked for."""
    report = assess(good_job(wheel_rim_width=4.0))
    finding = next(one for one in report.findings if one.check == added)
    assert finding.verdict is Verdict.DOES_NOT_FIT
    assert added in json.dumps(report_as_json(report))
    ours, _ = build_sheets(report)
    cells = Package(Path("ours.xlsx"), ours).cells("Compatibility")
    assert any(cell.text == "Rim width as stated" for cell in cells.values())
    run = CliRunner()
    assert added in run.invoke(main, ["explain"]).stdout
    assert "at least five inches wide" in run.invoke(main, ["explain", added]).stdout
    blank = assess(good_job(wheel_rim_width=None))
    assert "wheel_rim_width" in [question.key for question in blank.questions]
