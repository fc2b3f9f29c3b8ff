"""Compatibility says across the counter what the report says, and each check in one line; Proof says how it is known."""

from collections import Counter
from datetime import date, timedelta
from io import BytesIO

import pytest
from openpyxl.worksheet.worksheet import Worksheet

from bomcheck.io import layout as palette
from bomcheck.io.sheets import compatibility
from bomcheck.io.sheets.build import build_sheets
from bomcheck.io.sheets.compatibility import CHECKS, HEADINGS, NAME
from bomcheck.io.sheets.proof import NAME as PROOF_NAME
from bomcheck.io.sheets.proof import PROOF
from bomcheck.model.verdict import Verdict
from bomcheck.paper.summary import OF_SEVERAL
from tests.helpers.one_sheet import one_sheet
from tests.workbook.sheets.conftest import Built, build
from tests.workbook.sheets.sample_reports import SAMPLES, written

WORDS = {str(verdict) for verdict in Verdict}
CHECK, VERDICT, FOUND, MUST, ROOM, DO, LINK = range(len(CHECKS.columns))


def finding_rows(sheet: Worksheet) -> list[tuple[int, str, str]]:
    """(row, check, verdict) of every row whose second cell is the word of a verdict."""
    rows = sheet.iter_rows(min_row=3, max_col=2)
    return [(check.row, str(check.value), str(word.value)) for check, word in rows if word.value in WORDS]


def below(sheet: Worksheet, heading: str) -> str:
    """The text below a heading of the first page."""
    row = next(cell.row for cell in sheet["A"] if str(cell.value).startswith(heading))
    return str(sheet.cell(row + 1, 1).value)


@pytest.mark.parametrize("name", [NAME, PROOF_NAME])
def test_every_finding_stands_once(built: Built, name: str) -> None:
    """Each finding that applies has one row with its title and verdict on either sheet; Proof has the others as well."""
    rows = Counter((check.strip(), verdict) for _, check, verdict in finding_rows(built.values[name]))
    findings = [one for one in built.report.findings if name == PROOF_NAME or one.verdict != "does not apply"]
    assert rows == Counter((written(one.title).strip(), str(one.verdict)) for one in findings)


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
    assert cell.font.size == 26
    assert cell.fill.fgColor.rgb == "FF" + palette.VERDICT_COLOURS[built.report.verdict][0].lstrip("#")


def test_the_counts_add_up(built: Built) -> None:
    """The counts above the list are those of the report."""
    sheet = built.values[NAME]
    top = next(row for row in sheet.iter_rows() if row[0].value == "Check")
    assert [cell.value for cell in top] == list(HEADINGS)
    told = str(sheet.cell(top[0].row - 1, 1).value).split(" checks: ")[1].split(". ")[0]
    for part in told.split(", "):
        number, words = part.split(" ", 1)
        verdict = next(one for one in Verdict if words in (one, OF_SEVERAL.get(one)))
        assert built.report.count(verdict) == int(number)


def test_the_first_page_is_read_across_a_counter(built: Built) -> None:
    """What decides, what to do, to buy and to measure stand in large letters, above the list of checks."""
    sheet = built.values[NAME]
    list_at = next(cell.row for cell in sheet["A"] if cell.value == "Check")
    for heading in ("What decides", "What to do", "What to buy", "What to measure"):
        row = next(cell.row for cell in sheet["A"] if str(cell.value).startswith(heading))
        assert row < list_at
        assert sheet.cell(row + 1, 1).font.size >= 13
    assert next(one.id for one in sheet.row_breaks.brk) == list_at - 2
    first = built.report.deciding[0].title if built.report.deciding else "Every check holds"
    assert written(first).strip() in below(sheet, "What decides")


def test_sum_and_day_of_what_is_bought() -> None:
    """The sum is the Parts list's own, live; the day is the last one of all lead times, counted from the day of the check; the
    kit has none."""
    built = build("fitting")
    sheet = built.formulas[NAME]
    row = next(cell.row for cell in sheet["A"] if str(cell.value).startswith("Sum, freight included"))
    assert sheet.cell(row, 3).value.startswith("='Parts list'!")
    bought = [line for line in built.report.parts if line.status == "to order"]
    assert built.values[NAME].cell(row, 3).value == pytest.approx(sum(line.line_total for line in bought))
    last = date(2026, 1, 9) + timedelta(days=max(line.lead_days for line in bought))
    open_ = [line for line in built.report.parts if line.status in ("ask", "no source known") and line.to_order]
    assert (
        str(sheet.cell(row, 5).value)
        == f"There by {last}; no day for {len({one.description for one in open_}) + 1} parts"
    )


def test_what_does_not_apply_stands_last_on_proof_and_is_not_printed(built: Built) -> None:
    """Its rows lie below the print area, each with a reason; one printed line of Compatibility names each of these checks."""
    sheet = built.values[PROOF_NAME]
    verdicts = [verdict for _, _, verdict in finding_rows(sheet)]
    first = verdicts.index("does not apply")
    assert set(verdicts[first:]) == {"does not apply"}
    idle = [(row, check) for row, check, verdict in finding_rows(sheet) if verdict == "does not apply"]
    assert all(sheet.cell(row, PROOF["known"] + 1).value for row, _ in idle)
    assert all(row > printed_rows(sheet) for row, _ in idle)
    front = built.values[NAME]
    starts = f"{len(idle)} check{'s do' if len(idle) > 1 else ' does'} not apply here"
    named = next(str(cell.value) for cell in front["A"] if str(cell.value).startswith(starts))
    assert all(check.strip() in named for _, check in idle)


