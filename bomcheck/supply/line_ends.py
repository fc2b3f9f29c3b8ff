"""What joins what: two ends of a brake line, and whether they seal, must never meet, or are not known well enough.

Two ends join only if their genders oppose and seat and thread, pitch included, are equal. Everything else is refused
with the reason in plain words; nothing that is missing is guessed.
"""

from collections.abc import Iterable, Iterator
from math import inf
from typing import NamedTuple

from bomcheck.model.finding import mm
from bomcheck.model.job import Part
from bomcheck.model.records import dataclass, replace
from bomcheck.model.types import LineEnd, Thread
from bomcheck.tables import sections
from bomcheck.tables.line_joints import JointRow, joint_rows, never_rows, wrenches

INNER = {"male", "eye"}
OPPOSITE = {"male": "female", "female": "male", "eye": "port", "port": "eye"}
# Threads nearer than this can be started in each other by hand: 3/8 in and a 1/8 in taper are 0.76 mm apart.
LOOKS_ALIKE = 0.8
# 3/16 in and 4.75 mm are the same tube.
SAME_TUBE = 0.2


@dataclass(frozen=True, slots=True)
class Need:
    """Something a joint or a bracket needs besides the parts of the chain.

    thread and bore [mm]: what it must fit, None where that does not matter. one_time: True if it is never used again.
    """

    role: str
    quantity: float
    spec: str
    reason: str
    unit: str = "each"
    thread: Thread | None = None
    bore: float | None = None
    one_time: bool = True


@dataclass(frozen=True, slots=True)
class Joint:
    """Two ends that belong together; `source` says where the rule comes from."""

    seat: str
    thread: Thread
    seals_on: str
    needs: tuple[Need, ...]
    sealant: str
    wrenches: str
    source: str


@dataclass(frozen=True, slots=True)
class Refusal:
    """Two ends that do not belong together. trap: True if they can be screwed or started in each other all the same."""

    reason: str
    trap: bool
    source: str = ""


@dataclass(frozen=True, slots=True)
class Unknown:
    """Two ends of which something is still to be asked: each end's name with what it lacks."""

    missing: tuple[tuple[str, tuple[str, ...]], ...]


@dataclass(frozen=True, slots=True)
class Trap:
    """A part that can be screwed on where it must not: its end, the end it would meet, and why not."""

    part: Part
    end: LineEnd
    against: LineEnd
    reason: str


def joins(a: LineEnd, b: LineEnd) -> Joint | Refusal | Unknown:
    """Whether two ends may be screwed together; the order of the two does not matter."""
    missing = tuple((end.name, end.unknown) for end in (a, b) if end.unknown)
    if missing:
        return Unknown(missing)
    if (a.gender in INNER) == (b.gender in INNER):
        sides = str(a.gender) if a.gender == b.gender else f"of the same side ({a.gender} and {b.gender})"
        return Refusal(f"both ends are {sides}: neither goes into the other", trap=False)
    return _refused(a, b) or _joint(joint_rows()[str(a.seat)], a)


def opposite(end: LineEnd) -> LineEnd:
    """The end that joins `end`; its gender must be known."""
    gender = OPPOSITE[str(end.gender)]
    return replace(end, gender=gender, name=f"{end.name.removesuffix(str(end.gender)).rstrip()} {gender}")


def traps_in(parts: Iterable[Part], ends: Iterable[LineEnd]) -> tuple[Trap, ...]:
    """Every part with an end that can be screwed to one of `ends` but must not be; parts in their order."""
    known = [end for end in ends if not end.unknown]
    found = []
    for part in parts:
        for end in dict.fromkeys(e for e in (part.end_a, part.end_b) if e is not None and not e.unknown):
            answers = ((other, joins(end, other)) for other in known)
            found += [Trap(part, end, other, r.reason) for other, r in answers if isinstance(r, Refusal) and r.trap]
    return tuple(found)


def _refused(a: LineEnd, b: LineEnd) -> Refusal | None:
    """Why two complete ends of opposite gender do not join; None if they do."""
    first, second = _thread(a), _thread(b)
    if first.name != second.name:
        return _other_thread(first, second, a, b)
    if a.seat != b.seat:
        row = never_rows().get(("seat", frozenset((str(a.seat), str(b.seat)))))
        reason = row.reason if row else f"the seats differ: {a.seat} and {b.seat}"
        return Refusal(f"{reason} ({first.name} on both)", trap=True, source=row.source if row else "")
    return _other_tube(a, b)


