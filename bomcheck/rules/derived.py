"""Sizes that follow from typed ones: one function each, its parameters are field keys. All lengths in mm."""

import math
from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from bomcheck.model.rule import arguments_of
from bomcheck.model.sizes import Derivation, Sizes, Span
from bomcheck.model.types import BoltCircle, LineEnd, Thread

Function = TypeVar("Function", bound=Callable[..., Any])
UNITLESS = frozenset({"shim_direction", "shims_in_ear_joint", "shims_in_lug_joint", "hub_lug_count"})
DERIVATIONS: dict[str, list[Derivation]] = {}
TITLES: dict[str, str] = {}


def derived(
    key: str,
    title: str,
    when: Mapping[str, str | tuple[str, ...]] | None = None,
    decide: Callable[[Sizes], bool] | None = None,
    curved: bool = False,
    interval: bool = False,
) -> Callable[[Function], Function]:
    """Write down one way to a size. Several ways to one key are tried in order; `decide` looks at stated sizes."""
    allowed = {name: (value,) if isinstance(value, str) else tuple(value) for name, value in (when or {}).items()}

    def write(function: Function) -> Function:
        parameters, defaults = arguments_of(function)
        way = Derivation(key, title, function, parameters, defaults, allowed, decide, curved, interval)
        DERIVATIONS.setdefault(key, []).append(way)
        TITLES[key] = title
        return function

    return write


def alike(key: str, title: str, function: Callable[..., Any], **renamed: str) -> None:
    """Write down the same way to another size, an interval; renamed: fields that take the place of its own."""
    mine, _ = arguments_of(function)
    named = tuple(renamed.get(name, name) for name in mine)
    size = lambda **sizes: function(*(sizes[name] for name in named))  # noqa: E731
    DERIVATIONS.setdefault(key, []).append(Derivation(key, title, size, named, {}, {}, None, False, True))
    TITLES[key] = title


def same(**size: Any) -> Any:
    """The one size that is handed over."""
    return next(iter(size.values()))


def as_it_is(key: str, title: str, field: str) -> None:
    """Write down a way to a size that is one of the fields."""
    DERIVATIONS.setdefault(key, []).append(Derivation(key, title, same, (field,), {}, {}, None, False))
    TITLES[key] = title


@derived("stud_diameter", "wheel stud diameter")
def stud_diameter(hub_stud_thread: Thread) -> float:
    """Nominal diameter of the wheel stud or bolt [mm]."""
    return hub_stud_thread.diameter


def _surely_proud(sizes: Sizes) -> bool:
    """Stands proud for every true height, and is thicker than the thread for every true diameter."""
    if sizes.number("hub_stud_shoulder_height") <= sizes.half("hub_stud_shoulder_height"):
        return False
    slimmest = sizes.number("hub_stud_shoulder_diameter") - sizes.half("hub_stud_shoulder_diameter")
    return bool(slimmest >= sizes["hub_stud_thread"].diameter)


def _surely_not_proud(sizes: Sizes) -> bool:
    """A tapped hub of which no stud is typed; a height of 0 was typed; or what stands proud is never thicker than the thread."""
    height = "hub_stud_shoulder_height"
    if not sizes.has(height) and sizes.has("hub_fixing") and sizes["hub_fixing"] == "bolt":
        return True
    if sizes.number(height) <= 0:
        return True
    thickest = sizes.number("hub_stud_shoulder_diameter") + sizes.half("hub_stud_shoulder_diameter")
    return bool(thickest <= sizes["hub_stud_thread"].diameter)


@derived("stud_fill_diameter", "stud or proud knurl diameter", decide=_surely_not_proud)
def thread_fills_hole(hub_stud_thread: Thread) -> float:
    """Nothing stands proud: the thread fills the hat's hole [mm]."""
    return hub_stud_thread.diameter


@derived("stud_fill_diameter", "stud or proud knurl diameter", decide=_surely_proud)
def knurl_fills_hole(hub_stud_shoulder_diameter: Any) -> Any:
    """A knurl or shank that stands proud of the hub face and is thicker than the thread fills the hat's hole [mm]."""
    return hub_stud_shoulder_diameter


@derived("stud_fill_diameter", "stud or proud knurl diameter", interval=True)
def knurl_may_fill_hole(
    hub_stud_shoulder_diameter: Span, hub_stud_shoulder_height: Span, hub_stud_thread: Thread
) -> tuple[float, float]:
    """Inside the ± the knurl may or may not stand proud, or be thicker than the thread: from the least to the most [mm]."""
    thread = hub_stud_thread.diameter
    least = max(thread, hub_stud_shoulder_diameter.low) if hub_stud_shoulder_height.low > 0 else thread
    return least, max(thread, hub_stud_shoulder_diameter.high)


# The register of the wheel where it has its own step [mm].
as_it_is("wheel_pilot_diameter", "wheel pilot diameter", "hub_wheel_pilot_diameter")
# The wheel sits on the rotor's pilot where no second step is given [mm].
as_it_is("wheel_pilot_diameter", "wheel pilot diameter", "hub_pilot_diameter")
# Length of the wheel's register from the bare hub face [mm].
as_it_is("wheel_pilot_length", "wheel pilot length", "hub_wheel_pilot_length")
as_it_is("wheel_pilot_length", "wheel pilot length", "hub_pilot_length")  # Length of the shared register [mm].


@derived("rotor_plane", "rotor centre from the hub face", when={"rotor_build": "one-piece"})
def rotor_plane_from_height(rotor_height: Any, hat_flange_thickness: Any, rotor_thickness: Any) -> Any:
    """Centre of a one-piece rotor's disc from the hub face, + inboard [mm]."""
    return rotor_height - hat_flange_thickness - rotor_thickness / 2


