"""What every opened brake takes: fluid and cleaner."""

from collections.abc import Iterator

from bomcheck.parts.demand import Demand
from bomcheck.parts.needs import Assembly, needs

PLACE = "bleeding"
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
            used_at=PLACE,
        )


@needs
def cleaner(assembly: Assembly) -> Iterator[Demand]:
    """Brake cleaner for the whole job."""
    reason = "rotors, pads and flanges go on free of grease"
    yield Demand(
        "cleaner", CANS, per="car", one_time=True, said="can of brake cleaner", reason=reason, used_at="cleaning"
    )
