"""The solver against every chain there is."""

from collections import Counter
from dataclasses import replace
from functools import cache
from random import Random

import pytest

from bomcheck.model.job import Part
from bomcheck.supply.line_chain import AskFirst, Closed, LineQuestion, Open, solve
from bomcheck.supply.line_ends import Supply
from bomcheck.supply.line_search import Catalogue
from tests.parts.enumerate_chains import all_rows, best_cost, good_hose, is_clear, perhaps_a_chain
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


UNCLEAR = (
    "M10x1.0 bubble",
    "M10x1.0",
    "-3 37",
    "3/8-24 inverted flare",
    "M10x1.0 banjo",
    "1/8-27 NPT",
    "bubble female",
    "",
)
ENDS = tuple(end(text) for text in TEXTS)


def blurred(random: Random, parts: list[Part], blank: bool) -> list[Part]:
    """Some of the parts with an end of which something is missing; blank: it may be missing altogether."""
    found = []
    for part in parts:
        changes = {}
        for key in ("end_a", "end_b"):
            text = random.choice(UNCLEAR if blank else UNCLEAR[:-1])
            if random.random() < 0.25:
                changes[key] = end(text) if text else None
        found.append(replace(part, **changes))
    return found


@pytest.mark.parametrize("block", range(5))
def test_unclear_parts_are_asked_about_and_never_used(block: int) -> None:
    """Over 500 catalogues with unclear ends, banjos among them: closed at the best cost of what is clear, else asked about
    exactly where some answer would close the line, else open."""
    seen = Counter[str]()
    for seed in range(block * 100, (block + 1) * 100):
        random = Random(10_000 + seed)
        box, shelf, prices = random_catalogue(random, TEXTS[: (4, 6, 10, 12)[seed % 4]])
        lists = (blurred(random, box, True), blurred(random, shelf, False), blurred(random, prices, False))
        car, inlet = random.choice(ENDS[:10]), random.choice(ENDS[:10])
        question = LineQuestion(car, inlet, (400.0, 0.0), True, side="left")
        answer = solve(Catalogue(Supply(*map(tuple, lists)), (car, inlet)), question)
        wanted = best_cost(car, inlet, all_rows(*lists), (400.0, 0.0), True, None, "left")
        seen[type(answer).__name__] += 1
        if wanted is not None:
            assert isinstance(answer, Closed), seed
            assert (bool(answer.chain.to_order), len(answer.chain.steps)) == wanted[:2], seed
            assert all(is_clear(link.part) for link in answer.chain.links)
            continue
        perhaps = perhaps_a_chain(car, inlet, lists, ENDS, may_be_used)
        assert isinstance(answer, AskFirst if perhaps else Open), seed
    assert min(seen[kind.__name__] for kind in (Closed, AskFirst, Open)) >= 5, seen


def may_be_used(part: Part) -> bool:
    """On the left of a road car, where the path is 400 mm."""
    long_enough = part.role != "hose" or good_hose(part, 400.0, 0.0, True)
    return part.side in ("either", "left") and long_enough
