"""The Compatibility sheet says everything that the report says, each thing once, in words."""

from collections import Counter

import pytest
from openpyxl.worksheet.worksheet import Worksheet

from bomcheck.io import layout as palette
from bomcheck.io.sheets.compatibility import (
    CHECK,
    DO,
    FOUND,
    HEADINGS,
    JUMP,
    KNOWN,
    LIMIT,
    MARGIN,
    NAME,
    READS,
    SOURCE,
    VERDICT,
)
from bomcheck.model.verdict import Verdict
from bomcheck.paper.summary import OF_SEVERAL
from tests.workbook.sheets.conftest import Built, build
from tests.workbook.sheets.sample_reports import written

WORDS = {str(verdict) for verdict in Verdict}


def finding_rows(sheet: Worksheet) -> list[tuple[int, str, str]]:
    """(row, check, verdict) of every row whose second cell is the word of a verdict."""
    rows = sheet.iter_rows(min_row=3, max_col=2)
    return [(check.row, str(check.value), str(word.value)) for check, word in rows if word.value in WORDS]


def test_every_finding_stands_once(built: Built) -> None:
    """Each finding of the report has exactly one row with its title and its verdict, and there are no other rows."""
    rows = Counter((check.strip(), verdict) for _, check, verdict in finding_rows(built.values[NAME]))
    assert rows == Counter((written(one.title).strip(), str(one.verdict)) for one in built.report.findings)


def test_samples_hold_every_verdict_but_one() -> None:
    """The samples are no easy ones: together they hold every verdict."""
    seen = {
        finding.verdict for name in ("fitting", "half_measured", "failing") for finding in build(name).report.findings
    }
    assert seen == set(Verdict)


def test_verdict_is_word_and_colour(built: Built) -> None:
    """Each verdict is told by its word, and each word has a fill of its own."""
    sheet = built.values[NAME]
    fills: dict[str, set[str]] = {}
    for row, _, verdict in finding_rows(sheet):
        fills.setdefault(verdict, set()).add(sheet.cell(row, VERDICT + 1).fill.fgColor.rgb)
    assert all(len(colours) == 1 for colours in fills.values())
    assert len(set.union(*fills.values())) == len(fills)


def test_banner_tells_the_corner(built: Built) -> None:
    """The first cell of the sheet is the corner's verdict, large and in its colour."""
    cell = built.values[NAME]["A1"]
    assert str(cell.value).lower().endswith(str(built.report.verdict))
    assert cell.font.size == 20
    assert cell.fill.fgColor.rgb == "FF" + palette.VERDICT_COLOURS[built.report.verdict][0].lstrip("#")


def test_summary_counts_add_up(built: Built) -> None:
    """The counts in the summary are those of the report."""
    sheet = built.values[NAME]
    assert [str(cell.value).split(", sizes")[0] for cell in sheet[2]] == list(HEADINGS)
    row = next(row for row in range(3, 12) if sheet.cell(row, 1).value == "Verdicts")
    for part in str(sheet.cell(row, DO + 1).value).split(", "):
        number, words = part.split(" ", 1)
        verdict = next(one for one in Verdict if words in (one, OF_SEVERAL.get(one)))
        assert built.report.count(verdict) == int(number)
        assert (words == verdict) == (number == "1" or verdict not in OF_SEVERAL)


def test_what_does_not_apply_stands_last(built: Built) -> None:
    """Checks that do not apply are shown, after all others, with the reason."""
    verdicts = [verdict for _, _, verdict in finding_rows(built.values[NAME])]
    first = verdicts.index("does not apply")
    assert set(verdicts[first:]) == {"does not apply"}
    sheet = built.values[NAME]
    reasons = [
        sheet.cell(row, FOUND + 1).value for row, _, verdict in finding_rows(sheet) if verdict == "does not apply"
    ]
    assert all(reasons)


def test_what_does_not_apply_is_not_printed(built: Built) -> None:
    """Its rows lie below the print area; one printed line names each of these checks."""
    sheet = built.values[NAME]
    last = printed_rows(sheet)
    idle = [(row, check) for row, check, verdict in finding_rows(sheet) if verdict == "does not apply"]
    assert idle
    assert all(row > last for row, _ in idle)
    assert all(row <= last for row, _, verdict in finding_rows(sheet) if verdict != "does not apply")
    number = len(idle)
    starts = f"{number} check{'s do' if number > 1 else ' does'} not apply here"
    named = next(str(cell.value) for cell in sheet["A"][:last] if str(cell.value).startswith(starts))
    assert all(check.strip() in named for _, check in idle)


def printed_rows(sheet: Worksheet) -> int:
    """The last row of the print area."""
    return int(str(sheet.print_area).rsplit("$", 1)[1])


def test_texts_stand_off_the_column_before(built: Built) -> None:
    """Each text beside a text is indented; programs heed that only where the cell says that it is aligned to the left."""
    sheet = built.formulas[NAME]
    for row, _, verdict in finding_rows(built.values[NAME]):
        for column in (DO, FOUND, LIMIT, KNOWN, JUMP, READS, SOURCE):
            aligned = sheet.cell(row, column + 1).alignment
            assert (aligned.horizontal, aligned.indent) == ("left", 1), (row, column, verdict)


def test_links_lead_to_a_cell_that_was_read(built: Built) -> None:
    """A finding that read typed cells links to the first of them."""
    sheet, places = built.values[NAME], {}
    for finding in built.report.findings:
        read = [built.report.job.values[key].place for key in finding.reads if key in built.report.job.values]
        places[finding.title] = next((f"'{place.sheet}'!{place.cell}" for place in read if place.cell), None)
    linked = 0
    for row, check, verdict in finding_rows(sheet):
        link = sheet.cell(row, JUMP + 1).hyperlink
        if verdict != "does not apply" and built.name != "hostile":
            assert (link.location if link else None) == places[check]
            linked += link is not None
    assert linked or built.name == "hostile"


@pytest.mark.parametrize(("name", "factor"), [("fitting", 1.0), ("failing", 1 / 25.4)])
def test_margins_are_figures_in_the_job_s_unit(name: str, factor: float) -> None:
    """A margin is a number: in mm for a metric job, in inches (25.4 mm, exact by the 1959 agreement) for one in inches."""
    built = build(name)
    sheet = built.values[NAME]
    margins = {f.title: (f.margin, f.unit) for f in built.report.findings if f.margin is not None}
    for row, check, verdict in finding_rows(sheet):
        if verdict != "does not apply" and check in margins:
            margin, unit = margins[check]
            assert sheet.cell(row, MARGIN + 1).value == pytest.approx(
                margin * (factor if unit == "mm" else 1.0), abs=1e-9
            )


def test_faults_stand_with_their_cell() -> None:
    """What is wrong with the workbook is named by cell, with what was typed and what to type instead."""
    built = build("failing")
    sheet = built.values[NAME]
    row = next(cell.row for cell in sheet["A"] if cell.value == "Kit B40")
    assert sheet.cell(row, CHECK + 1).hyperlink.location == "'Kit'!B40"
    assert sheet.cell(row, DO + 1).value == 'Type "110 N·m"'
    assert "A torque needs its unit" in str(sheet.cell(row, FOUND + 1).value)
    assert '"110"' in str(sheet.cell(row, FOUND + 1).value)


def test_cautions_close_the_print(built: Built) -> None:
    """What is printed ends with the cautions, which certify nothing."""
    sheet = built.values[NAME]
    texts = [str(cell.value) for cell in sheet["A"][: printed_rows(sheet)] if cell.value]
    assert texts[-4] == "Cautions"
    assert "certifies nothing" in " ".join(texts[-3:])
