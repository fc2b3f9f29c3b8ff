"""CSV without a quote is read without the csv module, and gives what the module gives."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st
from xlsxwriter import Workbook

from bomcheck.model.errors import WorkbookError
from bomcheck.screen.grids import _plain_lines, _quoted_lines
from bomcheck.screen.tables import read_grid

LETTERS = st.text(st.sampled_from("ab1 ,;\t\r\n\x0b\x0c\x1c\x85\u2028é"), min_size=1, max_size=60)


@given(LETTERS, st.sampled_from(",;\t"))
def test_as_the_csv_module(text, dividing):
    """Any mixture of line ends, dividing signs and signs that only look like line ends."""
    assert _plain_lines(text, dividing) == list(csv.reader(io.StringIO(text, newline=""), delimiter=dividing))


def test_quotes_and_endless_cells_are_left_to_the_csv_module():
    """A quote makes a difference; a cell beyond the module's limit is refused by it."""
    before = csv.field_size_limit(10**9)  # as a library that is loaded beside us may have set it
    assert _plain_lines('a,"b"\n', ",") == []
    assert _plain_lines("a" * 200_000, ",") == []
    with pytest.raises(WorkbookError, match="no sound CSV"):
        _quoted_lines("t.csv", "a" * 200_000, ",")
    assert csv.field_size_limit(before) == 10**9


def test_a_file_of_nothing_but_its_mark_is_empty(tmp_path):
    """A byte order mark alone is no table."""
    (tmp_path / "mark.csv").write_bytes(b"\xef\xbb\xbf")
    with pytest.raises(WorkbookError, match="the file is empty"):
        read_grid(tmp_path / "mark.csv")


@pytest.mark.parametrize("ending", [".csv", ".xlsx"])
def test_more_than_can_be_held_is_refused(ending, tmp_path, monkeypatch):
    """Rows times columns are counted before anything is made of them."""
    monkeypatch.setattr("bomcheck.screen.grids.MOST_ENTRIES", 8)
    path = tmp_path / f"table{ending}"
    if ending == ".csv":
        path.write_text("a,b,c\n" + "1,,\n" * 3, "utf-8")
    else:
        book = Workbook(str(path))
        sheet = book.add_worksheet()
        for row in range(4):
            sheet.write_row(row, 0, ["a", "b", "c"])
        book.close()
    with pytest.raises(WorkbookError, match="3 rows of 3 columns are more than can be held"):
        read_grid(path)
