"""The caliper's outline against the wheel's tables: barrel and spokes, straight between the points that were measured.

Positions along the axle are counted from the wheel's mounting face, + inboard; radii from the hub axis; mm. Each function
gives the (worst, best) of a distance over the ±; None where a table does not go far enough.

Where the shims leave the caliper is no part of these: a "room" under the barrel counts as if the pads were flush, and what
the caliper stands further out (`flush_off`) comes off it; never too much, for a corner moves out by no more than its block.
"""

from itertools import pairwise
from typing import Any

from bomcheck.model.sizes import Profile, Span
from bomcheck.rules.body_sizes import corner_radius
from bomcheck.rules.derived import alike, as_it_is, derived

Room = tuple[float, float] | None
INCH = 25.4
RIM_BELOW_CODE = 15.0  # mm that a barrel's inside lies below the rim's nominal radius: common practice, no source
FITTING = 8.0  # mm to either side of the middle of a hose end or bleed screw: common practice, no source
WELL = 40.0  # mm that a barrel may be narrower where it was not measured: common practice, no source
WIDE = 500.0


# The spacer between hat and wheel; blank is a question, not none [mm].
as_it_is("wheel_spacer_thickness_now", "wheel spacer", "wheel_spacer_thickness")


@derived("flush_mount_plane", "radius of the mounting plane of a caliper whose pads are flush")
def flush_mount_plane(rotor_diameter: Any, caliper_pad_top: Any) -> Any:
    """Without what centring by shims allows [mm]."""
    return rotor_diameter / 2 - caliper_pad_top


@derived("caliper_centre_from_wheel", "caliper centre from the wheel's mounting face")
def caliper_centre_from_wheel(rotor_plane: Any, hat_flange_thickness: Any, wheel_spacer_thickness_now: Any) -> Any:
    """The centred caliper's plane, from the wheel's mounting face [mm]."""
    return rotor_plane + hat_flange_thickness + wheel_spacer_thickness_now


@derived("body_error", "caliper body beside the rotor's centre", when={"caliper_build": "fixed"})
def body_error_fixed(axial_error_allowed: Any) -> Any:
    """As far as centring allows [mm]."""
    return axial_error_allowed


@derived("body_error", "caliper body beside the rotor's centre", when={"caliper_build": "sliding"})
def body_error_sliding() -> float:
    """A sliding caliper follows the rotor [mm]."""
    return 0.0


@derived(
    "top_of_caliper", "caliper's outermost height", interval=True, decide=lambda sizes: sizes.has("caliper_envelope")
)
def top_of_outline(caliper_envelope: Profile) -> Room:
    """Highest point of the outline above the mounting plane [mm]."""
    top = max(height for _, height in caliper_envelope.points)
    return top - caliper_envelope.plus_minus, top + caliper_envelope.plus_minus


# The body's height above the mounting plane [mm].
as_it_is("top_of_caliper", "caliper's outermost height", "caliper_body_height")


# barrel ----------------------------------------------------------------------------------------------------------------


@derived(
    "barrel_room", "caliper to the wheel's barrel", interval=True, decide=lambda sizes: sizes.has("caliper_envelope")
)
def barrel_over_outline(
    wheel_barrel: Profile, caliper_centre_from_wheel: Span, body_error: Span, sliding_shift: Span,
    flush_mount_plane: Span, flush_off: Span, any_caliper_top_width: Span, caliper_envelope: Profile,
) -> Room:  # fmt: skip
    """Least over the outline of the barrel's radius less the radius that the body's corner reaches there [mm]."""
    more, least, most = caliper_envelope.plus_minus, flush_off.low, flush_off.high
    wide = _raised(caliper_envelope.points, flush_mount_plane.high + more, any_caliper_top_width.high, least, most=True)
    slim = _raised(caliper_envelope.points, flush_mount_plane.low - more, any_caliper_top_width.low, most, most=False)
    return _barrel(wheel_barrel, wide, slim, caliper_centre_from_wheel, body_error.high, sliding_shift)


@derived("barrel_room", "caliper to the wheel's barrel", interval=True, decide=lambda sizes: sizes.has("wheel_barrel"))
def barrel_over_block(
    wheel_barrel: Profile, caliper_centre_from_wheel: Span, body_error: Span, sliding_shift: Span,
    flush_mount_plane: Span, flush_off: Span, any_caliper_top_width: Span, caliper_body_height: Span,
    caliper_width_outboard: Span, caliper_width_inboard: Span,
) -> Room:  # fmt: skip
    """The same where only the body's width and height are known [mm]."""
    ends, width = (caliper_width_outboard, caliper_width_inboard), any_caliper_top_width
    high, low = caliper_body_height.high, caliper_body_height.low
    block = (-ends[0].high, high), (ends[1].high, high)
    wide = _raised(block, flush_mount_plane.high, width.high, flush_off.low, most=True)
    block = (-ends[0].low, low), (ends[1].low, low)
    slim = _raised(block, flush_mount_plane.low, width.low, flush_off.high, most=False)
    return _barrel(wheel_barrel, wide, slim, caliper_centre_from_wheel, body_error.high, sliding_shift)


