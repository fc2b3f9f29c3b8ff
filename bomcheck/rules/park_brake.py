"""The parking brake of a rear axle. Lengths in mm."""

from typing import Any

from bomcheck.model.affine import least
from bomcheck.model.demand import Demand
from bomcheck.model.finding import mm
from bomcheck.model.rule import Cure, Match, Reading, check, match, never
from bomcheck.model.verdict import Verdict

REAR = {"axle": "rear"}
BRAKES = ("drum in hat", "in caliper", "in drum", "separate")

_lost = never("The kit leaves the car without its parking brake: ask the kit maker for one that keeps it")
_not_worked = never(
    "Ask the kit maker for the parking brake that this car works: with a motor, or with a lever for its cable"
)


@match(when={"caliper_position_present": ("drum",)}, requires=("caliper_position_present",))
def drum_plate_off(hub_removed: str) -> Match:
    """Drum's backing plate off the car

    Must be true:
        Where the drum's backing plate must come off, it does so with the hub on, or the hub comes off too.
    Why:
        The plate is bolted behind the hub: a hub that comes off takes seal, nut, pin or gasket that nobody ordered.
    Example:
        >>> drum_plate_off("yes").same
        True

    Remedy:
        None: it is looked at on the car.
    Source:
        common practice, no source
    """
    do = "Look first whether the plate comes off over the hub; if not, type that the hub comes off: seal, nut and pin or gasket follow"
    return Match(True, f"the hub comes off: {hub_removed}", do="" if hub_removed == "yes" else do)


@match(when={**REAR, "park_brake": BRAKES}, remedy=_lost)
def parking_brake_kept(park_brake: str, kit_park_brake: str, road_use: str) -> Match:
    """Parking brake kept

    Must be true:
        On a rear axle the kit keeps, or replaces, the parking brake that the car has.
    Why:
        A car on the road must hold itself on a slope.
    Example:
        >>> parking_brake_kept("in caliper", "none", "yes").same
        False

    Remedy:
        None: another kit, or a separate parking-brake caliper from the kit maker.
    Source:
        common practice, no source; local rules decide
    """
    said = f"on the car: {park_brake}, in the kit: {kit_park_brake}"
    if (park_brake, kit_park_brake) == ("separate", "none"):
        do = "Ask the kit maker whether the separate parking caliper stays, on which bracket, and on this disc: then the kit's is separate too"
        return Match(None, said, ("kit_park_brake",), do)
    if kit_park_brake == "none":
        do = "" if road_use == "yes" else "The car has no parking brake with this kit; not for the road"
        return Match(road_use != "yes", said, do=do)
    do = "The parking brake changes its kind: check cable ends, lever pull and wiring with the kit maker"
    return Match(True, said, do="" if kit_park_brake == park_brake else do)


def _shoes(reading: Reading) -> Cure:
    drum = reading.number("hat_park_drum_diameter")
    said = f"parking-brake shoes for a drum of {mm(drum, 1)}"
    spec = {"outer_diameter": (drum - 3.0, drum)}
    shoes = Demand("park shoe set", 1, per="axle", unit="set", spec=spec, one_time=True, used_at="parking brake", said=said,
                   reason=f"the hat's drum of {mm(drum, 1)} is outside the range of the shoes on the car")  # fmt: skip
    hardware = Demand("park hardware set", 1, per="axle", unit="set", one_time=True, used_at="parking brake", reason="new shoes take new springs and clips",
                      said="springs and hold-down clips for the shoes")  # fmt: skip
    return Cure(
        Verdict.FITS_WITH_PARTS,
        f"Order {said}, if the backing plate takes them; otherwise ask the kit maker",
        (shoes, hardware),
    )


@match(when={**REAR, "park_brake": BRAKES, "kit_park_brake": BRAKES}, remedy=_not_worked)
def parking_brake_worked(
    park_brake: str, kit_park_brake: str, park_lever: str | None = None, kit_park_lever: str | None = None
) -> Match:
    """What works the parking brake

    Must be true:
        The kit's parking brake is worked as the car works it: by a cable, or by an electric motor. Shoes that stay on the car keep
        what pulls them.
    Why:
        A cable has nothing to pull on a motor, and a motor's plug nothing to feed on a lever.
    Example:
        >>> parking_brake_worked("in caliper", "in caliper", "electric", "cable").same
        False

    Remedy:
        None: a kit for this car's parking brake.
    Source:
        common practice, no source
    """
    said, shoes = f"on the car: {park_lever or 'not stated'}", kit_park_brake == "drum in hat"
    if kit_park_lever is not None:
        same = None if park_lever is None else park_lever == kit_park_lever
        return Match(same, f"{said}, in the kit: {kit_park_lever}", ("park_lever",))
    if shoes and park_brake == kit_park_brake:
        return Match(True, "the shoes stay, and what pulls them")
    if park_lever is None:
        return Match(None, said, ("park_lever",))
    if shoes and park_lever == "cable":
        return Match(True, f"{said}; a cable pulls the kit's shoes too")
    if shoes:
        said += "; its motors leave with the present brake, so nothing pulls the shoes unless the kit brings a motor"
    return Match(None, said, ("kit_park_lever",))


@check(limit="park_drum", when={**REAR, "park_brake": "drum in hat", "kit_park_brake": "drum in hat"}, remedy=_shoes)
def park_shoes_reach(hat_park_drum_diameter: Any, park_shoe_diameter_min: Any, park_shoe_diameter_max: Any) -> Any:
    """Parking-brake shoes in the hat

    Must be true:
        The hat's drum goes over the shoes at their smallest and is reached by them at their largest.
    Why:
        Shoes of the wrong size drag, or do not hold.
    Example:
        >>> park_shoes_reach(180.0, 178.5, 182.0)
        1.5

    Remedy:
        Shoes for this drum, where the backing plate takes them.
    Source:
        common practice, no source
    """
    return least(hat_park_drum_diameter - park_shoe_diameter_min, park_shoe_diameter_max - hat_park_drum_diameter)
