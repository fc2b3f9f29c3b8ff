"""Buying: the cheapest purchase, held against trying everything."""

import subprocess
import sys
from dataclasses import replace
from random import Random

import pytest

from bomcheck.supply.buy_problem import PRICE_STEPS, pools
from bomcheck.supply.buy_search import Programme
from bomcheck.supply.buy_search import cheapest as cheapest_of_all
from bomcheck.supply.buying import Need, Offer, Supplier, buy, compare
from tests.benchmarks.bench_buy import SUPPLIERS, large_case
from tests.parts.buy_exhaustive import cheapest


def random_case(random: Random) -> tuple[list[Need], list[Offer], list[Supplier]]:
    """Two to four needs, a few offers each, two or three suppliers, some with freight, some with a minimum."""
    needs = [Need(f"n{number}", random.randint(1, 5)) for number in range(random.randint(2, 4))]
    suppliers = [
        Supplier(name, random.choice([0, 0, 3.5, 8, 15]), random.choice([0, 0, 0, 12, 25, 40]))
        for name in ("A", "B", "C")[: random.randint(2, 3)]
    ]
    offers = [_random_offer(random, number, needs, suppliers) for number in range(random.randint(3, 5))]
    return needs, offers, suppliers


def _random_offer(random: Random, number: int, needs: list[Need], suppliers: list[Supplier]) -> Offer:
    serves = random.sample(
        [need.key for need in needs], random.choice([1, 1, 1, 2, 3][: 2 + len(needs)]) if len(needs) > 2 else 1
    )
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


@pytest.mark.parametrize("seed", range(200, 300))
def test_kinds_of_part_are_not_mixed_in_one_need(seed: int) -> None:
    """The same with offers of two kinds: a need is served by one of them only."""
    random = Random(seed)
    needs, offers, suppliers = random_case(random)
    offers = [replace(offer, kind=random.choice(["steel", "brass"])) for offer in offers]
    plan = buy(needs, offers, suppliers)
    served = [need for need in needs if need.key not in plan.unmet]
    assert plan.exact
    assert plan.cost == pytest.approx(cheapest(served, offers, suppliers) if served else 0.0, abs=1e-9)


@pytest.mark.parametrize("seed", range(0, 300, 3))
def test_the_programme_alone_is_as_cheap_as_trying_everything(seed: int) -> None:
    """What is solved where a purchase is too large for the small search: on small cases the least cost of all purchases."""
    random = Random(seed)
    needs, offers, suppliers = random_case(random)
    if seed % 2:
        offers = [replace(offer, kind=random.choice(["steel", "brass"])) for offer in offers]
    found, unmet = pools(needs, offers)
    if found:
        best = Programme(found, {one.name: one for one in suppliers}).solved()
        served = [need for need in needs if need.key not in unmet]
        assert best.exact
        assert best.cost / PRICE_STEPS == pytest.approx(cheapest(served, offers, suppliers), abs=1e-6)


def test_a_purchase_of_many_offers_is_settled() -> None:
    """30 needs, 5,000 offers, five suppliers with freight, two of them with a minimum: surely the cheapest, and the programme
    by itself finds the same cost."""
    needs, offers = large_case(3)
    plan = buy(needs, offers, SUPPLIERS, days=7)
    assert plan.exact
    found, _ = pools(needs, [offer for offer in offers if (offer.lead_days or 0) <= 7])
    best = Programme(found, {one.name: one for one in SUPPLIERS}).solved()
    assert plan.cost == pytest.approx(best.cost / PRICE_STEPS, abs=1e-6)
    check_plan(needs, list(SUPPLIERS), plan)


