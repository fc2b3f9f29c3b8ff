"""From the price list to the lines of the parts list: packs put together, packs shared, suppliers, dates. Counted by hand."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest

from bomcheck.model.demand import Demand
from bomcheck.model.job import Job, Part, Terms, Value
from bomcheck.model.line import NO_SOURCE, ON_SHELF, TO_ORDER, Line
from bomcheck.supply.balance import parts_list
from bomcheck.supply.buying_words import buying_words

SCREWS = Demand("hat screw", 12, spec={"length": (24.0, 26.0)}, said="hat screw")
WIDE = Demand("washer", 2, spec={"inner_diameter": (10.0, 13.0)}, said="wide")
NARROW = Demand("washer", 2, spec={"inner_diameter": (10.0, 11.0)}, said="narrow")


def job(*prices: Part, terms: tuple[Terms, ...] = (), own: Mapping[str, Mapping[str, Any]] | None = None) -> Job:
    """Two corners, an empty box and a price list."""
    return Job({"corners": Value("corners", 2)}, prices=prices, terms=terms, own=own or {})


def screw(number: str, supplier: str = "A", **more: Any) -> Part:
    return Part("hat screw", number, "screw", supplier, length=25.0, **more)


def lines_of(given: Job, *demands: Demand, days: float | None = None) -> tuple[Line, ...]:
    return parts_list(given, demands, days=days).lines


def words(given: Job, *demands: Demand, days: float | None = None) -> list[str]:
    return list(buying_words(parts_list(given, demands, days=days).bought, "EUR"))


def test_two_kinds_of_pack_are_put_together() -> None:
    """24 screws: two packs of ten at 4.00 and four single ones at 0.60 are 10.40; three packs would be 12.00, 24 single
    ones 14.40."""
    given = job(screw("P10", pack_size=10, unit_price=0.40), screw("P1", unit_price=0.60))
    large, rest = lines_of(given, SCREWS)
    assert (large.part_number, large.packs, large.line_total, large.at_most) == ("P10", 2, 8.0, 2)
    assert (rest.part_number, rest.packs, rest.line_total, rest.rest_of) == ("P1", 4, 2.4, large.key)
    assert rest.needed == 0
    assert rest.to_order == 4
    assert words(given, SCREWS)[0].startswith("Cheapest purchase: 10.40 EUR")


@pytest.mark.parametrize(("on_hand", "large", "single"), [(0, 2, 4), (4, 2, 0), (5, 2, 0), (14, 1, 0), (24, 0, 0)])
def test_what_is_on_hand_leaves_the_rest_right(on_hand: float, large: float, single: float) -> None:
    """Of the same 24 some lie on the shop's shelf: packs of ten first, at most two; single ones for what is left."""
    given = job(screw("P10", pack_size=10, unit_price=0.40), screw("P1", unit_price=0.60))
    key = lines_of(given, SCREWS)[0].key
    lines = lines_of(replace(given, own={key: {"on_hand": on_hand}}), SCREWS)
    bought = {line.part_number: line.packs for line in lines if line.packs}
    assert [bought.get(number, 0) for number in ("P10", "P1")] == [large, single]


def test_other_screws_are_not_mixed_in() -> None:
    """Single screws of 24.5 mm would be cheaper for the last four, but two lengths in one joint are no purchase."""
    other = Part("hat screw", "S", "screw", "A", length=24.5, unit_price=0.60)
    only = lines_of(job(screw("P10", pack_size=10, unit_price=0.40), other), SCREWS)
    assert [(line.part_number, line.packs, line.line_total) for line in only] == [("P10", 3, 12.0)]


def test_one_pack_serves_two_lines() -> None:
    """Four wide and four narrow places: washers of 10.5 mm fit both, one pack of ten at 4.00 holds all eight."""
    given = job(Part("washer", "W", "washer", "A", inner_diameter=10.5, pack_size=10, unit_price=0.4))
    lines = lines_of(given, WIDE, NARROW)
    owner = next(line for line in lines if line.also_for)
    other = next(line for line in lines if line.out_of)
    assert (owner.packs, owner.line_total, owner.shared, owner.ordered, owner.to_order) == (1, 4.0, 4, 10, 4)
    assert (other.packs, other.line_total, other.out_of, other.status) == (0, 0.0, owner.key, TO_ORDER)
    for held, packs in (({other.key}, 1), ({owner.key, other.key}, 0)):
        own = {key: {"on_hand": 4} for key in held}
        assert sum(line.packs for line in lines_of(replace(given, own=own), WIDE, NARROW)) == packs


