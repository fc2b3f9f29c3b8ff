"""The wheel on the hub and over the caliper. Lengths in mm."""

from typing import Any

from bomcheck.model.affine import most
from bomcheck.model.demand import Demand
from bomcheck.model.finding import mm
from bomcheck.model.rule import Cure, Match, Reading, check, match, never, no_cure
from bomcheck.model.types import BoltCircle
from bomcheck.model.verdict import Verdict
from bomcheck.rules.hub import too_thin

PARTS, MACHINE, NO = Verdict.FITS_WITH_PARTS, Verdict.NEEDS_MACHINING, Verdict.DOES_NOT_FIT
_other_wheel = never("This wheel does not belong on this hub: check what was written down, or ask for another wheel")
_hat_face = never("The wheel's pad stands over the hat's face: ask the kit maker for a hat with a larger face")


@match(remedy=_other_wheel)
def wheel_lug_count(hub_bolt_circle: BoltCircle, wheel_bolt_circle: BoltCircle) -> Match:
    """Wheel's hole count

    Must be true:
        The wheel has a hole for every stud.
    Why:
        It does not go on otherwise.
    Example:
        >>> wheel_lug_count(BoltCircle("5x112", 5, 112.0, 112.0), BoltCircle("5x112", 5, 112.0, 112.0)).same
        True

    Remedy:
        Another wheel.
    Source:
        geometry
    """
    same = wheel_bolt_circle.count % hub_bolt_circle.count == 0
    return Match(same, f"{hub_bolt_circle.count} studs on the hub, {wheel_bolt_circle.count} holes in the wheel")


@check(limit="wheel_bolt_circle", remedy=_other_wheel)
def wheel_circle(hub_circle_diameter: Any, wheel_circle_diameter: Any) -> Any:
    """Wheel's bolt circle

    Must be true:
        The wheel has the hub's bolt circle.
    Why:
        A wheel that is pulled over its studs bends them and never runs true.
    Example:
        >>> wheel_circle(112.0, 112.0)
        0.0

    Remedy:
        Another wheel.
    Source:
        common practice, no source
    """
    return wheel_circle_diameter - hub_circle_diameter


def _wheel_ring(reading: Reading) -> Cure:
    pilot, bore = reading.number("wheel_pilot_diameter"), reading.number("wheel_bore")
    if reading.below:
        return no_cure(NO, "The wheel's bore is smaller than the hub's pilot: this wheel does not go on")
    assert reading.limit is not None
    if (thin := too_thin(bore, pilot, reading)) is not None:
        return thin
    inside = (pilot + (reading.limit.low or 0.0), pilot + (reading.limit.high or 0.0))
    spec = {"inner_diameter": inside, "outer_diameter": (bore - 0.1, bore)}
    ring = Demand("centring ring", 1, spec={**spec, "metal": True}, reason="the wheel's bore is larger than its pilot", used_at="wheel",
                  said=f"metal wheel centring ring, {mm(bore, 2)} outside, {mm(pilot, 2)} inside")  # fmt: skip
    return Cure(PARTS, f"Fit a centring ring in the wheel, {mm(bore, 2)} outside and {mm(pilot, 2)} inside", (ring,))


@check(limit="wheel_bore", when={"wheel_centring": "pilot"}, remedy=_wheel_ring)
def wheel_bore_fit(wheel_bore: Any, wheel_pilot_diameter: Any) -> Any:
    """Wheel's bore on its pilot

    Must be true:
        The wheel's bore goes over the pilot with little play, unless the wheel is centred by its nuts.
    Why:
        A wheel off centre shakes like a bad brake.
    Example:
        >>> round(wheel_bore_fit(66.7, 66.6), 2)
        0.1

    Remedy:
        A centring ring in the wheel.
    Source:
        common practice, no source
    """
    return wheel_bore - wheel_pilot_diameter


def _extension(reading: Reading) -> Cure:
    pilot = reading.number("wheel_pilot_diameter")
    part = Demand("wheel extension", 1, spec={"inner_diameter": (pilot, pilot + 0.1)}, used_at="wheel",
                  reason="hat and spacer use up the pilot that centres the wheel", said=f"pilot extension for {mm(pilot, 2)}, or a spacer with its own pilot")  # fmt: skip
    return Cure(PARTS, "Fit a pilot extension, or a spacer with a pilot of its own", (part,))


