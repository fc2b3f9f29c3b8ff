"""One job from file to file: read, assess, write back. Returns what the command prints; prints nothing itself."""

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from bomcheck.assess import assess
from bomcheck.report import Report
from bomcheck.summary import summary
from bomcheck.verdict.verdict import Verdict
from bomcheck.workbook.package import Package
from bomcheck.workbook.read import read_job

STATUS = {
    Verdict.FITS: 0,
    Verdict.FITS_WITH_PARTS: 0,
    Verdict.DOES_NOT_FIT: 1,
    Verdict.NEEDS_MACHINING: 1,
    Verdict.NOT_KNOWN: 3,
}
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
    job, package = read_job(path)
    report = assess(job, today or date.today())
    remarks = [str(fault) for fault in job.faults]
    stopped = any(fault.stops for fault in job.faults)
    text = summary(report)
    if write and (out is not None or not stopped):
        text += f"\n\n{_write(report, package, path, out, backup, today or date.today())}"
    elif write:
        remarks.append(
            f"{path.name}: nothing was written. Correct the cells above and run it again, or use --out for a copy."
        )
    status = CANNOT if stopped else STATUS[report.verdict]
    return Done(report, status, text, tuple(remarks))


def _write(report: Report, package: Package, path: Path, out: Path | None, backup: bool, today: date) -> str:
    from bomcheck.workbook.result import write_result

    written = write_result(report, package, out or path, backup, today)
    return written.message or f"Result in {written.path}: open it on the sheet Compatibility."