def test_freight_decides() -> None:
    """Screws are cheaper from B (9.60 against 12.00), but B's freight of 6.00 comes on top while A delivers the hose."""
    hose = Part("hose", "H", "hose", "A", length=400.0, unit_price=30.0)
    given = job(hose, screw("A1", unit_price=0.50), screw("B1", "B", unit_price=0.40), terms=(Terms("b", freight=6.0),))
    needs = (Demand("hose", 1, spec={"length": (390.0, 450.0)}), SCREWS)
    assert [line.supplier for line in lines_of(given, *needs)] == ["A", "A"]
    near = job(hose, screw("A1", unit_price=0.50), screw("B1", "B", unit_price=0.40), terms=(Terms("b", freight=2.0),))
    assert [line.supplier for line in lines_of(near, *needs)] == ["A", "B"]
    assert words(near, *needs)[0] == (
        "Cheapest purchase: 71.60 EUR, freight included, from A and B; freight of A not known, lead time not known for all of it"
    )


def test_the_date_decides() -> None:
    """The cheap screws take twelve days. Needed in ten, the dearer ones are bought; a week earlier, in three, none."""
    given = job(screw("slow", unit_price=0.40, lead_days=12), screw("quick", "B", unit_price=0.50, lead_days=5))
    assert [line.part_number for line in lines_of(given, SCREWS, days=12)] == ["slow"]
    assert [line.part_number for line in lines_of(given, SCREWS, days=11)] == ["quick"]
    assert words(given, SCREWS) == [
        "Cheapest purchase: 9.60 EUR, from A, all there in 12 days",
        "A week earlier, from B: 2.40 EUR more, all there in 5 days",
    ]
    assert words(given, SCREWS, days=14) == [
        "Cheapest purchase that is there in time: 9.60 EUR, from A, all there in 12 days",
        "A week earlier, from B: 2.40 EUR more, all there in 5 days",
    ]
    assert words(given, SCREWS, days=30)[1] == "The soonest, from B: 2.40 EUR more, all there in 5 days"
    assert words(job(screw("quick", unit_price=0.5, lead_days=5)), SCREWS, days=30)[1] == "It cannot be there sooner"
    late = lines_of(given, SCREWS, days=3)[0]
    assert (late.part_number, late.status) == ("quick", TO_ORDER)
    assert late.note == "Too late: takes 5 days, needed in 3"
    assert words(given, SCREWS, days=3) == [
        "Not there in time: 1 line, at the soonest for 12.00 EUR, all there in 5 days"
    ]
    assert words(given, SCREWS, days=-2)[0].startswith("The day by which it is needed has passed")
    assert lines_of(given, SCREWS, days=-2)[0].note.endswith("the day it is needed by has passed")


def test_a_supplier_of_the_shop_s_own_choice() -> None:
    """The supplier typed in the list sells the line, at his number and price; one who is not listed gets neither."""
    prices = (screw("A1", unit_price=0.40), screw("B1", "Supplier B", unit_price=0.50))
    key = lines_of(job(*prices), SCREWS)[0].key
    his = lines_of(job(*prices, own={key: {"own_supplier": "supplier  b"}}), SCREWS)[0]
    assert (his.part_number, his.supplier, his.line_total) == ("B1", "Supplier B", 12.0)
    other = lines_of(job(*prices, own={key: {"own_supplier": "Next door"}}), SCREWS)[0]
    assert (other.part_number, other.supplier, other.unit_price, other.packs) == ("", "Next door", None, 24)
    assert other.note.startswith("Not in the price list of Next door")
    assert lines_of(job(own={key: {"own_supplier": "Next door"}}), SCREWS)[0].status == NO_SOURCE


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ({"own_price": 0.5}, (TO_ORDER, "Next door", 24, 12.0)),
        ({"own_price": 4.5, "own_price_per": "Pack of 10"}, (TO_ORDER, "Next door", 3, 13.5)),
        ({"own_price": 4.5, "own_price_per": "metre"}, (NO_SOURCE, "Next door", 0, None)),
        ({"own_price": 0.5, "own_supplier": ""}, (NO_SOURCE, "", 0, 12.0)),
    ],
)
def test_a_supplier_and_a_price_of_the_shop_s_own_are_a_source(typed: dict[str, Any], found: tuple[Any, ...]) -> None:
    """24 screws that no list has: from whom the shop names, at what it typed, in packs where it said so."""
    key = lines_of(job(), SCREWS)[0].key
    (line,) = lines_of(job(own={key: {"own_supplier": "Next door", **typed}}), SCREWS)
    assert (line.status, line.supplier, line.packs, line.line_total) == found


