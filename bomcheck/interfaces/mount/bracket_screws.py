"""Bracket to ear: how far the screws reach into ear or bracket. Lengths in mm."""

from typing import Any

from bomcheck.parts.demand import Demand
from bomcheck.verdict.affine import least
from bomcheck.verdict.check import check
from bomcheck.verdict.cure import Cure, Reading
from bomcheck.verdict.verdict import Verdict

PARTS, MACHINE, NO = Verdict.FITS_WITH_PARTS, Verdict.NEEDS_MACHINING, Verdict.DOES_NOT_FIT
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
