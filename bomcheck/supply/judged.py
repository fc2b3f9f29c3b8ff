"""What is bought is judged again: every part that the list names is put into the job with its own figures.

The sizes that a list accepts come from that judgement, and a part of the price list that makes a check worse is refused
with the check that says so. Which figure goes where stands in `tables/bought_sizes.txt`.
"""

from collections.abc import Callable, Mapping, Sequence
from math import ceil, floor
from typing import Any

from bomcheck.model.demand import BOTH, MASTER, Asked, Demand
from bomcheck.model.finding import Finding
from bomcheck.model.job import Job, Part
from bomcheck.model.records import dataclass, replace
from bomcheck.model.verdict import Verdict
from bomcheck.supply.balance import Parts, parts_list
from bomcheck.supply.spec import REFUSED, SIZES, fit, on_side
from bomcheck.supply.stock import SHELF, Settled, same_line, settle
from bomcheck.tables import rows

ITSELF, WHERE_PUT, AT_MOST = ("=", "!", "~"), "~", "<"
STEP, FINE = 0.05, 0.01  # mm in which the end of a range is looked for; of parts that are turned to closer than a STEP
MOST_TRIES = 6
Changes = dict[str, tuple[Any, float]]
Given = tuple[tuple[str, tuple[Any, float]], ...]  # the same, so that what was judged once is known again
CAR = "car"  # the bench that judges the brakes as a whole


@dataclass(frozen=True)
class Bench:
    """An axle with all remedies, to try parts on. get: a size as it is known, None where it is not; half: its ±.
    judge: the findings with sizes changed; none changed: as they are."""

    get: Callable[[str], Any]
    half: Callable[[str], float]
    judge: Callable[[Given], Mapping[str, Finding]]

    def worse(self, changes: Changes) -> str:
        """The check that comes out worse with these sizes, or still asks for such a part; "" if none does."""
        if not changes:
            return ""
        before, cures = self.judge(()), changes.keys() & _CURES
        for name, found in self.judge(tuple(changes.items())).items():
            asks = found.verdict is Verdict.FITS_WITH_PARTS and not cures.isdisjoint(found.reads)
            if asks or name not in before or found.verdict.severity > before[name].verdict.severity:
                return f'with it "{found.title}" comes out as: {found.verdict}{", still" if asks else ""}'
        return ""

    def beside(self, other: "Bench") -> "Bench":
        """Of two corners that are not alike: a part must do on both."""

        def judge(changes: Given) -> Mapping[str, Finding]:
            sides = (("left", self), ("right", other))
            return {f"{side} {name}": found for side, one in sides for name, found in one.judge(changes).items()}

        return Bench(self.get, lambda key: max(self.half(key), other.half(key)), judge)

    def settled(self, key: str) -> bool:
        """Whether checks read this field, and each of them is answered."""
        read = [found.verdict for found in self.judge(()).values() if key in found.reads]
        return Verdict.NOT_KNOWN not in read and any(one is not Verdict.DOES_NOT_APPLY for one in read)


def judged_list(job: Job, demands: Sequence[Demand], benches: Mapping[str, Bench], days: float | None = None) -> Parts:
    """The list that buys nothing which makes a check worse, with the sizes that may be bought.

    benches: by axle, "" where the car has one kit, and CAR.
    """
    settled, there = settle(job, demands), (*job.box, *job.shelf, *job.prices)
    lacking = _lacking(settled)
    if not any(_rows(one) and lacking(one, SHELF) for one in demands):
        return parts_list(job, demands, days=days, settled=settled)
    sized = [_sized(one, benches.get(_bench_of(one)), there) if lacking(one) else one for one in demands]
    asked = _alike(demands, sized)
    parts = parts_list(job, asked, days=days)
    for _ in range(MOST_TRIES):
        refused = _refused(parts.named, benches, there)
        if not refused:
            return parts._replace(refused=frozenset(part for one in asked for part, _ in one.spec.get(REFUSED, ())))
        asked = [_without(demand, refused) for demand in asked]
        parts = parts_list(job, asked, days=days)
    refused = _refused(parts.named, benches, ())
    return parts_list(job, [_open(demand, refused) for demand in asked], days=days)


