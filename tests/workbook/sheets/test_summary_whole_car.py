"""The bar on top of Compatibility says what the Whole car sheet found; verdict and exit status stay what they are."""

from dataclasses import replace
from io import BytesIO
from typing import Any

import pytest

from bomcheck.assess import assess
from bomcheck.car.checks import BAD, GOOD, LOOK, UNKNOWN, word
from bomcheck.commands.check import check_workbook
from bomcheck.io.read.job import read_job
from bomcheck.io.sheets.build import build_sheets
from bomcheck.model.finding import Reason, Weight
from bomcheck.model.report import Report
from bomcheck.model.shipped import folder
from bomcheck.model.verdict import Verdict
from tests.helpers.one_sheet import one_sheet
from tests.workbook.every_workbook import TODAY

HATCHBACK = folder("demo_workbooks") / "hatchback_too_strong.xlsx"


def bar(report: Report) -> list[Any]:
    """Its heading and its text, empty if there is none."""
    sheet = one_sheet(BytesIO(build_sheets(report)[0]), "Compatibility")
    cells = [row[0] for row in sheet.iter_rows(max_row=20)]
    at = next((number for number, one in enumerate(cells) if str(one.value).startswith("The car as a whole")), None)
    return [] if at is None else cells[at : at + 2]


def judged(*verdicts: str) -> Report:
    """The hatchback with so many findings of its Whole car sheet, judged so."""
    report = assess(read_job(HATCHBACK)[0], TODAY)
    made = {
        GOOD: (Verdict.FITS, Reason.NONE),
        LOOK: (Verdict.NOT_KNOWN, Reason.STRADDLES),
        UNKNOWN: (Verdict.NOT_KNOWN, Reason.BLANK),
        BAD: (Verdict.DOES_NOT_FIT, Reason.OUTSIDE_LIMIT),
    }
    found = (
        replace(one, verdict=made[said][0], reason=made[said][1], weight=Weight.AGAINST)
        for one, said in zip(report.system, verdicts, strict=False)
    )
    return replace(report, system=tuple(found))


def test_what_is_not_good_stands_on_top() -> None:
    """The titles of both, in the colours of a bad verdict, with a link; "fits with parts" and 0 as before."""
    report = assess(read_job(HATCHBACK)[0], TODAY)
    title, words = bar(report)
    assert str(title.value).startswith("The car as a whole: 2 not good, ")
    assert title.hyperlink.location == "'Whole car'!A1"
    for one in report.system:
        assert (one.title in str(words.value)) == (word(one) == BAD)
    counted, _, not_counted = str(words.value).partition(". Not good, which the verdict does not count: ")
    assert counted == "Not good, counted in the verdict: Master cylinder stroke used by the front circuit"
    assert not_counted == "Stopping power lost by the kit"
    other = bar(judged(GOOD, GOOD))[0]
    assert title.fill.start_color.rgb != other.fill.start_color.rgb
    assert report.verdict is Verdict.FITS_WITH_PARTS
    assert check_workbook(HATCHBACK, out=None, write=False, backup=False, today=TODAY).status == 0


@pytest.mark.parametrize(
    ("verdicts", "count", "begins"),
    [
        ((GOOD, LOOK, UNKNOWN, LOOK), "2 to look at, 1 not known, 1 good", "To look at: "),
        ((GOOD, GOOD), "2 good", "Nothing speaks against it"),
        ((BAD,), "1 not good", "Not good, which the verdict does not count: "),
    ],
)
def test_other_verdicts(verdicts: tuple[str, ...], count: str, begins: str) -> None:
    """Worst first."""
    found, words = bar(judged(*verdicts))
    assert found.value == f"The car as a whole: {count}"
    assert str(words.value).startswith(begins)


@pytest.mark.parametrize("verdicts", [(), (UNKNOWN,), (UNKNOWN, UNKNOWN)])
def test_no_row_where_nothing_is_known(verdicts: tuple[str, ...]) -> None:
    """A blank System sheet says nothing of the car."""
    assert bar(judged(*verdicts)) == []
