"""Lock nuts of bracket and caliper: whether the thread comes through. Lengths in mm."""

from typing import Any

from bomcheck.model.demand import Demand
from bomcheck.model.finding import mm
from bomcheck.model.rule import Cure, Reading, check
from bomcheck.model.verdict import Verdict

PARTS, MACHINE, NO = Verdict.FITS_WITH_PARTS, Verdict.NEEDS_MACHINING, Verdict.DOES_NOT_FIT


def _longer(role: str, key: str, thread: str, where: str, reading: Reading) -> Cure:
    pitch = reading.sizes[thread].pitch
    length = reading.number(key)
    new = float(-int(-(length + reading.short * pitch) // 1))
    name = reading.sizes[thread].name
    part = Demand(role, 2, spec={"thread": name, "length": (new, None)}, reason=f"{mm(length)} do not carry the whole nut",
                  used_at=where, said=f"{role}s {name}, at least {mm(new)} long")  # fmt: skip
    return Cure(
        PARTS,
        f"Use {role}s {name} at least {mm(new)} long instead of {mm(length)}, or a lower nut",
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
