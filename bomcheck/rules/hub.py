"""Where the rotor meets the hub: count, circle, holes, pilot, and what must go inside the hat. Lengths in mm."""

from typing import Any

from bomcheck.model.affine import least, most
from bomcheck.model.demand import Demand
from bomcheck.model.finding import mm, mm_range
from bomcheck.model.limits import limit_for
from bomcheck.model.rule import Cure, Match, Reading, check, match, never, no_cure
from bomcheck.model.types import BoltCircle
from bomcheck.model.verdict import Verdict

PARTS, MACHINE, NO = Verdict.FITS_WITH_PARTS, Verdict.NEEDS_MACHINING, Verdict.DOES_NOT_FIT
_other_hat = never("Ask the kit maker for a hat with this hub's stud count")
_wall_lost = never("Too little metal stays between the bore and the stud holes: ask for a hat with the right bore")
_sensor = never("Ask the kit maker: the wheel-speed ring has no room inside this hat")


@match(remedy=_other_hat)
def lug_count(hub_bolt_circle: BoltCircle, hat_pattern: BoltCircle) -> Match:
    """Stud count

    Must be true:
        The hat has a hole for every stud: as many holes as studs, or a whole multiple of them on one circle.
    Why:
        A stud without a hole keeps the hat off the hub face.
    Example:
        >>> lug_count(BoltCircle("5x112", 5, 112.0, 112.0), BoltCircle("10x112", 10, 112.0, 112.0)).same
        True
        >>> lug_count(BoltCircle("5x112", 5, 112.0, 112.0), BoltCircle("4x100", 4, 100.0, 100.0)).same
        False

    Remedy:
        None: another hat.
    Source:
        geometry
    """
    same = hat_pattern.count % hub_bolt_circle.count == 0
    return Match(
        same, f"{hub_bolt_circle.count} studs on the hub, {hat_pattern.count} holes in the hat ({hat_pattern.name})"
    )


def _redrill(reading: Reading) -> Cure:
    hole, filled = reading.number("hat_stud_hole_diameter"), reading.number("stud_fill_diameter")
    assert reading.value is not None
    if reading.value.middle <= hole - filled:
        return Cure(
            MACHINE, "Have the hat drilled to the hub's bolt circle, or ask the kit maker for a hat of that circle"
        )
    return no_cure(NO, "Ask the kit maker for a hat with this hub's bolt circle")


def _circle_cure(reading: Reading) -> Cure:
    if reading.sizes.has("hat_stud_hole_diameter") and reading.sizes.has("stud_fill_diameter"):
        return _redrill(reading)
    return no_cure(NO, "Ask the kit maker for a hat with this hub's bolt circle")


@check(limit="bolt_circle", remedy=_circle_cure)
def bolt_circle(hub_circle_diameter: Any, hat_circle_low: Any, hat_circle_high: Any) -> Any:
    """Bolt circle

    Must be true:
        The hub's bolt circle equals the nearest of the hat's circles, or lies within the hat's slots.
    Why:
        Studs that stand beside their holes bend, or hold the hat off its pilot.
    Example:
        >>> round(bolt_circle(120.0, 120.65, 120.65), 2)
        0.65
        >>> bolt_circle(108.0, 100.0, 114.3)
        0.0

    Remedy:
        Drilling the hat anew where its holes leave metal for it; otherwise a hat of the right circle.
    Source:
        common practice, no source
    """
    return most(hat_circle_low - hub_circle_diameter, hub_circle_diameter - hat_circle_high, 0.0)


def _open_holes(reading: Reading) -> Cure:
    allowed = limit_for("bolt_circle", reading.sizes.job).high or 0.0
    if _circle_off(reading) > allowed:
        return Cure(MACHINE, "The circles differ: see the bolt circle first, opening the holes does not cure that")
    air = (reading.limit.low or 0.0) if reading.limit else 0.0
    hole = reading.number("stud_fill_diameter") + reading.sizes.half("stud_fill_diameter") + 2 * air + 0.3
    if reading.sizes.has("hub_circle_diameter"):
        hole += _circle_off(reading)
    changes = {"hat_stud_hole_diameter": (round(hole, 1), 0.05)}
    return Cure(MACHINE, f"Open the hat's stud holes to {mm(hole, 1)}; check the wall that stays", changes=changes)


def _circle_off(reading: Reading) -> float:
    """How far the hub's circle lies outside the hat's, as stated [mm]."""
    hub = reading.number("hub_circle_diameter")
    return max(reading.number("hat_circle_low") - hub, hub - reading.number("hat_circle_high"), 0.0)


