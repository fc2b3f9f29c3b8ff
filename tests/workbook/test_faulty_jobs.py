"""Every faulty workbook gets one clear line that names the cell, and is never touched."""

import os
import pickle
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner

from bomcheck.commands.cli import main
from bomcheck.io.read.job import read_job
from bomcheck.model.errors import FAULT_KINDS, Fault, WorkbookError
from bomcheck.model.job import Job
from bomcheck.model.limits import house_limits, limit_for
from bomcheck.tables.fields import fields
from tests.faulty.__main__ import write_all
from tests.faulty.faulty_job import own_limit
from tests.faulty.jobs import FAULTY, Faulty, Made
from tests.faulty.lines import LINES
from tests.faulty.making import good_bytes, number

NOBODY = 65534


def outcome(path: Path) -> tuple[Job | None, list[Fault]]:
    """The job, None where it is refused, and all faults."""
    try:
        job = read_job(path)[0]
    except WorkbookError as error:
        return None, [error.fault]
    return job, list(job.faults)


@pytest.fixture(params=list(FAULTY.values()), ids=list(FAULTY))
def made(request: pytest.FixtureRequest, tmp_path: Path) -> tuple[Faulty, Made, Path]:
    faulty: Faulty = request.param
    built = faulty.build()
    return faulty, built, faulty.write(tmp_path, built)


def test_good_job_has_no_fault(tmp_path: Path) -> None:
    """The job that all others are made from is clean, so each fault comes from what was spoilt."""
    path = tmp_path / "good.xlsx"
    path.write_bytes(good_bytes())
    job, faults = outcome(path)
    assert job is not None
    assert not faults
    assert not job.rejected


def test_a_usual_limit_of_an_earlier_version_was_typed_by_nobody(tmp_path: Path) -> None:
    """Each figure that a usual limit once was may stand on an old job's sheet; no fault is told, and today's rules."""
    for name, limit in house_limits().items():
        for low, high in limit.before:
            for figure, heading in ((low, "Low"), (high, "High")):
                if figure is not None:
                    path = tmp_path / f"{name} {heading}.xlsx"
                    path.write_bytes(own_limit(name, number(figure), heading).data)
                    job, faults = outcome(path)
                    assert job is not None
                    assert not faults, name
                    assert limit_for(name, job) == limit


def test_there_are_enough_and_each_has_a_line() -> None:
    """At least 25 faulty workbooks; the golden lines belong to them one to one; every kind is a known one."""
    assert len(FAULTY) >= 25
    assert sorted(LINES) == sorted(FAULTY)
    assert {faulty.kind for faulty in FAULTY.values()} <= set(FAULT_KINDS)


def test_one_fault_of_the_right_kind_at_the_right_cell(made: tuple[Faulty, Made, Path]) -> None:
    """Exactly one fault, with kind, place, key and weight as expected; nothing else of the job is blamed."""
    faulty, built, path = made
    job, faults = outcome(path)
    assert [(f.kind, f.place.file, f.place.sheet, f.place.cell, f.key, f.stops) for f in faults] == [
        (faulty.kind, path.name, built.sheet, built.cell, faulty.key, faulty.stops)
    ]
    assert (job is None) == faulty.refused


def test_the_whole_line(made: tuple[Faulty, Made, Path]) -> None:
    """What the person reads: file, sheet and cell, what was typed, what is wrong, what to type instead."""
    faulty, built, path = made
    (fault,) = outcome(path)[1]
    assert str(fault) == f"{path.name}: {LINES[faulty.name].format_map(faulty.cells(built))}"


def test_a_fault_that_stops_keeps_the_value_out(made: tuple[Faulty, Made, Path]) -> None:
    """A field with a fault that stops is held with that fault and has no value."""
    faulty, _, path = made
    job, faults = outcome(path)
    if job is None or faulty.key not in fields() or not faulty.stops:
        assert faulty.key not in (job.rejected if job else {})
        return
    assert faulty.key not in job.values
    assert job.rejected[faulty.key] == faults[0]


def test_the_command_says_it_and_leaves_the_file_alone(made: tuple[Faulty, Made, Path]) -> None:
    """`bomcheck check` prints the line and no traceback, exits with 4 where it must stop; the source keeps its bytes."""
    faulty, built, path = made
    stops = faulty.stops or faulty.refused
    arguments = ["check", str(path)] if stops else ["check", str(path), "--json"]
    before = _state(path)
    result = CliRunner().invoke(main, arguments)
    assert result.exception is None or isinstance(result.exception, SystemExit)
    assert f"{path.name}: {LINES[faulty.name].format_map(faulty.cells(built))}" in result.stderr.splitlines()
    assert (result.exit_code == 4) == stops
    assert _state(path) == before


def _state(path: Path) -> dict[str, bytes | None]:
    """Everything in the folder of a file, byte by byte."""
    return {one.name: one.read_bytes() if one.is_file() else None for one in path.parent.iterdir()}


def test_no_permission_to_read(tmp_path: Path) -> None:
    """A file that may not be read is named in one line; tried as a user without rights, as root may read all."""
    path = tmp_path / "locked.xlsx"
    path.write_bytes(good_bytes())
    path.chmod(0)
    job, faults = _as_nobody(lambda: outcome(path)) if os.geteuid() == 0 else outcome(path)
    path.chmod(0o600)
    assert job is None
    assert str(faults[0]) == "locked.xlsx: you have no permission to read it. Change its permissions or copy it."
    assert path.read_bytes() == good_bytes()


def _as_nobody(ask: Callable[[], tuple[Job | None, list[Fault]]]) -> tuple[Job | None, list[Fault]]:
    """The answer that a child process without rights gives."""
    out, into = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.setgid(NOBODY)
            os.setuid(NOBODY)
            os.write(into, pickle.dumps(ask()))
        finally:
            os._exit(0)
    os.close(into)
    with os.fdopen(out, "rb") as answer:
        said = answer.read()
    os.waitpid(child, 0)
    read: tuple[Job | None, list[Fault]] = pickle.loads(said)
    return read


def test_all_can_be_written_to_be_looked_at(tmp_path: Path) -> None:
    """`python -m tests.faulty FOLDER` writes every workbook and a list of their lines."""
    lines = write_all(tmp_path / "faulty").read_text(encoding="utf-8").splitlines()
    assert len(lines) == len(FAULTY)
    names = {path.stem for path in (tmp_path / "faulty").iterdir()}
    assert names == {*FAULTY, "lines"} - {"missing_file"}
