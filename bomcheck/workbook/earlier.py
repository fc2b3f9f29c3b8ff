"""A file that a result is to be written over: only a result of an earlier run, whose yellow entries go into the new one."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from bomcheck.errors import WorkbookError
from bomcheck.workbook.mark import marked_sheets
from bomcheck.workbook.package import Package, open_package
from bomcheck.workbook.refusal import refuse
from bomcheck.workbook.typed_before import kept_from

Own = Mapping[str, Mapping[str, Any]]


def earlier_result(source: Path, out: Path | None) -> Package | None:
    """The workbook at `out`; None where nothing is there, or where it is the source itself.

    Raises WorkbookError where something else than a result of an earlier run stands there.
    """
    if out is None or not out.exists() or out.resolve() == source.resolve():
        return None
    try:
        package = open_package(out)
    except WorkbookError:
        raise _taken(out) from None
    if not marked_sheets(package):
        raise _taken(out)
    return package


def _taken(out: Path) -> WorkbookError:
    wrong = "something that is no result of an earlier check stands there, and it is not overwritten"
    return refuse("file", out.name, wrong, "Give another name with --out")


def over(own: Own, earlier: Package) -> dict[str, dict[str, Any]]:
    """The yellow entries of the job, with those of the earlier result over them, by line and column."""
    later = kept_from(earlier)
    return {line: {**own.get(line, {}), **later.get(line, {})} for line in dict.fromkeys((*own, *later))}
