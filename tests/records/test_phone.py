"""With the kit in the records a dozen typed cells give an answer on the telephone."""

from datetime import date
from io import BytesIO
from pathlib import Path

import pytest

from bomcheck.assess import assess
from bomcheck.io.blank.template import build_job_workbook
from bomcheck.io.read.job import read_job
from bomcheck.io.records.keep import keep
from bomcheck.io.records.start import filled_from
from bomcheck.model.records import replace
from bomcheck.model.shipped import folder
from bomcheck.paper.phone import MOST, open_questions, phone_page
from bomcheck.tables import rows
from bomcheck.tables.fields import fields

DEMOS = ("camper_van", "estate_rear_axle", "saloon_drums_to_discs")
DAY = date(2026, 3, 2)


@pytest.mark.parametrize("name", DEMOS)
def test_twelve_cells_are_enough_for_an_answer(name: str, tmp_path: Path) -> None:
    """The kit from the records, and at most twelve cells that a customer can tell."""
    whole, records = read_job(folder("demo_workbooks") / f"{name}.xlsx")[0], tmp_path / "records.xlsx"
    keep(whole, records, DAY)
    filled = filled_from(records, kit=f"{whole.get('kit_number')} {whole.get('kit_revision') or ''}".strip())
    filled["prices"] = []
    said = [row["key"] for row in rows("phone") if row["key"] in whole.values and row["key"] != "kit_number"]
    for key in said:
        filled[fields()[key].section][key] = whole.values[key].typed
    filled["kit"]["maker_list_covers"], filled["job"]["car_as_made"] = "yes", "yes"
    assert len(said) + 2 <= 12
    made = BytesIO()
    build_job_workbook("metric", filled, made)
    (tmp_path / "call.xlsx").write_bytes(made.getvalue())
    job = read_job(tmp_path / "call.xlsx")[0]
    page = phone_page(assess(job, DAY), DAY)
    for words in ("Sure: ", "Likely: ", "Open: ", "Parts beside the kit: ", "Measure or look up before ordering:"):
        assert words in page
    assert "bolt circle" not in page.partition("Open: ")[2].partition("\n")[0].split(", wheel")[0]


def test_at_most_ten_questions_in_plain_words() -> None:
    """Each is one field's, ends in a question mark and names no instrument."""
    job = read_job(folder("demo_workbooks") / "half_measured_coupe.xlsx")[0]
    asked = open_questions(assess(job))
    assert len(asked) <= MOST
    for row in rows("phone"):
        assert row["key"] in fields()
        assert row["ask"].endswith("?")
        assert not any(word in row["ask"] for word in ("vernier", "micrometer", "gauge", "runout"))


def test_what_is_bad_for_the_whole_car_is_on_the_page() -> None:
    """A residual valve in a line that gets disc brakes drags the pads: the customer hears it before he orders."""
    job = read_job(folder("demo_workbooks") / "hill_climb_two_seater.xlsx")[0]
    values = {**job.values, "residual_valve_front": replace(job.values["residual_valve_front"], value=0.1)}
    assert "Not good for" not in phone_page(assess(job, DAY), DAY)
    page = phone_page(assess(replace(job, values=values), DAY), DAY)
    assert "Not good for the brakes as a whole:\n  Residual valve in the front line: It holds" in page
    assert "Take the valve out" in page
