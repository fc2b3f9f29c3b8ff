"""The cell named for a blank field is the one beside its label on the user's own sheet, or none is named."""

from io import BytesIO
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook

from bomcheck.io import layout
from bomcheck.io.sheets.words import blank_cell
from bomcheck.model.job import Job
from bomcheck.model.shipped import folder
from bomcheck.tables.fields import fields
from tests.workbook.reading import read_bytes

DEMOS = sorted(folder("demo_workbooks").glob("*.xlsx"))
SHEETS = {section: name for name, section in layout.FIELD_SHEETS.items()}


def judged(job: Job, book: Workbook) -> dict[str, bool]:
    """Blank fields that a cell is named for: whether the label stands in its row and the row is no heading."""
    found = {}
    sheets = {fields()[key].section: value.place.sheet for key, value in job.values.items() if value.place.cell}
    for key, field in fields().items():
        cell = "" if key in job.values or key in job.rejected else blank_cell(job, key)
        if cell:
            sheet = book[sheets[field.section]]
            row = sheet[cell].row
            found[key] = sheet[cell].column == 2 and sheet.cell(row, 1).value == field.label
    return found


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_each_cell_named_stands_beside_its_label(path: Path) -> None:
    """openpyxl finds the label there, on the sheets of an axle where the car has two."""
    job, book = read_bytes(path.read_bytes()), load_workbook(path)
    for axle in job.axles or (job,):
        found = judged(axle, book)
        assert len(found) > 30
        assert all(found.values())


@pytest.mark.parametrize("at", [3, 20, 45, 70])
def test_rows_of_ones_own_lead_to_no_wrong_cell(at: int) -> None:
    """Two rows put in anywhere: what lies around them is found, or is not named."""
    book = load_workbook(folder("demo_workbooks") / "half_measured_coupe.xlsx")
    for name in SHEETS.values():
        book[name].insert_rows(at, 2)
    out = BytesIO()
    book.save(out)
    found = judged(read_bytes(out.getvalue()), book)
    assert len(found) > 30
    assert all(found.values())


def test_nothing_filled_in_nothing_named() -> None:
    """No field of the section says where its sheet stands."""
    assert blank_cell(Job({}), "ear_height") == ""
    assert blank_cell(Job({}), "no_such_field") == ""
