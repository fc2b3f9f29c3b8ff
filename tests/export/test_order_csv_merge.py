"""A CSV that holds another order keeps it. Invented orders."""

import csv
import io
from pathlib import Path

import frictionless
import pytest

from bomcheck.io.order.csv_file import write_csv
from bomcheck.model.errors import WorkbookError
from bomcheck.paper.order_rows import COLUMNS
from tests.export.shop_books import ROWS

HEADER = ",".join(column.name for column in COLUMNS)
FRONT = [{**one, "axle": "front"} for one in ROWS]
REAR, OTHER = [{**one, "axle": "rear"} for one in ROWS], [{**one, "job_number": "J-8"} for one in ROWS]


def test_other_jobs_and_axles_stay_and_the_own_is_replaced(tmp_path: Path) -> None:
    """Letter for letter, nasty texts and line breaks too; the data package still describes what is there."""
    target = tmp_path / "mine.csv"
    write_csv(FRONT, target)
    front = target.read_bytes().split(b"\r\n", 1)[1]
    assert write_csv(REAR, target) == ("J-7, front",)
    assert write_csv(OTHER, target) == ("J-7, front", "J-7, rear")
    assert front in target.read_bytes()
    assert write_csv(FRONT[:2], target) == ("J-7, rear", "J-8")
    read = frictionless.Package(str(tmp_path / "datapackage.json"))
    assert read.validate().valid, read.validate().flatten(["message"])
    rows = list(csv.DictReader(io.StringIO(target.read_text("utf-8-sig"), newline="")))
    assert len(rows) == 2 * len(ROWS) + 2
    assert len({(one["job_number"], one["axle"], one["line_key"]) for one in rows}) == len(rows)
    once = target.read_bytes()
    write_csv(FRONT[:2], target)
    assert target.read_bytes() == once


def test_line_ends_of_another_program_do_not_matter(tmp_path: Path) -> None:
    """All rows end alike, as the file's do."""
    target = tmp_path / "mine.csv"
    write_csv(FRONT[:2], target)
    target.write_bytes(target.read_bytes().replace(b"\r\n", b"\n"))
    write_csv(REAR[:2], target)
    assert (target.read_bytes().count(b"\r\n"), target.read_bytes().count(b"\n")) == (0, 5)


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (HEADER.replace("side,", "") + "\r\n", "columns are not those of today's"),
        (HEADER + "\r\nx,y\r\n", "columns are not those of today's"),
        (HEADER + "\r\nx" + "," * HEADER.count(",") + "\r\n", "a job without a number"),
    ],
)
def test_what_could_be_lost_is_left_alone(tmp_path: Path, content: str, says: str) -> None:
    """One line; the file keeps its bytes and no data package is left."""
    target = tmp_path / "mine.csv"
    target.write_bytes(content.encode())
    with pytest.raises(WorkbookError, match=says):
        write_csv([{**ROWS[0], "job_number": ""}], target)
    assert target.read_bytes() == content.encode()
    assert [path.name for path in tmp_path.iterdir()] == ["mine.csv"]
