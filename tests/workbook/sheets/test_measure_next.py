"""Measure next asks each question once and keeps what was written down."""

from io import BytesIO
from pathlib import Path

from openpyxl import load_workbook

from bomcheck.assess import assess
from bomcheck.engine.questions import WHOM
from bomcheck.io.package import Package
from bomcheck.io.read.job import read_job
from bomcheck.io.read.own import MEASURE_PREFIX, read_kept
from bomcheck.io.sheets.build import build_sheets
from bomcheck.io.sheets.measure_next import COLUMNS, NAME
from bomcheck.model.shipped import folder
from bomcheck.tables.fields import fields
from tests.helpers.one_sheet import one_sheet
from tests.workbook.sheets.conftest import Built, build

ASK, EFFORT, KEY, SETTLES, TYPE_IN, WELL = (
    COLUMNS[one] for one in ("ask", "effort", "key", "settles", "type_in", "well")
)


def test_each_question_stands_once_in_order(built: Built) -> None:
    """One row a question, grouped by whom or where it is asked, with what to do and how many verdicts it settles."""
    questions = sorted(built.report.questions, key=lambda one: WHOM.index(one.whom))
    rows = [row for row in built.values[NAME].iter_rows(min_row=3) if row[KEY].value]
    assert [row[KEY].value for row in rows] == [f"{MEASURE_PREFIX}{one.key}" for one in questions]
    assert [row[SETTLES].value for row in rows] == [one.settles for one in questions]
    assert [row[ASK].value for row in rows] == [one.ask for one in questions]


def test_each_question_says_where_to_type_the_answer() -> None:
    """A link to the cell of a size that is too rough; to that of a blank one; to its sheet where it was not found."""
    built = build("half_measured")
    rows = {row[KEY].value: row[TYPE_IN] for row in built.values[NAME].iter_rows(min_row=3)}
    rough = next(one.key for one in built.report.questions if one.key in built.report.job.values)
    place = built.report.job.values[rough].place
    assert rows[f"{MEASURE_PREFIX}{rough}"].hyperlink.location == f"'{place.sheet}'!{place.cell}"
    assert rows[f"{MEASURE_PREFIX}hub_stud_length"].hyperlink.location == "'Corner'!B10"
    assert rows[f"{MEASURE_PREFIX}wheel_spoke"].hyperlink.location == "'Corner'!A1"


def test_a_blank_cell_is_named_with_how_well_and_how_hard_it_is_to_measure() -> None:
    """The half-measured demo: the cell beside the label, the usual ± with its figure, no effort called a gauge."""
    path = folder("demo_workbooks") / "half_measured_coupe.xlsx"
    job, _ = read_job(path)
    data, _ = build_sheets(assess(job))
    rows = [row for row in one_sheet(BytesIO(data), NAME).iter_rows(min_row=3) if row[KEY].value]
    forms = load_workbook(path)
    named = 0
    for row in rows:
        field = fields()[row[KEY].value.removeprefix(MEASURE_PREFIX)]
        sheet, _, cell = row[TYPE_IN].value.partition(" ")
        if cell:
            named += 1
            assert forms[sheet].cell(forms[sheet][cell].row, 1).value == field.label
            assert row[TYPE_IN].hyperlink.location == f"'{sheet}'!{cell}"
        if field.takes_plus_minus and field.key not in job.values:
            assert row[WELL].value == f"usual ±{field.plus_minus:g} {field.unit}"
    assert named > 15
    assert {row[EFFORT].value for row in rows} <= {"look", "measure", "special gauge", "take apart"}


def test_what_was_written_down_survives() -> None:
    """What was found is there after a second run, for open questions and for answered ones."""
    keys = [f"{MEASURE_PREFIX}{one.key}" for one in build("half_measured").report.questions] + [
        f"{MEASURE_PREFIX}pad_height"
    ]
    kept = {key: {"found": 51.9, "found_plus_minus": "0.05", "found_by": "the apprentice"} for key in keys}
    for _ in range(2):
        data, _ = build_sheets(build("half_measured").report, kept=kept)
        assert read_kept(Package(Path("ours.xlsx"), data).cells(NAME)) == kept
