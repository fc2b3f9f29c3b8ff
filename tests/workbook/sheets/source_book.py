"""The job workbook that a sample report was read from: its typed cells alone, where the report says that they stand."""

from collections.abc import Mapping
from io import BytesIO
from pathlib import Path

from openpyxl import Workbook

from bomcheck.io.package import Package
from bomcheck.io.splice import assemble, plan_changes
from bomcheck.model.report import Report


def source_book(report: Report) -> bytes:
    """Numbers as numbers, all else as text."""
    book = Workbook()
    book.remove(book.active)
    for value in report.job.values.values():
        place = value.place
        if place.sheet and place.cell:
            sheet = book[place.sheet] if place.sheet in book.sheetnames else book.create_sheet(place.sheet)
            sheet[place.cell] = _typed(value.typed)
            if report.job.get("units") == "inch" and value.typed == "0.0":
                sheet[place.cell.replace("B", "C")] = "in"
    for name in ("Corner", "Kit", "Job"):
        if name not in book.sheetnames:
            book.create_sheet(name)
    out = BytesIO()
    book.save(out)
    return out.getvalue()


def _typed(typed: str) -> float | str:
    try:
        return float(typed)
    except ValueError:
        return typed if not typed.startswith("=") else "text"


def in_source(report: Report, ours: bytes, kinds: Mapping[str, str]) -> bytes:
    """Our sheets in that workbook."""
    package = Package(Path("source.xlsx"), source_book(report))
    changes = plan_changes(package, Package(Path("ours.xlsx"), ours), kinds)
    return b"".join(assemble(package.archive, changes))
