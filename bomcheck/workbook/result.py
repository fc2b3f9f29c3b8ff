"""The result sheets into the workbook: what the user typed into our sheets on an earlier run is kept."""

from datetime import date
from pathlib import Path
from typing import Any

from bomcheck import __version__
from bomcheck.report import Report
from bomcheck.workbook.mark import marked_sheets
from bomcheck.workbook.package import Package
from bomcheck.workbook.sheets.build import build_sheets
from bomcheck.workbook.sheets.kept import read_kept
from bomcheck.workbook.splice import Written, write_back


def kept_from(package: Package) -> dict[str, dict[str, Any]]:
    """What stands in the input columns of the sheets of ours, by line."""
    kept: dict[str, dict[str, Any]] = {}
    for name in marked_sheets(package).values():
        for line, typed in read_kept(package.cells(name)).items():
            kept.setdefault(line, {}).update(typed)
    return kept


def write_result(report: Report, package: Package, target: Path, backup: bool, today: date | None) -> Written:
    """Put the result sheets into a workbook at `target`. Raises WorkbookError; the target is then unchanged."""
    system = report.job.get("units") or "metric"
    ours, kinds = build_sheets(report, kept=kept_from(package), system=system, version=__version__, now=today)
    return write_back(package, ours, kinds, target, backup=backup)
