"""What pads and a parking brake inside the hat consume."""

from collections.abc import Iterator

from bomcheck.model.demand import Demand
from bomcheck.model.finding import mm
from bomcheck.supply.needs import IN_HAT, Assembly, known, needs, only_ask, state, was_drum
from bomcheck.supply.part_sizes import SHOES_BELOW

PLACE = "pads in the caliper"
PAD_SLACK = 0.5  # mm that pads may be thicker than the kit's sheet says: common practice, no source


@needs
def pad_set(assembly: Assembly) -> Iterator[Demand]:
    """Four pads for the axle: one set, even where one corner is converted."""
    roads = "yes" if assembly.get("road_use") == "yes" else None
    duty, thick = assembly.get("duty"), assembly.get("pad_thickness")
    spec = known({
        "compound": assembly.get("pad_compound"), "shape": assembly.get("caliper_pad_shape"), "public_roads": roads,
        "for_use": (duty, assembly.job.box) if duty else None, "pad_thickness": None if thick is None else thick + PAD_SLACK,
    })  # fmt: skip
    yield state(
        assembly, "pad set", 1, "caliper_pad_shape", per="axle", unit="set", spec=spec, said="pad set of 4 pads",
        reason="new pads on a new rotor, the same on both sides", used_at=PLACE,
    )  # fmt: skip


PARKING_BRAKE = "parking brake"


@needs
def park_shoes(assembly: Assembly) -> Iterator[Demand]:
    """One set of shoes and one of springs and clips for the rear axle."""
    if assembly.get("axle") == "front":
        return
    if assembly.get("axle") == "rear":
        yield from only_ask(
            assembly, "park shoe set", "park_brake", said="shoes and springs of the parking brake",
            used_at=PARKING_BRAKE,
        )  # fmt: skip
    if not _shoes_in_hat(assembly):
        return
    drum = assembly.get("hat_park_drum_diameter")
    said = f"parking-brake shoes for a drum of {mm(drum)}" if drum else "parking-brake shoes"
    spec = {"outer_diameter": (drum - SHOES_BELOW, drum)} if drum else {}
    yield state(
        assembly, "park shoe set", 1, "kit_park_brake", "hat_park_drum_diameter", per="axle", unit="set", spec=spec, said=said,
        reason="the shoes run in a new drum", used_at=PARKING_BRAKE,
    )  # fmt: skip
    yield state(
        assembly, "park hardware set", 1, "kit_park_brake", per="axle", unit="set", one_time=True,
        said="springs, pins and clips of the shoes", reason="springs and clips are used once", used_at=PARKING_BRAKE,
    )  # fmt: skip


def _shoes_in_hat(assembly: Assembly) -> bool:
    """Whether shoes run in the new hat: it has a drum, and the car's own brake or parking brake of this axle is, or becomes, that.

    A hat of which nothing is said counts as that of the car.
    """
    car, drums = assembly.get("park_brake"), was_drum(assembly.job) == "yes"
    return assembly.get("kit_park_brake", car) == IN_HAT and (drums or car not in (None, "none"))