def _open(demand: Demand, refused: Sequence["Refused"]) -> Demand:
    """A question where no parts that go together were found."""
    why = next((why for other, _, why in refused if _same_place(demand, other)), "")
    return Asked(**vars(demand), ask=f"Ask which sizes go together: {why}") if why else demand


def _lacking(settled: Settled) -> Callable[..., bool]:
    """Whether box, car and shelf do not cover a demand as it is asked for; with SHELF: box and car."""
    bought, taken = set[tuple[Any, ...]](), set[tuple[Any, ...]]()
    for number, one in enumerate(settled.wanted):
        if settled.allotment.lack(number):
            bought.add(same_line(one.demand))
        if any(given.stock.kind == SHELF for given in settled.allotment.given(number)):
            taken.add(same_line(one.demand))

    def lacking(demand: Demand, beside: str = "") -> bool:
        sides = (demand.side,) if demand.side in BOTH else (demand.side, *BOTH)
        return any(same_line(on_side(demand, side)) in (bought | taken if beside else bought) for side in sides)

    return lacking


def _bench_of(demand: Demand) -> str:
    return CAR if demand.role == MASTER else demand.axle


def _rows(demand: Demand) -> list[dict[str, str]]:
    places = demand.used_at.split(", ")
    return [row for row in rows("bought_sizes") if row["role"] == demand.role and row["place"] in places]


def _sized(demand: Demand, bench: Bench | None, parts: Sequence[Part]) -> Demand:
    spec = dict(demand.spec)
    for row in _rows(demand) if bench is not None else ():
        figure, window = row["figure"], spec.get(row["figure"])
        if bench is not None and figure in SIZES and window and _known(demand, row, bench):
            offered = {getattr(part, figure) for part in parts if part.role == demand.role} - {None}
            spec[figure] = _accepted(demand, row, bench, offered)
    return replace(demand, spec=spec)


def _alike(before: Sequence[Demand], after: Sequence[Demand]) -> list[Demand]:
    """What was one line of the list stays one: parts that were to be the same in two places must do in both."""
    found = list(after)
    changed = {same_line(one) for one, now in zip(before, after, strict=True) if one.spec != now.spec}
    for number, demand in enumerate(after):
        line = same_line(before[number])
        others = [after[i] for i, one in enumerate(before) if same_line(one) == line] if line in changed else []
        for figure in SIZES:
            ends = [one.spec[figure] for one in others if figure in one.spec]
            if len(ends) > 1 and len(set(ends)) > 1:
                low = max((end[0] for end in ends if end[0] is not None), default=None)
                high = min((end[1] for end in ends if end[1] is not None), default=None)
                if low is None or high is None or low <= high:
                    found[number] = replace(demand, spec={**found[number].spec, figure: (low, high)})
    return found


def _accepted(demand: Demand, row: Mapping[str, str], bench: Bench, offered: set[float]) -> tuple[Any, Any]:
    """The sizes round the one in the job that make no check worse: no more than is said, less where a check asks for it; and
    what is offered beyond it, where every check that it touches is answered."""
    window, (way, key) = demand.spec[row["figure"]], _fields(row)[0]
    middle, most = float(bench.get(key)) if way == "=" else _middle(window), float(row["wider"] or 0)

    def good(size: float) -> bool:
        return not bench.worse(_changes(demand, row, size, bench))

    if None not in window and not bench.worse(_over(_changes(demand, row, sum(window) / 2, bench), window)):
        low, high = window
    elif not good(middle):
        return window[0], window[1]
    else:
        step = FINE if float(row["slack"] or 0) < STEP else STEP
        low, high = (None if end is None else end if good(end) else _last(good, middle, end, step) for end in window)
    if most and all(bench.settled(key) for _, key in _fields(row)):
        beyond = sorted((size for size in offered if abs(size - middle) <= most), key=lambda size: abs(size - middle))
        for size in beyond:
            if low is not None and size < low == window[0] and good(size):
                low, window = size, (size, window[1])
            if high is not None and size > high == window[1] and good(size):
                high, window = size, (window[0], size)
    return low, high


def _over(changes: Changes, window: tuple[float, float]) -> Changes:
    """The sizes with the whole window in their ±: what holds then, holds for every figure in it."""
    return {key: (size, half + (window[1] - window[0]) / 2) for key, (size, half) in changes.items()}


