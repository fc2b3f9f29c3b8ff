"""How long the brake-line solver takes on 5,000 parts, beside networkx's shortest path on the same graph.

Run by hand: python -m tests.benchmarks.bench_chain. Not collected by pytest.

The graph has a node for every kind of end, number of adapters used and whether the hose is in; an edge for every part
that may serve; its weight puts joints before price. networkx gets the graph ready made; the solver gets its index.
"""

from collections.abc import Callable
from random import Random
from statistics import median
from time import perf_counter
from typing import Any

import networkx  # type: ignore[import-untyped]

from bomcheck.model.job import Part
from bomcheck.supply.line_chain import Catalogue, Closed, LineQuestion, solve
from bomcheck.supply.line_ends import Supply
from bomcheck.supply.line_question import may_serve, surely
from bomcheck.supply.line_search import Search
from tests.parts.enumerate_chains import GOES_INTO
from tests.parts.line_samples import end, random_part

THREADS = ("3/8-24", "7/16-20", "7/16-24", "1/2-20", "9/16-18", "M10x1.0", "M10x1.25", "M11x1.5", "M12x1.0", "M12x1.25")
SEATS = ("inverted flare male", "inverted flare female", "bubble male", "bubble female", "37 male", "37 female")
MORE = ("banjo eye", "banjo port", "crush male", "crush female", "O-ring male", "O-ring female")
TEXTS = tuple(f"{thread} {seat}" for thread in THREADS for seat in SEATS + MORE)
JOINT = 1_000_000.0
ROUNDS = 40


def catalogue(parts: int) -> tuple[Part, ...]:
    """A price list of this many parts over 120 kinds of end."""
    random = Random(5000)
    made = [(number, end(random.choice(TEXTS)), end(random.choice(TEXTS))) for number in range(parts)]
    return tuple(_with_ends(random_part(random, number), a, b) for number, a, b in made)


def _with_ends(part: Part, a: object, b: object) -> Part:
    kept = {name: getattr(part, name) for name in Part.__slots__ if name not in ("end_a", "end_b")}
    return Part(**kept, end_a=a, end_b=b)


def questions(count: int) -> list[LineQuestion]:
    """Pairs of ends, every one asked for in a real way: road use, a path with its ±."""
    random = Random(1)
    pairs = [(end(random.choice(TEXTS)), end(random.choice(TEXTS))) for _ in range(count)]
    return [LineQuestion(car, inlet, (400.0, 5.0), True) for car, inlet in pairs]


def as_graph(parts: tuple[Part, ...], question: LineQuestion) -> networkx.DiGraph:
    """The layered graph: (end that is offered, adapters so far, hose in)."""
    graph = networkx.DiGraph()
    for part in parts:
        if surely(may_serve(part, "order", question)):
            for near, far in ((part.end_a, part.end_b), (part.end_b, part.end_a)):
                _add_part(graph, part, _mate(near), _kind(far))
    return graph


def _kind(one: Any) -> tuple[str, str, str]:
    return one.thread.name, one.seat, one.gender


def _mate(one: Any) -> tuple[str, str, str]:
    opposed = dict(GOES_INTO)
    return one.thread.name, one.seat, opposed[one.gender]


def _add_part(graph: networkx.DiGraph, part: Part, offered: object, onward: object) -> None:
    weight = JOINT + (part.unit_price or 0.0)
    is_hose = part.role == "hose"
    for adapters in range(3):
        for hose_in in (False, True):
            if (is_hose and hose_in) or (not is_hose and adapters == 2):
                continue
            after = (onward, adapters + (not is_hose), hose_in or is_hose)
            before = (offered, adapters, hose_in)
            known = graph.get_edge_data(before, after)
            if known is None or weight < known["weight"]:
                graph.add_edge(before, after, weight=weight)


def shortest(graph: networkx.DiGraph, question: LineQuestion) -> float | None:
    """networkx's answer: one Dijkstra from the car's end to a sink behind the inlet; the sink is put in first."""
    start, sink = (_kind(question.car_end), 0, False), ("sink", _mate(question.caliper_inlet))
    try:
        return float(networkx.shortest_path_length(graph, start, sink, weight="weight"))
    except (networkx.NodeNotFound, networkx.NetworkXNoPath):
        return None


def with_sinks(graph: networkx.DiGraph, asked: list[LineQuestion]) -> networkx.DiGraph:
    """A free edge from every place where an inlet is met to the sink of that inlet."""
    for goal in {_mate(question.caliper_inlet) for question in asked}:
        graph.add_edges_from((((goal, n, True), ("sink", goal)) for n in range(3)), weight=0.0)
    return graph


def timed(work: Callable[[int], Any], rounds: int = ROUNDS) -> list[float]:
    """Milliseconds of each round."""
    times = []
    for number in range(rounds):
        begin = perf_counter()
        work(number)
        times.append((perf_counter() - begin) * 1000)
    return times


def main() -> None:
    """Prints the times and stops if an answer differs from networkx's."""
    parts = catalogue(5000)
    asked = questions(ROUNDS)
    supply = Supply(prices=parts)
    indexed = Catalogue(supply)
    graph = with_sinks(as_graph(parts, asked[0]), asked)
    for question in asked:
        answer, wanted = solve(indexed, question), shortest(graph, question)
        chain = answer.chain if isinstance(answer, Closed) else None
        got = None if chain is None else len(chain.links) * JOINT + (chain.price or 0.0)
        assert got == wanted or abs((got or 0.0) - (wanted or 0.0)) < 0.01, (got, wanted)
    rows = {
        "index 5,000 parts": timed(lambda _: Catalogue(supply), 10),
        "best chain only": timed(lambda n: Search(indexed, asked[n], surely).best()),
        "whole answer, with alternative and questions": timed(lambda n: solve(indexed, asked[n])),
        "index and whole answer": timed(lambda n: solve(Catalogue(supply), asked[n]), 10),
        "networkx: build the graph": timed(lambda _: as_graph(parts, asked[0]), 3),
        "networkx: Dijkstra on the ready graph": timed(lambda n: shortest(graph, asked[n])),
    }
    for name, times in rows.items():
        print(f"{name:48} median {median(times):8.2f} ms   worst {max(times):8.2f} ms")


if __name__ == "__main__":
    main()
