"""The banjo screw: long enough to hold in the port through eye and washers, short enough not to touch its bottom."""

from dataclasses import dataclass
from math import ceil, floor

from bomcheck.job import Part
from bomcheck.notation.types import Thread
from bomcheck.parts.line_question import ROUNDING
from bomcheck.parts.line_stock import Supply

Size = tuple[float, float] | None
"""Value and ± in mm; None where it was not measured."""


@dataclass(frozen=True, slots=True)
class Grip:
    """What the screw goes through and into, sizes in mm with ±: the eye, one of two equal washers, the port's thread.

    turned_in: least depth in the port, in screw diameters [-]. free_below: least free thread below the screw's tip [mm].
    """

    thread: Thread
    eye: Size
    washer: Size
    port_depth: Size
    turned_in: float = 1.0
    free_below: float = 1.0


@dataclass(frozen=True, slots=True)
class Reach:
    """verdict: "fits", "does not fit" or "not known". text: the sum with its numbers. missing: sizes to be measured."""

    verdict: str
    text: str
    missing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ScrewChoice:
    """A banjo screw of the right thread that is there or can be ordered, and how far it reaches."""

    part: Part
    source: str
    reach: Reach


def reach(screw: Size, grip: Grip) -> Reach:
    """Thread in the port = screw - eye - 2 washers: at least 1.0 diameter, at most the port's depth less 1 mm.

    "fits" holds for every true size inside the ±, "does not fit" for none of them.
    """
    named = {
        "length of the banjo screw": screw,
        "thickness of the banjo eye": grip.eye,
        "thickness of a sealing washer": grip.washer,
        "depth of thread in the port": grip.port_depth,
    }
    missing = tuple(name for name, size in named.items() if size is None)
    if screw is None or grip.eye is None or grip.washer is None or grip.port_depth is None:
        return Reach("not known", f"needed: {', '.join(missing)}", missing)
    inside = screw[0] - grip.eye[0] - 2 * grip.washer[0]
    half = screw[1] + grip.eye[1] + 2 * grip.washer[1]
    least, most = grip.turned_in * grip.thread.diameter, grip.port_depth[0] - grip.free_below
    text = (
        f"{screw[0]:g} - {grip.eye[0]:g} - 2 x {grip.washer[0]:g} = {inside:.1f} ±{half:.1f} mm in the port, "
        f"at least {least:.1f} and at most {most:.1f} mm"
    )
    room = (most - least, grip.port_depth[1])
    return Reach(_judged((inside - least, half), (most - inside, half + grip.port_depth[1]), room), text)


def _judged(*margins: tuple[float, float]) -> str:
    """margins: middle and ± [mm] of each; all must be at least zero.

    The room between the two bounds is one of them: a port too shallow for any screw is never "not known".
    """
    if all(middle - half >= -ROUNDING for middle, half in margins):
        return "fits"
    return "does not fit" if any(middle + half < -ROUNDING for middle, half in margins) else "not known"


def wanted_screw(grip: Grip) -> str:
    """The length to ask for, "" if something is not measured or no length would do."""
    if grip.eye is None or grip.washer is None or grip.port_depth is None:
        return ""
    through, half = grip.eye[0] + 2 * grip.washer[0], grip.eye[1] + 2 * grip.washer[1]
    least = through + half + grip.turned_in * grip.thread.diameter
    most = through - half + grip.port_depth[0] - grip.port_depth[1] - grip.free_below
    low, high = ceil(least * 10 - ROUNDING) / 10, floor(most * 10 + ROUNDING) / 10
    return f"{grip.thread.name} banjo screw, {low:.1f} to {high:.1f} mm under the head" if high >= low else ""


def screws_for(supply: Supply, grip: Grip, plus_minus: float = 0.0) -> tuple[ScrewChoice, ...]:
    """Every banjo screw of this thread, those that fit first, then in the order box, shelf, price list.

    plus_minus [mm]: of the screws' stated lengths.
    """
    rank = {"fits": 0, "not known": 1, "does not fit": 2}
    found = []
    for _number, part, source in supply.rows():
        if part.role == "banjo screw" and part.thread is not None and part.thread.name == grip.thread.name:
            size = None if part.length is None else (part.length, plus_minus)
            found.append(ScrewChoice(part, source, reach(size, grip)))
    return tuple(sorted(found, key=lambda choice: rank[choice.reach.verdict]))