def by_milp(needs: list[Need], offers: list[Offer], suppliers: list[Supplier]) -> float:
    """The same question as a mixed-integer programme, solved by HiGHS through scipy."""
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp

    terms = {one.name: one for one in suppliers}
    names = sorted({offer.supplier for offer in offers})
    shares = [(o, n) for o, offer in enumerate(offers) for n, need in enumerate(needs) if need.key in offer.serves]
    first_share, first_open, first_top = len(offers), len(offers) + len(shares), len(offers) + len(shares) + len(names)
    width = first_top + len(names)
    rows, low, high = [], [], []

    def row(entries: dict[int, float], least: float, most: float = np.inf) -> None:
        line = np.zeros(width)
        for place, value in entries.items():
            line[place] += value
        rows.append(line)
        low.append(least)
        high.append(most)

    for n, need in enumerate(needs):
        row({first_share + k: 1.0 for k, (_, m) in enumerate(shares) if m == n}, need.quantity)
    for o, offer in enumerate(offers):
        mine = {first_share + k: -1.0 for k, (m, _) in enumerate(shares) if m == o}
        row({**mine, o: offer.pack_size}, 0.0)
        row({o: -1.0, first_open + names.index(offer.supplier): 1000.0}, 0.0)
    for s, name in enumerate(names):
        goods = {o: offer.price for o, offer in enumerate(offers) if offer.supplier == name}
        row({**goods, first_top + s: 1.0, first_open + s: -terms[name].minimum}, 0.0)
    cost = np.zeros(width)
    cost[: len(offers)] = [offer.price for offer in offers]
    cost[first_open:first_top] = [terms[name].freight for name in names]
    cost[first_top:] = 1.0
    whole = np.zeros(width)
    whole[: len(offers)] = whole[first_open:first_top] = 1
    most = np.full(width, np.inf)
    most[first_open:first_top] = 1
    found = milp(cost, constraints=LinearConstraint(np.array(rows), low, high), integrality=whole, bounds=Bounds(0, most),
                 options={"mip_rel_gap": 0.0})  # fmt: skip
    return float(found.fun)


@pytest.mark.parametrize("seed", range(8))
def test_as_cheap_as_a_solver_on_middling_cases(seed: int) -> None:
    """Eight needs, forty offers, four suppliers, minimums that bind: the same cost as HiGHS finds."""
    random = Random(1000 + seed)
    needs = [Need(f"n{number}", random.choice([1, 2, 4, 8, 10, 20])) for number in range(8)]
    suppliers = [Supplier(name, random.choice([0, 5, 12]), random.choice([0, 30, 80, 150])) for name in "ABCD"]
    offers = [
        Offer(f"p{number}", random.choice("ABCD"), frozenset({f"n{number % 8}", f"n{(number * random.choice([1, 1, 3])) % 8}"}),
              random.choice([1, 2, 5, 10]), random.randrange(20, 2500, 5) / 100)
        for number in range(40)
    ]  # fmt: skip
    plan = buy(needs, offers, suppliers)
    assert plan.exact
    assert plan.cost == pytest.approx(by_milp(needs, offers, suppliers), abs=1e-4)
    check_plan(needs, suppliers, plan)


CLIP = Need("clip", 4)


def clip(supplier: str, price: float, **more: object) -> Offer:
    """One clip a pack, unless it is said otherwise."""
    given = {"pack_size": 1, "lead_days": 2, **more}
    return Offer(f"clip {supplier}", supplier, frozenset({"clip"}), price=price, **given)  # type: ignore[arg-type]


def test_freight_can_outweigh_the_price() -> None:
    """Four clips at 1.00 with 5.00 freight cost more than four at 2.00 without."""
    plan = buy([CLIP], [clip("A", 1.0), clip("B", 2.0)], [Supplier("A", freight=5.0)])
    assert (plan.cost, plan.suppliers) == (8.0, ("B",))


def test_an_order_below_the_minimum_is_charged_as_the_minimum() -> None:
    """4.00 of goods at a supplier with a minimum of 10.00 cost 10.00, and the plan says how much was added."""
    plan = buy([CLIP], [clip("A", 1.0)], [Supplier("A", minimum=10.0)])
    assert (plan.cost, plan.topped_up) == (10.0, {"A": 6.0})


def test_packs_are_shared_by_needs_that_the_part_serves() -> None:
    """One pack of ten serves four here and four there; two small packs would cost more."""
    needs = [Need("ear", 4), Need("lug", 4)]
    both = Offer("ten", "A", frozenset({"ear", "lug"}), 10, 5.0)
    ear, lug = (Offer(f"four {key}", "A", frozenset({key}), 4, 3.0) for key in ("ear", "lug"))
    plan = buy(needs, [both, ear, lug])
    assert (plan.cost, [(order.offer.part_number, order.packs) for order in plan.orders]) == (5.0, [("ten", 1)])


