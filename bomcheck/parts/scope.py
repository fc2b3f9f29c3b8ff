"""Which corners of the axle a job is about."""

from dataclasses import dataclass

from bomcheck.job import Job

BOTH = ("left", "right")


@dataclass(frozen=True, slots=True)
class Scope:
    """count: corners in scope, 1 or 2. sides: which; empty where one corner is meant and its side is not known.

    ask: what is open about it, "" if nothing.
    """

    count: int
    sides: tuple[str, ...]
    ask: str = ""

    def times(self, per: str, side: str) -> int:
        """How often a demand counts; a demand for one side counts once, and only where that side is in scope."""
        if side in BOTH:
            return int(side in self.sides)
        return self.count if per == "corner" else 1

    @property
    def side_open(self) -> bool:
        """One corner, but nobody said which."""
        return not self.sides


def scope_of(job: Job, corners: int | None = None) -> Scope:
    """The corners in scope. corners: as the caller knows it; None: as the job says, or 2 with a question."""
    side = job.get("corner_side")
    stated = corners or job.get("corners")
    if stated is None and side is None:
        return Scope(2, BOTH, "Is one corner of the axle converted, or both? Quantities are counted for both")
    count = int(stated) if stated is not None else 2 if side == "both" else 1
    if count == 2:
        ask = f"Two corners, but the side is {side}: both are counted; is that right?" if side in BOTH else ""
        return Scope(2, BOTH, ask)
    if side in BOTH:
        return Scope(1, (side,))
    return Scope(1, (), "Which corner is converted, seen sitting in the car and facing forward: left or right?")
