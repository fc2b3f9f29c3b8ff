"""Plain shanks inside the clamped parts, and the screw in a caliper's own lug. Lengths in mm.

A screw is threaded from its tip; what is left under its head is plain. Only where the thread's length is stated are the
shanks looked at: a screw that is threaded throughout has none.
"""

from math import ceil
from typing import Any

from bomcheck.model.affine import least
from bomcheck.model.demand import Demand
from bomcheck.model.finding import mm
from bomcheck.model.rule import Cure, Reading, check
from bomcheck.model.verdict import Verdict
from bomcheck.rules.derived import derived
from bomcheck.rules.mount_caliper import screw_into_caliper

LUG_JOINTS = ("stud in bracket", "screw into bracket")
NEW_HALF = 0.25  # mm: ± of a screw that is bought to a length


@derived("bracket_clamped", "parts under the bracket screw's head", when={"bracket_screw_into": "ear"})
def clamped_on_ear(bracket_washers: Any, bracket_ear_thickness: Any) -> Any:
    """The ear is tapped: washers and bracket are clamped, shims apart [mm]."""
    return bracket_washers + bracket_ear_thickness


@derived("bracket_clamped", "parts under the bracket screw's head", when={"bracket_screw_into": "bracket"})
def clamped_on_bracket(bracket_washers: Any, ear_thickness: Any) -> Any:
    """The bracket is tapped: washers and ear are clamped [mm]."""
    return bracket_washers + ear_thickness


@derived("bracket_clamped", "parts under the bracket screw's head", when={"bracket_screw_into": "nut"})
def clamped_by_nut(bracket_washers: Any, bracket_ear_thickness: Any, ear_thickness: Any) -> Any:
    """Both are plain: washers, bracket and ear are clamped [mm]."""
    return bracket_washers + bracket_ear_thickness + ear_thickness


@derived("caliper_clamped", "parts clamped by the caliper screw", when={"caliper_fastening": LUG_JOINTS})
def clamped_lug(caliper_washers: Any, caliper_lug_thickness: Any) -> Any:
    """The bracket is tapped: washers and the caliper's lug are clamped, shims apart [mm]."""
    return caliper_washers + caliper_lug_thickness


@derived("caliper_clamped", "parts clamped by the caliper screw", when={"caliper_fastening": "screw and nut"})
def clamped_lug_and_bracket(caliper_washers: Any, caliper_lug_thickness: Any, bracket_caliper_thickness: Any) -> Any:
    """Both are plain: washers, lug and bracket are clamped [mm]."""
    return caliper_washers + caliper_lug_thickness + bracket_caliper_thickness


@derived("caliper_clamped", "parts clamped by the caliper screw", when={"caliper_fastening": "screw into caliper"})
def clamped_on_caliper(caliper_washers: Any, bracket_caliper_thickness: Any) -> Any:
    """The caliper is tapped: washers and bracket are clamped [mm]."""
    return caliper_washers + bracket_caliper_thickness


def _more_thread(role: str, joint: str, place: str, reading: Reading) -> Cure:
    """Screws of the same length with so much thread that the worst case comes up to the limit."""
    key, pitch = f"{joint}_screw_thread_length", reading.number(f"{joint}_screw_pitch")
    now, thread = reading.number(key), reading.sizes[f"{joint}_screw_thread"].name
    wanted = float(ceil(now + reading.short * pitch + NEW_HALF))
    said = f"{role}s {thread} with at least {mm(wanted)} of thread, or threaded throughout"
    reason = f"the plain shank of screws with {mm(now)} of thread is longer than what they clamp"
    part = Demand(
        role, 2, spec={"thread": thread, "thread_length": "full thread"}, reason=reason, used_at=place, said=said
    )
    do = f"Use {said}; the strength class stays"
    return Cure(Verdict.FITS_WITH_PARTS, do, (part,), {key: (wanted, NEW_HALF)})


def _bracket_thread(reading: Reading) -> Cure:
    return _more_thread("bracket screw", "bracket", "bracket to ear", reading)


def _caliper_thread(reading: Reading) -> Cure:
    role = "caliper stud" if reading.known("caliper_fastening") == "stud in bracket" else "caliper screw"
    return _more_thread(role, "caliper", "caliper to bracket", reading)


