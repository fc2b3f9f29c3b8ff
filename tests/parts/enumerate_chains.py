"""Every chain there is, one by one: a second answer to the brake-line question, sharing nothing with the solver.

It knows only the Part and the LineEnd, and tries every order and every direction of every part. Slow on purpose.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from math import inf

from bomcheck.model.job import Part
from bomcheck.model.types import LineEnd

GOES_INTO = {("male", "female"), ("female", "male"), ("eye", "port"), ("port", "eye")}


@dataclass(frozen=True)
class Row:
    """A part as it lies there: how many, what one costs here, how long it takes."""

    part: Part
    pieces: float
    price: float
    days: float


def meets(one: LineEnd, other: LineEnd) -> bool:
    """The rule: opposite genders, same seat, same thread."""
    if one.thread is None or other.thread is None:
        return False
    same_thread = (one.thread.form, one.thread.diameter, one.thread.pitch) == (
        other.thread.form,
        other.thread.diameter,
        other.thread.pitch,
    )
    return (one.gender, other.gender) in GOES_INTO and one.seat == other.seat and same_thread


def all_rows(box: list[Part], shelf: list[Part], prices: list[Part]) -> list[Row]:
    """Free rows first, then what can be ordered without end."""
    free = [Row(part, 1 if part.quantity is None else part.quantity, 0.0, 0.0) for part in (*box, *shelf)]
    return free + [Row(part, inf, part.unit_price or 0.0, part.lead_days or 0.0) for part in prices]


def every_chain(car: LineEnd, inlet: LineEnd, rows: list[Row]) -> Iterator[tuple[Row, ...]]:
    """All chains of one hose and at most two adapters."""

    def grow(end: LineEnd, chain: tuple[Row, ...]) -> Iterator[tuple[Row, ...]]:
        hoses = sum(row.part.role == "hose" for row in chain)
        if hoses == 1 and meets(end, inlet):
            yield chain
        for row in rows:
            is_hose = row.part.role == "hose"
            adapters = len(chain) - hoses
            if (is_hose and hoses) or (not is_hose and (row.part.role != "adapter" or adapters == 2)):
                continue
            if sum(other is row for other in chain) >= row.pieces:
                continue
            for near, far in ((row.part.end_a, row.part.end_b), (row.part.end_b, row.part.end_a)):
                if meets(end, near):
                    yield from grow(far, (*chain, row))

    yield from grow(car, ())


def agrees(stated: LineEnd | None, whole: LineEnd) -> bool:
    """Whether an end, of which something may be missing, may turn out to be this one."""
    if stated is None:
        return True
    pitch = stated.thread.pitch if stated.thread else None
    same_thread = stated.thread is None or whole.thread is None or (
        stated.thread.diameter == whole.thread.diameter and pitch in (None, whole.thread.pitch)
    )  # fmt: skip
    return same_thread and stated.seat in (None, whole.seat) and stated.gender in (None, whole.gender)


def may_become(part: Part, ends: Iterable[LineEnd]) -> Iterator[Part]:
    """The part with every two whole ends that it may turn out to have."""
    known = list(ends)
    for near in known:
        for far in known:
            if agrees(part.end_a, near) and agrees(part.end_b, far):
                yield replace(part, end_a=near, end_b=far)


def is_clear(part: Part) -> bool:
    """Whether both ends are stated in full."""
    return all(end is not None and not end.unknown for end in (part.end_a, part.end_b))


def perhaps_a_chain(
    car: LineEnd,
    inlet: LineEnd,
    lists: tuple[list[Part], list[Part], list[Part]],
    ends: Iterable[LineEnd],
    good: Callable[[Part], bool],
) -> bool:
    """Whether some answer to what is unclear would close the line. good: whether a part may be used but for its ends."""
    whole = list(ends)
    rows: list[Row] = []
    for row in all_rows(*lists):
        if good(row.part):
            rows += (
                [row]
                if is_clear(row.part)
                else [Row(one, row.pieces, row.price, row.days) for one in may_become(row.part, whole)]
            )
    chains = every_chain(car, inlet, rows)
    return any(
        all(sum(one.part.part_number == row.part.part_number for one in chain) <= row.pieces for row in chain)
        for chain in chains
    )


def good_hose(part: Part, path: float, half: float, road_use: bool) -> bool:
    """True for every path inside path ± half: 12 mm of slack at least, at most 60 mm more than that."""
    if part.length is None or (road_use and part.road_marked != "yes"):
        return False
    return all(true + 12 <= part.length <= true + 72 for true in (path - half, path + half))


def cost_of(chain: tuple[Row, ...]) -> tuple[bool, int, float, float]:
    """Whether anything must be bought, joints, price to the hundredth, days."""
    return (
        any(row.pieces == inf for row in chain),
        len(chain) + 1,
        round(sum(row.price for row in chain), 2),
        max(row.days for row in chain),
    )


def best_cost(
    car: LineEnd,
    inlet: LineEnd,
    rows: list[Row],
    path: tuple[float, float],
    road_use: bool,
    days: float | None,
    side: str,
) -> tuple[bool, int, float, float] | None:
    """Least cost of all chains that may be used, None if there are none."""
    usable = [
        row
        for row in rows
        if is_clear(row.part)
        and row.part.side in ("either", side)
        and (days is None or row.days <= days)
        and (row.part.role != "hose" or good_hose(row.part, *path, road_use))
    ]
    return min((cost_of(chain) for chain in every_chain(car, inlet, usable)), default=None)
