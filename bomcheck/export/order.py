"""The order lines of one job into a file: CSV, a new workbook, or the shop's own ordering spreadsheet."""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from bomcheck.assess import assess
from bomcheck.export.order_append import append_rows
from bomcheck.export.order_csv import write_csv
from bomcheck.export.order_faults import ORDERING, require_sound
from bomcheck.export.order_new import write_new
from bomcheck.export.order_rows import Row, left_out, order_rows, unpriced
from bomcheck.report import Report
from bomcheck.verdict.verdict import Verdict
from bomcheck.workbook.read import read_job
from bomcheck.workbook.refusal import refuse

DONE, OPEN = 0, 3


@dataclass(frozen=True)
class Ordered:
    """status: 0 all that is needed is in the order, 3 something is not. said: for standard output. remarks: for stderr."""

    status: int
    said: list[str]
    remarks: list[str]


def order(job_path: Path, into: Path, today: date) -> Ordered:
    """Write the order. Raises BomcheckError; nothing is then written."""
    job, package = read_job(job_path)
    require_sound(job, package, ORDERING)
    report, kept = assess(job, today), job.own
    rows, left = order_rows(report, kept), left_out(report, kept)
    said, appended = _write(rows, into, job_path)
    remarks = [*_verdict(report), *(f"Not in the order: {text}." for text in left)]
    remarks += [f"No price is known, so it is left blank: {text}." for text in unpriced(rows)]
    return Ordered(OPEN if left else DONE, said, [*remarks, *appended])


def _write(rows: list[Row], into: Path, job_path: Path) -> tuple[list[str], list[str]]:
    """(lines for standard output, remarks)."""
    ending = into.suffix.lower()
    if into.resolve() == job_path.resolve():
        raise refuse("file", into.name, "this is the job workbook itself", "Give the order a file of its own")
    if ending == ".csv":
        write_csv(rows, into)
        return [f"{counted(rows)} in {into.name}; datapackage.json beside it describes the columns"], []
    if ending in (".xlsx", ".xlsm") and into.exists():
        return append_rows(into, rows, job_path.name)
    if ending == ".xlsx":
        write_new(rows, into)
        return [f"{counted(rows)} in {into.name}"], []
    raise refuse("file", into.name, "orders go into .csv or .xlsx", "Give the file one of these endings")


def counted(rows: list[Row]) -> str:
    """ "1 line", "8 lines"."""
    return f"{len(rows)} line" if len(rows) == 1 else f"{len(rows)} lines"


def _verdict(report: Report) -> list[str]:
    if report.verdict not in (Verdict.DOES_NOT_FIT, Verdict.NOT_KNOWN):
        return []
    return [f"Mind before you send it: the corner's verdict is {report.verdict}."]
