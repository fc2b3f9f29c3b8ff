"""Faulty tables: one clear line each, with file, row and column; what can be read goes on."""

import pytest

from bomcheck.model.errors import WorkbookError
from bomcheck.screen.tables import read_rows
from tests.faulty.tables import Faulty, faulty

ALL = list(faulty())


def test_there_are_twenty_and_more():
    """The collection is as large as promised."""
    assert len({one.name for one in ALL}) >= 20


@pytest.mark.parametrize("case", ALL, ids=[one.name for one in ALL])
def test_one_clear_line(case: Faulty, tmp_path):
    """The trouble is one line that names the file and the place; rows that are sound are read."""
    path = tmp_path / case.name
    path.write_bytes(case.content)
    try:
        table = read_rows(path, "kits")
        lines, read = [str(fault) for fault in table.faults], len(table.rows)
    except WorkbookError as error:
        lines, read = [str(error)], 0
    assert len(lines) == 1, lines
    assert "\n" not in lines[0]
    assert lines[0].startswith(case.name)
    assert case.says in lines[0]
    assert case.place in lines[0]
    assert read == case.rows
