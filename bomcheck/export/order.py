"""The order lines of one job into a file: CSV, a new workbook, or the shop's own ordering spreadsheet."""

from datetime import date
from pathlib import Path

from bomcheck.assess import assess
from bomcheck.export.order_append import append_rows
from bomcheck.export.order_csv import write_csv
from bomcheck.export.order_new import write_new
from bomcheck.export.order_rows import left_out, order_rows
from bomcheck.workbook.read import read_job
from bomcheck.workbook.refusal import refuse
from bomcheck.workbook.result import kept_from


def order(job_path: Path, into: Path, today: date) -> tuple[list[str], list[str]]:
    """Write the order; returns lines for standard output and remarks. Raises WorkbookError; nothing is then written."""
    job, package = read_job(job_path)
    stops = [str(fault) for fault in job.faults if fault.stops]
    if stops:
        wrong = f"{len(stops)} of its cells must be corrected before parts are ordered"
        raise refuse("not allowed here", job_path.name, wrong, f"See them with: bomcheck check {job_path.name}")
    report = assess(job, today)
    rows = order_rows(report, kept_from(package))
    remarks = [f"Not in the order: {text}" for text in left_out(report)]
    ending = into.suffix.lower()
    if ending == ".csv":
        write_csv(rows, into)
        said = [f"{len(rows)} lines in {into.name}; datapackage.json beside it describes the columns"]
    elif ending in (".xlsx", ".xlsm") and into.exists():
        said = append_rows(into, rows)
    elif ending == ".xlsx":
        write_new(rows, into)
        said = [f"{len(rows)} lines in {into.name}"]
    else:
        raise refuse("file", into.name, "orders go into .csv or .xlsx", "Give the file one of these endings")
    return said, remarks