@check(limit="stud_hole_clearance", remedy=_open_holes)
def stud_hole(
    hat_stud_hole_diameter: Any,
    stud_fill_diameter: Any,
    hub_circle_diameter: Any,
    hat_circle_low: Any,
    hat_circle_high: Any,
) -> Any:
    """Stud hole clearance

    Must be true:
        Each stud, or the knurl that stands proud of the hub face, passes its hole with air on every side.
    Why:
        A hat that binds on a knurl does not seat, and runs out of true.
    Example:
        >>> round(stud_hole(15.0, 14.0, 112.0, 112.0, 112.0), 2)
        0.5

    Remedy:
        Opening the holes, as far as the wall to the edge allows.
    Source:
        common practice, no source
    """
    room = (hat_stud_hole_diameter - stud_fill_diameter) / 2
    inner, outer = (hat_circle_low - hub_circle_diameter) / 2, (hub_circle_diameter - hat_circle_high) / 2
    return least(room, room - inner, room - outer)


BORED_TO = (1 / 3, 0.72)  # shares of the range allowed between which a bore is asked for


def _ring_length(reading: Reading) -> dict[str, tuple[float | None, float]]:
    """A ring that stays inside the hat's flange, where that is known."""
    if not reading.sizes.has("hat_flange_thickness"):
        return {}
    return {"length": (None, reading.number("hat_flange_thickness") - reading.sizes.half("hat_flange_thickness"))}


def too_thin(bore: float, pilot: float, reading: Reading) -> Cure | None:
    """What is done where a centring ring would have less than the least wall; None where it has it."""
    wall = (bore - pilot) / 2
    if wall >= (limit_for("ring_wall", reading.sizes.job).low or 0.0):
        return None
    return Cure(MACHINE, f"A centring ring would be {mm(wall, 2)} thick: have the bore opened for a thicker one, or ask for a part "
                "that is bored for this pilot")  # fmt: skip


def _ring_or_bore(reading: Reading) -> Cure:
    pilot, bore = reading.number("hub_pilot_diameter"), reading.number("hat_bore")
    assert reading.limit is not None
    least_air, most_air = reading.limit.low or 0.0, reading.limit.high or 0.0
    if reading.below:
        low, high = (pilot + least_air + share * (most_air - least_air) for share in BORED_TO)
        text = f"Bore the hat to {mm_range(low, high, 2)}"
        return Cure(MACHINE, text, changes={"hat_bore": ((low + high) / 2, (high - low) / 2)})
    if (thin := too_thin(bore, pilot, reading)) is not None:
        return thin
    spec = {
        "inner_diameter": (pilot + least_air, pilot + most_air), "outer_diameter": (bore - 0.10, bore), "metal": True,
        **_ring_length(reading),
    }  # fmt: skip
    ring = Demand(
        "centring ring", 1, spec=spec, reason=f"the hat's bore is {mm(bore - pilot, 2)} larger than the hub's pilot",
        used_at="hub pilot", said=f"metal centring ring, {mm(bore, 2)} outside, {mm(pilot, 2)} inside",
    )  # fmt: skip
    return Cure(PARTS, f"Fit a metal centring ring, {mm(bore, 2)} outside and {mm(pilot, 2)} inside", (ring,))


@check(limit="pilot_clearance", remedy=_ring_or_bore)
def pilot_fit(hat_bore: Any, hub_pilot_diameter: Any) -> Any:
    """Pilot fit

    Must be true:
        The hat's bore is a little larger than the hub's pilot: it goes on by hand and has no play to speak of.
    Why:
        The pilot centres the rotor. Too tight and the hat does not seat; too loose and the brake shakes.
    Example:
        >>> round(pilot_fit(66.70, 66.60), 2)
        0.1

    Remedy:
        Too large: a metal centring ring. Too small: bore the hat, if the wall to the stud holes allows.
    Source:
        common practice, no source; compare the running fits of ISO 286-2
    """
    return hat_bore - hub_pilot_diameter


@check(limit="wall_after_boring", remedy=_wall_lost)
def bore_wall(hat_innermost_circle: Any, hat_stud_hole_diameter: Any, hat_bore: Any) -> Any:
    """Wall between bore and stud holes

    Must be true:
        Enough metal stays between the hat's bore, as it is or as it will be bored, and its nearest stud holes, used or not.
    Why:
        A thin bridge between bore and hole cracks.
    Example:
        >>> bore_wall(112.0, 15.0, 66.0)
        15.5

    Remedy:
        None: a hat with the right bore.
    Source:
        common practice, no source
    """
    return (hat_innermost_circle - hat_stud_hole_diameter - hat_bore) / 2


