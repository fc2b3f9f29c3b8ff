"""No name from a table becomes a formula when a spreadsheet opens the result."""

import csv
import json

import pytest

from bomcheck.screen.command import screen_command
from bomcheck.screen.rank import Added, Line
from bomcheck.screen.tables import Asked
from bomcheck.screen.writing import csv_text
from tests.helpers import tables
from tests.helpers.one_sheet import one_sheet

NAMES = ("=1+1", "+1", "-1", "@A1", "-x, y", '=HYPERLINK("a","b")', "＝1", "10-1", "plain")


@pytest.fixture
def inputs(tmp_path):
    """Corners and kits of these names."""
    corners, kits = ([dict(row) for row in make(len(NAMES), 1)] for make in (tables.corners, tables.kits))
    for place, name in enumerate(NAMES):
        corners[place]["vehicle_label"] = kits[place]["kit_number"] = name
    return tables.write_csv(tmp_path / "corners.csv", corners), tables.write_csv(tmp_path / "kits.csv", kits)


@pytest.mark.parametrize("parts", [True, False])
def test_csv(inputs, tmp_path, parts):
    """An apostrophe stands before = + - @, as in the order lines; other names and all figures stay as they are."""
    screen_command(Asked(*inputs, tmp_path / "out.csv", parts=parts))
    lines = list(csv.DictReader((tmp_path / "out.csv").read_text("utf-8").splitlines()))
    wanted = {*(f"'{name}" for name in NAMES[:-2]), *NAMES[-2:]}
    assert {line["corner"] for line in lines} == {line["kit"] for line in lines} == wanted
    assert any(float(line["margin"]) < 0 for line in lines if line["margin"])


def test_workbook_and_json_keep_the_name(inputs, tmp_path):
    """There a text is a text, and stays as it was typed."""
    for name in ("out.xlsx", "out.jsonl"):
        screen_command(Asked(*inputs, tmp_path / name, parts=False))
    sheet = one_sheet(tmp_path / "out.xlsx", "Order of merit")
    cells = [row[1] for row in sheet.iter_rows(min_row=2)]
    assert {cell.value for cell in cells} == set(NAMES)
    kinds = {cell.data_type for cell in cells if not str(cell.value).startswith("=")}
    assert kinds == {"s"}
    assert not [cell for cell in cells if cell.data_type == "f"]
    records = [json.loads(line) for line in (tmp_path / "out.jsonl").read_text("utf-8").splitlines()]
    assert {record["kit"] for record in records} == set(NAMES)


def test_every_text_of_a_line():
    """What decides, what to measure and the parts as well."""
    line = Line("=a", "=b", 1, "fits", "=c", -0.5, "=d", "=e", Added("=f", None, True))
    assert csv_text([line]) == "'=a,'=b,1,fits,'=c,-0.5000,'=d,'=e,'=f,\n"