@check(limit="wheel_pilot_length", when={"wheel_centring": "pilot"}, remedy=_extension)
def pilot_left_for_wheel(
    wheel_pilot_length: Any, hat_flange_thickness: Any, wheel_spacer_thickness_now: Any, wheel_bore_chamfer: Any
) -> Any:
    """Pilot left for the wheel

    Must be true:
        Behind hat and spacer enough of the pilot stands out to centre the wheel.
    Why:
        A wheel without its pilot hangs on its nuts and is easily fitted off centre.
    Example:
        >>> pilot_left_for_wheel(15.0, 8.0, 0.0, 1.0)
        6.0

    Remedy:
        A pilot extension, or a spacer with a pilot of its own.
    Source:
        common practice, no source
    """
    return wheel_pilot_length - hat_flange_thickness - wheel_spacer_thickness_now - wheel_bore_chamfer


@check(limit="hat_face", remedy=_hat_face)
def wheel_pad_carried(hat_face_diameter: Any, wheel_pad_diameter: Any) -> Any:
    """Wheel's pad on the hat's face

    Must be true:
        The hat's flat face carries the wheel's pad all round.
    Why:
        A wheel clamped on a smaller face works, cracks and loses its nuts' torque.
    Example:
        >>> wheel_pad_carried(150.0, 149.0)
        1.0

    Remedy:
        None: another hat.
    Source:
        common practice, no source
    """
    return hat_face_diameter - wheel_pad_diameter


@check(limit="track_change", requires=("stock_rotor_flange_thickness",))
def track_change(hat_flange_thickness: Any, stock_rotor_flange_thickness: Any, wheel_spacer_thickness_now: Any) -> Any:
    """Track change on this side

    Must be true:
        Nothing: it is stated so that the wheel's room in the arch can be looked at.
    Why:
        A thicker flange or a spacer moves the wheel outward.
    Example:
        >>> track_change(8.0, 6.0, 5.0)
        7.0

    Remedy:
        None needed; look at the arch at full lock and full travel.
    Source:
        geometry
    """
    return hat_flange_thickness - stock_rotor_flange_thickness + wheel_spacer_thickness_now


_on_a_step = never(
    "The wheel clamps on the pilot's step, not on the hat: another wheel, or a hat with a thicker flange"
)


@check(limit="wheel_on_step", requires=("hub_wheel_pilot_diameter",), remedy=_on_a_step)
def wheel_past_step(
    hub_pilot_diameter: Any, hub_pilot_length: Any, hat_flange_thickness: Any, wheel_spacer_thickness_now: Any,
    wheel_bore: Any, wheel_bore_chamfer: Any,
) -> Any:  # fmt: skip
    """Wheel past the pilot's step

    Must be true:
        Where the rotor's pilot ends in a step below the wheel's, the step ends inside the hat, or goes into the wheel.
    Why:
        A wheel that sits on the step clamps nothing: the hat is loose and the nuts lose their torque.
    Example:
        >>> round(wheel_past_step(72.5, 10.0, 8.0, 0.0, 68.6, 0.0), 2)
        -1.95

    Remedy:
        None: another wheel, or a hat with a thicker flange.
    Source:
        geometry
    """
    under = hat_flange_thickness + wheel_spacer_thickness_now - hub_pilot_length
    over = (wheel_bore - hub_pilot_diameter) / 2
    return most(under, over, wheel_bore_chamfer + under + over)


@match(requires=("wheel_smallest", "wheel_rim_code"))
def wheel_maker_names(wheel_rim_code: float, wheel_smallest: float, wheel_barrel: Any = None) -> Match:
    """Smallest wheel that the kit's maker names

    Must be true:
        The rim is no smaller than the smallest for which the kit is made, or its barrel was measured.
    Why:
        The maker has tried wheels on this kit; a smaller one may still go on, but only a measurement or the template tells.
    Example:
        >>> wheel_maker_names(17.0, 18.0).same is None
        True

    Remedy:
        None: hold the kit's template in the wheel.
    Source:
        the kit maker's sheet
    """
    if wheel_rim_code >= wheel_smallest:
        return Match(True, f"Rim {wheel_rim_code:g} in; the kit's maker names wheels from {wheel_smallest:g} in")
    said = f"Rim {wheel_rim_code:g} in, smaller than any wheel that the kit's maker names ({wheel_smallest:g} in)"
    if wheel_barrel is None:
        return Match(None, said, ask=("wheel_barrel",))
    return Match(
        True, f"{said}; its barrel was measured, and that counts", do="Hold the kit's template in the wheel as well"
    )