def _last(good: Callable[[float], bool], near: float, bad: float, step: float) -> float:
    """The last size before one that is bad, found to a step in mm and rounded to the safe side."""
    while abs(bad - near) > step:
        half = (near + bad) / 2
        near, bad = (half, bad) if good(half) else (near, half)
    return round((floor(near / step) if near < bad else ceil(near / step)) * step, 4)


def _known(demand: Demand, row: Mapping[str, str], bench: Bench) -> bool:
    """Whether the job has the fields that take the figure itself; of a part that may lie in one of two places the one it is for."""
    window = demand.spec.get(row["figure"], (0.0, 0.0))
    known = [(way, bench.get(key)) for way, key in _fields(row) if way in ITSELF]
    return all(size is not None and (way != WHERE_PUT or window[0] <= size <= window[1]) for way, size in known)


def _middle(window: tuple[float | None, float | None]) -> float:
    """The figure that a remedy has put into the job."""
    low, high = window
    return float((high or 0.0) if low is None else low if high is None else (low + high) / 2)


def _fields(row: Mapping[str, str]) -> list[tuple[str, str]]:
    return [(way, key) for way, key in (one.split() for one in row["fields"].split("; "))]


_CURES = frozenset(key for row in rows("bought_sizes") for way, key in _fields(row) if way == "!")


def _changes(demand: Demand, row: Mapping[str, str], figure: Any, bench: Bench) -> Changes:
    """What a part's figure makes of the job's sizes; nothing where one of them is not known."""
    found: Changes = {}
    window, before = demand.spec.get(row["figure"]), 0.0
    for way, key in _fields(row):
        now = bench.get(key)
        if way in ITSELF:
            found[key], before = (figure, float(row["slack"] or 0)), now
        elif way == AT_MOST:
            found |= {key: (figure, float(row["slack"] or 0))} if now is not None and figure < now else {}
        elif way == "with" and now is not None:
            found[key] = (now + figure - before, bench.half(key))
        elif window and now is not None:
            by = (bench.get("shim_direction") or 0.0) if way == "push" else 1.0
            found[key] = (now + by * (figure - _middle(window)), bench.half(key))
    return found


Named = tuple[Demand, Part]


def _put(named: Sequence[Named], bench: Bench, axle: str) -> Changes:
    """All sizes of an axle that the parts named for it change."""
    found: Changes = {}
    for demand, part in named:
        for row in _rows(demand) if _bench_of(demand) == axle else ():
            figure = getattr(part, row["figure"])
            if figure not in (None, "") and _known(demand, row, bench):
                found |= _changes(demand, row, figure, bench)
    return found


Refused = tuple[Demand, Part, str]


def _refused(named: Sequence[Named], benches: Mapping[str, Bench], there: Sequence[Part]) -> list[Refused]:
    """Parts that make a check worse: each by itself, and then others that would do so in its place; else the last of those
    that do it together."""
    found: list[Refused] = []
    for axle, bench in benches.items():
        if not (why := bench.worse(_put(named, bench, axle))):
            continue
        alone = [demand for demand, part in named if bench.worse(_put([(demand, part)], bench, axle))]
        tried = [(demand, part) for demand in alone for part in dict.fromkeys((*(part for _, part in named), *there))]
        found += [
            (demand, part, text)
            for demand, part in tried
            if fit(part, demand).serves and (text := bench.worse(_put([(demand, part)], bench, axle)))
        ]
        if not alone:
            touching = [one for one in named if _put([one], bench, axle)]
            rest = [_put([other for other in named if other is not one], bench, axle) for one in touching]
            guilty = [one for one, others in zip(touching, rest, strict=True) if not bench.worse(others)]
            found.append((*(guilty or touching)[-1], f"together with the others that are named: {why}"))
    return found


def _without(demand: Demand, refused: Sequence[Refused]) -> Demand:
    mine = tuple((part, why) for other, part, why in refused if _rows(demand) and _same_place(demand, other))
    return replace(demand, spec={**demand.spec, REFUSED: (*demand.spec.get(REFUSED, ()), *mine)}) if mine else demand


def _same_place(demand: Demand, other: Demand) -> bool:
    return demand.used_at in other.used_at.split(", ") and (demand.role, demand.axle) == (other.role, other.axle)
