"""The Whole car sheet: a line for every finding, and the figures of every chart's lines beside the page."""

import re
from collections import Counter
from datetime import date
from io import BytesIO

import pytest

from bomcheck.assess import assess
from bomcheck.car.assess import known_scene
from bomcheck.car.checks import word
from bomcheck.engine.inputs import Inputs
from bomcheck.io.sheets.build import build_sheets
from bomcheck.io.sheets.whole_car import NAME, Chart, charts_of
from bomcheck.model.job import Job
from bomcheck.model.report import Report
from bomcheck.rules.derived import DERIVATIONS
from bomcheck.tables.fields import section_fields
from tests.helpers.one_sheet import one_sheet
from tests.system.cars import car


def charts(job: Job, system: str = "metric") -> list[Chart]:
    """The charts of a job."""
    scene = known_scene(job, Inputs(job, DERIVATIONS))
    return list(charts_of(scene, system)) if scene else []


def titles(job: Job) -> dict[str, list[str]]:
    """Names of the lines by title of the chart."""
    return {chart.title: [curve.name for curve in chart.curves] for chart in charts(job)}


def sheet_of(report: Report, system: str = "metric") -> dict[str, tuple[str | None, ...]]:
    """The eight printed cells of each line by its title."""
    data, _ = build_sheets(report, system=system, version="0", now=date(2026, 1, 9))
    sheet = one_sheet(BytesIO(data), NAME)
    return {row[0]: row for row in sheet.iter_rows(values_only=True, max_col=8) if row[0]}


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
    rows = sheet_of(report)
    for finding in report.system:
        row = rows[finding.title]
        assert row[1] == word(finding)
        assert bool(row[2]) is (finding.before is not None)
        assert bool(row[3]) is (finding.value is not None)
    if split is None:
        stroke = next(finding for finding in report.system if finding.check == "master_stroke")
        assert "Circuit split" in rows[stroke.title][6]


def test_a_blank_is_asked_for_once_and_then_above() -> None:
    """Without the vehicle's mass: one question, and no line ends two sentences with two stops."""
    rows = sheet_of(assess(car(vehicle_mass=None, pad_clearance=None)))
    do = [str(row[6] or "") for row in rows.values()]
    for label, question in (("Vehicle mass", "What does the car weigh"), ("Pad clearance", "How much air")):
        assert sum(question in words for words in do) == 1
        assert sum(f"Fill in: {label}" in words for words in do) == 1
        assert sum(f"{label}: see above" in words for words in do) > 1
    assert not [words for row in rows.values() for words in row if re.search(r"[.?!]\s*\.", str(words))]


def test_what_is_entered_and_doubted_is_looked_at_again_not_filled_in() -> None:
    """A hose that gives too much is no blank."""
    (words,) = [
        row[6] for title, row in sheet_of(assess(car(hose_compliance=500.0))).items() if title == "Give of the hose"
    ]
    assert "Fill in" not in str(words)


def test_no_figure_stands_twice_in_a_line() -> None:
    """What stands under Before and With the kit is not said again under What was found."""
    for title, row in sheet_of(assess(car())).items():
        for figure in (row[2], row[3]):
            assert not (figure and f"{figure} now" in str(row[5])), title
            assert not (figure and f"{figure} with the kit" in str(row[5])), title


def test_an_inch_job_is_read_in_inches() -> None:
    """No figure stands in a metric unit alone; the units beside it are the ones that the System sheet takes."""
    job = car(units="inch")
    for title, row in sheet_of(assess(job), "inch").items():
        for words in map(str, row[:7]):
            assert not re.search(r"\d (mm|mm²|°C hotter|°C in hand)\b", words), (title, words)
            for metric, usual in (
                ("N·m", "lb·ft"),
                ("MPa", "psi"),
                ("N", "lbf"),
                ("°C", "°F"),
                ("mL", "in³"),
                ("m", "ft"),
            ):
                if re.search(rf"\d {metric}(?![\w·²/³])", words):
                    assert usual in words, (title, words)
    up = {chart.title: chart.up for chart in charts(job, "inch")}
    assert up["Rotor and fluid over the stops of this duty"] == "°F"
    assert up["Stroke of the master cylinder, added up"] == "in"


def test_charts_in_inches_draw_the_same_in_other_units() -> None:
    """32 °F + 1.8 x and 25.4 mm an inch: NIST SP 811, exact."""
    for metric, inch in zip(charts(car()), charts(car(), "inch"), strict=True):
        for one, other in zip(metric.curves, inch.curves, strict=True):
            for y, turned in zip(one.up, other.up, strict=True):
                wanted = {"°C": lambda t: 32 + 1.8 * t, "mm": lambda t: t / 25.4}.get(metric.up, lambda t: t)
                assert turned == (None if y is None else pytest.approx(wanted(y)))


def test_lines_are_told_apart_without_colour() -> None:
    """No two lines of a chart have the same dash and the same mark; front and rear of one state differ by the mark."""
    for chart in charts(car()):
        looks = Counter((curve.dash, curve.mark) for curve in chart.curves)
        assert max(looks.values()) == 1, chart.title
    (grip,) = (chart for chart in charts(car()) if chart.title.startswith("Grip"))
    marks = {curve.name: curve.mark for curve in grip.curves}
    assert all(bool(mark) is name.startswith("rear") for name, mark in marks.items())


def test_the_steps_of_the_stroke_are_named() -> None:
    """Ports, pads, calipers, hoses stand along the bottom; each line only rises."""
    (stroke,) = (chart for chart in charts(car()) if chart.by_name)
    assert [str(name).split()[-1] for name in stroke.curves[0].across] == ["closed", "clearance", "calipers", "hoses"]
    for curve in stroke.curves:
        assert list(curve.up) == sorted(curve.up)


def test_with_nothing_entered_the_page_lists_what_to_enter() -> None:
    """Every field of the System sheet is named on it."""
    rows = sheet_of(assess(Job({"axle": car().values["axle"]})))
    listed = "; ".join(str(row[1]) for row in rows.values())
    for field in section_fields("system"):
        assert field.label in listed
