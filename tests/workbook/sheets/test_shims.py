"""The Shims sheet beside the Compatibility sheet: one answer, whether one fixed stack serves every size or not."""

from datetime import date
from io import BytesIO

import pytest
from openpyxl.worksheet.worksheet import Worksheet

from bomcheck.io.sheets.build import build_sheets
from bomcheck.io.sheets.looks import CELL_COLOURS
from bomcheck.io.sheets.shims import NAME
from bomcheck.model.report import Report
from bomcheck.model.verdict import Verdict
from bomcheck.rules import all_checks
from tests.helpers.jobs import assessed
from tests.helpers.one_sheet import one_sheet

ANOTHER = "may need another"


def sheet_of(report: Report, system: str = "metric") -> Worksheet:
    """The Shims sheet with the stored values of its formulas."""
    data, _ = build_sheets(report, system=system, version="0", now=date(2026, 1, 9))
    return one_sheet(BytesIO(data), NAME, data_only=True)


def words_of(sheet: Worksheet) -> dict[str, str]:
    """Word of each check that a stack moves, by its title."""
    titles = {check.title for check in all_checks().values() if check.stack}
    rows = ((str(row[0] or "").partition(" [")[0], row) for row in sheet.iter_rows(values_only=True))
    return {title: str(row[1]) for title, row in rows if title in titles and isinstance(row[2], int | float) and row[7]}


FLUSH = "Pad flush with the rotor's edge"
JOBS = [
    ({}, Verdict.FITS, ANOTHER),
    ({"shim_sizes_radial": "4 x 1.0"}, Verdict.FITS_WITH_PARTS, ANOTHER),
    ({"shim_sizes_radial": None}, Verdict.NOT_KNOWN, "not known"),
    (
        {"ear_height": (95.0, 0.0), "bracket_rise": (38.0, 0.0), "caliper_pad_top": (30.0, 0.0)},
        Verdict.FITS,
        "fits",
    ),
    (
        {"ear_height": (101.0, 0.2)},
        Verdict.NEEDS_MACHINING,
        "not known",
    ),  # machined; what is left needs a negative shim
]


@pytest.mark.parametrize(("changes", "verdict", "word"), JOBS)
def test_the_word_agrees_with_compatibility(changes: dict[str, object], verdict: Verdict, word: str) -> None:
    """One stack does not serve every size, the pieces do: no "not known" where the other sheet says that it fits."""
    report = assessed(**changes)
    judged = {finding.title: finding.verdict for finding in report.findings}
    found = words_of(sheet_of(report))
    assert (judged[FLUSH], found[FLUSH]) == (verdict, word)
    for title, one in found.items():
        if one == ANOTHER:
            assert judged[title] in (Verdict.FITS, Verdict.FITS_WITH_PARTS)
        if judged[title] in (Verdict.FITS, Verdict.FITS_WITH_PARTS):
            assert one in ("fits", ANOTHER)


@pytest.mark.parametrize(("changes", "meaning"), [(JOBS[0][0], "pieces in the kit"), (JOBS[1][0], "Parts list")])
def test_the_word_is_explained_and_coloured_as_what_fits_with_parts(changes: dict[str, object], meaning: str) -> None:
    """Below the checks stands what serves the other sizes; the cell takes the colour by its word, typed pieces or not."""
    sheet = sheet_of(assessed(**changes))
    told = [str(row[0]) for row in sheet.iter_rows(values_only=True) if str(row[0]).startswith(f'"{ANOTHER}"')]
    assert meaning in told[-1]
    fill, _ = CELL_COLOURS["fits with parts"]
    rules = [rule for area in sheet.conditional_formatting for rule in area.rules if rule.formula == [f'"{ANOTHER}"']]
    assert rules
    assert all(rule.dxf.fill.bgColor.rgb.endswith(fill[1:]) for rule in rules)


def test_an_inch_job_counts_its_pieces_in_inches() -> None:
    """Start, range, pieces and the sizes to try: no millimetre on the sheet."""
    sheet = sheet_of(assessed(units="inch", shim_sizes_axial="16 x 0.762; 8 x 0.381"), "inch")
    texts = [str(cell) for row in sheet.iter_rows(values_only=True) for cell in row if isinstance(cell, str)]
    texts = texts[: texts.index("Shims on the parts list")]  # there the pieces are named as their makers name them
    assert any(words.startswith("16 x 0.030 in, 8 x 0.015 in") for words in texts)
    assert "Shim 0.030 in" in texts
    assert not [words for words in texts if " mm" in words]