@derived(
    "barrel_room", "caliper to the wheel's barrel", interval=True, decide=lambda sizes: not sizes.has("wheel_barrel")
)
def barrel_by_rim(
    wheel_rim_code: Span, flush_mount_plane: Span, flush_off: Span, any_caliper_top_width: Span, top_of_caliper: Span
) -> tuple[float, float]:  # fmt: skip
    """A barrel that was not measured lies inside its rim's nominal radius; how far is not known [mm].

    >>> at = lambda size: Span(size, size)
    >>> round(barrel_by_rim(at(13.0), at(130.0), at(0.0), at(0.0), at(50.0))[1], 1)
    -14.9
    """
    top = ((0.0, top_of_caliper.low),)
    reach = _raised(top, flush_mount_plane.low, any_caliper_top_width.low, flush_off.high, most=False).points[0][1]
    return -WIDE, wheel_rim_code.high * INCH / 2 - reach


def _raised(points: Any, mount: float, width: float, flush: float = 0.0, *, most: bool) -> Profile:
    """Heights above the mounting plane as radii that the body's corners reach: never too low, or never too high. flush: how
    far out the mounting plane is while that is found; it is taken off again."""
    radii = [corner_radius(mount + flush + height, width) - flush for _, height in points]
    if not most:
        more = min(radius - mount - height for radius, (_, height) in zip(radii, points, strict=True))
        radii = [mount + height + more for _, height in points]
    return Profile(tuple((x, radius) for (x, _), radius in zip(points, radii, strict=True)), 0.0)


def _barrel(barrel: Profile, wide: Profile, slim: Profile, centre: Span, error: float, shift: Span) -> Room:
    """Worst of all places from new to worn; best of the places that are possible new, and worn."""
    everywhere = Span(centre.low - error, centre.high + error + shift.high)
    new = Span(centre.low - error, centre.high + error)
    worn = Span(new.low + shift.low, new.high + shift.high)
    worst = _rooms(barrel, wide, everywhere)
    bests = [_rooms(barrel, slim, span) for span in ((new,) if shift.high == 0 else (new, worn))]
    if worst is None or any(best is None for best in bests):
        return None
    return min(worst) - barrel.plus_minus, min(max(best) for best in bests if best is not None) + barrel.plus_minus


def _rooms(barrel: Profile, outline: Profile, centre: Span) -> list[float] | None:
    """The outline's room with its centre at every place where it may be least or greatest."""
    rooms = [_outline_room(barrel, outline, at) for at in _places(centre, barrel, outline)]
    known = [room for room in rooms if room is not None]
    return known if len(known) == len(rooms) else None


def _outline_room(barrel: Profile, outline: Profile, centre: float) -> float | None:
    """Least of barrel radius minus outline radius over the outline with its centre at a position."""
    first, last = outline.points[0][0] + centre, outline.points[-1][0] + centre
    stations = {
        first, last, *(x + centre for x, _ in outline.points), *(x for x, _ in barrel.points if first < x < last),
    }  # fmt: skip
    rooms = []
    for x in stations:
        radius, height = barrel.at(x), outline.at(x - centre)
        if radius is None or height is None:
            return None
        rooms.append(radius - height)
    return min(rooms)


def _places(centre: Span, barrel: Profile, outline: Profile) -> list[float]:
    """Positions of the caliper at which its room can be least or greatest: ends, and where corners meet.

    Between neighbours the room is the least of straight lines, so it is greatest at an end or where two of them cross.
    """
    meets = {x - u for x, _ in barrel.points for u, _ in outline.points}
    marks = sorted({centre.low, centre.high, *(at for at in meets if centre.low < at < centre.high)})
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


@derived("likely_barrel_gap", "caliper to a barrel that was not measured, by its rim", interval=True)
def likely_by_rim(
    wheel_rim_code: Span, flush_mount_plane: Span, flush_off: Span, any_caliper_top_width: Span, top_of_caliper: Span,
    any_wheel_weight_thickness: Span,
) -> tuple[float, float]:  # fmt: skip
    """As a barrel usually lies below its rim's nominal radius, with the sizes as stated [mm]. Common practice, no source."""
    mount, width, top = ((one.low + one.high) / 2 for one in (flush_mount_plane, any_caliper_top_width, top_of_caliper))
    reach = corner_radius(mount + flush_off.high + top, width)
    room = wheel_rim_code.low * INCH / 2 - RIM_BELOW_CODE - reach - max(0.0, any_wheel_weight_thickness.low)
    return room, room


