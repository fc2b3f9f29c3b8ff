"""What the parking brake takes: shoes and their springs where the drum is inside the new hat."""

from collections.abc import Iterator

from bomcheck.parts.demand import Demand
from bomcheck.parts.needs import Assembly, needs
from bomcheck.parts.stating import only_ask

PLACE = "parking brake"


@needs
def park_shoes(assembly: Assembly) -> Iterator[Demand]:
    """One set of shoes and one of springs and clips for the rear axle."""
    if assembly.get("axle") == "front":
        return
    if assembly.get("axle") == "rear":
        yield from only_ask(
            assembly, "park shoe set", "park_brake", said="shoes and springs of the parking brake", used_at=PLACE
        )
    if assembly.get("park_brake") != "drum in hat":
        return
    drum = assembly.get("hat_park_drum_diameter")
    said = f"parking-brake shoes for a drum of {drum:g} mm" if drum else "parking-brake shoes"
    reason = "the shoes run in a new drum"
    yield Demand("park shoe set", 1, per="axle", unit="set", said=said, reason=reason, used_at=PLACE)
    yield Demand(
        "park hardware set", 1, per="axle", unit="set", one_time=True, said="springs, pins and clips of the shoes",
        reason="springs and clips are used once", used_at=PLACE,
    )  # fmt: skip
