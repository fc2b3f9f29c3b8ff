"""A job workbook as one corner, or as one kit with its box."""

from pathlib import Path

from bomcheck.model.job import Job
from bomcheck.screen.columns import Rows, rows_of
from bomcheck.screen.faults import refuse
from bomcheck.screen.table_kinds import NAMES, SECTIONS, Table
from bomcheck.tables.fields import fields


def row_of_job(path: Path, kind: str) -> Table:
    """The corner of a job workbook with its limits, price list and shelf; or its kit with the box. Raises WorkbookError
    where a cell of it must be corrected first."""
    from bomcheck.io.read.job import read_job

    job, _ = read_job(path)
    return Table(rows_of_job(job, path, kind), [fault for fault in job.faults if not fault.stops])


def rows_of_job(job: Job, path: Path, kind: str) -> Rows:
    """One row of a job that was read."""
    known = fields()
    stopping = next(
        (one for one in job.faults if one.stops and (not one.key or known[one.key].section in SECTIONS[kind])), None
    )
    if stopping is not None:
        raise refuse(
            stopping.kind,
            path.name,
            stopping.wrong,
            stopping.instead,
            str(stopping.place).partition(": ")[2],
            stopping.typed,
        )
    values = {key: value for key, value in job.values.items() if key in known and known[key].section in SECTIONS[kind]}
    name = next((str(values[key].value) for key in NAMES[kind] if key in values), path.stem)
    if kind == "kits":
        return rows_of([name], [values], boxes={0: job.box} if job.box else {}, source=path.name)
    return rows_of([name], [values], prices=job.prices, shelf=job.shelf, limits=job.limits, source=path.name)
