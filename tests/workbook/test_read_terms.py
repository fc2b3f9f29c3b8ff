"""The sheet Supplier terms: read with its cells, and one line for each thing that is wrong."""

from pathlib import Path
from typing import Any

import pytest

from bomcheck.io.blank.template import build_job_workbook
from bomcheck.io.read.job import read_job
from bomcheck.model.job import Job

PRICES = [
    {"role": "fluid", "part_number": "F", "supplier": "North Parts", "unit_price": 9.0, "unit": "L"},
    {"role": "cleaner", "part_number": "C", "supplier": "Dock Tools", "unit_price": 4.0},
]


def read(folder: Path, *terms: dict[str, Any], currency: str = "EUR") -> Job:
    filled = {"job": {"currency": currency}, "corner": {"ear_spacing": 130}, "prices": PRICES, "terms": terms}
    build_job_workbook("metric", filled, folder / "job.xlsx")
    return read_job(folder / "job.xlsx")[0]


def lines(job: Job) -> list[str]:
    return [str(fault) for fault in job.faults]


def test_freight_and_minimum(tmp_path: Path) -> None:
    """Names in other capitals are the same supplier; blank figures are none; each keeps its cell."""
    job = read(
        tmp_path, {"supplier": "north  parts", "freight": 6.5}, {"supplier": "Dock Tools", "minimum_order": "40 EUR"}
    )
    assert [(one.supplier, one.freight, one.minimum, one.place.cell) for one in job.terms] == [
        ("north  parts", 6.5, 0.0, "A3"),
        ("Dock Tools", 0.0, 40.0, "A4"),
    ]
    assert lines(job) == []


@pytest.mark.parametrize(
    ("terms", "place", "typed", "says"),
    [
        ({"supplier": "North Parts", "freight": -5}, "B3", "-5", "Type 0 or more"),
        ({"supplier": "North Parts", "minimum_order": -1}, "C3", "-1", "Type 0 or more"),
        ({"supplier": "North Parts", "freight": "free?"}, "B3", "free?", "cannot be read as one price"),
        ({"supplier": "North Parts", "freight": "6 USD"}, "B3", "6 USD", "not in EUR"),
        ({"freight": 6}, "B3", "6", "names no supplier"),
    ],
)
def test_bad_terms(tmp_path: Path, terms: dict[str, Any], place: str, typed: str, says: str) -> None:
    """One line that names the cell; it must be corrected before anything is written."""
    job = read(tmp_path, terms)
    found = [fault for fault in job.faults if fault.place.cell == place]
    assert len(found) == len(job.faults) == 1
    assert found[0].typed == typed
    assert says in str(found[0])
    assert found[0].stops


def test_the_same_supplier_twice(tmp_path: Path) -> None:
    """The first line is used, the second one is named."""
    job = read(tmp_path, {"supplier": "Dock Tools", "freight": 5}, {"supplier": "dock tools", "freight": 6})
    assert [one.freight for one in job.terms] == [5]
    assert "stands at A3 too" in lines(job)[0]


def test_a_supplier_who_sells_nothing(tmp_path: Path) -> None:
    """A slip in the name would make the terms void: it is named, but nothing has to be corrected."""
    job = read(tmp_path, {"supplier": "Nort Parts", "freight": 5})
    assert "nothing in the price list" in lines(job)[0]
    assert not job.faults[0].stops


def test_one_supplier_in_two_spellings(tmp_path: Path) -> None:
    """Capitals and spaces make no second supplier: the first spelling is that of all lines."""
    prices = [{**PRICES[0], "supplier": " North  Parts "}, {**PRICES[1], "supplier": "NORTH PARTS"}]
    build_job_workbook("metric", {"corner": {"ear_spacing": 130}, "prices": prices}, tmp_path / "job.xlsx")
    job = read_job(tmp_path / "job.xlsx")[0]
    assert [part.supplier for part in job.prices] == ["North Parts", "North Parts"]
