"""Ends that are not fully known: what they may turn out to be, and what to ask about them."""

from collections.abc import Iterable
from dataclasses import replace

from bomcheck.job import Part
from bomcheck.notation.types import LineEnd
from bomcheck.parts.ends import opposite

HOW_TO_SEE = {
    "thread": "which thread it has: hold a thread gauge and a vernier to it",
    "pitch": "which pitch its thread has: hold a thread gauge to it",
    "seat": "what it seals on: inverted flare, bubble, 37 cone, NPT taper, banjo, crush washer or O-ring",
    "gender": "its gender: a thread on the outside is male, inside a hole female; a banjo is an eye or a port",
}
GENDERS = {"banjo": ("eye", "port")}


def asks_about(end: LineEnd, whose: str) -> tuple[str, ...]:
    """One question for each thing that the end lacks; whose: "the car's line end", "end A of hose H-12"."""
    return tuple(f'State {HOW_TO_SEE[what]} ({whose}, typed as "{end.name}").' for what in end.unknown)


def part_asks(part: Part, named: str) -> str:
    """All that is to be asked about both ends of a part, as one text."""
    ends = (("A", part.end_a), ("B", part.end_b))
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
            if _agrees(end, candidate):
                _keep(found, candidate)
    return list(found.values())


def _keep(found: dict[tuple[object, ...], LineEnd], end: LineEnd) -> None:
    assert end.thread is not None
    found.setdefault((end.thread.name, end.seat, end.gender, end.tube), end)


def _agrees(end: LineEnd, candidate: LineEnd) -> bool:
    if end.seat not in (None, candidate.seat) or end.gender not in (None, candidate.gender):
        return False
    if end.thread is None or candidate.thread is None:
        return True
    if end.thread.pitch is not None:
        return end.thread.name == candidate.thread.name
    same_form = end.thread.form == candidate.thread.form
    return same_form and abs(end.thread.diameter - candidate.thread.diameter) < 1e-6
