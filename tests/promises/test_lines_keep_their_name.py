"""Measuring again moves no receipt, note or order; what the shop typed enters the balance once."""

from dataclasses import asdict, replace
from pathlib import Path

import pytest

from bomcheck.assess import assess
from bomcheck.io.read.job import read_job
from bomcheck.model.job import Job, Value
from bomcheck.model.line import TO_ORDER
from bomcheck.model.shipped import folder
from bomcheck.paper.json_report import report_as_json
from bomcheck.paper.order_rows import order_rows
from bomcheck.paper.parts_columns import PART_COLUMNS
from tests.helpers.demo_jobs import TODAY, hill_climb

DEMOS = sorted(folder("demo_workbooks").glob("*.xlsx"))


def measured_again(job: Job) -> Job:
    """Every size that carries a ± read anew, 0.02 mm larger."""
    values = {
        key: replace(value, value=value.value + 0.02) if _is_size(value) else value for key, value in job.values.items()
    }
    return replace(job, values=values)


def _is_size(value: Value) -> bool:
    return isinstance(value.value, float) and 0.0 < value.plus_minus < 1.0


@pytest.mark.parametrize("demo", DEMOS, ids=lambda path: path.stem)
def test_measuring_again_renames_no_line(demo: Path) -> None:
    """Every line of the first list that is still needed stands under the same name in the second; which shims are needed may
    change, and each thickness is a part of its own."""
    job = read_job(demo)[0]
    first, second = ({line.key: line.role for line in assess(one, TODAY).parts} for one in (job, measured_again(job)))
    gone, come = first.keys() - second.keys(), second.keys() - first.keys()
    assert not ({first[key] for key in gone} & {second[key] for key in come}) - {"shim"}


def test_the_receipt_of_a_rotor_stays_when_its_thickness_is_measured_again(tmp_path: Path) -> None:
    """Rotors ticked "Received 1"; the thickness reads 0.02 mm more."""
    job = read_job(hill_climb(tmp_path))[0]
    rotor = next(line.key for line in assess(job, TODAY).parts if line.role == "rotor")
    ticked = replace(job, own={rotor: {"received": 1.0, "own_note": "left one, box 2"}})
    thick = job.values["rotor_thickness"]
    ticked = replace(ticked, values={**job.values, "rotor_thickness": replace(thick, value=thick.value + 0.02)})
    line = next(line for line in assess(ticked, TODAY).parts if line.key == rotor)
    assert (line.own.received, line.own.note) == (1.0, "left one, box 2")


def test_entries_of_an_older_workbook_find_their_line(tmp_path: Path) -> None:
    """Older workbooks named a line by what it must be; the role and the place tell which it is."""
    job = read_job(hill_climb(tmp_path))[0]
    old = {"line clip | clip for the line's tab": {"own_note": "blue box"}, "fluid | glycol based": {"on_hand": 0.4}}
    report = assess(replace(job, own=old), TODAY)
    notes = {line.key: (line.own.note, line.own.on_hand) for line in report.parts}
    assert notes["line clip @ line in its tab"] == ("blue box", 0.0)
    assert notes["fluid @ job"] == ("", 0.4)


def test_the_json_says_what_the_sheet_says(tmp_path: Path) -> None:
    """With all that is needed on hand nothing is left to order; the shop's own price is the price."""
    job = read_job(hill_climb(tmp_path))[0]
    line = next(one for one in assess(job, TODAY).parts if one.status == TO_ORDER and one.unit == "each")
    typed = {"on_hand": line.to_order, "own_price": 55.0, "own_price_per": line.price_per}
    held = assess(replace(job, own={line.key: typed}), TODAY)
    part = next(one for one in report_as_json(held)["parts"] if one["key"] == line.key)
    assert (part["to_order"], part["packs"], part["unit_price"], part["line_total"]) == (0.0, 0.0, 55.0, 0.0)
    assert line.key not in {row["line_key"] for row in order_rows(held)}


def test_the_columns_name_what_a_line_holds(tmp_path: Path) -> None:
    """Each column that says it stands in the JSON does."""
    line = asdict(assess(read_job(hill_climb(tmp_path))[0], TODAY).parts[0])
    missing = [column.name for column in PART_COLUMNS if column.json and column.json not in line]
    assert not missing, (
        f"give bomcheck.model.line.Line these fields, or correct json in tables/parts_columns.txt: {missing}"
    )
