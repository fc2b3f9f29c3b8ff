"""Buying: the cheapest purchase, held against trying everything."""

from random import Random

import pytest

from bomcheck.parts.buy import Need, Offer, Supplier, buy, compare
from tests.parts.buy_exhaustive import cheapest


def random_case(random: Random) -> tuple[list[Need], list[Offer], list[Supplier]]:
    """Two to four needs, a few offers each, two or three suppliers, some with freight, some with a minimum."""
    needs = [Need(f"n{number}", random.randint(1, 6)) for number in range(random.randint(2, 4))]
    suppliers = [
        Supplier(name, random.choice([0, 0, 3.5, 8, 15]), random.choice([0, 0, 0, 12, 25, 40]))
        for name in ("A", "B", "C")[: random.randint(2, 3)]
    ]
    offers = [_random_offer(random, number, needs, suppliers) for number in range(random.randint(4, 6))]
    return needs, offers, suppliers


def _random_offer(random: Random, number: int, needs: list[Need], suppliers: list[Supplier]) -> Offer:
    serves = random.sample([need.key for need in needs], random.choice([1, 1, 1, 2, 3][: 2 + len(needs)]) if len(needs) > 2 else 1)
    return Offer(
        f"p{number}", random.choice(suppliers).name, frozenset(serves), random.choice([1, 1, 2, 3, 5, 10]),
        random.randrange(50, 1500, 25) / 100, random.choice([1, 1, 1, 2]), random.choice([1, 3, 8]),
    )  # fmt: skip


def check_plan(needs: list[Need], suppliers: list[Supplier], plan) -> None:
    """The plan's own figures add up, whatever the search says."""
    terms = {supplier.name: supplier for supplier in suppliers}
    spent = {name: sum(o.total for o in plan.orders if o.offer.supplier == name) for name in plan.suppliers}
    bill = sum(max(goods, terms[name].minimum) + terms[name].freight for name, goods in spent.items())
    assert plan.cost == pytest.approx(bill)
    assert all(order.packs >= order.offer.least_packs for order in plan.orders)


@pytest.mark.parametrize("seed", range(200))
def test_as_cheap_as_trying_everything(seed: int) -> None:
    """On random small cases the search costs exactly what the best of all purchases costs."""
    needs, offers, suppliers = random_case(Random(seed))
    plan = buy(needs, offers, suppliers)
    served = [need for need in needs if need.key not in plan.unmet]
    assert set(plan.unmet) == {need.key for need in needs} - {key for offer in offers for key in offer.serves}
    assert plan.exact
    assert plan.cost == pytest.approx(cheapest(served, offers, suppliers) if served else 0.0, abs=1e-9)
    check_plan(needs, suppliers, plan)
