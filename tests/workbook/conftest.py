"""Every workbook as the project writes it, and as LibreOffice works it out: made once in a test run."""

from pathlib import Path

import pytest

from tests.helpers.office import need_office
from tests.workbook.changed_quantity import CHANGED
from tests.workbook.every_workbook import WORKBOOKS, file_name
from tests.workbook.once import made_once
from tests.workbook.recalculate import recalculate
from tests.workbook.wrong_value import wrong_value

ALL = {**WORKBOOKS, **CHANGED, "wrong value": wrong_value}


def _write_all(folder: Path) -> None:
    for name, build in ALL.items():
        build(folder / file_name(name))


@pytest.fixture(scope="session")
def as_written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with every workbook that the project writes, those with changed quantities, and one with wrong values."""
    return made_once(tmp_path_factory, "as_written", _write_all)


@pytest.fixture(scope="session")
def worked_out(as_written: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the same workbooks, opened, worked out anew and saved by LibreOffice."""
    need_office()
    sources = [as_written / file_name(name) for name in ALL]
    return made_once(tmp_path_factory, "worked_out", lambda folder: recalculate(sources, folder))
