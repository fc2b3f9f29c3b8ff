"""The Fit-up and test sheet: what it says, and that it prints on three pages."""

from io import BytesIO

import pytest
from xlsxwriter import Workbook

from bomcheck.assess import assess
from bomcheck.io.read.job import read_job
from bomcheck.io.sheets.build import OPTIONS
from bomcheck.io.sheets.fit_up import NAME, write_fit_up
from bomcheck.io.sheets.page import Book
from bomcheck.model.shipped import folder
from bomcheck.paper.fit_up import fit_up
from tests.helpers.one_sheet import one_sheet
from tests.workbook.sheets import sample_reports
from tests.workbook.sheets.office import converted

REPORTS = {
    "fitting": sample_reports.fitting,
    "half measured": sample_reports.half_measured,
    "failing": sample_reports.failing,
}


def made(report, system="metric"):
    """The sheet alone, as a workbook's bytes."""
    out = BytesIO()
    workbook = Workbook(out, OPTIONS)
    write_fit_up(Book(workbook, report, system, "0", "2025-01-01", {}))
    workbook.close()
    return out.getvalue()


@pytest.mark.parametrize("system", ["metric", "inch"])
@pytest.mark.parametrize("name", REPORTS)
def test_everything_of_the_content_stands_on_the_sheet(name, system):
    """Steps, parts, torques, checks, test and cautions, as texts."""
    report = REPORTS[name]()
    sheet = one_sheet(BytesIO(made(report, system)), NAME, rich_text=True)
    words = "\n".join(str(cell.value) for row in sheet.iter_rows() for cell in row if cell.value is not None)
    content = fit_up(report)
    wanted = [*(step.title for step in content.steps), *content.before_wheel, *content.test, *content.cautions]
    wanted += [row.torque for row in content.torques]
    wanted += [part.split(" [")[0].split(" mm")[0] for step in content.steps for part in step.parts]
    for text in wanted:
        assert text in words, text


@pytest.mark.parametrize("name", REPORTS)
def test_it_prints_on_three_pages(name, tmp_path):
    """LibreOffice prints it, no letter smaller than 8 pt; every joint has its row; pages counted in the PDF."""
    (tmp_path / "sheet.xlsx").write_bytes(made(REPORTS[name]()))
    pdf = converted(tmp_path / "sheet.xlsx", "pdf").read_bytes()
    assert 1 <= pdf.count(b"/Type/Page/") + pdf.count(b"/Type/Page\n") + pdf.count(b"/Type /Page\n") <= 3


@pytest.mark.parametrize(("name", "system"), [("hatchback_too_strong", "metric"), ("inch_pickup", "inch")])
def test_the_longest_jobs_begin_two_further_pages(name, system):
    """One axle, a two-piece rotor, shims both ways and a master cylinder or wired screws: the most work that the demos have. Three
    pages: rule of this project."""
    report = assess(read_job(folder("demo_workbooks") / f"{name}.xlsx")[0])
    assert len(one_sheet(BytesIO(made(report, system)), NAME).row_breaks.brk) == 2
