"""Caliper to bracket: holes, threads and screws."""

from typing import Any

from bomcheck.model.affine import least, most
from bomcheck.model.demand import Demand
from bomcheck.model.finding import mm
from bomcheck.model.rule import Cure, Match, Reading, check, match, no_cure
from bomcheck.model.types import Thread
from bomcheck.model.verdict import Verdict
from bomcheck.rules.threads import compare_threads

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
    requires=("bracket_thread",),
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


ENGAGEMENT = {m: f"screw_engagement_{m}" for m in ("steel", "iron", "aluminium")}


def _needed(reading: Reading) -> float:
    """Thread that the limit asks for [mm]."""
    assert reading.limit is not None
    assert reading.limit.low is not None
    return reading.limit.low * reading.number("caliper_screw_diameter")


def _shallow(reading: Reading, key: str, whose: str) -> str:
    """What to say of a thread that is itself too short for any screw, "" where it is deep enough."""
    depth, wanted = reading.number(key) - reading.sizes.half(key), _needed(reading)
    if depth >= wanted:
        return ""
    return f"{whose} thread is only {mm(depth, 1)} deep, {mm(wanted, 1)} are needed: ask the kit maker"


def _longer_screws(reading: Reading) -> Cure:
    length = reading.number("caliper_screw_length")
    new = round(length + reading.short * reading.number("caliper_screw_diameter") + 0.5)
    name = reading.sizes["caliper_screw_thread"].name
    screws = Demand("caliper screw", 2, spec={"thread": name, "length": (new - 0.5, new + 2.0)}, used_at="caliper to bracket",
                    reason=f"screws of {mm(length)} are too short", said=f"caliper screws {mm(new)} long under the head")  # fmt: skip
    text = f"Use caliper screws {mm(new)} long instead of {mm(length)}"
    return Cure(PARTS, text, (screws,), {"caliper_screw_length": (float(new), 0.25)})


def _caliper_screw_length(reading: Reading) -> Cure:
    shallow = _shallow(reading, "bracket_thread_depth", "The bracket's")
    return Cure(MACHINE, shallow) if shallow else _longer_screws(reading)


@check(
    limit=ENGAGEMENT, limit_by="bracket_material", unit="x diameter",
    when={"caliper_fastening": "screw into bracket", "caliper_mount": "radial"}, stack="radial", remedy=_caliper_screw_length,
)  # fmt: skip
def caliper_screw_in_bracket(
    caliper_screw_length: Any,
    caliper_lug_thickness: Any,
    radial_shim_stack: Any,
    caliper_washers: Any,
    bracket_thread_depth: Any,
    caliper_screw_diameter: float,
) -> Any:
    """Caliper screw engaged in the bracket

    Must be true:
        Enough of the caliper screw's thread stands in the bracket behind washers, lug and shims.
    Why:
        This joint carries the whole braking force.
    Example:
        >>> caliper_screw_in_bracket(60.0, 37.0, 1.0, 2.0, 25.0, 10.0)
        2.0

    Remedy:
        Screws of another length.
    Source:
        common practice, no source: one diameter in steel, one and a half in iron, two in aluminium; compare FED-STD-H28
    """
    reach = caliper_screw_length - caliper_lug_thickness - radial_shim_stack - caliper_washers
    return least(reach, bracket_thread_depth) / caliper_screw_diameter


@check(
    limit=ENGAGEMENT, limit_by="bracket_material", unit="x diameter",
    when={"caliper_fastening": "screw into bracket", "caliper_mount": "axial lug"}, stack="axial", remedy=_caliper_screw_length,
)  # fmt: skip
def caliper_lug_screw_in_bracket(
    caliper_screw_length: Any, caliper_lug_thickness: Any, shims_in_lug_joint: float, axial_shim_stack: Any, caliper_washers: Any,
    bracket_thread_depth: Any, caliper_screw_diameter: float,
) -> Any:  # fmt: skip
    """Caliper screw engaged in the bracket, axial lug

    Must be true:
        Enough of the caliper screw's thread stands in the bracket behind washers, lug and shims.
    Why:
        This joint carries the whole braking force.
    Example:
        >>> caliper_lug_screw_in_bracket(40.0, 17.0, 1.0, 1.0, 2.0, 25.0, 10.0)
        2.0

    Remedy:
        Screws of another length.
    Source:
        common practice, no source: one diameter in steel, one and a half in iron, two in aluminium; compare FED-STD-H28
    """
    reach = caliper_screw_length - caliper_lug_thickness - axial_shim_stack * shims_in_lug_joint - caliper_washers
    return least(reach, bracket_thread_depth) / caliper_screw_diameter


def screw_into_caliper(reading: Reading) -> Cure:
    """Longer screws, unless the caliper's thread itself is too short."""
    shallow = _shallow(reading, "caliper_thread_depth", "The caliper's")
    return no_cure(NO, shallow) if shallow else _longer_screws(reading)


@check(
    limit="screw_engagement_aluminium", unit="x diameter",
    when={"caliper_fastening": "screw into caliper", "caliper_mount": "radial"}, stack="radial", remedy=screw_into_caliper,
)  # fmt: skip
def screw_in_caliper(
    caliper_screw_length: Any, bracket_caliper_thickness: Any, radial_shim_stack: Any, caliper_washers: Any, caliper_thread_depth: Any,
    caliper_screw_diameter: float,
) -> Any:  # fmt: skip
    """Screw engaged in the caliper

    Must be true:
        Enough of the screw's thread stands in the caliper behind washers, bracket and shims.
    Why:
        A caliper's body is aluminium; a short thread pulls out.
    Example:
        >>> screw_in_caliper(45.0, 20.0, 1.0, 2.0, 25.0, 10.0)
        2.2

    Remedy:
        Screws of another length, as far as the caliper's thread is deep.
    Source:
        common practice, no source: two diameters in aluminium; compare FED-STD-H28
    """
    reach = caliper_screw_length - bracket_caliper_thickness - radial_shim_stack - caliper_washers
    return least(reach, caliper_thread_depth) / caliper_screw_diameter
