"""From the shortages of a job to a purchase."""

import pytest

from bomcheck.model.demand import Demand
from bomcheck.model.job import Job, Part, Value
from bomcheck.supply.buying import Supplier, buy, question
from bomcheck.supply.stock import settle

WIDE = Demand("washer", 2, spec={"inner_diameter": (10.0, 13.0)}, said="wide")
NARROW = Demand("washer", 2, spec={"inner_diameter": (10.0, 11.0)}, said="narrow")


def job(*prices: Part) -> Job:
    """Two corners, an empty box and a price list."""
    return Job({"corners": Value("corners", 2)}, prices=prices)


def test_one_pack_for_two_lines_that_it_serves() -> None:
    """Washers that fit both places are bought as one pack of ten, where the list itself counts line by line."""
    given = job(Part("washer", "W", supplier="A", inner_diameter=10.5, pack_size=10, unit_price=0.4))
    asked = question(given, settle(given, [WIDE, NARROW]))
    assert [need.quantity for need in asked.needs] == [4, 4]
    assert buy(asked.needs, asked.offers, [Supplier("A", freight=3.0)]).cost == pytest.approx(7.0)


def test_what_is_not_priced_or_not_stated_is_no_offer() -> None:
    """An offer without a price, or without the size that matters, is not bought."""
    given = job(Part("washer", "no price", inner_diameter=10.5), Part("washer", "no size", unit_price=0.1))
    asked = question(given, settle(given, [NARROW]))
    assert asked.offers == ()
    assert buy(asked.needs, asked.offers).unmet == (asked.needs[0].key,)
