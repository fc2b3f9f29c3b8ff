"""The result sheets into the workbook: what the user typed into our sheets on an earlier run is kept."""

from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bomcheck import __version__
from bomcheck.report import Report
from bomcheck.workbook.mark import marked_sheets
from bomcheck.workbook.package import Package
from bomcheck.workbook.sheets.build import build_sheets
from bomcheck.workbook.splice import Written, write_back

if TYPE_CHECKING:
    from bomcheck.receive.receipts import Receipt


def receipts_from(package: Package) -> "list[Receipt]":
    """What was booked from packing slips on earlier runs."""
    name = marked_sheets(package).get("receiving")
    if name is None:
        return []
    from bomcheck.workbook.sheets.receiving import read_receipts

    return read_receipts(package.cells(name))


def write_result(
    report: Report,
    package: Package,
    target: Path,
    backup: bool,
    today: date | None,
    *,
    kept: Mapping[str, Mapping[str, Any]] | None = None,
    receipts: "Sequence[Receipt] | None" = None,
) -> Written:
    """Put the result sheets into a workbook at `target`. Raises WorkbookError; the target is then unchanged.

    kept: in the place of what the job holds of an earlier run; receipts: in the place of what stands in the workbook.
    """
    ours, kinds = build_sheets(
        report,
        kept=report.job.own if kept is None else kept,
        system=report.job.get("units") or "metric",
        version=__version__,
        now=today,
        receipts=receipts_from(package) if receipts is None else receipts,
    )
    return write_back(package, ours, kinds, target, backup=backup)
