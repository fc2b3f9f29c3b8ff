"""Bracket to ear: spacing, holes and threads. Lengths in mm."""

from typing import Any

from bomcheck.notation.types import Thread
from bomcheck.parts.demand import Demand
from bomcheck.verdict.affine import most
from bomcheck.verdict.check import Match, check, match
from bomcheck.verdict.cure import Cure, Reading, no_cure
from bomcheck.verdict.limits import limit_for
from bomcheck.verdict.threads import compare_threads
from bomcheck.verdict.verdict import Verdict

PARTS, MACHINE, NO = Verdict.FITS_WITH_PARTS, Verdict.NEEDS_MACHINING, Verdict.DOES_NOT_FIT
TAPPED = ("tapped through", "tapped blind")


def _ream(reading: Reading) -> Cure:
    assert reading.value is not None
    most_reamed = limit_for("ear_spacing_ream", reading.sizes.job).high or 0.0
    if reading.value.middle <= most_reamed:
        return Cure(
            MACHINE,
            f"The spacing is {reading.value.middle:.2f} mm beyond the float: ream or slot the holes, only if the kit maker allows it",
        )
    return no_cure(
        NO, f"The spacing is {reading.value.middle:.2f} mm beyond the float: this bracket is not made for this knuckle"
    )


@check(limit="ear_spacing", remedy=_ream)
def ear_spacing_fits(bracket_ear_spacing: Any, ear_spacing: Any, ear_float: Any) -> Any:
    """Ear spacing beyond the float

    Must be true:
        The bracket's holes differ from the ears' by no more than the float of the screws in the plain holes.
    Why:
        Screws that are forced in stand crooked and work loose.
    Example:
        >>> round(ear_spacing_fits(130.2, 130.0, 0.5), 2)
        -0.3

    Remedy:
        Up to 1 mm beyond the float: reaming, if the kit maker allows it. More: another bracket.
    Source:
        common practice, no source
    """
    return most(bracket_ear_spacing - ear_spacing, ear_spacing - bracket_ear_spacing) - ear_float


def _sleeve_or_ream(reading: Reading) -> Cure:
    screw = reading.number("bracket_screw_diameter")
    if reading.below:
        return Cure(MACHINE, f"Drill and ream the hole to {screw + 0.3:.1f} mm, only if the kit maker allows it")
    assert reading.value is not None
    hole = screw + reading.value.middle
    sleeve = Demand("stepped sleeve", 2, spec={"inner_diameter": (screw, screw + 0.1), "outer_diameter": (hole - 0.1, hole)},
                    reason="the hole is larger than the screw", used_at="bracket to ear", said=f"stepped sleeve, {hole:.1f} mm outside, {screw:.1f} mm inside")  # fmt: skip
    return Cure(PARTS, f"Fit stepped sleeves, {hole:.1f} mm outside and {screw:.1f} mm inside", (sleeve,))


@check(limit="ear_hole", when={"ear_hole": "plain through"}, remedy=_sleeve_or_ream)
def screw_in_ear_hole(ear_hole_diameter: Any, bracket_screw_diameter: float) -> Any:
    """Bracket screw in the ear's hole

    Must be true:
        The screw passes the ear's plain hole and has little play in it.
    Why:
        Too tight does not go in; too loose lets the bracket shift.
    Example:
        >>> round(screw_in_ear_hole(12.4, 12.0), 2)
        0.4

    Remedy:
        Stepped sleeves where the hole is too large, reaming where it is too small.
    Source:
        common practice, no source; compare the clearance holes of ISO 273
    """
    return ear_hole_diameter - bracket_screw_diameter


@check(limit="ear_hole", when={"bracket_screw_into": ("ear", "nut")}, remedy=_sleeve_or_ream)
def screw_in_bracket_hole(bracket_ear_hole_diameter: Any, bracket_screw_diameter: float) -> Any:
    """Bracket screw in the bracket's hole

    Must be true:
        The screw passes the bracket's plain hole and has little play in it.
    Why:
        Too tight does not go in; too loose lets the bracket shift.
    Example:
        >>> round(screw_in_bracket_hole(12.4, 12.0), 2)
        0.4

    Remedy:
        Stepped sleeves where the hole is too large, reaming where it is too small.
    Source:
        common practice, no source; compare the clearance holes of ISO 273
    """
    return bracket_ear_hole_diameter - bracket_screw_diameter


def _ear_thread_cure(reading: Reading) -> Cure:
    ear, screw = reading.sizes["ear_thread"], reading.sizes["bracket_screw_thread"]
    if ear.diameter >= screw.diameter:
        part = Demand("bracket screw", 2, spec={"thread": ear.name}, reason=f"the ear is tapped {ear.name}", used_at="bracket to ear",
                      said=f"bracket screws {ear.name} with sleeves to suit the bracket, or thread inserts {screw.name}")  # fmt: skip
        return Cure(
            PARTS,
            f"Fit thread inserts {screw.name} in the ear, or screws {ear.name} if the kit maker allows it",
            (part,),
        )
    return Cure(
        MACHINE,
        f"Have the ear drilled and tapped {screw.name} only if the kit maker allows it; otherwise another bracket",
    )


@match(when={"ear_hole": TAPPED, "bracket_screw_into": "ear"}, remedy=_ear_thread_cure)
def bracket_screw_thread_in_ear(ear_thread: Thread, bracket_screw_thread: Thread) -> Match:
    """Bracket screw thread in the ear

    Must be true:
        The bracket's screw has the thread and pitch that the ear is tapped with.
    Why:
        A screw of nearly the right thread takes the ear's thread with it.
    Example:
        >>> from bomcheck.notation import read_thread
        >>> bracket_screw_thread_in_ear(read_thread("M12x1.5"), read_thread("M12x1.75")).same
        False

    Remedy:
        Screws of the ear's thread, or thread inserts.
    Source:
        common practice, no source
    """
    return compare_threads(ear_thread, bracket_screw_thread, "ear", "screw", ("ear_thread", "bracket_screw_thread"))


def _bracket_thread_cure(reading: Reading) -> Cure:
    thread = reading.sizes["bracket_thread"]
    screws = Demand("bracket screw", 2, spec={"thread": thread.name}, reason=f"the bracket is tapped {thread.name}",
                    used_at="bracket to ear", said=f"bracket screws {thread.name}")  # fmt: skip
    return Cure(PARTS, f"Order bracket screws {thread.name}", (screws,))


@match(when={"bracket_screw_into": "bracket"}, remedy=_bracket_thread_cure)
def screw_thread_in_bracket(bracket_thread: Thread, bracket_screw_thread: Thread) -> Match:
    """Bracket screw thread in the bracket

    Must be true:
        The screw has the thread and pitch that the bracket is tapped with.
    Why:
        A screw of nearly the right thread takes the bracket's thread with it.
    Example:
        >>> from bomcheck.notation import read_thread
        >>> screw_thread_in_bracket(read_thread("M12x1.5"), read_thread("M12x1.5")).same
        True

    Remedy:
        Screws of the bracket's thread.
    Source:
        common practice, no source
    """
    return compare_threads(
        bracket_thread, bracket_screw_thread, "bracket", "screw", ("bracket_thread", "bracket_screw_thread")
    )