def _register(reading: Reading) -> Cure:
    return Cure(PARTS, "Ask the kit maker for a longer centring ring or extension that carries the hat", (
        Demand("centring ring", 1, reason="the pilot carries too little of the hat", used_at="hub pilot",
               said="centring ring that lengthens the pilot"),
    ))  # fmt: skip


@check(limit="register_length", remedy=_register)
def pilot_carries_hat(hub_pilot_length: Any, hub_pilot_fillet: Any, hat_flange_thickness: Any) -> Any:
    """Pilot length under the hat

    Must be true:
        The straight part of the pilot carries a few millimetres of the hat's flange.
    Why:
        A hat that hangs on the pilot's last millimetre is not centred.
    Example:
        >>> pilot_carries_hat(10.0, 1.0, 7.0)
        7.0

    Remedy:
        A ring that lengthens the pilot.
    Source:
        common practice, no source
    """
    return least(hub_pilot_length - hub_pilot_fillet, hat_flange_thickness)


def _chamfer(reading: Reading) -> Cure:
    room = (reading.limit.low or 0.0) if reading.limit else 0.0
    size = reading.number("hub_pilot_fillet") + reading.sizes.half("hub_pilot_fillet") + room + 0.2
    change = {"hat_bore_chamfer": (round(size, 1), 0.1)}
    return Cure(MACHINE, f"Chamfer the hat's bore to {mm(size, 1)} so that it clears the fillet", changes=change)


@check(limit="fillet_clearance", remedy=_chamfer)
def fillet_cleared(hat_bore_chamfer: Any, hub_pilot_fillet: Any) -> Any:
    """Hat over the fillet

    Must be true:
        The chamfer of the hat's bore is at least as large as the fillet at the root of the hub's pilot.
    Why:
        A hat that rides on the fillet does not seat on the hub face.
    Example:
        >>> fillet_cleared(1.5, 1.0)
        0.5

    Remedy:
        A larger chamfer in the hat's bore.
    Source:
        common practice, no source
    """
    return hat_bore_chamfer - hub_pilot_fillet


def _turn_hub(reading: Reading) -> Cure:
    air = (reading.limit.low or 0.0) if reading.limit else 0.0
    size = reading.number("hat_inner_diameter") - reading.sizes.half("hat_inner_diameter") - 2 * air - 0.3
    text = f"Have the hub flange turned to {mm(size, 1)} if the metal outside the studs allows; ask a machinist"
    return Cure(MACHINE, text, changes={"hub_flange_diameter": (round(size, 1), 0.1)})


@check(limit="hub_in_hat", remedy=_turn_hub)
def hub_inside_hat(hat_inner_diameter: Any, hub_flange_diameter: Any) -> Any:
    """Hub flange inside the hat

    Must be true:
        The hub's flange goes inside the hat with air all round.
    Why:
        Otherwise the hat never reaches the hub face.
    Example:
        >>> hub_inside_hat(150.0, 146.0)
        2.0

    Remedy:
        Turning the hub's flange, as far as the metal outside the studs allows.
    Source:
        common practice, no source
    """
    return (hat_inner_diameter - hub_flange_diameter) / 2


@check(
    limit="hub_runout",
    requires=("hub_face_runout",),
    remedy=lambda _: Cure(
        MACHINE, "Clean the hub face and measure again; if it stays, have the hub or its bearing put right first"
    ),
)
def hub_face_true(hub_face_runout: Any) -> Any:
    """Hub face runout

    Must be true:
        The bare, clean hub face runs so true that the disc's edge, about twice as far out, stays inside its own limit. Where it was not
        measured nothing is held up: the disc's edge is measured at fit-up.
    Why:
        What the face is out, the rotor is out about twice over at its edge.
    Example:
        >>> hub_face_true(0.02)
        0.04

    Remedy:
        Cleaning, then machining or a new hub or bearing.
    Source:
        common practice, no source
    """
    return hub_face_runout * 2.0


@check(limit="sensor_ring", requires=("sensor_ring_diameter",), remedy=_sensor)
def sensor_ring_inside_hat(hat_inner_diameter: Any, sensor_ring_diameter: Any) -> Any:
    """Wheel-speed ring inside the hat

    Must be true:
        The hat clears the wheel-speed ring on the hub.
    Why:
        A ring that is touched or lost takes the anti-lock system with it.
    Example:
        >>> sensor_ring_inside_hat(150.0, 140.0)
        5.0

    Remedy:
        None in the box: ask the kit maker.
    Source:
        common practice, no source
    """
    return (hat_inner_diameter - sensor_ring_diameter) / 2
