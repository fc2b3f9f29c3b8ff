"""bomcheck: will this brake kit go on this corner, and what must be added, machined, measured and ordered first?

For other programs: `read_job`, `assess_job` and `report_as_json` are all that is public, with the errors that they raise.
"""

from datetime import date as _date
from os import PathLike as _PathLike
from typing import TYPE_CHECKING

from bomcheck.model.errors import BomcheckError, WorkbookError
from bomcheck.model.version import __version__ as __version__

if TYPE_CHECKING:
    from bomcheck.model.job import Job
    from bomcheck.model.report import Report

__all__ = ["BomcheckError", "Job", "Report", "WorkbookError", "assess_job", "read_job", "report_as_json"]


def read_job(path: "str | _PathLike[str]") -> "Job":
    """The job in a workbook. What cannot be read of it stands in `Job.faults`, one for each cell.

    Raises WorkbookError where the file itself cannot be read.
    """
    from pathlib import Path

    from bomcheck.io.read.job import read_job as read

    return read(Path(path))[0]


def assess_job(job: "Job", today: "_date | None" = None) -> "Report":
    """Verdict, findings, parts and questions. today: for lead times; without it they rule out nothing. Raises nothing."""
    from bomcheck.assess import assess

    return assess(job, today)


def report_as_json(report: "Report") -> dict[str, object]:
    """The report as plain lists and dicts, valid by `schemas/report.schema.json`; sizes in mm, N·m, MPa, kg, °C.

    Raises BomcheckError where the report breaks the schema, which is a fault of the program.
    """
    import json

    from jsonschema import Draft202012Validator

    from bomcheck.model.shipped import folder
    from bomcheck.paper.json_report import report_as_json as plain

    made: dict[str, object] = json.loads(json.dumps(plain(report)))
    schema = json.loads((folder("schemas") / "report.schema.json").read_text(encoding="utf-8"))
    broken = next(iter(Draft202012Validator(schema).iter_errors(made)), None)
    if broken is not None:
        raise BomcheckError(
            f"a fault of the program: the report breaks its schema at {broken.json_path}: {broken.message[:200]}"
        )
    return made


def __getattr__(name: str) -> object:
    if name == "Job":
        from bomcheck.model.job import Job

        return Job
    if name == "Report":
        from bomcheck.model.report import Report

        return Report
    raise AttributeError(f"module 'bomcheck' has no attribute '{name}'")