# Centre of the disc as the kit's sheet gives it, + inboard [mm].
as_it_is("rotor_plane", "rotor centre from the hub face", "rotor_plane_position")


@derived("shim_direction", "way the axial shims push the caliper", when={"axial_shim_joint": "ear"})
def shim_direction_at_ear(ear_side: str) -> float:
    """+1: axial shims push the caliper inboard, -1: outboard. At the ear they push it away from the ear face [-]."""
    return 1.0 if ear_side == "inboard" else -1.0


@derived("shim_direction", "way the axial shims push the caliper", when={"axial_shim_joint": "lug"})
def shim_direction_at_lug(caliper_lug_side: str) -> float:
    """At an axial lug the shims push the caliper toward the side that the lug is on [-]."""
    return 1.0 if caliper_lug_side == "inboard" else -1.0


# Hub axis to the line of the ear holes as measured [mm].
as_it_is("hub_axis_to_ears", "hub axis to the line of the ear holes", "ear_height")


@derived("hub_axis_to_ears", "hub axis to the line of the ear holes", interval=True)
def ears_from_two_distances(
    ear_distance_upper: Span, ear_distance_lower: Span, ear_spacing: Span
) -> tuple[float, float] | None:
    """The same from the two hole distances and the spacing, (least, greatest) [mm]. Source: geometry of the triangle.

    Moving one size, the height has no dip but may have a top, where the triangle's angle at a hole is square; there it
    is that hole's distance. None: the three make no triangle.

    >>> ears_from_two_distances(Span(100.0, 100.0), Span(100.0, 100.0), Span(120.0, 120.0))
    (80.0, 80.0)
    """
    found: list[float] = []
    feet: list[tuple[float, float]] = []
    for upper in (ear_distance_upper.low, ear_distance_upper.high):
        for lower in (ear_distance_lower.low, ear_distance_lower.high):
            for spacing in (ear_spacing.low, ear_spacing.high):
                foot = (spacing**2 + upper**2 - lower**2) / (2 * spacing)
                if upper**2 < foot**2:
                    return None
                found.append(math.sqrt(upper**2 - foot**2))
                feet.append((foot, spacing - foot))
    for distance, end in ((ear_distance_upper.high, 0), (ear_distance_lower.high, 1)):
        if min(foot[end] for foot in feet) < 0 < max(foot[end] for foot in feet):
            found.append(distance)
    return min(found), max(found)


# Midpoint of the ear holes minus the foot of the perpendicular from the axis, + toward the upper hole [mm].
as_it_is("ears_sideways", "ear midpoint beside the hub axis", "ear_sideways_offset")


@derived("ears_sideways", "ear midpoint beside the hub axis", curved=True)
def sideways_from_two_distances(ear_distance_upper: float, ear_distance_lower: float, ear_spacing: float) -> float:
    """The same from the two hole distances [mm]. Source: geometry of the triangle.

    >>> sideways_from_two_distances(100.0, 100.0, 120.0)
    0.0
    """
    return (ear_distance_upper**2 - ear_distance_lower**2) / (2 * ear_spacing)


as_it_is("pad_top_from_ears", "pad top from the ear holes", "ears_to_pad_top")


@derived("pad_top_from_ears", "pad top from the ear holes")
def pad_top_in_two(bracket_rise: Any, caliper_pad_top: Any) -> Any:
    """Bracket and caliper one upon the other."""
    return bracket_rise + caliper_pad_top


@derived("hub_lug_count", "studs on the hub")
def hub_lug_count(hub_bolt_circle: BoltCircle) -> float:
    """How many studs the hub has [-]."""
    return float(hub_bolt_circle.count)


@derived("hat_pattern", "hat's pattern of holes nearest to the hub's")
def hat_pattern(
    hub_bolt_circle: BoltCircle,
    hat_bolt_circle: tuple[BoltCircle, ...],
    hub_circle_diameter_stated: float | None = None,
) -> BoltCircle:
    """Of the hat's patterns the one that serves the hub's count and comes nearest to its circle, measured or named."""
    at = hub_circle_diameter_stated

    def away(pattern: BoltCircle) -> tuple[bool, float]:
        outside = 0.0
        if at is not None and pattern.low is not None and pattern.high is not None:
            outside = max(pattern.low - at, at - pattern.high, 0.0)
        return (pattern.count % hub_bolt_circle.count != 0, outside)

    return min(hat_bolt_circle, key=away)


@derived("hat_circle_low", "hat bolt circle", decide=lambda sizes: sizes["hat_pattern"].low is not None)
def hat_circle_low(hat_pattern: BoltCircle) -> float:
    """Circle of the hat's holes, or the inner end of its slots [mm]."""
    return float(hat_pattern.low or 0.0)


@derived(
    "hat_innermost_circle",
    "hat's innermost circle of holes",
    decide=lambda sizes: all(pattern.low is not None for pattern in sizes["hat_bolt_circle"]),
)
def hat_innermost_circle(hat_bolt_circle: tuple[BoltCircle, ...]) -> float:
    """The smallest circle of holes in the hat, or inner end of slots, whether the hub uses it or not [mm]."""
    return min(float(pattern.low or 0.0) for pattern in hat_bolt_circle)


@derived("hat_circle_high", "hat bolt circle", decide=lambda sizes: sizes["hat_pattern"].high is not None)
def hat_circle_high(hat_pattern: BoltCircle) -> float:
    """Circle of the hat's holes, or the outer end of its slots [mm]."""
    return float(hat_pattern.high or 0.0)


@derived("inlet_seat", "seat of the caliper's inlet")
def inlet_seat(caliper_inlet: LineEnd) -> str:
    """What the caliper's inlet seals on; "" where it is not stated."""
    return caliper_inlet.seat or ""