@derived("valve_room", "caliper to the wheel's valve", interval=True)
def valve_over_caliper(
    wheel_valve_position: Span, wheel_valve_radius: Span, caliper_centre_from_wheel: Span, body_error: Span,
    sliding_shift: Span, flush_mount_plane: Span, flush_off: Span, any_caliper_top_width: Span, top_of_caliper: Span,
    caliper_width_outboard: Span, caliper_width_inboard: Span, caliper_envelope: Any = None,
) -> tuple[float, float]:  # fmt: skip
    """Valve or pressure sensor past the body's top, wherever along the axle the body may be under it [mm]."""
    centre, error = caliper_centre_from_wheel, body_error.high
    first, last = centre.low - error - caliper_width_outboard.high, centre.high + error + caliper_width_inboard.high
    if wheel_valve_position.high + FITTING < first or wheel_valve_position.low - FITTING > last + sliding_shift.high:
        return WIDE, WIDE
    mount, width, flush = flush_mount_plane, any_caliper_top_width, flush_off
    high = _raised(((0.0, top_of_caliper.high),), mount.high, width.high, flush.low, most=True).points[0][1]
    low = _raised(((0.0, top_of_caliper.low),), mount.low, width.low, flush.high, most=False).points[0][1]
    surely = centre.high + error - caliper_width_outboard.low, centre.low - error + caliper_width_inboard.low
    under = surely[0] <= wheel_valve_position.low and wheel_valve_position.high <= surely[1]
    best = wheel_valve_radius.high - low if under and caliper_envelope is None else WIDE
    return wheel_valve_radius.low - high, best


@derived("neighbour_wheel_gap", "neighbours to the wheel's barrel", interval=True)
def neighbours_in_barrel(
    neighbours: Profile, wheel_barrel: Profile, hat_flange_thickness: Span, wheel_spacer_thickness: Span
) -> Room:
    """Of the point that comes nearest, wheels straight [mm]."""
    return _points_in_barrel(neighbours, wheel_barrel, hat_flange_thickness, wheel_spacer_thickness)


alike("lock_wheel_gap", "neighbours at full lock to the wheel's barrel", neighbours_in_barrel,
      neighbours="neighbours_at_lock")  # fmt: skip


def _points_in_barrel(points: Profile, barrel: Profile, flange: Span, spacer: Span) -> Room:
    """(worst, best); a point well inside the smallest radius that was measured is clear wherever the table ends."""
    rooms = [_point_in_barrel(radius, x, points.plus_minus, barrel, flange, spacer) for radius, x in points.points]
    known = [room for room in rooms if room is not None]
    if len(known) < len(rooms):
        return None
    return min(low for low, _ in known), min(high for _, high in known)


def _point_in_barrel(radius: float, x: float, more: float, barrel: Profile, flange: Span, spacer: Span) -> Room:
    ends = x - more + flange.low + spacer.low, x + more + flange.high + spacer.high
    places = [*ends, *(at for at, _ in barrel.points if ends[0] < at < ends[1])]
    found = [barrel.at(place) for place in places]
    radii = [one for one in found if one is not None]
    if len(radii) < len(found):
        return (WIDE, WIDE) if radius < min(r for _, r in barrel.points) - WELL else None
    return min(radii) - barrel.plus_minus - radius, max(radii) + barrel.plus_minus - radius


@derived("inlet_room", "hose's end to the wheel's barrel", interval=True)
def inlet_under_barrel(
    wheel_barrel: Profile, caliper_centre_from_wheel: Span, body_error: Span, sliding_shift: Span, flush_mount_plane: Span,
    caliper_inlet_axial: Span, caliper_inlet_height: Span,
) -> Room:  # fmt: skip
    """Of the hose's end with its first bend [mm]."""
    mount, along, height = flush_mount_plane, caliper_inlet_axial, caliper_inlet_height
    most, least = mount.high + height.high, mount.low + height.low
    wide = Profile(((along.low - FITTING, most), (along.high + FITTING, most)), 0.0)
    slim = Profile((((along.low + along.high) / 2, least), ((along.low + along.high) / 2 + 1e-6, least)), 0.0)
    centre, half = caliper_centre_from_wheel, (along.high - along.low) / 2
    return _barrel(
        wheel_barrel, wide, slim, Span(centre.low - half, centre.high + half), body_error.high, sliding_shift
    )


