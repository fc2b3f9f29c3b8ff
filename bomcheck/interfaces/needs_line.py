"""What the brake line takes: the parts of the chain that was found, and what each of its joints uses up."""

from collections.abc import Iterator
from typing import Any

from bomcheck.parts.demand import Demand
from bomcheck.parts.line_needs import line_demands
from bomcheck.parts.needs import Assembly, needs
from bomcheck.parts.stating import only_ask

PLACE = "line in its tab"


@needs
def hose_line(assembly: Assembly) -> Iterator[Demand]:
    """Hose, adapters, washers, screws and sealant from the car's line to the caliper."""
    yield from line_demands(assembly)


@needs
def line_clip(assembly: Assembly) -> Iterator[Demand]:
    """A clip holds the joint in its tab; the old one stays where it is sound."""
    there = assembly.get("line_bracket")
    if there is None:
        yield from only_ask(assembly, "line clip", "line_bracket", used_at=PLACE)
    if there == "yes":
        yield _clip(assembly.get("line_clip") == "yes")


def _clip(on_car: bool) -> Demand:
    rest: dict[str, Any] = {"said": "clip for the line's tab", "used_at": PLACE}
    if on_car:
        return Demand("line clip", 1, on_car=True, reason="the clip on the car is sound and stays", **rest)
    return Demand("line clip", 1, one_time=True, reason="no sound clip is on the car", **rest)
