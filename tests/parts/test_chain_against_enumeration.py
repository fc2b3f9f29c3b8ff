"""The solver against every chain there is."""

from collections import Counter
from functools import cache
from random import Random

import pytest

from bomcheck.supply.line_chain import Closed, LineQuestion, solve
from bomcheck.supply.line_ends import Supply
from bomcheck.supply.line_search import Catalogue
from tests.parts.enumerate_chains import all_rows, best_cost
from tests.parts.line_samples import TEXTS, end, random_catalogue

CATALOGUES = 500


@cache
def both_answers(seed: int) -> tuple[tuple[bool, int, float, float] | None, tuple[bool, int, float, float] | None]:
    """The solver's cost and the cheapest of all enumerated chains, for one random catalogue and pair of ends."""
    random = Random(seed)
    # Few kinds of end in most catalogues, so that long chains and the same adapter used twice are common.
    pairs = random.sample(range(len(TEXTS) // 2), (2, 3, 4, 6)[seed % 4])
    texts = tuple(text for pair in pairs for text in TEXTS[2 * pair : 2 * pair + 2])
    box, shelf, prices = random_catalogue(random, texts)
    car, inlet = end(random.choice(texts)), end(random.choice(texts))
    path, road_use = (400.0, float(random.choice([0, 5, 10]))), random.random() < 0.7
    days, side = random.choice([None, None, 3.0]), random.choice(["left", "right"])
    question = LineQuestion(car, inlet, path, road_use, days, side=side)
    answer = solve(Catalogue(Supply(tuple(box), tuple(shelf), tuple(prices)), (car, inlet)), question)
    found = None
    if isinstance(answer, Closed):
        chain = answer.chain
        assert chain.price is not None
        assert chain.lead_days is not None
        found = bool(chain.to_order), len(chain.steps), round(chain.price, 2), chain.lead_days
    return found, best_cost(car, inlet, all_rows(box, shelf, prices), path, road_use, days, side)


@pytest.mark.parametrize("block", range(10))
def test_same_best_cost_joints_and_no_chain_answers(block: int) -> None:
    """Over 500 random catalogues the solver and exhaustive enumeration agree on joints, price, days and "no chain"."""
    size = CATALOGUES // 10
    for seed in range(block * size, (block + 1) * size):
        found, wanted = both_answers(seed)
        assert found == wanted, f"catalogue {seed}"


def test_the_random_catalogues_are_worth_comparing() -> None:
    """Among the 500 there are many chains of every number of joints, and many catalogues without one."""
    seen = Counter(found[1] if found else 0 for found, _ in map(both_answers, range(CATALOGUES)))
    assert min(seen[joints] for joints in (0, 2, 3, 4)) >= 20, seen
