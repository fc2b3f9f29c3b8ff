"""The Whole car sheet: a line for every finding, and the figures of every chart's lines beside the page."""

from datetime import date
from io import BytesIO

import pytest
from openpyxl import load_workbook

from bomcheck.assess import assess
from bomcheck.derived import DERIVATIONS
from bomcheck.job import Job
from bomcheck.verdict.inputs import Inputs
from bomcheck.workbook.sheets.build import build_sheets
from bomcheck.workbook.sheets.whole_car import NAME
from bomcheck.workbook.sheets.whole_car_curves import charts_of
from tests.system.cars import car


def titles(job: Job) -> dict[str, list[str]]:
    """Names of the lines by title of the chart."""
    return {title: [curve.name for curve in curves] for title, curves, _ in charts_of(job, Inputs(job, DERIVATIONS))}


def test_before_and_after_stand_side_by_side_in_the_charts() -> None:
    """Grip and share, now and with the kit; both rotors where the present one was weighed."""
    drawn = titles(car())
    assert len(drawn) == 4
    for title, lines in drawn.items():
        now = [line for line in lines if line.endswith("now")]
        kit = [line for line in lines if line.endswith("with the kit")]
        assert now, title
        assert len(now) == len(kit), title


def test_without_the_present_mass_the_heat_chart_is_of_the_kit_alone() -> None:
    """No line stands for what was not weighed."""
    lines = titles(car(present_front_rotor_mass=None))["Rotor and fluid over the stops of this duty"]
    assert lines[0] == "rotor"
    assert not any("now" in line for line in lines)


@pytest.mark.parametrize("split", ["front and rear", "diagonal", None])
def test_every_finding_is_a_line_of_the_sheet(split: str | None) -> None:
    """Title, verdict, before and after of each, in the order of the findings."""
    report = assess(car(circuit_split=split))
    data, _ = build_sheets(report, system="metric", version="0", now=date(2026, 1, 9))
    sheet = load_workbook(BytesIO(data))[NAME]
    rows = {row[0]: row for row in sheet.iter_rows(values_only=True, max_col=8) if row[0]}
    for finding in report.system:
        row = rows[finding.title]
        assert row[1] == finding.verdict
        assert bool(row[2]) is (finding.before is not None)
        assert bool(row[3]) is (finding.after is not None)
    if split is None:
        stroke = next(finding for finding in report.system if finding.key == "master_stroke")
        assert "Circuit split" in rows[stroke.title][6]
