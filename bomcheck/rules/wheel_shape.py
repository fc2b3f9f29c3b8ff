"""The caliper's outline against the wheel's tables: barrel and spokes, straight between the points that were measured.

Positions along the axle are counted from the wheel's mounting face, + inboard; radii from the hub axis; mm.
"""

from itertools import pairwise
from typing import Any

from bomcheck.model.sizes import Profile, Span
from bomcheck.rules.derived import derived

Room = tuple[float, float] | None


@derived("wheel_spacer_thickness_now", "wheel spacer")
def spacer_now(wheel_spacer_thickness: Any) -> Any:
    """The spacer between hat and wheel [mm]."""
    return wheel_spacer_thickness


@derived("caliper_centre_from_wheel", "caliper centre from the wheel's mounting face")
def caliper_centre_from_wheel(rotor_plane: Any, hat_flange_thickness: Any, wheel_spacer_thickness_now: Any) -> Any:
    """The centred caliper's plane, from the wheel's mounting face [mm]."""
    return rotor_plane + hat_flange_thickness + wheel_spacer_thickness_now


@derived(
    "barrel_room",
    "barrel radius less the caliper's height",
    interval=True,
    decide=lambda sizes: sizes.has("caliper_envelope"),
)
def barrel_room_over_outline(
    wheel_barrel: Profile, caliper_centre_from_wheel: Span, axial_error_allowed: Span, caliper_envelope: Profile
) -> Room:
    """Least over the outline of barrel radius minus height above the mounting plane, (worst, best) [mm].

    The caliper stands where the rotor is, give or take what centring allows.
    """
    rooms = [
        _outline_room(wheel_barrel, caliper_envelope, centre)
        for centre in _places(caliper_centre_from_wheel, axial_error_allowed.high, wheel_barrel, caliper_envelope)
    ]
    return _spread(rooms, wheel_barrel.plus_minus + caliper_envelope.plus_minus)


@derived("barrel_room", "barrel radius less the caliper's height", interval=True)
def barrel_room_over_body(
    wheel_barrel: Profile, caliper_centre_from_wheel: Span, axial_error_allowed: Span, caliper_width_outboard: Span,
    caliper_width_inboard: Span, caliper_body_height: Span,
) -> Room:  # fmt: skip
    """The same where only the body's width and height are known, (worst, best) [mm]."""
    error = axial_error_allowed.high
    wide = _body(caliper_width_outboard.high, caliper_width_inboard.high)
    slim = _body(caliper_width_outboard.low, caliper_width_inboard.low)
    worst = [
        _outline_room(wheel_barrel, wide, at) for at in _places(caliper_centre_from_wheel, error, wheel_barrel, wide)
    ]
    best = [
        _outline_room(wheel_barrel, slim, at) for at in _places(caliper_centre_from_wheel, error, wheel_barrel, slim)
    ]
    low, high = _spread(worst, wheel_barrel.plus_minus), _spread(best, wheel_barrel.plus_minus)
    if low is None or high is None:
        return None
    return low[0] - caliper_body_height.high, high[1] - caliper_body_height.low


@derived("spoke_back", "spoke's back over the caliper", interval=True)
def spoke_back(
    wheel_spoke: Profile,
    rotor_diameter: Span,
    caliper_pad_top: Span,
    caliper_top: Span,
    flush_low: Span,
    flush_high: Span,
) -> Room:
    """Least distance of the spokes' backs outboard of the mounting face, up to the caliper's outermost radius [mm].

    With its pads flush the caliper reaches rotor radius - pad top + its own height.
    """
    start = wheel_spoke.points[0][0]
    reach_high = rotor_diameter.high / 2 + flush_high.high - caliper_pad_top.low + caliper_top.high
    reach_low = rotor_diameter.low / 2 + flush_low.low - caliper_pad_top.high + caliper_top.low
    worst, best = (
        _least_between(wheel_spoke, start, reach_high),
        _least_between(wheel_spoke, start, max(start, reach_low)),
    )
    if worst is None or best is None:
        return None
    return worst - wheel_spoke.plus_minus, best + wheel_spoke.plus_minus


@derived("caliper_top", "caliper's outermost height", interval=True, decide=lambda sizes: sizes.has("caliper_envelope"))
def top_of_outline(caliper_envelope: Profile) -> Room:
    """Highest point of the outline above the mounting plane [mm]."""
    top = max(height for _, height in caliper_envelope.points)
    return top - caliper_envelope.plus_minus, top + caliper_envelope.plus_minus


@derived("caliper_top", "caliper's outermost height")
def top_of_body(caliper_body_height: Any) -> Any:
    """The body's height above the mounting plane [mm]."""
    return caliper_body_height


def _body(outboard: float, inboard: float) -> Profile:
    return Profile(((-outboard, 0.0), (inboard, 0.0)), 0.0)


def _outline_room(barrel: Profile, outline: Profile, centre: float) -> float | None:
    """Least of barrel radius minus outline height over the outline with its centre at a position."""
    first, last = outline.points[0][0] + centre, outline.points[-1][0] + centre
    stations = {
        first,
        last,
        *(x + centre for x, _ in outline.points),
        *(x for x, _ in barrel.points if first < x < last),
    }
    rooms = []
    for x in stations:
        radius, height = barrel.at(x), outline.at(x - centre)
        if radius is None or height is None:
            return None
        rooms.append(radius - height)
    return min(rooms)


def _places(centre: Span, error: float, barrel: Profile, outline: Profile) -> list[float]:
    """Positions of the caliper at which its room can be least or greatest: ends, and where corners meet.

    Between neighbours the room is the least of straight lines, so it is greatest at an end or where two of them cross.
    """
    low, high = centre.low - error, centre.high + error
    meets = {x - u for x, _ in barrel.points for u, _ in outline.points}
    marks = sorted({low, high, *(at for at in meets if low < at < high)})
    return [*marks, *(at for a, b in pairwise(marks) for at in _crossings(barrel, outline, a, b))]


def _crossings(barrel: Profile, outline: Profile, low: float, high: float) -> list[float]:
    """Where two of the room's straight lines cross between two marks."""
    lines = [line for line in _lines(barrel, outline, low, high) if line is not None]
    crossings = []
    for index, (one_low, one_high) in enumerate(lines):
        for two_low, two_high in lines[:index]:
            start, end = one_low - two_low, one_high - two_high
            if start * end < 0:
                crossings.append(low + (high - low) * start / (start - end))
    return crossings


def _lines(barrel: Profile, outline: Profile, low: float, high: float) -> list[Room]:
    """Room at each corner of outline or barrel, (at the first mark, at the second)."""
    middle = (low + high) / 2
    at_outline = [(barrel.at(u + low), barrel.at(u + high), h, 1.0) for u, h in outline.points]
    at_barrel = [
        (outline.at(x - low), outline.at(x - high), r, -1.0)
        for x, r in barrel.points
        if outline.at(x - middle) is not None
    ]
    return [None if a is None or b is None else (s * (a - o), s * (b - o)) for a, b, o, s in [*at_outline, *at_barrel]]


def _spread(rooms: list[float | None], plus_minus: float) -> Room:
    found = [room for room in rooms if room is not None]
    if len(found) < len(rooms):
        return None
    return min(found) - plus_minus, max(found) + plus_minus


def _least_between(profile: Profile, start: float, end: float) -> float | None:
    sizes = [profile.at(start), profile.at(end), *(y for x, y in profile.points if start < x < end)]
    known = [size for size in sizes if size is not None]
    return min(known) if len(known) == len(sizes) else None
