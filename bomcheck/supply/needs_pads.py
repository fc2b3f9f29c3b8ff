"""What pads, the parking brake and bleeding consume."""

from collections.abc import Iterator

from bomcheck.model.demand import Demand
from bomcheck.model.finding import mm
from bomcheck.supply.needs import Assembly, known, needs, only_ask, state

PLACE = "pads in the caliper"
PINS = 2  # of one fixed caliper, each with its clip: common practice, no source
SLIDE_CLIPS = 4  # of one sliding caliper, at both ends of both pads: common practice, no source
GREASE = 5.0  # g for the pins of one sliding caliper: common practice, no source


@needs
def pad_set(assembly: Assembly) -> Iterator[Demand]:
    """Four pads for the axle: one set, even where one corner is converted."""
    spec = known({"compound": assembly.get("pad_compound"), "shape": assembly.get("caliper_pad_shape")})
    yield state(
        assembly, "pad set", 1, "caliper_pad_shape", per="axle", unit="set", spec=spec, said="pad set of 4 pads",
        reason="new pads on a new rotor, the same on both sides", used_at=PLACE,
    )  # fmt: skip


@needs
def pins_and_clips(assembly: Assembly) -> Iterator[Demand]:
    """Pins and their clips in a fixed caliper, spring clips in a sliding one; clips are used once."""
    build = assembly.get("caliper_build")
    if build is None:
        yield from only_ask(assembly, "pad clip", "caliper_build", used_at=PLACE)
        return
    if build == "fixed":
        yield Demand("pad pin", PINS, reason="hold the pads in the caliper", used_at=PLACE)
    count, said = (PINS, "clip of a pad pin") if build == "fixed" else (SLIDE_CLIPS, "spring clip under a pad's end")
    yield Demand("pad clip", count, one_time=True, said=said, reason="clips are used once", used_at=PLACE)


@needs
def slides(assembly: Assembly) -> Iterator[Demand]:
    """The pins of a sliding caliper are greased."""
    if assembly.get("caliper_build") == "sliding":
        said = "brake grease for the caliper's slide pins"
        reason = "the caliper slides freely"
        yield Demand(
            "grease", GREASE, unit="g", one_time=True, spec={"use": "brake"}, said=said, reason=reason, used_at=PLACE
        )


PARKING_BRAKE, IN_HAT = "parking brake", "drum in hat"
SHOES_IN_DRUM = 3.0  # mm that shoes may be smaller than their drum as they are sold: common practice, no source


@needs
def park_shoes(assembly: Assembly) -> Iterator[Demand]:
    """One set of shoes and one of springs and clips for the rear axle."""
    if assembly.get("axle") == "front":
        return
    if assembly.get("axle") == "rear":
        yield from only_ask(
            assembly,
            "park shoe set",
            "park_brake",
            said="shoes and springs of the parking brake",
            used_at=PARKING_BRAKE,
        )
    if not _shoes_in_hat(assembly):
        return
    drum = assembly.get("hat_park_drum_diameter")
    said = f"parking-brake shoes for a drum of {mm(drum)}" if drum else "parking-brake shoes"
    spec = {"outer_diameter": (drum - SHOES_IN_DRUM, drum)} if drum else {}
    yield state(
        assembly, "park shoe set", 1, "kit_park_brake", per="axle", unit="set", spec=spec, said=said,
        reason="the shoes run in a new drum", used_at=PARKING_BRAKE,
    )  # fmt: skip
    yield state(
        assembly, "park hardware set", 1, "kit_park_brake", per="axle", unit="set", one_time=True,
        said="springs, pins and clips of the shoes", reason="springs and clips are used once", used_at=PARKING_BRAKE,
    )  # fmt: skip


def _shoes_in_hat(assembly: Assembly) -> bool:
    """Whether shoes run in the new hat: it has a drum, and the car's own parking brake of this axle is, or becomes, that.

    A hat of which nothing is said counts as that of the car.
    """
    car = assembly.get("park_brake")
    return car in (IN_HAT, "in caliper") and assembly.get("kit_park_brake", car) == IN_HAT


BLEEDING = "bleeding"
FLUSH, DRY_CALIPERS = 1.0, 0.3  # L for one axle; L more for a pair of new calipers: common practice, no source
CANS = 2  # of cleaner for a car: common practice, no source


@needs
def fluid(assembly: Assembly) -> Iterator[Demand]:
    """Fluid to bleed one axle, and to fill new calipers."""
    said = "brake fluid of the class on the reservoir's cap, or the next higher"
    for quantity, reason in (
        (FLUSH, "one axle is bled"),
        (DRY_CALIPERS, "new calipers are dry"),
    ):
        yield Demand(
            "fluid",
            quantity,
            per="axle",
            unit="L",
            spec={"fluid": "glycol"},
            one_time=True,
            said=said,
            reason=reason,
            used_at=BLEEDING,
        )


@needs
def cleaner(assembly: Assembly) -> Iterator[Demand]:
    """Brake cleaner for the whole job."""
    reason = "rotors, pads and flanges go on free of grease"
    yield Demand(
        "cleaner", CANS, per="car", one_time=True, said="can of brake cleaner", reason=reason, used_at="cleaning"
    )
