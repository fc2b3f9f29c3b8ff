"""Which socket or key a screw takes: by thread and kind of head, from `tables/hex_sizes.txt`."""

from fractions import Fraction
from functools import cache

from bomcheck.model.finding import in_inches
from bomcheck.model.records import dataclass
from bomcheck.model.types import Thread
from bomcheck.rules.screw_strength import POUND_FOOT
from bomcheck.tables import rows

INCH = 25.4
SAME = 0.02  # mm: 3/4 in is stamped so, not 19 mm
KINDS = {
    **dict.fromkeys(("hexagon", "older hexagon", "hexagon nut"), "socket"), "12-point": "12-point socket", "socket": "hexagon key",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Head:
    """One way a head can be driven. kind: as in the table. size: as stamped on the tool, "18 mm", "7/16 in".
    flats [mm]: across the flats. standard: where the size comes from."""

    kind: str
    size: str
    flats: float
    standard: str

    @property
    def tool(self) -> str:
        """ "7/16 in 12-point socket"."""
        return f"{self.size} {KINDS[self.kind]}"


@cache
def _heads() -> dict[str, tuple[Head, ...]]:
    found: dict[str, list[Head]] = {}
    for row in rows("hex_sizes"):
        flats = float(Fraction(row["size"])) * (INCH if row["unit"] == "in" else 1.0)
        found.setdefault(row["thread"], []).append(
            Head(row["head"], f"{row['size']} {row['unit']}", flats, row["standard"])
        )
    return {thread: tuple(heads) for thread, heads in found.items()}


def heads(thread: Thread) -> tuple[Head, ...]:
    """Every usual head of this thread; empty where the table has none.

    >>> from bomcheck.notation import read_thread
    >>> [head.tool for head in heads(read_thread("M12x1.5"))]
    ['18 mm socket', '19 mm socket', '10 mm hexagon key']
    """
    return _heads().get(thread.name.split("x")[0].split("-")[0], ())


def tools(thread: Thread, flats: float | None = None, kinds: tuple[str, ...] = ()) -> tuple[str, ...]:
    """What may be needed to turn it. flats [mm]: across the head's flats where it is known. kinds: of head, all if none.

    >>> from bomcheck.notation import read_thread
    >>> tools(read_thread("3/8-24"), kinds=("hexagon", "12-point"))
    ('9/16 in socket', '7/16 in 12-point socket')
    """
    if flats is not None:
        return (f"{_stamped(flats)} socket",)
    found = [head for head in heads(thread) if not kinds or head.kind in kinds]
    return tuple(dict.fromkeys(head.tool for head in found))


def _stamped(flats: float) -> str:
    """The size as it is stamped on the tool: inch where it is a sixteenth of an inch and no whole millimetre."""
    if abs(flats - round(flats)) <= SAME:
        return f"{round(flats)} mm"
    sixteenths = round(flats / INCH * 16)
    return f"{Fraction(sixteenths, 16)} in" if abs(sixteenths / 16 * INCH - flats) <= SAME else f"{flats:g} mm"


TWO_STAGES, THREE_STAGES = (0.5, 1.0), (0.4, 0.7, 1.0)  # shares of the torque: common practice, no source


@dataclass(frozen=True, slots=True)
class TorqueWrench:
    """drive [in, as text]; low, high [N·m]: what it measures well."""

    drive: str
    low: float
    high: float

    def __str__(self) -> str:
        if in_inches():
            return f"torque wrench, {self.drive} in drive, {self.low / POUND_FOOT:.0f} to {self.high / POUND_FOOT:.0f} lb·ft"
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


LONGEST_IN_GROUP = 24 * INCH  # mm of wire in one group: FAA AC 43.13-1B, p. 7-22
WIDEST_SPAN = 6 * INCH  # mm from one screw to the next: FAA AC 43.13-1B, chapter 7 (seen in public copies)


@dataclass(frozen=True, slots=True)
class Wire:
    """diameter [mm]; twists_low, twists_high [per inch]; hole [mm]: smallest hole of the head that takes it."""

    diameter: float
    twists_low: float
    twists_high: float
    hole: float

    def __str__(self) -> str:
        inches = self.diameter / INCH
        return f"{inches:.3f} in ({self.diameter:.2f} mm), {self.twists_low:g} to {self.twists_high:g} twists an inch"


@cache
def wire() -> Wire:
    """The usual wire, 0.032 in."""
    row = next(row for row in rows("safety_wire") if row["diameter"] == "0.032")
    thick, low, high, hole = (float(row[column]) for column in ("diameter", "twists_low", "twists_high", "hole"))
    return Wire(thick * INCH, low, high, hole * INCH)


def wire_pairs(count: int) -> tuple[tuple[int, ...], ...]:
    """Screws on a circle, numbered 1.. round it, that share a wire: neighbours in pairs, the last three of an odd count.

    >>> wire_pairs(5)
    ((1, 2), (3, 4, 5))
    """
    if count < 2:
        return ((1,),) if count else ()
    groups = [(number, number + 1) for number in range(1, count, 2)]
    return tuple(groups) if count % 2 == 0 else (*groups[:-1], (count - 2, count - 1, count))