def test_one_supplier_only() -> None:
    """Hose from A for 30, screws from B for 9.60: A has both for 42.00, 2.40 more; without A's screws nobody has both."""
    hose = Part("hose", "H", "hose", "A", length=400.0, unit_price=30.0, lead_days=2)
    needs = (Demand("hose", 1, spec={"length": (390.0, 450.0)}), SCREWS)
    cheap = screw("B1", "B", unit_price=0.40, lead_days=2)
    both = words(job(hose, screw("A1", unit_price=0.50, lead_days=2), cheap), *needs)
    assert both == [
        "Cheapest purchase: 69.60 EUR, from A and B, all there in 2 days",
        "It cannot be there sooner",
        "All from one supplier, A: 2.40 EUR more, all there in 2 days",
    ]
    assert words(job(hose, cheap), *needs)[-1] == "No one supplier has all of it"


def test_nothing_to_buy_says_nothing() -> None:
    """No price list, no sentences."""
    assert words(job(), SCREWS) == []


def test_what_is_late_comes_together_as_soon_as_it_can() -> None:
    """Needed in 2 days; A has hose and screws in 3 days for 72.00, B only the screws in 3 days and cheaper, with freight
    of 10.00: the late lines are bought as one purchase too."""
    hose = Part("hose", "H", "hose", "A", length=400.0, unit_price=30.0, lead_days=3)
    given = job(
        hose, screw("A1", unit_price=0.50, lead_days=3), screw("B1", "B", unit_price=0.40, lead_days=3),
        terms=(Terms("B", freight=10.0),),
    )  # fmt: skip
    needs = (Demand("hose", 1, spec={"length": (390.0, 450.0)}), SCREWS)
    assert [line.supplier for line in lines_of(given, *needs, days=2)] == ["A", "A"]
    assert words(given, *needs, days=2) == [
        "Not there in time: 2 lines, at the soonest for 72.00 EUR, all there in 3 days"
    ]


def test_a_price_of_the_shop_s_own_counts() -> None:
    """A's screws at 12.00 against B's at 9.60; the shop pays 0.10 for one of B's: 2.40, and the purchase says so."""
    prices = (screw("A1", unit_price=0.50), screw("B1", "B", unit_price=0.40))
    key = lines_of(job(*prices), SCREWS)[0].key
    given = job(*prices, own={key: {"own_price": 0.10}})
    assert lines_of(given, SCREWS)[0].part_number == "B1"
    assert words(given, SCREWS)[0].startswith("Cheapest purchase: 2.40 EUR, from B")


def test_what_has_no_price_is_not_passed_over() -> None:
    """A's screws have no price: the list names them, and B's are bought; without B the purchase counts none and says so."""
    a, b = screw("A1", unit_price=None), screw("B1", "B", unit_price=0.40)
    assert "screw (A1) of A is not compared" in lines_of(job(a, b), SCREWS)[0].note
    hose = Part("hose", "H", "hose", "A", length=400.0, unit_price=30.0, lead_days=3)
    needs = (Demand("hose", 1, spec={"length": (390.0, 450.0)}), SCREWS)
    assert words(job(a, hose), *needs)[0] == "Not counted, as no price or no source is known: 1 line, see the remarks"


