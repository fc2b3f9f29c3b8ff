"""What holds for every parts list, whatever is needed and whatever is there."""

import networkx as nx
from hypothesis import given, settings
from hypothesis import strategies as st

from bomcheck.model.demand import Demand
from bomcheck.model.job import Job, Part, Value
from bomcheck.model.line import SURPLUS
from bomcheck.notation.thread import read_thread
from bomcheck.supply.balance import balance
from bomcheck.supply.spec import fit, spec_text

THREADS = ("M8x1.25", "M8x1.0", "M10x1.25")
LENGTHS = (25.0, 30.0, 35.0, 40.0)
spans = st.tuples(st.sampled_from(LENGTHS), st.sampled_from((0.0, 5.0, 10.0))).map(lambda pair: (pair[0], sum(pair)))
demands = st.builds(
    lambda quantity, per, thread, span, strength: Demand(
        "caliper screw", quantity, per=per, spec={"thread": thread, "length": span, **({"class": strength} if strength else {})}
    ),
    st.integers(1, 6), st.sampled_from(("corner", "axle", "car")), st.sampled_from(THREADS), spans,
    st.sampled_from(("", "8.8", "10.9")),
)  # fmt: skip
parts = st.builds(
    lambda thread, length, strength, quantity: Part(
        "caliper screw", thread=read_thread(thread), length=length, strength_class=strength, quantity=quantity
    ),
    st.sampled_from(THREADS), st.sampled_from(LENGTHS), st.sampled_from(("8.8", "10.9", "12.9")), st.integers(0, 9),
)  # fmt: skip
boxes = st.lists(parts, max_size=6).map(tuple)
offers = st.builds(
    lambda part, pack, price: Part(**{**_fields(part), "quantity": None, "pack_size": pack, "unit_price": price}),
    parts, st.sampled_from((None, 1.0, 2.0, 5.0, 10.0)), st.sampled_from((0.5, 1.0, 2.5)),
)  # fmt: skip


def _fields(part: Part) -> dict[str, object]:
    return {name: getattr(part, name) for name in Part.__dataclass_fields__}


def job(box: tuple[Part, ...], corners: int, prices: tuple[Part, ...] = ()) -> Job:
    """A job with a number of corners, a box and a price list."""
    return Job({"corners": Value("corners", corners)}, box=box, prices=prices)


def most_covered(lines: list[tuple[Demand, float]], box: tuple[Part, ...]) -> float:
    """How much of what is needed the box can cover at best: greatest flow by networkx, apart from our own method."""
    graph = nx.DiGraph()
    graph.add_nodes_from(("start", "end"))
    for number, (demand, need) in enumerate(lines):
        graph.add_edge("start", ("need", number), capacity=need)
        for row, part in enumerate(box):
            if fit(part, demand).serves:
                graph.add_edge(("need", number), ("part", row), capacity=1e9)
    for row, part in enumerate(box):
        graph.add_edge(("part", row), "end", capacity=part.quantity or 0)
    return float(nx.maximum_flow_value(graph, "start", "end"))


@settings(max_examples=150, deadline=None)
@given(st.lists(demands, min_size=1, max_size=5), boxes, st.sampled_from((1, 2)))
def test_nothing_is_lost_or_made_up(wanted: list[Demand], box: tuple[Part, ...], corners: int) -> None:
    """Each line: needed = in kit + on shelf + to order. The box: what is used and what is left are what was there."""
    lines = balance(job(box, corners), wanted)
    needs = [line for line in lines if line.status != SURPLUS and line.needed]
    assert all(line.needed == line.in_kit + line.on_car + line.on_shelf + line.to_order for line in needs)
    left = sum(line.in_kit for line in lines if line.status == SURPLUS)
    assert sum(line.in_kit for line in needs) + left == sum(part.quantity or 0 for part in box)
    times = {"corner": corners, "axle": 1, "car": 1}
    assert sum(line.needed for line in needs) == sum(one.quantity * times[one.per] for one in wanted)


@settings(max_examples=150, deadline=None)
@given(st.lists(demands, min_size=1, max_size=5), boxes)
def test_as_little_is_ordered_as_can_be(wanted: list[Demand], box: tuple[Part, ...]) -> None:
    """No other way to hand out the box covers more: compared with the greatest flow of networkx."""
    lines = balance(job(box, 1), wanted)
    short = sum(line.to_order for line in lines)
    needs = [(one, one.quantity) for one in wanted]
    assert short == sum(quantity for _, quantity in needs) - most_covered(needs, box)


@settings(max_examples=80, deadline=None)
@given(st.lists(demands, min_size=1, max_size=4), boxes, st.randoms())
def test_the_order_of_the_box_does_not_matter(wanted: list[Demand], box: tuple[Part, ...], random: object) -> None:
    """Shuffling the lines of the box orders as much in all."""
    shuffled = list(box)
    random.shuffle(shuffled)  # type: ignore[attr-defined]
    before, after = (balance(job(tuple(rows), 2), wanted) for rows in (box, shuffled))
    assert sum(line.to_order for line in before) == sum(line.to_order for line in after)


@settings(max_examples=100, deadline=None)
@given(st.lists(demands, min_size=1, max_size=4), st.lists(offers, max_size=6).map(tuple))
def test_packs_cover_and_never_by_a_whole_pack_too_many(wanted: list[Demand], prices: tuple[Part, ...]) -> None:
    """What is ordered is enough, less than one pack more than enough, costs what its packs cost, and all of it no more
    than each line bought for itself from the offer that is cheapest for it."""
    lines = balance(job((), 2, prices), wanted)
    singly = 0.0
    for line in lines:
        covered = sum(one.ordered for one in lines if one.rest_of == line.key)
        if line.packs:
            assert line.to_order + line.shared <= line.ordered + covered
            assert line.ordered < line.to_order + line.shared + line.pack_size
            assert line.line_total == line.packs * (line.unit_price or 0.0)
        if line.out_of:
            assert line.key in next(one for one in lines if one.key == line.out_of).also_for
        if (line.packs or line.out_of) and not line.rest_of:
            singly += min(_total(part, line.to_order) for part in prices if _serves(part, line.spec, wanted))
    assert sum(line.line_total or 0.0 for line in lines if line.packs) <= singly + 1e-9


def _serves(part: Part, spec: str, wanted: list[Demand]) -> bool:
    return any(spec_text(one) == spec and fit(part, one).surely for one in wanted)


def _total(part: Part, short: float) -> float:
    pack = part.pack_size or 1.0
    return -(-short // pack) * pack * (part.unit_price or 0.0)
