"""Two corners share one box; hoses may be handed."""

from dataclasses import replace
from itertools import product
from random import Random

import pytest

from bomcheck.supply.line_chain import Catalogue, Closed, LineQuestion, Open, solve_corners
from bomcheck.supply.line_ends import Supply
from tests.parts.enumerate_chains import Row, all_rows, cost_of, every_chain, good_hose
from tests.parts.line_samples import TEXTS, adapter, end, hose, random_catalogue

CAR, INLET = "3/8-24 inverted flare male", "M10x1.0 banjo port"
NEAR, FAR = "3/8-24 inverted flare female", "M10x1.0 banjo eye"
LEFT = LineQuestion(end(CAR), end(INLET), (400.0, 0.0), road_use=True, side="left")
BOTH = (LEFT, replace(LEFT, side="right"))


def solved(supply: Supply, questions: tuple[LineQuestion, ...] = BOTH) -> list[list[tuple[str, str]] | None]:
    """Part number and source of each link, for each corner; None where it is not closed."""
    answers = solve_corners(Catalogue(supply, (end(CAR), end(INLET))), questions)
    return [
        [(link.part.part_number, link.source) for link in answer.chain.links] if isinstance(answer, Closed) else None
        for answer in answers
    ]


def test_left_and_right_hoses_go_to_their_sides() -> None:
    """A left and a right hose in the box close both lines."""
    left, right = (hose(NEAR, FAR, part_number=side, side=side) for side in ("left", "right"))
    assert solved(Supply(box=(right, left))) == [[("left", "box")], [("right", "box")]]


def test_one_hose_in_the_box_serves_one_corner_and_the_other_is_bought() -> None:
    """Quantity 1 covers one corner; quantity 2 covers both."""
    one = hose(NEAR, FAR, part_number="H", quantity=1.0, unit_price=44.0)
    found = solved(Supply(box=(one,), prices=(one,)))
    assert sorted(link[0][1] for link in found if link) == ["box", "order"]
    both = solved(Supply(box=(replace(one, quantity=2.0),), prices=(one,)))
    assert both == [[("H", "box")], [("H", "box")]]


def test_one_hose_and_no_price_list_leaves_one_corner_open() -> None:
    """The hose is not counted twice."""
    assert solved(Supply(box=(hose(NEAR, FAR, quantity=1.0),))).count(None) == 1


def test_the_corner_with_another_way_gives_up_the_shared_hose() -> None:
    """Left could take the only direct hose, but then right stays open: left takes its own longer chain."""
    shared = hose(NEAR, FAR, part_number="shared", quantity=1.0)
    step = adapter(NEAR, "-3 37 male", part_number="step", quantity=1.0)
    own = hose("-3 37 female", FAR, part_number="own", side="left", quantity=1.0)
    assert solved(Supply(box=(shared, step, own))) == [[("step", "box"), ("own", "box")], [("shared", "box")]]
    mirrored = solved(Supply(box=(shared, step, replace(own, side="right"))))
    assert mirrored == [[("shared", "box")], [("step", "box"), ("own", "box")]]


def test_the_second_corner_without_a_part_says_what_is_wanted() -> None:
    """An open corner describes its own missing hose, whatever the other one got."""
    answers = solve_corners(Catalogue(Supply(box=(hose(NEAR, FAR, side="left"),))), BOTH)
    assert isinstance(answers[0], Closed)
    assert isinstance(answers[1], Open)
    assert answers[1].wanted.startswith(f"{NEAR} to {FAR}, at least 412 mm")


def usable_chains(rows: list[Row], question: LineQuestion) -> list[tuple[Row, ...]]:
    """Every chain that may be used at this corner."""
    assert question.path_length is not None
    ours = [row for row in rows if row.part.side in ("either", question.side)]
    good = [row for row in ours if row.part.role != "hose" or good_hose(row.part, *question.path_length, True)]
    return list(every_chain(question.car_end, question.caliper_inlet, good))


def best_together(rows: list[Row], questions: tuple[LineQuestion, ...]) -> tuple[float, ...]:
    """Lines open, lines that must be bought for, joints, price and days of the best pair of chains that the pieces allow: every pair is tried."""
    choices = [[(), *usable_chains(rows, question)] for question in questions]
    costs = []
    for pair in product(*choices):
        used = [row for chain in pair for row in chain]
        if all(sum(other is row for other in used) <= row.pieces for row in used):
            costs_ = (cost_of(chain) if chain else (False, 0, 0.0, 0.0) for chain in pair)
            bought, joints, price, days = zip(*costs_, strict=True)
            costs.append((sum(not chain for chain in pair), sum(bought), sum(joints), round(sum(price), 2), max(days)))
    return min(costs)


@pytest.mark.parametrize("block", range(6))
def test_both_corners_together_against_every_pair_of_chains(block: int) -> None:
    """Over 120 small random catalogues the two corners together cost what the best of all pairs of chains costs."""
    for seed in range(block * 20, block * 20 + 20):
        random = Random(seed)
        texts = tuple(t for pair in random.sample(range(6), 2) for t in TEXTS[2 * pair : 2 * pair + 2])
        box, shelf, prices = random_catalogue(random, texts)
        car, inlet = end(random.choice(texts)), end(random.choice(texts))
        questions = tuple(replace(one, car_end=car, caliper_inlet=inlet) for one in BOTH)
        prices = prices[: random.randrange(3)]
        supply = Supply(tuple(box), tuple(shelf), tuple(prices))
        answers = solve_corners(Catalogue(supply, (car, inlet)), questions)
        chains = [answer.chain for answer in answers if isinstance(answer, Closed)]
        joints, price = sum(len(c.steps) for c in chains), sum(c.price or 0.0 for c in chains)
        days = max((c.lead_days or 0.0 for c in chains), default=0.0)
        wanted = best_together(all_rows(box, shelf, prices), questions)
        bought = sum(bool(c.to_order) for c in chains)
        assert (2 - len(chains), bought, joints, round(price, 2), days) == wanted, f"catalogue {seed}"