def test_nothing_late_and_nothing_without_a_date_when_one_is_set() -> None:
    """What arrives after the day, or does not say when, is not bought; without a day it is."""
    offers = [clip("A", 1.0, lead_days=9), clip("B", 1.5, lead_days=None), clip("C", 3.0, lead_days=5)]
    assert buy([CLIP], offers, days=7).suppliers == ("C",)
    assert buy([CLIP], offers).suppliers == ("A",)
    assert buy([CLIP], offers[:2], days=7).unmet == ("clip",)


def test_least_quantities_are_kept() -> None:
    """Twelve is the fewest that A sells, so four from B cost less."""
    offers = [clip("A", 0.5, least_packs=12), clip("B", 1.2)]
    assert buy([CLIP], offers).cost == pytest.approx(4.8)
    assert buy([CLIP], offers[:1]).orders[0].packs == 12


def test_what_a_week_earlier_and_one_supplier_would_cost() -> None:
    """The cheapest purchase beside the same a week earlier and the same from one supplier."""
    needs = [CLIP, Need("nut", 2)]
    offers = [
        clip("A", 1.0, lead_days=10),
        clip("B", 1.5, lead_days=3),
        Offer("nut", "B", frozenset({"nut"}), 1, 2.0, lead_days=3),
    ]
    found = compare(needs, offers, days=10)
    assert (found.plan.cost, found.week_earlier.cost, found.one_supplier.cost) == (8.0, 10.0, 10.0)
    assert found.one_supplier is not None
    assert found.one_supplier.suppliers == ("B",)
    alone = compare(needs, offers, days=5)
    assert alone.week_earlier is None


def test_broken_quantities_are_counted_exactly() -> None:
    """1.3 L out of bottles of 0.5 L are three; a 1 L bottle and one of 0.5 L are cheaper here."""
    fluid = [Need("fluid", 1.3)]
    half, whole = (
        Offer(f"{size} L", "A", frozenset({"fluid"}), size, price) for size, price in ((0.5, 6.0), (1.0, 10.0))
    )
    assert buy(fluid, [half]).cost == 18.0
    assert buy(fluid, [half, whole]).cost == 16.0


def test_a_minimum_that_binds_is_settled_without_the_large_solver() -> None:
    """Nine needs at three suppliers whose minimums all bind, as on a shop's list: the same cost as HiGHS, which is not loaded."""
    random = Random(9)
    needs = [Need(f"n{number}", random.randint(1, 8)) for number in range(9)]
    suppliers = [Supplier("A", 4.9, 40.0), Supplier("B", 6.5, 60.0), Supplier("C", 0.0, 25.0)]
    offers = [
        Offer(f"p{number}{one.name}", one.name, frozenset({f"n{number}"}), random.choice([1, 2, 10]), random.randrange(90, 900) / 100)
        for number in range(9)
        for one in suppliers
        if random.random() < 0.7 or one.name == "A"
    ]  # fmt: skip
    plan = buy(needs, offers, suppliers)
    check_plan(needs, suppliers, plan)
    found, unmet = pools(needs, offers)
    assert not unmet
    whole = Programme(found, {one.name: one for one in suppliers}).solved()
    assert plan.cost == pytest.approx(whole.cost / PRICE_STEPS)
    assert cheapest_of_all(found, {one.name: one for one in suppliers}).exact


def test_the_large_solver_stays_unloaded_where_a_minimum_binds() -> None:
    """A process that buys from a supplier with a minimum above the order loads no scipy: it would double the time of a check."""
    code = (
        "import sys; from bomcheck.supply.buying import Need, Offer, Supplier, buy\n"
        "offers = [Offer('p', 'A', frozenset({'n'}), 1, 2.0), Offer('q', 'B', frozenset({'n'}), 1, 3.0)]\n"
        "plan = buy([Need('n', 2)], offers, [Supplier('A', 1.0, 9.0), Supplier('B', 2.0, 7.0)])\n"
        "print(plan.cost, any(name.startswith(('scipy', 'numpy')) for name in sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["9.0", "False"]
