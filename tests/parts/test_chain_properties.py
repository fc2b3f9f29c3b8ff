"""What must hold for every catalogue, whatever is in it."""

from dataclasses import replace
from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from bomcheck.supply.line_chain import Answer, AskFirst, Catalogue, Closed, LineQuestion, Open, solve
from bomcheck.supply.line_ends import Supply, opposite
from tests.parts.line_samples import TEXTS, end, random_catalogue, random_part

SEEDS = st.integers(0, 10**9)
ORDER = {Closed: 0, AskFirst: 1, Open: 2}


def made(seed: int) -> tuple[Random, Supply, LineQuestion]:
    """A random catalogue over few kinds of end, and a question about them."""
    random = Random(seed)
    texts = tuple(random.sample(TEXTS, 5))
    box, shelf, prices = random_catalogue(random, texts + tuple(opposite(end(text)).name for text in texts))
    car, inlet = (end(random.choice(texts)) for _ in range(2))
    question = LineQuestion(car, inlet, (400.0, random.choice([0.0, 8.0])), random.choice([True, False, None]))
    return random, Supply(tuple(box), tuple(shelf), tuple(prices)), question


def badness(supply: Supply, question: LineQuestion) -> tuple[float, ...]:
    """Closed before asked before open; all at hand before what must be bought; then joints, price and days."""
    found = solve(Catalogue(supply, (question.car_end, question.caliper_inlet)), question)
    if not isinstance(found, Closed):
        return (ORDER[type(found)],)
    chain = found.chain
    assert chain.price is not None
    assert chain.lead_days is not None
    return 0, bool(chain.to_order), len(chain.steps), round(chain.price, 4), chain.lead_days


@settings(max_examples=150, deadline=None)
@given(SEEDS)
def test_adding_a_part_never_makes_the_chain_worse(seed: int) -> None:
    """One more row in the box or in the price list gives the same answer or a better one."""
    random, supply, question = made(seed)
    more = random_part(random, 9999)
    before = badness(supply, question)
    assert badness(replace(supply, prices=(*supply.prices, more)), question) <= before
    assert badness(replace(supply, box=(*supply.box, more)), question) <= before


@settings(max_examples=100, deadline=None)
@given(SEEDS)
def test_the_order_of_the_lists_does_not_matter(seed: int) -> None:
    """Shuffled box, shelf and price list give the same parts in the same order, and the same alternative."""
    random, supply, question = made(seed)
    shuffled = Supply(*(tuple(random.sample(rows, len(rows))) for rows in (supply.box, supply.shelf, supply.prices)))
    ends = (question.car_end, question.caliper_inlet)
    one, other = (solve(Catalogue(lists, ends), question) for lists in (supply, shuffled))
    assert said(one) == said(other)


def said(answer: Answer) -> tuple[object, ...]:
    """All of an answer but the traps, which follow the box's order, and the numbers of the rows."""
    if isinstance(answer, Open):
        return answer.open_joint, answer.wanted, answer.wanted_adapter, answer.reasons
    if isinstance(answer, AskFirst):
        return answer.questions, answer.possible and answer.possible.links
    others = [chain and chain.links for chain in (answer.alternative, answer.maybe)]
    return answer.chain.links, answer.why_lost, answer.questions, *others


@settings(max_examples=100, deadline=None)
@given(SEEDS)
def test_road_use_only_removes_chains(seed: int) -> None:
    """What closes for the road closes off it at least as well, and not knowing lies between."""
    _, supply, question = made(seed)
    road, unsaid, track = (badness(supply, replace(question, road_use=use)) for use in (True, None, False))
    assert track <= unsaid <= road


@settings(max_examples=100, deadline=None)
@given(SEEDS)
def test_the_wanted_hose_closes_the_line(seed: int) -> None:
    """Where the line is open, the part that is described closes it when it is added: direct, at its least length."""
    _, supply, question = made(seed)
    question = replace(question, road_use=True)
    found = solve(Catalogue(supply, (question.car_end, question.caliper_inlet)), question)
    if isinstance(found, Open):
        least = float(found.wanted.split("at least ")[1].split(" mm")[0])
        near, far = found.wanted.split(", at least")[0].split(" to ")
        bought = replace(random_part(Random(1), 1), role="hose", side="either", end_a=end(near), end_b=end(far))
        bought = replace(bought, length=least, road_marked="yes")
        assert badness(replace(supply, prices=(*supply.prices, bought)), question)[::2][:2] == (0, 2)


@settings(max_examples=100, deadline=None)
@given(SEEDS)
def test_the_chain_is_the_same_backwards(seed: int) -> None:
    """Asked from the caliper to the car, the best chain has the same joints, price and days."""
    _, supply, question = made(seed)
    back = replace(question, car_end=question.caliper_inlet, caliper_inlet=question.car_end)
    assert badness(supply, back) == badness(supply, question)
