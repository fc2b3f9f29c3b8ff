"""From the hub axis outward: the pad's edge on the rotor's edge, bridge, inner edge, sideways. Lengths in mm."""

from typing import Any

from bomcheck.model.affine import most
from bomcheck.model.demand import Demand
from bomcheck.model.finding import mm
from bomcheck.model.rule import Cure, Reading, check, never, no_cure
from bomcheck.model.verdict import Verdict
from bomcheck.rules.axial import DEEPEST, SHIMS_MAKE_UP, THICKEST

PARTS, MACHINE, NO = Verdict.FITS_WITH_PARTS, Verdict.NEEDS_MACHINING, Verdict.DOES_NOT_FIT
FAR_OFF = "more than a spacer or the mill makes up: check the heights of ears, bracket and pad (+ is outward), or ask the kit maker"
_other_pads = never("The pad is too tall for this rotor: ask the kit maker for the pad shape that belongs to it")
_belongs_together = never(
    "The caliper is made for another disc: ask for the caliper or the rotor that belongs together"
)


def _raise_or_lower(reading: Reading) -> Cure:
    assert reading.value is not None
    flush = reading.value.middle
    if reading.below:
        return _raise(reading, flush)
    cut = flush + 0.5
    if cut > DEEPEST:
        return no_cure(NO, f"Even without shims the pad hangs {mm(flush, 2)} over the rotor's edge, {FAR_OFF}")
    text = f"Even without shims the pad hangs {mm(flush, 2)} over the rotor's edge: have about {mm(cut, 2)} taken off the bracket, or ask the kit maker"
    changes = _moved(reading, -cut)
    if reading.sizes.has("bracket_caliper_thickness"):
        thinner = reading.number("bracket_caliper_thickness") - cut
        changes["bracket_caliper_thickness"] = (thinner, reading.sizes.half("bracket_caliper_thickness") + 0.05)
    if reading.sizes.has("depth_at_caliper"):
        shallower = reading.number("depth_at_caliper") - cut
        changes["bracket_caliper_thread_depth"] = (shallower, reading.sizes.half("depth_at_caliper") + 0.05)
    return Cure(MACHINE, text, changes=changes)


def _raise(reading: Reading, flush: float) -> Cure:
    """A spacer under a radial caliper, thinner than the need by what a shim or two then makes up."""
    low = f"the pad's top edge lies {mm(-flush, 2)} inside the rotor's edge"
    if reading.known("caliper_mount") == "axial lug":
        return no_cure(
            NO,
            f"{low[:1].upper()}{low[1:]}, and a caliper on an axial lug cannot be raised: ask for the bracket that belongs here",
        )
    thick = -0.5 - flush - min(SHIMS_MAKE_UP, reading.known("shim_stack_max_radial", SHIMS_MAKE_UP))
    if thick > THICKEST:
        return no_cure(NO, f"{low[:1].upper()}{low[1:]}, {FAR_OFF}")
    there = reading.number("spacer_at_caliper")
    whole, instead = thick + there, f", in place of the one of {mm(there, 2)}" if there else ""
    spacer = Demand(
        "caliper spacer", 2, spec={"thickness": (whole - 0.5, whole + 0.5)}, reason=f"{low}, more than shims may fill",
        used_at="caliper to bracket", said=f"spacer about {mm(whole, 2)} thick between bracket and caliper, with screws or studs to suit",
    )  # fmt: skip
    changes = _moved(reading, thick) | {"caliper_spacer_thickness": (whole, 0.05)}
    text = f"Fit a spacer of about {mm(whole, 2)} between bracket and caliper{instead}; shims alone are too thin, they make up the rest"
    return Cure(PARTS, text, (spacer,), changes)


def _moved(reading: Reading, outward: float) -> dict[str, tuple[float, float]]:
    """The heights of a caliper that stands so much farther out [mm], as they are typed."""
    heights = [key for key in ("bracket_rise", "ears_to_pad_top") if reading.sizes.has(key)]
    return {key: (reading.number(key) + outward, reading.sizes.half(key)) for key in heights}


@check(limit="flush_edge", stack="radial", target=-0.5, remedy=_raise_or_lower)
def pad_flush(hub_axis_to_ears: Any, pad_top_from_ears: Any, radial_shim_stack: Any, rotor_diameter: Any) -> Any:
    """Pad flush with the rotor's edge

    Must be true:
        The pad's top edge lies at the rotor's edge or a little inside it.
    Why:
        A pad that hangs over the edge grows a lip and drags; one that lies too far inside wears a step.
    Example:
        >>> pad_flush(90.0, 73.5, 1.0, 330.0)
        -0.5

    Remedy:
        Shims between bracket and caliper; a spacer where they get too thick; metal off the bracket otherwise.
    Source:
        common practice, no source
    """
    return hub_axis_to_ears + pad_top_from_ears + radial_shim_stack - rotor_diameter / 2


@check(limit="pad_inner_edge", stack="radial", remedy=_other_pads)
def pad_on_ring(
    hub_axis_to_ears: Any,
    pad_top_from_ears: Any,
    radial_shim_stack: Any,
    pad_height: Any,
    rotor_ring_inner_diameter: Any,
) -> Any:
    """Pad's inner edge on the friction ring

    Must be true:
        The pad's inner edge lies on the friction ring, not below it.
    Why:
        Lining that does not rub stays tall and holds the pad off the rotor as the rest wears.
    Example:
        >>> pad_on_ring(90.0, 74.5, 0.0, 50.0, 220.0)
        4.5

    Remedy:
        None: another pad shape or rotor.
    Source:
        common practice, no source
    """
    return hub_axis_to_ears + pad_top_from_ears + radial_shim_stack - pad_height - rotor_ring_inner_diameter / 2


def _slot_bracket(reading: Reading) -> Cure:
    assert reading.value is not None
    text = (
        f"The bracket stands {mm(abs(reading.value.middle), 2)} to one side: have its holes moved, or ask the kit maker"
    )
    return Cure(MACHINE, text)


@check(limit="sideways", remedy=_slot_bracket)
def bracket_square(ears_sideways: Any, bracket_sideways_offset: Any) -> Any:
    """Caliper square to the rotor

    Must be true:
        The bracket is made for the ears as they stand: its sideways offset is the knuckle's.
    Why:
        A caliper that stands to one side rubs its pads cocked and wears them to a wedge.
    Example:
        >>> bracket_square(4.0, 3.5)
        0.5

    Remedy:
        Machining the bracket, or the bracket that belongs to this knuckle.
    Source:
        common practice, no source
    """
    return ears_sideways - bracket_sideways_offset


@check(limit="calipers_disc", requires=("caliper_disc_least", "caliper_disc_most"), remedy=_belongs_together)
def disc_for_caliper(rotor_diameter: Any, caliper_disc_least: Any, caliper_disc_most: Any) -> Any:
    """Disc that the caliper is made for

    Must be true:
        The rotor's diameter lies between the smallest and the largest that the caliper's maker names.
    Why:
        Bridge and pads follow an arc; on another disc the corners of the pad hang over or the bridge touches.
    Example:
        >>> disc_for_caliper(330.0, 310.0, 328.0)
        2.0

    Remedy:
        None: caliper and rotor do not belong together.
    Source:
        geometry; the diameters are the maker's
    """
    return most(caliper_disc_least - rotor_diameter, rotor_diameter - caliper_disc_most)