def printed_rows(sheet: Worksheet) -> int:
    """The last row of the print area."""
    return int(str(sheet.print_area).rsplit("$", 1)[1])


def test_each_check_leads_to_its_proof_and_on_to_a_cell_that_was_read(built: Built) -> None:
    """From the list to the same check on Proof, from there to the first typed cell. The link has a short cell of its own: a
    spreadsheet program does not break the text of a linked cell, and would cut a long title off."""
    front, proof, places = built.values[NAME], built.values[PROOF_NAME], {}
    for finding in built.report.findings:
        read = [built.report.job.values[key].place for key in finding.reads if key in built.report.job.values]
        places[finding.title] = next((f"'{place.sheet}'!{place.cell}" for place in read if place.cell), None)
    for row, check, _ in finding_rows(front):
        location = front.cell(row, LINK + 1).hyperlink.location
        assert front.cell(row, CHECK + 1).hyperlink is None
        assert len(str(front.cell(row, LINK + 1).value)) <= 7
        assert location.startswith("'Proof'!A")
        assert proof.cell(int(location.rsplit("A", 1)[1]), 1).value == check
        if built.name != "hostile":
            link = proof.cell(int(location.rsplit("A", 1)[1]), PROOF["go"] + 1).hyperlink
            assert (link.location if link else None) == places[check]


@pytest.mark.parametrize(("name", "factor"), [("fitting", 1.0), ("failing", 1 / 25.4)])
def test_margins_are_figures_in_the_job_s_unit(name: str, factor: float) -> None:
    """A margin is a number: in mm for a metric job, in inches (25.4 mm, exact by the 1959 agreement) for one in inches."""
    built = build(name)
    sheet = built.values[PROOF_NAME]
    margins = {f.title: (f.margin, f.unit) for f in built.report.findings if f.margin is not None}
    seen = 0
    for row, check, verdict in finding_rows(sheet):
        if verdict != "does not apply" and check in margins:
            margin, unit = margins[check]
            shown = sheet.cell(row, PROOF["margin"] + 1).value
            assert shown == pytest.approx(margin * (factor if unit == "mm" else 1.0), abs=1e-9)
            seen += 1
    assert seen > 10


def test_the_bar_shows_how_much_of_the_room_the_plus_minus_takes(built: Built) -> None:
    """Ten blocks are the room from the size as stated to its limit; a size beyond it says by how much."""
    if built.name == "hostile":  # whose titles do not tell its checks apart
        return
    sheet = built.values[NAME]
    findings = {written(one.title).strip(): one for one in built.report.findings}
    drawn = 0
    for row, check, _ in finding_rows(sheet):
        finding, bar = findings[check.strip()], str(sheet.cell(row, ROOM + 1).value or "")
        if finding.value is None or finding.limit is None or finding.with_stack is not None or not bar:
            continue
        value, limit = finding.value, finding.limit
        ends = [(value.middle - limit.low, value.middle - value.low)] if limit.low is not None else []
        ends += [(limit.high - value.middle, value.high - value.middle)] if limit.high is not None else []
        if all(room > 1e-6 and reach <= room + 1e-9 for room, reach in ends):
            share = max(reach / room for room, reach in ends)
            assert abs(bar.count("█") - 10 * share) < 1
            assert len(bar) == 10
            drawn += 1
        elif any(room < -1e-6 for room, _ in ends):
            beyond = f"beyond by {-min(room for room, _ in ends):.2f}"
            assert bar in ("no bar", beyond) or built.system == "inch"
    assert drawn > 3


def test_common_practice_is_said_once(built: Built) -> None:
    """Not beside every check: Proof says at its end what holds where no source is named."""
    if built.name == "hostile":
        return
    texts = [str(cell.value) for row in built.values[PROOF_NAME].iter_rows() for cell in row if cell.value]
    assert sum("no source is named: common practice, no source" in one for one in texts) == 1
    assert not [one for text in texts for one in text.splitlines() if one.lower() == "common practice, no source"]
    texts = [str(cell.value) for row in built.values[NAME].iter_rows() for cell in row if cell.value]
    assert not any("common practice" in one for one in texts)


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


def test_where_no_room_is_left_the_drawing_is_named_in_full(monkeypatch: pytest.MonkeyPatch) -> None:
    """Across the page: a link does not wrap, and what stands in one narrow cell is cut off in print."""
    monkeypatch.setattr(compatibility, "LEAST_HIGH", 9_999.0)
    report = SAMPLES["fitting"]()
    data, _ = build_sheets(report, system="metric", version="0.1", now=date(2026, 1, 9))
    sheet = one_sheet(BytesIO(data), NAME)
    row = next(
        cell.row for cell in sheet["A"] if str(cell.value).startswith("The drawing stands on a sheet of its own")
    )
    assert f"A{row}:G{row}" in {str(area) for area in sheet.merged_cells.ranges}
