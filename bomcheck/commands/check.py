"""One job from file to file: read, assess, write back. Returns what the command prints; prints nothing itself."""

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from bomcheck.assess import assess
from bomcheck.io.disk import only_writer
from bomcheck.io.package import Package, open_package
from bomcheck.io.read.fill_in import Filled, fill_in
from bomcheck.io.read.job import read_job
from bomcheck.io.read.own import earlier_result, own_faults
from bomcheck.model.errors import Fault
from bomcheck.model.job import Job
from bomcheck.model.records import dataclass, replace
from bomcheck.model.report import Report
from bomcheck.model.verdict import Verdict
from bomcheck.paper.summary import summary

if TYPE_CHECKING:
    from bomcheck.io.splice import Written

STATUS = {
    Verdict.FITS: 0, Verdict.FITS_WITH_PARTS: 0, Verdict.DOES_NOT_FIT: 1, Verdict.NEEDS_MACHINING: 1, Verdict.NOT_KNOWN: 3,
}  # fmt: skip
CANNOT = 4


@dataclass(frozen=True)
class Done:
    """What came of it. status: exit status. text: for standard output. remarks: for standard error, a line each."""

    report: Report
    status: int
    text: str
    remarks: tuple[str, ...]


def check_workbook(path: Path, out: Path | None, write: bool, backup: bool, today: date | None = None) -> Done:
    """Check one workbook. Raises BomcheckError where it cannot be read or written."""
    if not write:
        return _check(path, out, write, backup, today or date.today())
    with only_writer(out or path):
        return _check(path, out, write, backup, today or date.today())


def _check(path: Path, out: Path | None, write: bool, backup: bool, today: date) -> Done:
    earlier = earlier_result(path, out) if write else None
    job, package = read_job(path, earlier=earlier)
    report = assess(job, today)
    stopped = any(fault.stops for fault in job.faults)
    text, unused = summary(report, today), _unused(package, job)
    remarks = [str(fault) for fault in report.job.faults]
    if write and (out is not None or not stopped):
        filled = fill_in(package, job, earlier or package)
        written = _write(report, package, out or path, backup, today, earlier, filled)
        text += f"\n\n{filled.said}" if filled.said else ""
        text += f"\n\n{written.message or f'Result in {written.path}: open it on the sheet Compatibility.'}"
        unused = _unused(open_package(written.path), job) if unused or earlier is not None else []
    elif write:
        remarks.append(
            f"{path.name}: nothing was written. Correct the cells above and run it again, or use --out for a copy."
        )
    remarks += [str(fault) for fault in unused]
    if not write:
        report = replace(report, job=replace(report.job, faults=(*report.job.faults, *unused)))
    status = CANNOT if stopped else STATUS[report.verdict]
    return Done(report, status, text, tuple(remarks))


def _unused(package: Package, job: Job) -> list[Fault]:
    """Remarks on the yellow figures that cannot be used; they stay in their cells and stop nothing."""
    found = own_faults(package, str(job.get("currency") or ""))
    return [replace(fault, wrong=f"{fault.wrong}, so it is not used", stops=False) for fault in found]


def _write(
    report: Report, package: Package, target: Path, backup: bool, today: date, earlier: Package | None,
    filled: Filled,
) -> "Written":  # fmt: skip
    from bomcheck.io.sheets.build import receipts_from, write_result

    receipts = receipts_from(package)
    if earlier is not None:
        booked = {one.mark for one in receipts}
        receipts += [one for one in receipts_from(earlier) if one.mark not in booked]
    return write_result(report, package, target, backup, today, receipts=receipts, earlier=earlier, filled=filled)
