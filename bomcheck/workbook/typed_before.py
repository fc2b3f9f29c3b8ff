"""What stands in the yellow columns of the sheets that an earlier run wrote."""

from typing import Any

from bomcheck.workbook.mark import marked_sheets
from bomcheck.workbook.package import Package
from bomcheck.workbook.sheets.kept import read_kept


def kept_from(package: Package) -> dict[str, dict[str, Any]]:
    """{line: {column: value}} of all sheets of ours; empty for a workbook that was not checked yet."""
    kept: dict[str, dict[str, Any]] = {}
    for name in marked_sheets(package).values():
        for line, typed in read_kept(package.cells(name)).items():
            kept.setdefault(line, {}).update(typed)
    return kept
