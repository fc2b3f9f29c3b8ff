"""The wheel on what the kit leaves of studs and pilot, and the wheel over the caliper. Lengths in mm."""

from typing import Any

from bomcheck.notation.types import BoltCircle, Thread
from bomcheck.parts.demand import Demand
from bomcheck.verdict.affine import least
from bomcheck.verdict.check import Match, check, match
from bomcheck.verdict.cure import Cure, Reading, no_cure
from bomcheck.verdict.threads import compare_threads
from bomcheck.verdict.verdict import Verdict

PARTS, MACHINE, NO = Verdict.FITS_WITH_PARTS, Verdict.NEEDS_MACHINING, Verdict.DOES_NOT_FIT


def _nuts(reading: Reading, said: str, **spec: Any) -> Demand:
    circle: BoltCircle = reading.sizes["hub_bolt_circle"]
    role = "wheel bolt" if reading.known("hub_fixing") == "bolt" else "wheel nut"
    stud: Thread | None = reading.known("hub_stud_thread")
    known = {"thread": stud.name} if stud is not None else {}
    return Demand(role, circle.count, spec={**known, **spec}, reason=said, used_at="wheel", said=said)


def _matching_nuts(reading: Reading) -> Cure:
    stud: Thread = reading.sizes["hub_stud_thread"]
    nuts = _nuts(reading, f"wheel nuts {stud.name}, the ones at hand do not fit the stud", thread=stud.name)
    return Cure(PARTS, f"Order wheel nuts {stud.name} with the wheel's seat", (nuts,), {"nut_thread": (stud, 0.0)})


@match(remedy=_matching_nuts)
def stud_and_nut(hub_stud_thread: Thread, nut_thread: Thread) -> Match:
    """Stud and nut thread

    Must be true:
        The wheel nut, or the thread of the wheel bolt to be used, has the hub's thread and pitch.
    Why:
        A nut of nearly the right thread starts, feels tight and lets go.
    Example:
        >>> from bomcheck.notation import read_thread
        >>> stud_and_nut(read_thread("M12x1.5"), read_thread("M12x1.25")).same
        False

    Remedy:
        Nuts of the stud's thread.
    Source:
        common practice, no source
    """
    return compare_threads(hub_stud_thread, nut_thread, "stud", "nut", ("hub_stud_thread", "nut_thread"))