def _other_thread(first: Thread, second: Thread, a: LineEnd, b: LineEnd) -> Refusal:
    """The look-alike pairs by name first; then a taper with a straight thread; then any other two threads."""
    near = abs(first.diameter - second.diameter) <= LOOKS_ALIKE
    row = never_rows().get(("thread", frozenset((first.name, second.name))))
    if row is None and (first.form == "NPT") != (second.form == "NPT"):
        row = never_rows()["taper", frozenset(("NPT", "straight"))]
    seats = "" if a.seat == b.seat else f"; the seats differ as well, {a.seat} and {b.seat}"
    if row is not None:
        return Refusal(row.reason + seats, trap=near, source=row.source)
    alike = ", although they look alike" if near else ""
    return Refusal(f"the threads differ: {first.name} and {second.name}{alike}{seats}", trap=near)


def _other_tube(a: LineEnd, b: LineEnd) -> Refusal | None:
    row = joint_rows().get(str(a.seat))
    if row is None or not row.tube or a.tube is None or b.tube is None or abs(a.tube - b.tube) <= SAME_TUBE:
        return None
    return Refusal(f"the thread is the same but the tubes differ: {mm(a.tube)} and {mm(b.tube)}", trap=True)


def _thread(end: LineEnd) -> Thread:
    if end.thread is None:
        raise ValueError(f"the thread of {end.name} is not known")
    return end.thread


def _joint(row: JointRow, end: LineEnd) -> Joint:
    thread = _thread(end)
    needs = tuple(_need(role, quantity, unit, row, thread) for quantity, unit, role in row.uses_up)
    wrench = wrenches().get((row.seat, thread.name), "open wrench that fits the hexagon, and one to hold against it")
    return Joint(row.seat, thread, row.seals_on, needs, row.sealant, wrench, row.source)


def _need(role: str, quantity: float, unit: str, row: JointRow, thread: Thread) -> Need:
    named = thread.name if thread.name.endswith(row.seat) else f"{thread.name} {row.seat}"
    reason = f"{named} joint"
    if role == "banjo screw":
        return Need(role, quantity, f"{thread.name}, hollow", reason, unit, thread, one_time=False)
    if role == "sealing washer":
        size = f"{thread.diameter:g} mm" if thread.form == "M" else f"{thread.name.split('-')[0]} in"
        return Need(role, quantity, f"{size} bore", reason, unit, bore=thread.diameter)
    if role == "O-ring":
        return Need(role, quantity, f"for {thread.name}, safe in brake fluid", reason, unit, thread)
    return Need(role, quantity, "safe in brake fluid, taper thread only", reason, unit)


BLANK = LineEnd("blank", None, None, None)
# Only these are links: valves, tees and unions are screwed to rigid tubes, which a hose chain does not have.
LINKS = ("hose", "adapter")
# Prices are added as whole ten-thousandths, so that the order of adding never decides.
PRICE_STEPS = 10_000
# What is counted in pairs is there twice.
PIECES = {"pair": 2}
SOURCES = ("box", "shelf", "order")


class Rank(NamedTuple):
    """What one item adds to a chain, least first: unpriced [-], price [1/10000], lead [days], then fixed tie-breaks."""

    unpriced: int
    price: int
    lead: float
    unsided: int
    names: tuple[str, ...]


Row = tuple[int, Part, str]
"""Number of a row among all rows, what stands in it, and its source."""


class Item:
    """One row that can be a link.

    row: its number among all rows. left [-]: how many there are. ask: what is missing about its ends, "" if nothing.
    """

    __slots__ = ("ask", "end_a", "end_b", "left", "part", "rank", "row", "source")

    def __init__(self, row: Row, end_a: LineEnd, end_b: LineEnd, ask: str = "") -> None:
        self.row, part, source = row
        self.part, self.source, self.end_a, self.end_b, self.ask = part, source, end_a, end_b, ask
        self.left = inf if source == "order" else count(part, source)
        self.rank = _rank(part, source)