@check(
    limit="thread_in_grip",
    unit="pitches",
    requires=("bracket_screw_thread_length",),
    stack="axial",
    remedy=_bracket_thread,
)
def bracket_shank_in_grip(
    bracket_clamped: Any, shims_in_ear_joint: float, axial_shim_stack: Any, bracket_screw_length: Any,
    bracket_screw_thread_length: Any, bracket_screw_pitch: float,
) -> Any:  # fmt: skip
    """Bracket screw's shank inside the grip

    Must be true:
        The plain shank of the bracket screw ends at least half a pitch inside what it clamps: washers, parts and shims.
    Why:
        A longer shank meets the nut or the tapped thread: the torque is reached and nothing is clamped.
    Example:
        >>> bracket_shank_in_grip(35.5, 1.0, 1.0, 60.0, 30.0, 1.5)
        4.333333333333333

    Remedy:
        Screws with more thread, or threaded throughout.
    Source:
        common practice, no source
    """
    shank = bracket_screw_length - bracket_screw_thread_length
    return (bracket_clamped + axial_shim_stack * shims_in_ear_joint - shank) / bracket_screw_pitch


@check(
    limit="thread_in_grip", unit="pitches", when={"caliper_mount": "radial"}, requires=("caliper_screw_thread_length",),
    stack="radial", remedy=_caliper_thread,
)  # fmt: skip
def caliper_shank_in_grip(
    caliper_clamped: Any, radial_shim_stack: Any, caliper_screw_length: Any, caliper_screw_thread_length: Any,
    caliper_screw_pitch: float,
) -> Any:  # fmt: skip
    """Caliper screw's shank inside the grip

    Must be true:
        The plain shank of the caliper's screw or stud ends at least half a pitch inside what it clamps.
    Why:
        A longer shank meets the nut or the tapped thread: the torque is reached and nothing is clamped.
    Example:
        >>> caliper_shank_in_grip(38.0, 1.5, 58.0, 25.0, 1.25)
        5.2

    Remedy:
        Screws or studs with more thread, or threaded throughout.
    Source:
        common practice, no source
    """
    shank = caliper_screw_length - caliper_screw_thread_length
    return (caliper_clamped + radial_shim_stack - shank) / caliper_screw_pitch


@check(
    limit="thread_in_grip", unit="pitches", when={"caliper_mount": "axial lug"}, requires=("caliper_screw_thread_length",),
    stack="axial", remedy=_caliper_thread,
)  # fmt: skip
def caliper_lug_shank_in_grip(
    caliper_clamped: Any, shims_in_lug_joint: float, axial_shim_stack: Any, caliper_screw_length: Any,
    caliper_screw_thread_length: Any, caliper_screw_pitch: float,
) -> Any:  # fmt: skip
    """Caliper screw's shank inside the grip, axial lug

    Must be true:
        The plain shank of the caliper's screw or stud ends at least half a pitch inside what it clamps.
    Why:
        A longer shank meets the nut or the tapped thread: the torque is reached and nothing is clamped.
    Example:
        >>> caliper_lug_shank_in_grip(38.0, 1.0, 1.5, 58.0, 25.0, 1.25)
        5.2

    Remedy:
        Screws or studs with more thread, or threaded throughout.
    Source:
        common practice, no source
    """
    shank = caliper_screw_length - caliper_screw_thread_length
    return (caliper_clamped + axial_shim_stack * shims_in_lug_joint - shank) / caliper_screw_pitch


@check(
    limit="screw_engagement_aluminium", unit="x diameter",
    when={"caliper_fastening": "screw into caliper", "caliper_mount": "axial lug"}, stack="axial", remedy=screw_into_caliper,
)  # fmt: skip
def lug_screw_in_caliper(
    caliper_screw_length: Any, bracket_caliper_thickness: Any, shims_in_lug_joint: float, axial_shim_stack: Any,
    caliper_washers: Any, caliper_thread_depth: Any, caliper_screw_diameter: float,
) -> Any:  # fmt: skip
    """Screw engaged in the caliper, axial lug

    Must be true:
        Enough of the screw's thread stands in the caliper's lug behind washers, bracket and shims.
    Why:
        A caliper's body is aluminium; a short thread pulls out.
    Example:
        >>> lug_screw_in_caliper(45.0, 20.0, 1.0, 1.0, 2.0, 25.0, 10.0)
        2.2

    Remedy:
        Screws of another length, as far as the caliper's thread is deep.
    Source:
        common practice, no source: two diameters in aluminium; compare FED-STD-H28
    """
    reach = caliper_screw_length - bracket_caliper_thickness - axial_shim_stack * shims_in_lug_joint - caliper_washers
    return least(reach, caliper_thread_depth) / caliper_screw_diameter
