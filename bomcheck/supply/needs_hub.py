"""What a hub takes that comes off for the job: seal, nut, washer, pin, cap, grease; bearings where it is a new one."""

from collections.abc import Iterator

from bomcheck.model.demand import Demand
from bomcheck.supply.needs import Assembly, needs, only_ask, state

PLACE = "hub"
GREASE = 100.0  # g of one hub: common practice, no source
TAPERED, SEALED, LIVE = "tapered pair", "sealed unit", "live axle"

# Role, bearings that it belongs to, whether it is used once, why: common practice, no source.
HARDWARE = (
    ("hub seal", (TAPERED, LIVE), True, "a seal that was pulled off leaks"),
    ("spindle nut", (TAPERED, SEALED), True, "a nut that was staked or turned back is not used again"),
    ("spindle washer", (TAPERED,), False, "lies under the spindle nut"),
    ("cotter pin", (TAPERED, SEALED), True, "a pin is bent once; not used where the nut is staked"),
    ("dust cap", (TAPERED,), True, "a cap that was prised off seldom seals again"),
)


@needs
def hub(assembly: Assembly) -> Iterator[Demand]:
    """The hub itself where it is part of the kit, with its bearings."""
    if assembly.get("hub_removed") == "yes":
        yield from only_ask(assembly, "hub", "hub_in_kit", said="hub with its bearings", used_at=PLACE)
    if assembly.get("hub_in_kit") != "yes":
        return
    yield Demand("hub", 1, reason="the kit's rotor goes on a new hub", used_at=PLACE)
    if assembly.get("bearing") == TAPERED:
        for place in ("inner", "outer"):
            said = f"{place} wheel bearing with its race"
            yield Demand(
                "wheel bearing",
                1,
                spec={"position": place},
                said=said,
                reason="a new hub runs on new bearings",
                used_at=PLACE,
            )
    if assembly.sizes.has("sensor_ring_diameter"):
        yield Demand(
            "sensor ring", 1, reason="the wheel-speed ring of the old hub does not come off whole", used_at=PLACE
        )


@needs
def hub_hardware(assembly: Assembly) -> Iterator[Demand]:
    """Everything that is renewed because the hub comes off."""
    if "yes" not in (assembly.get("hub_removed"), assembly.get("hub_in_kit")):
        yield from only_ask(
            assembly, "hub seal", "hub_removed", said="seal, nut, pin and grease of the hub", used_at=PLACE
        )
        return
    bearing = assembly.get("bearing")
    for role, bearings, once, reason in HARDWARE:
        if bearing is None or bearing in bearings:
            yield state(assembly, role, 1, "bearing", one_time=once, reason=reason, used_at=PLACE)
    if bearing in (None, TAPERED):
        yield state(
            assembly, "grease", GREASE, "bearing", unit="g", one_time=True, spec={"use": "wheel bearing"},
            said="wheel bearing grease", reason="the bearings are packed anew", used_at=PLACE,
        )  # fmt: skip