@dataclass(frozen=True, slots=True)
class Supply:
    """Where parts come from: box of the kit and shelf of the shop cost nothing, the price list is ordered from."""

    box: tuple[Part, ...] = ()
    shelf: tuple[Part, ...] = ()
    prices: tuple[Part, ...] = ()

    def rows(self) -> Iterator[Row]:
        """Every row, numbered; what is on hand of a priced part counts as on the shelf."""
        return ((number, part, source) for number, (part, source) in enumerate(self._all()))

    def _all(self) -> Iterator[tuple[Part, str]]:
        yield from ((_with_blanks(part), "box") for part in self.box)
        yield from ((part, "shelf") for part in self.shelf)
        yield from ((part, "shelf") for part in self.prices if part.on_hand)
        yield from ((part, "order") for part in self.prices)


def _with_blanks(part: Part) -> Part:
    """A link of the kit with an end that is not stated at all may still be the one that is needed: that end is asked for."""
    if part.role not in LINKS or None not in (part.end_a, part.end_b):
        return part
    return replace(part, end_a=part.end_a or BLANK, end_b=part.end_b or BLANK)


def count(part: Part, source: str) -> float:
    """Whole pieces of a row that is there; a row without a quantity stands for the one piece that it names."""
    stated = part.on_hand if source == "shelf" and part.on_hand is not None else part.quantity
    return 1 if stated is None else int(stated * PIECES.get(part.unit, 1))


def _rank(part: Part, source: str) -> Rank:
    unsided = 0 if part.side in ("left", "right") else 1
    ends = (part.end_a.name, part.end_b.name, str(part.length))
    names = (str(SOURCES.index(source)), part.part_number, part.supplier, part.description, *ends)
    if source != "order":
        return Rank(0, 0, 0.0, unsided, names)
    price = 0 if part.unit_price is None else round(part.unit_price * PRICE_STEPS)
    lead = inf if part.lead_days is None else part.lead_days
    return Rank(int(part.unit_price is None), price, lead, unsided, names)


HOW_TO_SEE = sections("line_end_asks")["ask"]
GENDERS = {"banjo": ("eye", "port")}


def asks_about(end: LineEnd, whose: str) -> tuple[str, ...]:
    """One question for each thing that the end lacks; whose: "the car's line end", "end A of hose H-12"."""
    if end is BLANK:
        return (f"State {whose}: its thread with pitch, what it seals on, and its gender.",)
    return tuple(f'State {HOW_TO_SEE[what]} ({whose}, typed as "{end.name}").' for what in end.unknown)


def part_asks(part: Part, named: str) -> str:
    """All that is to be asked about both ends of a part, as one text."""
    ends = (("A", part.end_a or BLANK), ("B", part.end_b or BLANK))
    return " ".join(text for letter, end in ends for text in asks_about(end, f"end {letter} of {named}"))


def completions(end: LineEnd, known: Iterable[LineEnd]) -> list[LineEnd]:
    """The complete ends that this one may turn out to be: of either gender, or like one of `known` or its counterpart."""
    if not end.unknown:
        return [end]
    found: dict[tuple[object, ...], LineEnd] = {}
    if end.unknown == ("gender",):
        for gender in GENDERS.get(str(end.seat), ("male", "female")):
            _keep(found, replace(end, gender=gender, name=f"{end.name} {gender}"))
    for other in known:
        for candidate in (other, opposite(other)):
            if agrees(end, candidate):
                _keep(found, candidate)
    return list(found.values())


def _keep(found: dict[tuple[object, ...], LineEnd], end: LineEnd) -> None:
    assert end.thread is not None
    found.setdefault((end.thread.name, end.seat, end.gender, end.tube), end)


def agrees(end: LineEnd, candidate: LineEnd) -> bool:
    """Whether nothing that is stated of an end speaks against its being this complete one."""
    if end.seat not in (None, candidate.seat) or end.gender not in (None, candidate.gender):
        return False
    if end.thread is None or candidate.thread is None:
        return True
    if end.thread.pitch is not None:
        return end.thread.name == candidate.thread.name
    same_form = end.thread.form == candidate.thread.form
    return same_form and abs(end.thread.diameter - candidate.thread.diameter) < 1e-6
