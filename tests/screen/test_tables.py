"""Tables of corners and kits: the same values from every form, by key or label, in any unit."""

import json
from dataclasses import replace

import pytest
from click.testing import CliRunner

from bomcheck.engine.many.columns import Rows
from bomcheck.io.blank.screening import headings, write_blank
from bomcheck.model.errors import Place
from bomcheck.screen.tables import read_grid, read_rows
from bomcheck.tables.fields import fields
from tests.helpers import tables
from tests.screen.table_rows import rows

MADE = {"corners": tables.corners(40, 3), "kits": tables.kits(40, 3)}


def _same(read: Rows, expected: Rows) -> None:
    assert read.names == expected.names
    for row in range(len(expected)):
        mine, theirs = read.values(row), expected.values(row)
        assert mine.keys() == theirs.keys()
        for key, value in mine.items():
            assert (
                value.value == pytest.approx(theirs[key].value)
                if isinstance(value.value, float)
                else value.value == theirs[key].value
            )
            assert value.plus_minus == pytest.approx(theirs[key].plus_minus)


@pytest.mark.parametrize("kind", MADE)
@pytest.mark.parametrize("labels", [False, True])
def test_csv_by_key_and_by_label(kind, labels, tmp_path):
    """A CSV table gives the values that were written, headed by keys or by labels, the ± where one is stated."""
    path = tables.write_csv(tmp_path / "table.csv", MADE[kind], labels=labels)
    table = read_rows(path, kind)
    assert not table.faults
    _same(table.rows, rows(kind, MADE[kind]))


def test_units_in_the_heading_in_the_cell_and_in_inches(tmp_path):
    """A unit may stand in the second row, in the heading's brackets or with the figure; all give the same size."""
    path = tmp_path / "kits.csv"
    path.write_text(
        "kit_number,rotor_diameter,rotor_thickness [in],hat_bore,hat_bore ±\n,in,,mm,mm\nA,13,1.1,66.6,0.02\nB,330.2 mm,27.94 mm,2.622 in,\n",
        "utf-8",
    )
    read = read_rows(path, "kits").rows
    for key, sizes in (
        ("rotor_diameter", (330.2, 330.2)),
        ("rotor_thickness", (27.94, 27.94)),
        ("hat_bore", (66.6, 66.5988)),
    ):
        assert [read.values(row)[key].value for row in (0, 1)] == pytest.approx(sizes)
    assert read.values(0)["hat_bore"].plus_minus == 0.02
    assert read.values(1)["hat_bore"].plus_minus == fields()["hat_bore"].plus_minus


def test_workbook_and_parquet_give_what_csv_gives(tmp_path):
    """The same table as a workbook and as Parquet holds the same values."""
    pandas = pytest.importorskip("pandas")
    pytest.importorskip("pyarrow")
    made = MADE["kits"]
    expected = rows("kits", made)
    heads = tables.columns_of(made)
    frame = pandas.DataFrame({head: [tables.cell(row, head) for row in made] for head in heads})
    frame = frame.apply(
        lambda column: (
            pandas.to_numeric(column.replace("", None), errors="coerce")
            if fields()[column.name.removesuffix(" ±")].notation in ("number", "count")
            else column
        )
    )
    frame.to_parquet(tmp_path / "kits.parquet")
    _same(read_rows(tmp_path / "kits.parquet", "kits").rows, expected)
    _workbook(tmp_path / "kits.xlsx", tables.write_csv(tmp_path / "kits.csv", made))
    _same(read_rows(tmp_path / "kits.xlsx", "kits").rows, expected)


def _workbook(path, csv_path):
    from xlsxwriter import Workbook

    grid = read_grid(csv_path)
    book = Workbook(str(path))
    sheet = book.add_worksheet("Kits")
    for column, (head, cells) in enumerate(zip(grid.headings, grid.columns, strict=True)):
        sheet.write_string(0, column, head)
        for row, text in enumerate(cells, 1):
            if text:
                try:
                    sheet.write_number(row, column, float(text))
                except ValueError:
                    sheet.write_string(row, column, text)
    book.close()


@pytest.mark.parametrize("kind", ["corners", "kits"])
@pytest.mark.parametrize("inch", [False, True])
@pytest.mark.parametrize("ending", [".csv", ".xlsx"])
def test_blank_tables_are_read_back(kind, inch, ending, tmp_path):
    """A blank table, filled in with one row, is read without a fault; every heading is a field's."""
    path = tmp_path / f"table{ending}"
    write_blank(path, kind, inch)
    grid = read_grid(path)
    assert grid.headings == [text for text, _, _ in headings(kind, inch)]
    filled = tmp_path / "filled.csv"
    lines = [grid.headings, [column[0] if isinstance(column[0], str) else column[0].text for column in grid.columns]]
    values = ["A" if place == 0 else "" for place in range(len(grid.headings))]
    filled.write_text("\n".join(",".join(f'"{cell}"' for cell in line) for line in [*lines, values]), "utf-8")
    table = read_rows(filled, kind)
    assert table.rows.names == ["A"]
    assert not [fault for fault in table.faults if fault.stops]


