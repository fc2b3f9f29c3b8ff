"""The cell named for a blank field is the one beside its label on the user's own sheet, or none is named."""

from io import BytesIO
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook

from bomcheck.model.job import Job
from bomcheck.model.shipped import folder
from bomcheck.notation.text import BLANKS
from bomcheck.tables.fields import fields
from tests.workbook.reading import read_bytes

DEMOS = sorted(folder("demo_workbooks").glob("*.xlsx"))
FORMS = ("Corner", "Kit", "System", "Job")


def wrong(job: Job, book: Workbook) -> list[str]:
    """Blank fields that are named no cell, or one that holds something or does not stand beside the label."""
    bad = []
    for key in fields().keys() - job.values.keys() - job.rejected.keys():
        place = job.blank.get(key)
        cell = book[place.sheet][place.cell] if place else None
        beside = book[place.sheet].cell(cell.row, 1).value if cell is not None and place else ""
        if cell is None or beside != fields()[key].label or str(cell.value or "?").lower() not in BLANKS:
            bad.append(f"{key}: {place}, beside it {beside!r}")
    return bad


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_each_cell_named_stands_beside_its_label(path: Path) -> None:
    """openpyxl finds the label there, on the sheets of an axle where the car has two."""
    job, book = read_bytes(path.read_bytes()), load_workbook(path)
    for axle in job.axles or (job,):
        assert len(axle.blank) > 30
        assert wrong(axle, book) == []


@pytest.mark.parametrize("at", [3, 20, 45, 70])
def test_rows_of_ones_own_lead_to_no_wrong_cell(at: int) -> None:
    """Two rows put in anywhere: every blank cell is still found; one whose label is gone is named no cell."""
    book = load_workbook(folder("demo_workbooks") / "half_measured_coupe.xlsx")
    for name in FORMS:
        book[name].insert_rows(at, 2)
    out = BytesIO()
    book.save(out)
    job = read_bytes(out.getvalue())
    assert wrong(job, book) == []
    book["Corner"][f"A{job.blank['wheel_spacer_thickness'].cell[1:]}"] = None
    out = BytesIO()
    book.save(out)
    assert "wheel_spacer_thickness" not in read_bytes(out.getvalue()).blank
