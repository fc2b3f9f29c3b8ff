"""What must lie on the bench before the car is taken apart: how many, which side, and what to look at. Pure data."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from bomcheck.parts.line import NO_SOURCE, SURPLUS, TO_ORDER, Line

THREADED = "Thread with the gauge, length with the vernier, class on the head"
NUT = "Thread with the gauge, lock intact, never used"
LOOKS = {
    "rotor": "Thickness with the micrometer at four places, vanes for this side, no cracks, no knocks on the hub face",
    "hat": "Bore and holes clean, no burrs, seats flat",
    "bracket": "Left and right are not the same: label and drilled side, threads clean, no burrs",
    "caliper": "Bleed screw will point up on this side, inlet thread with the gauge, pistons free, plugs in",
    "pad set": "Compound mark on the backing plate, shape against the caliper, four pads",
    "hose": "Maker's mark and date on the hose, road mark where needed, both ends with the gauge, length",
    "adapter": "Both threads with the gauge, cone or taper unmarked",
    "tube nut": "Thread with the gauge, hole for the tube",
    "brake tube": "Diameter, flare, no kinks",
    "sealing washer": "New, inside diameter, no scores",
    "banjo screw": "Thread and pitch with the gauge, length, holes clear",
    "shim": "Thickness with the micrometer, hole",
    "washer": "Hardened mark or smooth faces, hole, thickness",
    "bracket spacer": "Thickness with the micrometer, faces flat",
    "caliper spacer": "Thickness with the micrometer, faces flat",
    "wheel spacer": "Thickness with the micrometer, bolt circle, bore",
    "centring ring": "Inside and outside diameter",
    "fluid": "Class on the can, seal unbroken, date",
    "hub seal": "Inside and outside diameter, lip unmarked",
    "wheel bearing": "Number, sealed, turns freely",
    "cotter pin": "New, diameter, length",
    "spindle nut": NUT,
    "park shoe set": "Diameter, lining bonded all over, four shoes",
    "park hardware set": "Springs, pins and clips for both sides",
    "threadlocker": "Strength on the bottle, date",
    "safety wire": "Diameter, stainless",
}
SCREWS = ("hat screw", "bracket screw", "caliper screw", "caliper stud", "wheel stud", "wheel bolt", "bleed screw")
NUTS = ("hat nut", "bracket nut", "caliper nut", "wheel nut", "bulkhead nut")
LOOKS |= {**dict.fromkeys(SCREWS, THREADED), **dict.fromkeys(NUTS, NUT)}
PLAIN = "Number and count, no damage"


@dataclass(frozen=True, slots=True)
class Tick:
    """One thing to lay out. quantity: in the line's unit, whole packs of what is bought. look: what to look at."""

    line: Line
    quantity: float
    look: str


def look_at(line: Line) -> str:
    """What to look at when the part is in the hand."""
    return LOOKS.get(line.role, PLAIN)


def tick_groups(lines: Iterable[Line]) -> list[tuple[str, list[Tick]]]:
    """The parts by where they come from; a group that is empty is left out."""
    found: dict[str, list[Tick]] = {}
    for line in lines:
        for group, quantity in _places(line):
            found.setdefault(group, []).append(Tick(line, quantity, look_at(line)))
    return sorted(found.items(), key=lambda item: _order(item[0]))


KIT, SHELF, OPEN, SPARE = (
    "In the kit's box",
    "From the shelf",
    "To be found: no source known",
    "In the kit's box, left over",
)
FROM = "From "


def _places(line: Line) -> Iterator[tuple[str, float]]:
    """(group, quantity) of each place that the line is taken from."""
    if line.in_kit:
        yield (SPARE if line.status == SURPLUS else KIT), line.in_kit
    if line.status == TO_ORDER and line.to_order:
        yield f"{FROM}{line.supplier or 'the supplier'}", line.ordered
    if line.status == NO_SOURCE and line.to_order:
        yield OPEN, line.to_order
    if line.on_shelf:
        yield SHELF, line.on_shelf


def _order(group: str) -> tuple[int, str]:
    places = {KIT: 0, SHELF: 2, OPEN: 3, SPARE: 4}
    return places.get(group, 1), group
