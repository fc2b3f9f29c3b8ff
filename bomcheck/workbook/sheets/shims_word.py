"""The word for a check with the stack that is tried: fits, does not fit, may need another; as value and as live formula."""

from collections.abc import Collection

from bomcheck.report import Report
from bomcheck.verdict.adjust import StackPlan
from bomcheck.verdict.verdict import Verdict
from bomcheck.workbook.sheets.looks import CELL_COLOURS
from bomcheck.workbook.sheets.page import Page, address
from bomcheck.workbook.sheets.stack_chain import MovedCheck

NOISE = "0.000001"
ANOTHER = "may need another"
REST = {
    Verdict.FITS: "not for every size inside the ±; the pieces in the kit serve the rest",
    Verdict.FITS_WITH_PARTS: "not for every size inside the ±; with the shims on the Parts list the rest is served too",
}
SERVED = tuple(REST)


def served_by(report: Report, moved: MovedCheck, plan: StackPlan) -> Verdict | None:
    """Whether every true size finds a stack for this check: of the kit's pieces, with bought ones, or None.

    As the Compatibility sheet judges it; after a cure by the plan for the cured sizes.
    """
    finding = next((one for one in report.findings if one.check == moved.check.name), None)
    if finding is None or finding.verdict in (Verdict.NOT_KNOWN, Verdict.DOES_NOT_FIT):
        return None
    if any(key in report.job.values and report.job.get(key) != report.cured.get(key) for key in finding.reads):
        return Verdict.FITS if plan.covered else None
    return finding.verdict if finding.verdict in SERVED else None


def write_meaning(page: Page, served: Collection[Verdict | None]) -> None:
    """The sentence below the checks."""
    worst = Verdict.FITS_WITH_PARTS if Verdict.FITS_WITH_PARTS in served else Verdict.FITS
    if worst in served:
        page.across(f'"{ANOTHER}": {REST[worst]}', "cell", "small")


def word_of(least: float, most: float, low: float | None, high: float | None, between: str) -> str:
    """The word for a value between `least` and `most`; between: where only some sizes of the ± hold the limit."""
    slack = float(NOISE)
    if (low is None or least >= low - slack) and (high is None or most <= high + slack):
        return str(Verdict.FITS)
    if (low is not None and most < low - slack) or (high is not None and least > high + slack):
        return str(Verdict.DOES_NOT_FIT)
    return str(between)


def word_formula(row: int, between: str) -> str:
    """The same as a live formula over the columns Least, Greatest, Limit from and Limit to of a row."""
    least, most, low, high = (address(row, column) for column in (3, 4, 5, 6))
    good = f'AND(OR({low}="",{least}>={low}-{NOISE}),OR({high}="",{most}<={high}+{NOISE}))'
    bad = f"OR(AND(ISNUMBER({low}),{most}<{low}-{NOISE}),AND(ISNUMBER({high}),{least}>{high}+{NOISE}))"
    return f'=IF({good},"fits",IF({bad},"does not fit","{between}"))'


def colour_words(page: Page, area: str) -> None:
    """Colours the cells by the word that their formula gives."""
    looks = {str(one): str(one) for one in (Verdict.FITS, Verdict.DOES_NOT_FIT, Verdict.NOT_KNOWN)}
    for word, colour in {**looks, ANOTHER: str(Verdict.FITS_WITH_PARTS)}.items():
        fill, ink = CELL_COLOURS[colour]
        style = page.book.workbook.add_format({"bg_color": fill, "font_color": ink})
        page.sheet.conditional_format(area, {"type": "cell", "criteria": "==", "value": f'"{word}"', "format": style})
