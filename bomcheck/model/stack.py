"""A stack of shims at the screws of a bracket, and what is known of the one to be laid. Pure data."""

import re
from dataclasses import field

from bomcheck.model.finding import mm
from bomcheck.model.job import Part
from bomcheck.model.records import dataclass

FOR = {"axial": "Caliper centred on the rotor", "radial": "Pads flush with the rotor's edge"}
"""What each stack is there for, as it is called where it is laid."""


@dataclass(frozen=True, slots=True)
class Stack:
    """Pieces at one screw, as (thickness [mm], how many), thickest first."""

    pieces: tuple[tuple[float, int], ...] = ()
    thickness: float = field(init=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "thickness", round(sum((size * count for size, count in self.pieces), 0.0), 6))

    @property
    def count(self) -> int:
        return sum(count for _, count in self.pieces)

    def __str__(self) -> str:
        if not self.pieces:
            return "no shims"
        inner = " + ".join(f"{count} x {mm(size, 2)}" for size, count in self.pieces)
        return f"{mm(self.thickness, 2)} ({inner})"


@dataclass(frozen=True)
class StackPlan:
    """What is known of one shim stack.

    name: "axial" or "radial". likely: for the sizes as stated. least, most: thinnest and thickest that may be needed
    for a true size inside the ±. covered: whether the pieces in the box serve every true size; None when the pieces
    are not known. pieces: what must lie at hand for one screw, (thickness [mm], how many), so that every true size finds
    its stack; None where no pieces do that, or where it is not known what the box holds. leaves: where the likely one brings
    the check that the stack is there for, for the sizes as stated [mm].
    """

    name: str
    likely: Stack
    least: Stack
    most: Stack
    covered: bool | None
    pieces: tuple[tuple[float, int], ...] | None = None
    leaves: float = 0.0


def other_stack(part: Part, name: str) -> str:
    """The stack that a shim says it is for where it is not this one; one that says neither goes where its hole goes."""
    words = re.findall("[a-z]+", f"{part.description} {part.note}".lower())
    return next((one for one in ("axial", "radial") if one != name and one in words and name not in words), "")
