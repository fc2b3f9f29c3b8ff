"""The starter price list of line parts is complete, readable and closes the usual lines."""

import csv
from io import StringIO
from itertools import product
from pathlib import Path
from typing import Any

import pytest

import bomcheck
from bomcheck.model.job import Part
from bomcheck.notation.line_end import read_line_end
from bomcheck.notation.thread import read_thread
from bomcheck.supply.line_chain import Catalogue, Closed, LineQuestion, solve
from bomcheck.supply.line_ends import Supply
from tests.parts.line_samples import end

FILE = Path(bomcheck.__file__).parent / "tables" / "starter_line_parts.csv"
CAR_ENDS = [
    "3/8-24 inverted flare male",
    "7/16-24 inverted flare male",
    "M10x1.0 inverted flare male",
    "M10x1.0 bubble male",
]
INLETS = [
    "M10x1.0 banjo port",
    "7/16-20 banjo port",
    "1/8-27 NPT female",
    "3/8-24 crush female",
    "M10x1.0 crush female",
    "M10x1.0 O-ring female",
]


def rows() -> list[dict[str, str]]:
    """The rows below the comment, by column."""
    lines = [line for line in FILE.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    return list(csv.DictReader(StringIO("\n".join(lines))))


def part(row: dict[str, str]) -> Part:
    """A row as the reader would make it."""
    text: dict[str, Any] = {
        key: row[key] for key in ("role", "part_number", "description", "supplier", "side", "road_marked", "unit")
    }
    sizes: dict[str, Any] = {
        key: float(row[key]) for key in ("length", "thickness", "unit_price", "lead_days") if row[key]
    }
    ends: dict[str, Any] = {key: read_line_end(row[key]) for key in ("end_a", "end_b") if row[key]}
    return Part(**text, **sizes, **ends, thread=read_thread(row["thread"]) if row["thread"] else None)


def test_about_sixty_rows_with_names_of_their_own_prices_and_days() -> None:
    """Part numbers are unique; every row has a description, a price and a lead time."""
    assert 55 <= len(rows()) <= 70
    assert len({row["part_number"] for row in rows()}) == len(rows())
    assert all(row["description"] and float(row["unit_price"]) > 0 and float(row["lead_days"]) > 0 for row in rows())


def test_every_end_is_complete_and_in_canonical_spelling() -> None:
    """No end leaves anything to ask; hoses have a length and say whether they are road-marked."""
    for row in rows():
        for text in (row["end_a"], row["end_b"]):
            assert text == "" or (end(text).unknown == () and end(text).name == text), row
        assert row["role"] != "hose" or (row["length"] and row["road_marked"] in ("yes", "no"))
        assert row["role"] not in ("hose", "adapter") or (row["end_a"] and row["end_b"])


@pytest.mark.parametrize(("car", "inlet"), list(product(CAR_ENDS, INLETS)))
def test_a_new_user_sees_the_usual_lines_close(car: str, inlet: str) -> None:
    """Path 380 ±5 mm on a road car: every usual pair of ends closes out of the starter list alone."""
    supply = Supply(prices=tuple(map(part, rows())))
    question = LineQuestion(end(car), end(inlet), (380.0, 5.0), road_use=True)
    assert isinstance(solve(Catalogue(supply), question), Closed)


def test_what_the_joints_use_up_is_in_the_list_too() -> None:
    """For every line above, each washer, screw, ring and sealant that it needs has a row."""
    parts = tuple(map(part, rows()))
    roles = {one.role for one in parts}
    screws = {one.thread.name for one in parts if one.role == "banjo screw"}
    for car, inlet in product(CAR_ENDS, INLETS):
        question = LineQuestion(end(car), end(inlet), (380.0, 5.0), road_use=True, has_bracket=True)
        answer = solve(Catalogue(Supply(prices=parts)), question)
        assert isinstance(answer, Closed)
        assert {need.role for need in answer.chain.needs} <= roles
        assert {n.thread.name for n in answer.chain.needs if n.role == "banjo screw" and n.thread} <= screws
