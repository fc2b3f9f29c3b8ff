"""The order lines of one job into a file: CSV, a new workbook, or the shop's own ordering spreadsheet."""

from collections.abc import Callable
from datetime import date
from functools import partial
from pathlib import Path

from bomcheck.assess import assess
from bomcheck.io.disk import read_ordinary, real_path
from bomcheck.io.order.append import append_rows
from bomcheck.io.order.csv_file import LARGEST, is_ours, write_csv
from bomcheck.io.order.known import Pending
from bomcheck.io.order.new_file import write_new
from bomcheck.io.read.job import read_job
from bomcheck.io.read.own import require_sound
from bomcheck.io.refusal import refuse
from bomcheck.model.records import dataclass
from bomcheck.model.report import Report
from bomcheck.model.verdict import Verdict
from bomcheck.paper.order_rows import Row, came_words, left_out, open_rows, order_rows, owner_texts, unpriced

DONE, OPEN = 0, 3


@dataclass(frozen=True)
class Ordered:
    """status: 0 all that is needed is in the order, 3 something is not, or is left to be changed there. said: for standard output. remarks: for stderr."""

    status: int
    said: list[str]
    remarks: list[str]


def order(
    job_path: Path, into: Path, today: date, confirm: Callable[[list[str]], bool] | None = None, sheet: str = ""
) -> Ordered:
    """Write the order. confirm, sheet: as in `append_rows`. Raises BomcheckError; nothing is then written."""
    job, package = read_job(job_path)
    require_sound(job, package)
    report = assess(job, today)
    rows = order_rows(report)
    left = left_out(report)
    said, remarks = _write(rows, into, job_path, owner_texts(job), partial(append_rows, confirm=confirm, sheet=sheet))
    first = [
        *_verdict(report),
        *(f"Not in the order: {text.rstrip('.')}{'' if text.endswith('?') else '.'}" for text in left),
        *_late(report),
        *came_words(report),
    ]
    if report.job.get("needed_by") and not report.job.get("ordered_on"):
        first.append(
            f"Once it is sent, type {today} under Ordered on (Job sheet): the purchase then stays as it was ordered."
        )
    first += [f"No price is known, so it is left blank: {text}." for text in unpriced(open_rows(rows))]
    pending = any(isinstance(one, Pending) for one in remarks)
    return Ordered(OPEN if left or pending else DONE, said, [*first, *remarks])


def _write(
    rows: list[Row], into: Path, job_path: Path, job: Row, append: Callable[..., tuple[list[str], list[str]]]
) -> tuple[list[str], list[str]]:
    """(lines for standard output, remarks). append: into an ordering file of the shop's own."""
    ending, left = into.suffix.lower(), open_rows(rows)
    if real_path(into) == real_path(job_path):
        raise refuse("file", into.name, "this is the job workbook itself", "Give the order a file of its own")
    filled = ending == ".csv" and into.is_file() and into.stat().st_size
    if filled and not is_ours(into, read_ordinary(into, LARGEST, "a CSV")):
        return append(into, rows, job_path.name, job=job)
    if ending == ".csv":
        others = write_csv(left, into, job)
        kept = [f"Lines kept in {into.name}: those of {'; '.join(others)}"] if others else []
        return [f"{counted(left)} in {into.name}; datapackage.json beside it describes the columns", *kept], []
    if ending in (".xlsx", ".xlsm") and into.exists():
        return append(into, rows, job_path.name, job=job)
    if ending == ".xlsx":
        write_new(left, into)
        return [f"{counted(left)} in {into.name}"], []
    raise refuse("file", into.name, "orders go into .csv or .xlsx", "Give the file one of these endings")


def counted(rows: list[Row]) -> str:
    """ "1 line", "8 lines"."""
    return f"{len(rows)} line" if len(rows) == 1 else f"{len(rows)} lines"


def _late(report: Report) -> list[str]:
    """What cannot be there by the day."""
    days = report.buying.days if report.buying is not None else None
    late = [line for line in report.parts if days is not None and line.is_bought and (line.lead_days or 0.0) > days]
    return [f"Mind: not there in time: {line.description or line.role}, {line.lead_days:g} days." for line in late]


def _verdict(report: Report) -> list[str]:
    if report.verdict not in (Verdict.DOES_NOT_FIT, Verdict.NOT_KNOWN):
        return []
    return [f'Mind before you send it: the verdict on this corner is "{report.verdict}".']