alike("bleeder_room", "bleed screw to the wheel's barrel", inlet_under_barrel,
      caliper_inlet_axial="caliper_bleeder_axial", caliper_inlet_height="caliper_bleeder_height")  # fmt: skip


@derived("wheel_barrel_needed", "where the barrel must be known", interval=True)
def barrel_needed(
    caliper_centre_from_wheel: Span, body_error: Span, sliding_shift: Span, caliper_width_outboard: Span,
    caliper_width_inboard: Span,
) -> tuple[float, float]:  # fmt: skip
    """From where to where along the axle the caliper lies under it, new to worn [mm]."""
    centre, error = caliper_centre_from_wheel, body_error.high
    inboard = centre.high + error + sliding_shift.high + caliper_width_inboard.high
    return centre.low - error - caliper_width_outboard.high, inboard


# spokes ----------------------------------------------------------------------------------------------------------------


@derived("spoke_room", "caliper to the spokes", interval=True, decide=lambda sizes: sizes.has("caliper_envelope"))
def spokes_over_outline(
    wheel_spoke: Profile, mount_plane: Span, any_caliper_top_width: Span, any_caliper_bottom_outboard: Span, caliper_envelope: Profile
) -> Room:  # fmt: skip
    """Least distance along the axle from the outline to the spokes' backs, over all radii of the body, with the caliper's
    centre on the wheel's mounting face [mm]."""
    more = caliper_envelope.plus_minus
    wide = _raised(caliper_envelope.points, mount_plane.high + more, any_caliper_top_width.high, most=True)
    slim = _raised(caliper_envelope.points, mount_plane.low - more, any_caliper_top_width.low, most=False)
    bottom = mount_plane.low + any_caliper_bottom_outboard.low, mount_plane.high + any_caliper_bottom_outboard.high
    return _spokes(wheel_spoke, wide, slim, bottom)


@derived("spoke_room", "caliper to the spokes", interval=True)
def spokes_over_block(
    wheel_spoke: Profile, mount_plane: Span, any_caliper_top_width: Span, any_caliper_bottom_outboard: Span,
    caliper_body_height: Span, caliper_width_outboard: Span,
) -> Room:  # fmt: skip
    """The same where only the body's width and height are known [mm]."""
    out, high, low = caliper_width_outboard, caliper_body_height.high, caliper_body_height.low
    wide = _raised(((-out.high, high), (WIDE, high)), mount_plane.high, any_caliper_top_width.high, most=True)
    slim = _raised(((-out.low, low), (WIDE, low)), mount_plane.low, any_caliper_top_width.low, most=False)
    bottom = mount_plane.low + any_caliper_bottom_outboard.low, mount_plane.high + any_caliper_bottom_outboard.high
    return _spokes(wheel_spoke, wide, slim, bottom)


@derived("wheel_spoke_needed", "where the spokes must be known", interval=True)
def spokes_needed(
    mount_plane: Span, any_caliper_top_width: Span, any_caliper_bottom_outboard: Span, top_of_caliper: Span
) -> tuple[float, float]:
    """The least and the greatest radius that the caliper reaches behind them [mm]."""
    top = corner_radius(mount_plane.high + top_of_caliper.high, any_caliper_top_width.high)
    return mount_plane.low + any_caliper_bottom_outboard.low, top


def _spokes(spoke: Profile, wide: Profile, slim: Profile, bottom: tuple[float, float]) -> Room:
    """bottom: (least, greatest) radius of the body's innermost point."""
    worst = _behind_spokes(spoke, wide, bottom[0])
    if worst is None:
        return None
    best = _behind_spokes(spoke, slim, bottom[1])
    assert best is not None
    return worst - spoke.plus_minus, best + spoke.plus_minus


def _behind_spokes(spoke: Profile, outline: Profile, bottom: float) -> float | None:
    """Least of outline position plus spoke distance over the radii from `bottom` to the outline's top."""
    top = max(radius for _, radius in outline.points)
    bottom = min(bottom, top)
    radii = {bottom, top, *(r for _, r in outline.points), *(r for r, _ in spoke.points)}
    rooms = []
    for radius in radii:
        if bottom <= radius <= top:
            back = spoke.at(radius)
            if back is None:
                return None
            rooms.append(_outboard_end(outline, radius) + back)
    return min(rooms)


def _outboard_end(outline: Profile, radius: float) -> float:
    """The outermost position along the axle at which the outline reaches a radius."""
    x0, r0 = outline.points[0]
    if r0 >= radius - 1e-9:
        return x0
    for (x0, r0), (x1, r1) in pairwise(outline.points):
        if r1 >= radius - 1e-9:
            return x0 + (x1 - x0) * (radius - r0) / (r1 - r0)
    return outline.points[-1][0]