def test_a_job_workbook_is_one_corner(tmp_path):
    """A job workbook stands for one corner, or for one kit with what lies in its box."""
    from bomcheck.io.blank.template import build_job_workbook
    from bomcheck.io.read.job import read_job
    from tests.helpers import jobs

    known = fields()
    filled = {section: {} for section in ("job", "corner", "kit")}
    for key, value in jobs.GOOD.items():
        if known[key].section in filled:
            filled[known[key].section][key] = value[0] if isinstance(value, tuple) else value
    path = tmp_path / "job.xlsx"
    build_job_workbook("metric", {**filled, "box": [{"role": "rotor", "quantity": 2}]}, path)
    job, _ = read_job(path)
    corner, kit = read_rows(path, "corners").rows, read_rows(path, "kits").rows
    assert len(corner) == len(kit) == 1
    together = {**corner.values(0), **kit.values(0)}
    assert {key: value.value for key, value in together.items()} == {
        key: value.value for key, value in job.values.items() if known[key].section != "system"
    }
    assert kit.boxes[0] == job.box


def test_each_kit_and_each_corner_of_a_job_workbook_is_a_row(tmp_path):
    """Three kits that are compared are three rows, each with its box; a car is a row for each axle, or corner that differs."""
    from bomcheck.demos import demo

    kits = read_rows(demo("hatchback_which_kit").write(tmp_path), "kits").rows
    assert kits.names == ["BK-330-6", "BK-330-4", "BK-345-4"]
    assert [any(part.role == "hose" for part in kits.boxes[row]) for row in range(3)] == [True, False, True]
    assert [kits.value("kit_price", row).value for row in range(3)] == [1480, 1390, 990]
    path = demo("touring_coupe_both_axles").write(tmp_path)
    assert read_rows(path, "corners").rows.names == [
        f"Touring coupe, both axles, {place}" for place in ("front", "rear left", "rear right")
    ]
    assert len(read_rows(path, "kits").rows) == 2


def test_a_table_of_kits_with_their_boxes_and_prices_is_judged_like_the_jobs(tmp_path):
    """Box contents beside the table, each line under its kit's number: verdict, parts and price as in a job of its own."""
    from openpyxl import load_workbook

    from bomcheck.commands.cli import main
    from bomcheck.demos import demo

    path, table, out = demo("hatchback_which_kit").write(tmp_path), tmp_path / "kits.xlsx", tmp_path / "out.jsonl"
    write_blank(table, "kits")
    rows, book, job = read_rows(path, "kits").rows, load_workbook(table), load_workbook(path)
    heads = [cell.value for cell in book["Kits"][1]]
    for row, letter in enumerate(("", " B", " C")):
        for line in job[f"Kit{letter}"].iter_rows(min_row=3):
            for column, label in ((1, line[0].value), (3, f"{line[0].value} ±")):
                if line[column].value is not None and label in heads:
                    book["Kits"].cell(row + 3, heads.index(label) + 1).value = line[column].value
        for line in job[f"Box contents{letter}"].iter_rows(min_row=3, values_only=True):
            if any(line):
                book["Box contents"].append([rows.names[row], *line])
    book["Box contents"].append(["BK-999", "hose", "X", "a hose", 1])
    book["Box contents"].append([None, "hose", "Y", "a hose", 1])
    book.save(table)
    read = read_rows(table, "kits")
    assert [{replace(part, place=Place()) for part in read.rows.boxes[row]} for row in range(3)] == [
        {replace(part, place=Place()) for part in rows.boxes[row]} for row in range(3)
    ]
    assert len([fault for fault in read.faults if "kit number" in str(fault) or "has this number" in str(fault)]) == 2
    answers = []
    for kits in (path, table):
        CliRunner().invoke(main, ["screen", str(path), str(kits), "--out", str(out), "--parts"])
        answers.append([json.loads(line) for line in out.read_text("utf-8").splitlines()])
    assert answers[0] == answers[1]
    assert {one["kit"]: one["price"] for one in answers[0]} == {
        "BK-330-4": 1467.0,
        "BK-330-6": 1631.0,
        "BK-345-4": None,
    }


def test_a_reading_with_a_kit_on_the_car_is_no_column_of_many_corners(tmp_path):
    """It is of one corner with one kit: our blank table does not ask for it, and one that has it is told why it is not used."""
    assert not [text for text, _, one in headings("corners", False) if one.reads or text.startswith("Read:")]
    label = next(one.label for one in fields().values() if one.reads and one.section == "corner")
    path = tmp_path / "corners.csv"
    path.write_text(f"Vehicle,Hub pilot diameter [mm],{label},{label} ±\nA,60,0.1,0.01\n", "utf-8")
    table = read_rows(path, "corners")
    told = [one for one in table.faults if one.place.cell.startswith("column Read")]
    assert [(one.place.cell, one.stops) for one in told] == [(f"column {label}", False), (f"column {label} ±", False)]
    assert all("read with one kit on the car" in one.wrong and "Did you mean" not in one.instead for one in told)
    assert table.rows.names == ["A"]
