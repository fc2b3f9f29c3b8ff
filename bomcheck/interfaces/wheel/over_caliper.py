"""The wheel over the caliper: barrel and spokes. Lengths in mm."""

from typing import Any

from bomcheck.notation.types import BoltCircle
from bomcheck.parts.demand import Demand
from bomcheck.verdict.check import check
from bomcheck.verdict.cure import Cure, Reading, no_cure
from bomcheck.verdict.verdict import Verdict

PARTS, MACHINE, NO = Verdict.FITS_WITH_PARTS, Verdict.NEEDS_MACHINING, Verdict.DOES_NOT_FIT
SPACERS = (3.0, 5.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0)  # mm, thicknesses commonly sold: common practice, no source


def _weights_or_wheel(reading: Reading) -> Cure:
    weight = reading.number("wheel_weight_thickness")
    if weight > 0 and reading.short <= weight:
        labour = Demand("labour", 0.25, unit="hour", reason="stick-on weights are in the caliper's way", used_at="wheel",
                        said="move the stick-on weights and balance the wheel")  # fmt: skip
        text = "Have the stick-on weights moved out of the caliper's way and the wheel balanced"
        return Cure(PARTS, text, (labour,), {"wheel_weight_thickness": (0.0, 0.0)})
    return no_cure(NO, "The caliper does not go inside this wheel: a larger wheel or another kit")


@check(limit="barrel", stack="radial", remedy=_weights_or_wheel)
def barrel_clear(
    barrel_room: Any, wheel_weight_thickness: Any, hub_axis_to_ears: Any, bracket_rise: Any, radial_shim_stack: Any
) -> Any:
    """Caliper inside the wheel's barrel

    Must be true:
        Air stays between the caliper, over its whole width, and the inside of the wheel's barrel and its weights.
    Why:
        The wheel bends and the hub tilts in a bend; what nearly touches will touch.
    Example:
        >>> barrel_clear(100.0, 3.0, 60.0, 30.0, 1.0)
        6.0

    Remedy:
        Moving stick-on weights; otherwise a larger wheel.
    Source:
        common practice, no source
    """
    return barrel_room - wheel_weight_thickness - hub_axis_to_ears - bracket_rise - radial_shim_stack


def _spacer(reading: Reading) -> Cure:
    present = reading.number("wheel_spacer_thickness_now")
    sold = sorted(
        {
            p.thickness
            for p in (*reading.sizes.job.prices, *reading.sizes.job.shelf)
            if p.role == "wheel spacer" and p.thickness
        }
        | set(SPACERS)
    )
    size = next((size for size in sold if size >= present + reading.short - 1e-9), None)
    if size is None:
        return no_cure(NO, f"The spokes need {reading.short:.1f} mm more room than spacers give: another wheel")
    circle: BoltCircle = reading.sizes["hub_bolt_circle"]
    spacer = Demand("wheel spacer", 1, spec={"thickness": (size, size)}, used_at="hub to wheel",
                    reason=f"the spokes need {reading.short:.1f} mm more room", said=f"wheel spacer {size:g} mm, {circle.name}, with its own pilot")  # fmt: skip
    return Cure(PARTS, f"Fit a wheel spacer of {size:g} mm", (spacer,), {"wheel_spacer_thickness": (size, 0.0)})


@check(limit="spoke", stack="axial", remedy=_spacer)
def spoke_clear(
    ear_face_position: Any, bracket_offset: Any, shim_direction: float, axial_shim_stack: Any, caliper_width_outboard: Any,
    hat_flange_thickness: Any, wheel_spacer_thickness_now: Any, spoke_back: Any,
) -> Any:  # fmt: skip
    """Caliper behind the spokes

    Must be true:
        Air stays between the caliper's outer face and the back of the spokes.
    Why:
        A spoke that touches the caliper cuts it open, or locks the wheel.
    Example:
        >>> spoke_clear(40.0, 5.0, -1.0, 0.0, 60.0, 8.0, 0.0, 12.0)
        5.0

    Remedy:
        A wheel spacer, the smallest that serves; studs, nuts and pilot are then looked at again.
    Source:
        common practice, no source
    """
    centre = ear_face_position + bracket_offset + axial_shim_stack * shim_direction
    return centre - caliper_width_outboard + hat_flange_thickness + wheel_spacer_thickness_now + spoke_back
