"""What joins what: two ends of a brake line, and whether they seal, must never meet, or are not known well enough.

Two ends join only if their genders oppose and seat and thread, pitch included, are equal. Everything else is refused
with the reason in plain words; nothing that is missing is guessed.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from bomcheck.job import Part
from bomcheck.notation.types import LineEnd, Thread
from bomcheck.parts.line_tables import JointRow, joint_rows, never_rows, wrenches

INNER = {"male", "eye"}
OPPOSITE = {"male": "female", "female": "male", "eye": "port", "port": "eye"}
FLARED = {"inverted flare", "bubble", "37"}
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
        return Refusal(f"both ends are {_sides(a, b)}: neither goes into the other", trap=False)
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


def _sides(a: LineEnd, b: LineEnd) -> str:
    return str(a.gender) if a.gender == b.gender else f"of the same side ({a.gender} and {b.gender})"


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
    if a.seat not in FLARED or a.tube is None or b.tube is None or abs(a.tube - b.tube) <= SAME_TUBE:
        return None
    return Refusal(f"the thread is the same but the tubes differ: {a.tube:g} mm and {b.tube:g} mm", trap=True)


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
        return Need(role, quantity, f"{_size(thread)} bore", reason, unit, bore=thread.diameter)
    if role == "O-ring":
        return Need(role, quantity, f"for {thread.name}, safe in brake fluid", reason, unit, thread)
    return Need(role, quantity, "safe in brake fluid, taper thread only", reason, unit)


def _size(thread: Thread) -> str:
    return f"{thread.diameter:g} mm" if thread.form == "M" else f"{thread.name.split('-')[0]} in"
