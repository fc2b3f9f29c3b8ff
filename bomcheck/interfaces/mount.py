"""Bracket to knuckle and caliper to bracket: spacing, holes, threads, engagement, grip. Lengths in mm."""

from typing import Any

from bomcheck.notation.types import Thread
from bomcheck.parts.demand import Demand
from bomcheck.verdict.affine import least, most
from bomcheck.verdict.check import Match, check, match
from bomcheck.verdict.cure import Cure, Reading, no_cure
from bomcheck.verdict.limits import limit_for
from bomcheck.verdict.threads import compare_threads
from bomcheck.verdict.verdict import Verdict

PARTS, MACHINE, NO = Verdict.FITS_WITH_PARTS, Verdict.NEEDS_MACHINING, Verdict.DOES_NOT_FIT
ENGAGEMENT = {m: f"screw_engagement_{m}" for m in ("steel", "iron", "aluminium")}
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
    """Ear spacing

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
            f"The thread is only {min(depths):.1f} mm deep, {wanted:.1f} mm are needed: fit a thread insert or ask the kit maker",
        )
    length = reading.number("bracket_screw_length")
    by = reading.short * diameter if reading.limit and reading.limit.unit == "x diameter" else -reading.short
    new = round(length + by + (0.5 if by > 0 else -0.5))
    screws = Demand("bracket screw", 2, spec={"thread": reading.sizes["bracket_screw_thread"].name, "length": (new - 0.5, new + 2.0)},
                    reason=f"screws of {length:g} mm are too {'short' if by > 0 else 'long'}", used_at="bracket to ear",
                    said=f"bracket screws {new:g} mm long under the head")  # fmt: skip
    text = f"Use bracket screws {new:g} mm long under the head instead of {length:g} mm"
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


def _longer(role: str, key: str, thread: str, where: str, reading: Reading) -> Cure:
    pitch = reading.sizes[thread].pitch
    length = reading.number(key)
    new = float(-int(-(length + reading.short * pitch) // 1))
    name = reading.sizes[thread].name
    part = Demand(role, 2, spec={"thread": name, "length": (new, None)}, reason=f"{length:g} mm do not carry the whole nut",
                  used_at=where, said=f"{role}s {name}, at least {new:g} mm long")  # fmt: skip
    return Cure(
        PARTS,
        f"Use {role}s {name} at least {new:g} mm long instead of {length:g} mm, or a lower nut",
        (part,),
        {key: (new, 0.25)},
    )


def _longer_bracket_screw(reading: Reading) -> Cure:
    return _longer("bracket screw", "bracket_screw_length", "bracket_screw_thread", "bracket to ear", reading)


@check(
    limit="lock_nut_protrusion",
    unit="pitches",
    when={"bracket_screw_into": "nut"},
    stack="axial",
    remedy=_longer_bracket_screw,
)
def bracket_nut_on_thread(
    bracket_screw_length: Any, bracket_washers: Any, bracket_ear_thickness: Any, ear_thickness: Any, shims_in_ear_joint: float,
    axial_shim_stack: Any, bracket_nut_height: Any, bracket_screw_pitch: float,
) -> Any:  # fmt: skip
    """Bracket nut on full thread

    Must be true:
        The bracket screw shows at least two turns beyond its nut, behind washers, ear, bracket and shims.
    Why:
        A lock nut holds by its last turns.
    Example:
        >>> bracket_nut_on_thread(60.0, 5.0, 15.0, 18.0, 1.0, 1.0, 12.0, 1.5)
        6.0

    Remedy:
        Longer screws, or lower nuts.
    Source:
        common practice, no source
    """
    grip = bracket_washers + bracket_ear_thickness + ear_thickness + axial_shim_stack * shims_in_ear_joint
    return (bracket_screw_length - grip - bracket_nut_height) / bracket_screw_pitch


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
    """Caliper mount spacing

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


def _longer_stud(reading: Reading) -> Cure:
    role = "caliper stud" if reading.known("caliper_fastening") == "stud in bracket" else "caliper screw"
    return _longer(role, "caliper_screw_length", "caliper_screw_thread", "caliper to bracket", reading)


@check(
    limit="lock_nut_protrusion", unit="pitches", when={"caliper_fastening": "stud in bracket", "caliper_mount": "radial"},
    stack="radial", remedy=_longer_stud,
)  # fmt: skip
def caliper_nut_on_stud(
    caliper_screw_length: Any,
    caliper_lug_thickness: Any,
    radial_shim_stack: Any,
    caliper_washers: Any,
    caliper_nut_height: Any,
    caliper_screw_pitch: float,
) -> Any:
    """Caliper nut on its stud

    Must be true:
        The stud shows at least two turns beyond the nut, behind shims, caliper lug and washers.
    Why:
        A lock nut holds by its last turns.
    Example:
        >>> caliper_nut_on_stud(60.0, 40.0, 1.0, 3.0, 11.0, 1.25)
        4.0

    Remedy:
        Longer studs, or lower nuts.
    Source:
        common practice, no source
    """
    return (
        caliper_screw_length - caliper_lug_thickness - radial_shim_stack - caliper_washers - caliper_nut_height
    ) / caliper_screw_pitch


