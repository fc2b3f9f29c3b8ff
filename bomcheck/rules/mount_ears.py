"""Bracket to knuckle: holes, threads and screws at the ears."""

from typing import Any

from bomcheck.model.affine import least, most
from bomcheck.model.demand import Demand
from bomcheck.model.finding import mm
from bomcheck.model.limits import limit_for
from bomcheck.model.rule import Cure, Match, Reading, check, match, no_cure
from bomcheck.model.types import Thread
from bomcheck.model.verdict import Verdict
from bomcheck.rules.threads import compare_threads

PARTS, MACHINE, NO = Verdict.FITS_WITH_PARTS, Verdict.NEEDS_MACHINING, Verdict.DOES_NOT_FIT
TAPPED = ("tapped through", "tapped blind")


def _ream(reading: Reading) -> Cure:
    assert reading.value is not None
    most_reamed = limit_for("ear_spacing_ream", reading.sizes.job).high or 0.0
    if reading.value.middle <= most_reamed:
        return Cure(
            MACHINE,
            f"The spacing is {mm(reading.value.middle, 2)} beyond the float: ream or slot the holes, only if the kit maker allows it",
        )
    return no_cure(
        NO, f"The spacing is {mm(reading.value.middle, 2)} beyond the float: this bracket is not made for this knuckle"
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
        return Cure(MACHINE, f"Drill and ream the hole to {mm(screw + 0.3, 1)}, only if the kit maker allows it")
    assert reading.value is not None
    hole = screw + reading.value.middle
    sleeve = Demand("stepped sleeve", 2, spec={"inner_diameter": (screw, screw + 0.1), "outer_diameter": (hole - 0.1, hole)},
                    reason="the hole is larger than the screw", used_at="bracket to ear", said=f"stepped sleeve, {mm(hole, 1)} outside, {mm(screw, 1)} inside")  # fmt: skip
    return Cure(PARTS, f"Fit stepped sleeves, {mm(hole, 1)} outside and {mm(screw, 1)} inside", (sleeve,))


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


ENGAGEMENT = {m: f"screw_engagement_{m}" for m in ("steel", "iron", "aluminium")}


def _screw_length(reading: Reading) -> Cure:
    """Another length: the worst case of the engagement is brought up to the limit, the bottom of a blind hole kept."""
    diameter = reading.number("bracket_screw_diameter")
    into_bracket = reading.known("bracket_screw_into") == "bracket"
    depth_keys = ("bracket_thread_depth",) if into_bracket else ("ear_thread_depth", "ear_thickness")
    depths = [reading.number(key) - reading.sizes.half(key) for key in depth_keys if reading.sizes.has(key)]
    wanted = diameter * (reading.limit.low or 0.0) if reading.limit and reading.limit.unit == "x diameter" else diameter
    if depths and min(depths) < wanted:
        return Cure(
            MACHINE,
            f"The thread is only {mm(min(depths), 1)} deep, {mm(wanted, 1)} are needed: fit a thread insert or ask the kit maker",
        )
    length = reading.number("bracket_screw_length")
    by = reading.short * diameter if reading.limit and reading.limit.unit == "x diameter" else -reading.short
    new = round(length + by + (0.5 if by > 0 else -0.5))
    screws = Demand("bracket screw", 2, spec={"thread": reading.sizes["bracket_screw_thread"].name, "length": (new - 0.5, new + 2.0)},
                    reason=f"screws of {mm(length)} are too {'short' if by > 0 else 'long'}", used_at="bracket to ear",
                    said=f"bracket screws {mm(new)} long under the head")  # fmt: skip
    text = f"Use bracket screws {mm(new)} long under the head instead of {mm(length)}"
    return Cure(PARTS, text, (screws,), {"bracket_screw_length": (float(new), 0.25)})


@check(
    limit=ENGAGEMENT, limit_by="ear_material", unit="x diameter",
    when={"ear_hole": "tapped through", "bracket_screw_into": "ear"}, stack="axial", remedy=_screw_length,
)  # fmt: skip
def engagement_in_ear(
    bracket_screw_length: Any, bracket_washers: Any, bracket_ear_thickness: Any, shims_in_ear_joint: float, axial_shim_stack: Any,
    ear_thread_depth: Any, ear_thickness: Any, bracket_screw_diameter: float,
) -> Any:  # fmt: skip
    """Bracket screw engaged in the ear

    Must be true:
        Enough of the screw's thread stands in the ear behind washers, bracket and shims.
    Why:
        This joint carries the whole braking force.
    Example:
        >>> engagement_in_ear(40.0, 2.5, 15.0, 1.0, 1.5, 20.0, 18.0, 12.0)
        1.5

    Remedy:
        Screws of another length; a thread insert where the thread itself is too short.
    Source:
        common practice, no source: one diameter in steel, one and a half in iron, two in aluminium; compare FED-STD-H28
    """
    reach = bracket_screw_length - bracket_washers - bracket_ear_thickness - axial_shim_stack * shims_in_ear_joint
    return least(reach, ear_thread_depth, ear_thickness) / bracket_screw_diameter


@check(
    limit=ENGAGEMENT, limit_by="ear_material", unit="x diameter",
    when={"ear_hole": "tapped blind", "bracket_screw_into": "ear"}, stack="axial", remedy=_screw_length,
)  # fmt: skip
def engagement_in_blind_ear(
    bracket_screw_length: Any, bracket_washers: Any, bracket_ear_thickness: Any, shims_in_ear_joint: float, axial_shim_stack: Any,
    ear_thread_depth: Any, bracket_screw_diameter: float,
) -> Any:  # fmt: skip
    """Bracket screw engaged in the blind ear

    Must be true:
        Enough of the screw's thread stands in the ear's blind hole behind washers, bracket and shims.
    Why:
        This joint carries the whole braking force.
    Example:
        >>> engagement_in_blind_ear(38.0, 2.5, 15.0, 1.0, 2.5, 20.0, 12.0)
        1.5

    Remedy:
        Screws of another length; a thread insert where the thread itself is too short.
    Source:
        common practice, no source: one diameter in steel, one and a half in iron, two in aluminium; compare FED-STD-H28
    """
    reach = bracket_screw_length - bracket_washers - bracket_ear_thickness - axial_shim_stack * shims_in_ear_joint
    return least(reach, ear_thread_depth) / bracket_screw_diameter


@check(
    limit="blind_hole",
    when={"ear_hole": "tapped blind", "bracket_screw_into": "ear"},
    stack="axial",
    remedy=_screw_length,
)
def screw_bottoms_in_ear(
    ear_thread_depth: Any,
    bracket_screw_length: Any,
    bracket_washers: Any,
    bracket_ear_thickness: Any,
    shims_in_ear_joint: float,
    axial_shim_stack: Any,
) -> Any:
    """Bracket screw before the bottom of the ear

    Must be true:
        The screw clamps the bracket before it meets the bottom of the blind hole.
    Why:
        A screw that bottoms feels tight and leaves the bracket loose.
    Example:
        >>> screw_bottoms_in_ear(20.0, 36.0, 2.5, 15.0, 1.0, 1.5)
        3.0

    Remedy:
        Shorter screws.
    Source:
        common practice, no source
    """
    return ear_thread_depth - (
        bracket_screw_length - bracket_washers - bracket_ear_thickness - axial_shim_stack * shims_in_ear_joint
    )


@check(
    limit=ENGAGEMENT, limit_by="bracket_material", unit="x diameter",
    when={"bracket_screw_into": "bracket"}, stack="axial", remedy=_screw_length,
)  # fmt: skip
def engagement_in_bracket(
    bracket_screw_length: Any, bracket_washers: Any, ear_thickness: Any, shims_in_ear_joint: float, axial_shim_stack: Any,
    bracket_thread_depth: Any, bracket_screw_diameter: float,
) -> Any:  # fmt: skip
    """Bracket screw engaged in the bracket

    Must be true:
        Enough of the screw's thread stands in the tapped bracket behind washers, ear and shims.
    Why:
        This joint carries the whole braking force.
    Example:
        >>> engagement_in_bracket(45.0, 2.5, 18.0, 1.0, 0.5, 26.0, 12.0)
        2.0

    Remedy:
        Screws of another length; a thread insert where the thread itself is too short.
    Source:
        common practice, no source: one diameter in steel, one and a half in iron, two in aluminium; compare FED-STD-H28
    """
    reach = bracket_screw_length - bracket_washers - ear_thickness - axial_shim_stack * shims_in_ear_joint
    return least(reach, bracket_thread_depth) / bracket_screw_diameter