def _longer_studs(reading: Reading) -> Cure:
    diameter = reading.number("stud_diameter")
    free = (
        reading.number("hat_flange_thickness")
        + reading.number("wheel_spacer_thickness_now")
        + reading.number("wheel_seat_depth")
    )
    assert reading.limit is not None
    assert reading.limit.low is not None
    wanted = reading.limit.low * diameter
    demands, changes, texts = [], {}, []
    slack = sum(
        reading.sizes.half(k) for k in ("hat_flange_thickness", "wheel_spacer_thickness_now", "wheel_seat_depth")
    )
    if reading.number("hub_stud_length") - reading.sizes.half("hub_stud_length") - free - slack < wanted:
        length = float(-int(-(free + slack + wanted) // 1)) + 1.0
        circle, stud = reading.sizes["hub_bolt_circle"], reading.sizes["hub_stud_thread"]
        reason = f"the stud shows {reading.number('hub_stud_length') - free:.1f} mm beyond the wheel, {wanted:.1f} mm are needed"
        said = f"wheel studs {stud.name}, at least {length:.0f} mm of thread from the hub face"
        demands.append(Demand("wheel stud", circle.count, spec={"thread": stud.name, "length": (length, None)},
                              one_time=True, reason=reason, used_at="hub", said=said))  # fmt: skip
        changes["hub_stud_length"] = (length, 0.0)
        texts.append(f"Fit longer studs, {stud.name} with at least {length:.0f} mm of thread from the hub face")
    if reading.number("nut_thread_depth") - reading.sizes.half("nut_thread_depth") < wanted:
        depth = float(-int(-wanted // 1))
        said = f"wheel nuts with at least {depth:.0f} mm of thread"
        demands.append(_nuts(reading, said, length=(depth, None)))
        changes["nut_thread_depth"] = (depth, 0.0)
        texts.append(f"Use wheel nuts with at least {depth:.0f} mm of thread")
    return Cure(PARTS, "; ".join(texts), tuple(demands), changes)


@check(
    limit={"steel": "stud_engagement_steel", "aluminium": "stud_engagement_aluminium"}, limit_by="nut_material",
    unit="x diameter", when={"hub_fixing": "stud"}, remedy=_longer_studs,
)  # fmt: skip
def stud_engagement(
    hub_stud_length: Any, hat_flange_thickness: Any, wheel_spacer_thickness_now: Any, wheel_seat_depth: Any,
    nut_thread_depth: Any, stud_diameter: float,
) -> Any:  # fmt: skip
    """Thread in the wheel nut

    Must be true:
        Enough of the stud's thread stands in the wheel nut, behind hat, spacer and wheel.
    Why:
        A thicker hat eats stud. A nut on too few turns strips, or comes off.
    Example:
        >>> round(stud_engagement(45.0, 8.0, 0.0, 12.0, 25.0, 12.0), 3)
        2.083

    Remedy:
        Longer studs; nuts with more thread where the nut is the short one.
    Source:
        common practice, no source: one diameter in a steel nut, one and a half in an aluminium one
    """
    shown = hub_stud_length - hat_flange_thickness - wheel_spacer_thickness_now - wheel_seat_depth
    return least(shown, nut_thread_depth) / stud_diameter


def _open_nuts(reading: Reading) -> Cure:
    nuts = _nuts(reading, "open wheel nuts, so that the stud may pass through")
    return Cure(PARTS, "Use open wheel nuts, or closed ones with a deeper thread", (nuts,), {"nut_closed": ("no", 0.0)})


@check(limit="nut_bottoming", when={"hub_fixing": "stud", "nut_closed": "yes"}, remedy=_open_nuts)
def closed_nut_bottoms(
    nut_thread_depth: Any,
    hub_stud_length: Any,
    hat_flange_thickness: Any,
    wheel_spacer_thickness_now: Any,
    wheel_seat_depth: Any,
) -> Any:
    """Closed nut before it bottoms

    Must be true:
        A closed wheel nut clamps the wheel before it meets the end of the stud.
    Why:
        A nut that bottoms feels tight and leaves the wheel loose.
    Example:
        >>> closed_nut_bottoms(30.0, 45.0, 8.0, 0.0, 12.0)
        5.0

    Remedy:
        Open or deeper nuts.
    Source:
        common practice, no source
    """
    return nut_thread_depth - (hub_stud_length - hat_flange_thickness - wheel_spacer_thickness_now - wheel_seat_depth)


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
        return Cure(PARTS, text, (_nuts(reading, said),))
    bolts = _nuts(reading, f"wheel bolts with {low:.0f} to {high:.0f} mm of thread beyond the seat", length=(low, high))
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


def _seated_nuts(reading: Reading) -> Cure:
    seat = reading.sizes["wheel_seat"]
    return Cure(
        PARTS,
        f"Order wheel nuts or bolts with a {seat} seat",
        (_nuts(reading, f"with a {seat} seat", seat=seat),),
        {"nut_seat": (seat, 0.0)},
    )


@match(remedy=_seated_nuts)
def nut_seat_matches(nut_seat: str, wheel_seat: str) -> Match:
    """Nut seat in the wheel

    Must be true:
        The nut or bolt has the seat that the wheel has: cone, ball or flat.
    Why:
        A cone in a ball seat touches on a line, wears and comes loose.
    Example:
        >>> nut_seat_matches("cone", "ball").same
        False

    Remedy:
        Nuts or bolts with the wheel's seat.
    Source:
        common practice, no source
    """
    return Match(nut_seat == wheel_seat, f"nut: {nut_seat}, wheel: {wheel_seat}")


def _slim_nuts(reading: Reading) -> Cure:
    largest = reading.number("wheel_hole_diameter") - 0.2
    nuts = _nuts(reading, f"with a shank of at most {largest:.1f} mm", outer_diameter=(None, largest))
    return Cure(PARTS, f"Use wheel nuts with a shank of at most {largest:.1f} mm", (nuts,))


@check(limit="nut_shank_clearance", given=("nut_shank_diameter",), remedy=_slim_nuts)
def nut_shank_enters(wheel_hole_diameter: Any, nut_shank_diameter: Any) -> Any:
    """Nut shank in the wheel's hole

    Must be true:
        Where the nut has a shank, it enters the wheel's hole.
    Why:
        A shank that stands on the wheel holds the seat off.
    Example:
        >>> nut_shank_enters(16.0, 15.5)
        0.5

    Remedy:
        Nuts with a thinner shank.
    Source:
        common practice, no source
    """
    return wheel_hole_diameter - nut_shank_diameter


def _other_wheel(reading: Reading) -> Cure:
    return no_cure(NO, "This wheel does not belong on this hub: check what was written down, or ask for another wheel")


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
    spec = {"inner_diameter": (pilot, pilot + 0.1), "outer_diameter": (bore - 0.1, bore)}
    ring = Demand("centring ring", 1, spec=spec, reason="the wheel's bore is larger than its pilot", used_at="wheel",
                  said=f"wheel centring ring, {bore:.2f} mm outside, {pilot:.2f} mm inside")  # fmt: skip
    return Cure(PARTS, f"Fit a centring ring in the wheel, {bore:.2f} mm outside and {pilot:.2f} mm inside", (ring,))


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
                  reason="hat and spacer use up the pilot that centres the wheel", said=f"pilot extension for {pilot:.2f} mm, or a spacer with its own pilot")  # fmt: skip
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


def _hat_face(reading: Reading) -> Cure:
    return no_cure(NO, "The wheel's pad stands over the hat's face: ask the kit maker for a hat with a larger face")


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


@check(limit="track_change", given=("stock_rotor_flange_thickness",))
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


SPACERS = (3.0, 5.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0)  # mm, thicknesses commonly sold: common practice, no source


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