def test_a_supplier_and_a_price_of_the_shop_s_own_are_in_the_sum() -> None:
    """24 screws that no list has, 0.10 each at the corner shop: 2.40 beside two hoses at 30.00; it is not called unknown."""
    hose = Part("hose", "H", "hose", "A", length=400.0, unit_price=30.0, lead_days=3)
    needs = (Demand("hose", 1, spec={"length": (390.0, 450.0)}), SCREWS)
    key = lines_of(job(hose), *needs)[1].key
    given = job(hose, own={key: {"own_price": 0.10, "own_supplier": "Corner shop"}})
    assert lines_of(given, *needs)[1].line_total == 2.40
    said = words(given, *needs)
    assert said[0] == "At prices of your own: 2.40 EUR, from Corner shop; 62.40 EUR in all with what follows"
    assert not [text for text in said if "Not counted" in text]
    without = job(hose, own={key: {"own_supplier": "Corner shop"}})
    assert words(without, *needs)[0].startswith("Not counted, as no price or no source is known: 1 line")


def test_a_price_of_one_s_own_counts_packs_where_the_line_does() -> None:
    """24 screws in packs of five at 11.00 from elsewhere: five packs, 55.00, in the sum as in the line; a price for another measure is none."""
    listed = screw("A1", unit_price=6.5, pack_size=5.0)
    key = lines_of(job(listed), SCREWS)[0].key
    typed = {"own_supplier": "East", "own_price": 11.0, "own_price_per": "pack of 5"}
    given = job(listed, own={key: typed})
    assert lines_of(given, SCREWS)[0].line_total == 55.0
    assert words(given, SCREWS)[0] == "At prices of your own: 55.00 EUR, from East"
    other = job(listed, own={key: {**typed, "own_price_per": "each"}})
    assert lines_of(other, SCREWS)[0].line_total is None
    assert words(other, SCREWS) == []


def test_what_is_on_hand_is_not_to_order_anywhere() -> None:
    """24 screws on hand: the line lies on the shelf; 20 on hand: four are left to order."""
    given = job(screw("P1", unit_price=0.60))
    key = lines_of(given, SCREWS)[0].key
    all_there = lines_of(replace(given, own={key: {"on_hand": 24}}), SCREWS)[0]
    assert (all_there.status, all_there.to_order, all_there.at_hand, all_there.packs) == (ON_SHELF, 0, 24, 0)
    some = lines_of(replace(given, own={key: {"on_hand": "20"}}), SCREWS)[0]
    assert (some.status, some.to_order, some.packs, some.at_hand) == (TO_ORDER, 4, 4, 20)


def test_a_price_for_another_measure_is_never_applied() -> None:
    """1.8 mL at 1.20 are 2.16; 1.20 a millilitre is not the price of a bottle of 12.00, nor of a pack of ten; the line asks."""
    need = Demand("threadlocker", 0.9, unit="mL")
    bottle = Part("threadlocker", "T", "locker", "A", unit_price=12.0)
    ten = replace(bottle, unit="mL", quantity=10.0, pack_size=10.0, unit_price=1.2)
    key = lines_of(job(bottle), need)[0].key
    own = {key: {"own_price": 1.2, "own_price_per": "mL"}}
    assert lines_of(job(own=own), need)[0].line_total == 2.16
    for offer in (bottle, ten):
        line = lines_of(job(offer, own=own), need)[0]
        assert (line.unit_price, line.line_total) == (12.0, 12.0)
        assert "Your price of 1.20 was for mL" in line.note
    right = {key: {"own_price": 11.0, "own_price_per": "per bottle"}}
    assert lines_of(job(bottle, own=right), need)[0].line_total == 11.0


def test_an_own_price_for_one_of_two_lines_that_one_offer_serves() -> None:
    """The wide places have a price of the shop's own; the narrow ones keep the listed offer."""
    washer = Part("washer", "W", "washer", "A", inner_diameter=10.5, unit_price=0.4)
    first = lines_of(job(washer), WIDE, NARROW)[0].key
    given = job(washer, own={first: {"own_price": 0.3}})
    assert words(given, WIDE, NARROW)[0].startswith("Cheapest purchase: 2.80 EUR")
