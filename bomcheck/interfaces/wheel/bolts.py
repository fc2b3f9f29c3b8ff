"""Wheel bolts in a tapped hub: reach and bottoming. Lengths in mm."""

from typing import Any

from bomcheck.interfaces.wheel.nuts import wheel_nuts
from bomcheck.verdict.affine import least
from bomcheck.verdict.check import check
from bomcheck.verdict.cure import Cure, Reading, no_cure
from bomcheck.verdict.verdict import Verdict

PARTS, MACHINE, NO = Verdict.FITS_WITH_PARTS, Verdict.NEEDS_MACHINING, Verdict.DOES_NOT_FIT


def _longer_bolts(reading: Reading) -> Cure:
    free = (
        reading.number("hat_flange_thickness")
        + reading.number("wheel_spacer_thickness_now")
        + reading.number("wheel_seat_depth")
    )
    slack = sum(
        reading.sizes.half(k) for k in ("hat_flange_thickness", "wheel_spacer_thickness_now", "wheel_seat_depth")
    )
    low = float(-int(-(free + slack + reading.number("stud_diameter")) // 1))
    depth = reading.number("hub_thread_depth") - reading.sizes.half("hub_thread_depth")
    if depth < reading.number("stud_diameter"):
        return no_cure(NO, "The hub's own thread is too short for any bolt: have the hub looked at")
    high = float(int(free - slack + depth))
    if low > high:  # no length is right for every size inside the ±
        said = "wheel bolts, their length chosen on the car"
        text = f"Choose the wheel bolts on the car: at least {reading.number('stud_diameter'):.0f} mm in the hub, clear of its bottom"
        return Cure(PARTS, text, (wheel_nuts(reading, said),))
    bolts = wheel_nuts(
        reading, f"wheel bolts with {low:.0f} to {high:.0f} mm of thread beyond the seat", length=(low, high)
    )
    return Cure(
        PARTS,
        f"Use wheel bolts with {low:.0f} to {high:.0f} mm of thread beyond the seat",
        (bolts,),
        {"wheel_bolt_length": (low, 0.0)},
    )


@check(limit="stud_engagement_steel", unit="x diameter", when={"hub_fixing": "bolt"}, remedy=_longer_bolts)
def bolt_engagement(
    wheel_bolt_length: Any, hat_flange_thickness: Any, wheel_spacer_thickness_now: Any, wheel_seat_depth: Any,
    hub_thread_depth: Any, stud_diameter: float,
) -> Any:  # fmt: skip
    """Wheel bolt in the hub's thread

    Must be true:
        Enough of the wheel bolt's thread stands in the hub, behind wheel, spacer and hat.
    Why:
        A thicker hat eats thread. A bolt on too few turns strips, or comes out.
    Example:
        >>> bolt_engagement(40.0, 8.0, 0.0, 12.0, 18.0, 12.0)
        1.5

    Remedy:
        Longer wheel bolts, as far as the hub's thread is deep.
    Source:
        common practice, no source
    """
    inside = wheel_bolt_length - hat_flange_thickness - wheel_spacer_thickness_now - wheel_seat_depth
    return least(inside, hub_thread_depth) / stud_diameter


@check(limit="wheel_bolt_bottoming", when={"hub_fixing": "bolt"}, remedy=_longer_bolts)
def bolt_bottoms(
    hub_thread_depth: Any,
    wheel_bolt_length: Any,
    hat_flange_thickness: Any,
    wheel_spacer_thickness_now: Any,
    wheel_seat_depth: Any,
) -> Any:
    """Wheel bolt before it bottoms

    Must be true:
        The wheel bolt clamps the wheel before it reaches the end of the hub's thread.
    Why:
        A bolt that bottoms, or reaches what turns behind the hub, leaves the wheel loose.
    Example:
        >>> bolt_bottoms(25.0, 40.0, 8.0, 0.0, 12.0)
        5.0

    Remedy:
        Shorter wheel bolts.
    Source:
        common practice, no source
    """
    return hub_thread_depth - (wheel_bolt_length - hat_flange_thickness - wheel_spacer_thickness_now - wheel_seat_depth)
