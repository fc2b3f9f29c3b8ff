"""Caliper to bracket: spacing and threads. Lengths in mm."""

from typing import Any

from bomcheck.notation.types import Thread
from bomcheck.parts.demand import Demand
from bomcheck.verdict.affine import most
from bomcheck.verdict.check import Match, check, match
from bomcheck.verdict.cure import Cure, Reading, no_cure
from bomcheck.verdict.threads import compare_threads
from bomcheck.verdict.verdict import Verdict

PARTS, MACHINE, NO = Verdict.FITS_WITH_PARTS, Verdict.NEEDS_MACHINING, Verdict.DOES_NOT_FIT


def _other_bracket(reading: Reading) -> Cure:
    return no_cure(NO, "Bracket and caliper do not belong together: ask the kit maker")


@check(
    limit="caliper_spacing",
    when={"caliper_fastening": ("stud in bracket", "screw into bracket")},
    remedy=_other_bracket,
)
def caliper_spacing_fits(
    bracket_caliper_spacing: Any, caliper_mount_spacing: Any, caliper_hole_diameter: Any, caliper_screw_diameter: float
) -> Any:
    """Caliper mount spacing beyond the float

    Must be true:
        The caliper's holes differ from the bracket's by no more than the float of the screws in them.
    Why:
        A caliper that is forced over its studs stands crooked.
    Example:
        >>> round(caliper_spacing_fits(130.2, 130.0, 10.5, 10.0), 2)
        -0.3

    Remedy:
        None: bracket and caliper do not belong together.
    Source:
        common practice, no source
    """
    off = most(bracket_caliper_spacing - caliper_mount_spacing, caliper_mount_spacing - bracket_caliper_spacing)
    return off - (caliper_hole_diameter - caliper_screw_diameter)


def _caliper_thread_cure(reading: Reading) -> Cure:
    thread = reading.sizes["bracket_thread"]
    stud = reading.known("caliper_fastening") == "stud in bracket"
    part = Demand("caliper stud" if stud else "caliper screw", 2, spec={"thread": thread.name}, used_at="caliper to bracket",
                  reason=f"the bracket is tapped {thread.name}", said=f"of thread {thread.name}")  # fmt: skip
    return Cure(PARTS, f"Order caliper {'studs' if stud else 'screws'} {thread.name}", (part,))


@match(
    when={"caliper_fastening": ("stud in bracket", "screw into bracket")},
    given=("bracket_thread",),
    remedy=_caliper_thread_cure,
)
def caliper_thread_in_bracket(bracket_thread: Thread, caliper_screw_thread: Thread) -> Match:
    """Caliper screw thread in the bracket

    Must be true:
        The caliper's screws or studs have the thread and pitch that the bracket is tapped with.
    Why:
        A screw of nearly the right thread takes the bracket's thread with it.
    Example:
        >>> from bomcheck.notation import read_thread
        >>> caliper_thread_in_bracket(read_thread("M10x1.25"), read_thread("M10x1.5")).same
        False

    Remedy:
        Screws or studs of the bracket's thread.
    Source:
        common practice, no source
    """
    return compare_threads(
        bracket_thread, caliper_screw_thread, "bracket", "caliper screw", ("bracket_thread", "caliper_screw_thread")
    )
