"""Torque wrenches: which one, what to set on it with a crow-foot, in what order and stages."""

from dataclasses import dataclass
from functools import cache

from bomcheck.tables import rows

TWO_STAGES, THREE_STAGES = (0.5, 1.0), (0.4, 0.7, 1.0)  # shares of the torque: common practice, no source


@dataclass(frozen=True, slots=True)
class TorqueWrench:
    """drive [in, as text]; low, high [N·m]: what it measures well."""

    drive: str
    low: float
    high: float

    def __str__(self) -> str:
        return f"torque wrench, {self.drive} in drive, {self.low:g} to {self.high:g} N·m"


@cache
def torque_wrenches() -> tuple[TorqueWrench, ...]:
    """The wrenches of `tables/torque_wrenches.txt`, smallest first."""
    return tuple(TorqueWrench(row["drive"], float(row["low"]), float(row["high"])) for row in rows("torque_wrenches"))


def wrench_for(torque: float) -> TorqueWrench | None:
    """The smallest wrench that measures this torque [N·m] well; None if none does.

    >>> str(wrench_for(20.0)), str(wrench_for(120.0))
    ('torque wrench, 1/4 in drive, 5 to 25 N·m', 'torque wrench, 1/2 in drive, 40 to 200 N·m')
    """
    return next((one for one in torque_wrenches() if one.low <= torque <= one.high), None)


def wrenches_for(figures: tuple[float, ...]) -> tuple[TorqueWrench, ...]:
    """The wrenches that a joint tightened in these stages [N·m] takes: one where one measures them all well.

    A stage that no wrench measures is left out.

    >>> [wrench.drive for wrench in wrenches_for((15.0, 30.0))]
    ['1/4', '3/8']
    """
    for one in torque_wrenches():
        if all(one.low <= figure <= one.high for figure in figures):
            return (one,)
    found = [wrench for figure in figures if (wrench := wrench_for(figure)) is not None]
    return tuple(dict.fromkeys(found))


def crow_foot_setting(torque: float, wrench_length: float, offset: float) -> float:
    """What to set on the wrench [unit of `torque`] so that the screw gets `torque` through a crow-foot: T L / (L + a).

    wrench_length L: middle of the grip to the middle of the drive. offset a: middle of the drive to the middle of the
    screw, along the wrench, + where it lengthens it; 0 where the crow-foot stands square to it. Same unit for both.

    >>> crow_foot_setting(60.0, 450.0, 50.0)
    54.0
    """
    return torque * wrench_length / (wrench_length + offset)


def star_order(count: int) -> tuple[int, ...]:
    """The order of tightening screws on a circle, numbered 1.. round it: each next one about opposite the last.

    >>> star_order(8), star_order(5)
    ((1, 5, 3, 7, 2, 6, 4, 8), (1, 3, 5, 2, 4))
    """
    if count % 2:
        step = (count - 1) // 2
        return tuple(step * index % count + 1 for index in range(count))
    half = count // 2
    first = [start for gap in _halvings(half) for start in gap]
    return tuple(number for start in first for number in (start, start + half))


def _halvings(half: int) -> list[list[int]]:
    """The numbers 1..half, widely spaced ones first."""
    order, step, seen = [], max(1, half // 2), set()
    while True:
        gap = [number for number in range(1, half + 1, step) if number not in seen]
        order.append(gap)
        seen.update(gap)
        if step == 1:
            return order
        step = max(1, step // 2)


def stages(torque: float, count: int) -> tuple[float, ...]:
    """The torques [unit of `torque`] to tighten in: two stages for a pair of screws, three for more.

    >>> stages(100.0, 2)
    (50.0, 100.0)
    """
    return tuple(torque * share for share in (TWO_STAGES if count <= 2 else THREE_STAGES))


def castellated_reach(slots: int = 6, holes: int = 1) -> float:
    """Most that a castellated nut turns from its torque to the next slot in line with the pin's hole [degrees].

    Tighten to the low side of the torque, then on to the next slot; never loosen to align. Source: FAA AC 43.13-1B, 7-22.
    holes: cross holes in the bolt that can be used, one bore counts as its two ends.

    >>> castellated_reach()
    60.0
    """
    return 360.0 / (slots * holes)