@check(
    limit="lock_nut_protrusion", unit="pitches", when={"caliper_fastening": "stud in bracket", "caliper_mount": "axial lug"},
    stack="axial", remedy=_longer_stud,
)  # fmt: skip
def caliper_nut_on_lug_stud(
    caliper_screw_length: Any, caliper_lug_thickness: Any, shims_in_lug_joint: float, axial_shim_stack: Any, caliper_washers: Any,
    caliper_nut_height: Any, caliper_screw_pitch: float,
) -> Any:  # fmt: skip
    """Caliper nut on its stud, axial lug

    Must be true:
        The stud shows at least two turns beyond the nut, behind shims, caliper lug and washers.
    Why:
        A lock nut holds by its last turns.
    Example:
        >>> caliper_nut_on_lug_stud(40.0, 20.0, 1.0, 1.0, 3.0, 11.0, 1.25)
        4.0

    Remedy:
        Longer studs, or lower nuts.
    Source:
        common practice, no source
    """
    stack = axial_shim_stack * shims_in_lug_joint
    return (
        caliper_screw_length - caliper_lug_thickness - stack - caliper_washers - caliper_nut_height
    ) / caliper_screw_pitch


@check(
    limit="lock_nut_protrusion", unit="pitches", when={"caliper_fastening": "screw and nut", "caliper_mount": "radial"},
    stack="radial", remedy=_longer_stud,
)  # fmt: skip
def caliper_nut_on_screw(
    caliper_screw_length: Any, caliper_lug_thickness: Any, bracket_caliper_thickness: Any, radial_shim_stack: Any, caliper_washers: Any,
    caliper_nut_height: Any, caliper_screw_pitch: float,
) -> Any:  # fmt: skip
    """Caliper nut on its screw

    Must be true:
        The screw shows at least two turns beyond the nut, behind lug, bracket, shims and washers.
    Why:
        A lock nut holds by its last turns.
    Example:
        >>> caliper_nut_on_screw(80.0, 40.0, 20.0, 1.0, 3.0, 11.0, 1.25)
        4.0

    Remedy:
        Longer screws, or lower nuts.
    Source:
        common practice, no source
    """
    grip = caliper_lug_thickness + bracket_caliper_thickness + radial_shim_stack + caliper_washers
    return (caliper_screw_length - grip - caliper_nut_height) / caliper_screw_pitch


@check(
    limit="lock_nut_protrusion", unit="pitches", when={"caliper_fastening": "screw and nut", "caliper_mount": "axial lug"},
    stack="axial", remedy=_longer_stud,
)  # fmt: skip
def caliper_nut_on_lug_screw(
    caliper_screw_length: Any, caliper_lug_thickness: Any, bracket_caliper_thickness: Any, shims_in_lug_joint: float,
    axial_shim_stack: Any, caliper_washers: Any, caliper_nut_height: Any, caliper_screw_pitch: float,
) -> Any:  # fmt: skip
    """Caliper nut on its screw, axial lug

    Must be true:
        The screw shows at least two turns beyond the nut, behind lug, bracket, shims and washers.
    Why:
        A lock nut holds by its last turns.
    Example:
        >>> caliper_nut_on_lug_screw(60.0, 20.0, 20.0, 1.0, 1.0, 3.0, 11.0, 1.25)
        4.0

    Remedy:
        Longer screws, or lower nuts.
    Source:
        common practice, no source
    """
    grip = caliper_lug_thickness + bracket_caliper_thickness + axial_shim_stack * shims_in_lug_joint + caliper_washers
    return (caliper_screw_length - grip - caliper_nut_height) / caliper_screw_pitch


def _caliper_screw_length(reading: Reading) -> Cure:
    diameter = reading.number("caliper_screw_diameter")
    assert reading.limit is not None
    assert reading.limit.low is not None
    depth = reading.number("bracket_thread_depth") - reading.sizes.half("bracket_thread_depth")
    if depth < reading.limit.low * diameter:
        return Cure(
            MACHINE,
            f"The bracket's thread is only {depth:.1f} mm deep, {reading.limit.low * diameter:.1f} mm are needed: ask the kit maker",
        )
    length = reading.number("caliper_screw_length")
    new = round(length + reading.short * diameter + 0.5)
    name = reading.sizes["caliper_screw_thread"].name
    screws = Demand("caliper screw", 2, spec={"thread": name, "length": (new - 0.5, new + 2.0)}, used_at="caliper to bracket",
                    reason=f"screws of {length:g} mm are too short", said=f"caliper screws {new:g} mm long under the head")  # fmt: skip
    return Cure(
        PARTS,
        f"Use caliper screws {new:g} mm long instead of {length:g} mm",
        (screws,),
        {"caliper_screw_length": (float(new), 0.25)},
    )


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


def _screw_into_caliper(reading: Reading) -> Cure:
    diameter = reading.number("caliper_screw_diameter")
    wanted = 2.0 * diameter
    depth = reading.number("caliper_thread_depth") - reading.sizes.half("caliper_thread_depth")
    if depth < wanted:
        return no_cure(
            NO, f"The caliper's thread is only {depth:.1f} mm deep, {wanted:.1f} mm are needed: ask the kit maker"
        )
    length = reading.number("caliper_screw_length")
    new = round(length + reading.short * diameter + 0.5)
    name = reading.sizes["caliper_screw_thread"].name
    screws = Demand("caliper screw", 2, spec={"thread": name, "length": (new - 0.5, new + 2.0)}, used_at="caliper to bracket",
                    reason=f"screws of {length:g} mm are too short", said=f"caliper screws {new:g} mm long under the head")  # fmt: skip
    return Cure(
        PARTS,
        f"Use caliper screws {new:g} mm long instead of {length:g} mm",
        (screws,),
        {"caliper_screw_length": (float(new), 0.25)},
    )


@check(
    limit="screw_engagement_aluminium", unit="x diameter",
    when={"caliper_fastening": "screw into caliper", "caliper_mount": "radial"}, stack="radial", remedy=_screw_into_caliper,
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
