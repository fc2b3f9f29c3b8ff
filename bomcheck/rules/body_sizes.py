"""Where the bodies of a corner stand: the sizes behind their edges. x from the bare hub face, + inboard; r from the axis; mm.

The caliper stands where its shims are there to bring it: its centre on the rotor's, give or take what centring allows, its
pads flush with the disc's edge, as far as that is allowed. A sliding caliper's body follows the rotor.
"""

from math import hypot, sqrt
from typing import Any

from bomcheck.model.body import ANY
from bomcheck.model.sizes import Derivation, Profile, Span
from bomcheck.rules.derived import DERIVATIONS, TITLES, alike, as_it_is, derived, same
from bomcheck.tables import rows
from bomcheck.tables.fields import fields

HEX_HEAD, CAP_HEAD = 0.62, 1.0  # head height in screw diameters: ISO 4017 and ISO 4762, from memory
WALL_LEAST, WALL_MOST = 3.0, 20.0  # mm of caliper below its largest piston: common practice, no source
PLAUSIBLE = {row["size"]: (float(row["low"]), float(row["high"])) for row in rows("body_ranges") if row["low"]}
BEHIND = {row["size"]: tuple(row["bounded_by"].split("; ")) for row in rows("body_ranges") if row["bounded_by"]}


def may_be_blank(key: str) -> str:
    """The key under which a size is known where it is, and stands anywhere in its plausible range where it is not."""
    name = key if key.startswith(ANY) else ANY + key
    bare = name.removeprefix(ANY)
    if name not in DERIVATIONS or DERIVATIONS[name][-1].plain is None:
        field = fields().get(bare)
        title = TITLES.get(bare, field.label if field else bare)
        known = [Derivation(name, title, same, (bare,), {}, {}, None, False)]
        last = Derivation(name, title, same, (), {}, {}, None, False, plain=_plausible(bare))
        DERIVATIONS[name] = [*DERIVATIONS.get(name, known), last]
        TITLES[name] = title[:1].lower() + title[1:]
    return name


def _plausible(key: str) -> tuple[float, float]:
    """The range of a size of which nothing is known, from the schema or from PLAUSIBLE [mm]."""
    if key in PLAUSIBLE:
        return PLAUSIBLE[key]
    field = fields()[key]
    assert field.low is not None
    assert field.high is not None
    return field.low, field.high


# the caliper -----------------------------------------------------------------------------------------------------------


@derived("axial_off", "caliper centre beside the rotor's", interval=True)
def axial_off(axial_error_allowed: Span) -> tuple[float, float]:
    """How far a caliper that counts as centred stands from the rotor's centre, either way [mm]."""
    return -axial_error_allowed.high, axial_error_allowed.high


@derived("caliper_centre", "caliper centre", when={"caliper_build": "fixed"})
def caliper_centre_fixed(rotor_plane: Any, axial_off: Any) -> Any:
    """Centre plane of a fixed caliper, with its shims [mm]."""
    return rotor_plane + axial_off


@derived("caliper_centre", "caliper centre", when={"caliper_build": "sliding"})
def caliper_centre_sliding(rotor_plane: Any) -> Any:
    """A sliding caliper stands where the rotor is [mm]."""
    return rotor_plane


@derived("flush_off", "pad's edge over the disc's edge", interval=True)
def flush_off(flush_low: Span, flush_high: Span) -> tuple[float, float]:
    """Where a pad that counts as flush stands [mm]."""
    return flush_low.low, flush_high.high


@derived("pad_top_radius", "radius of the pad's top edge")
def pad_top_radius(rotor_diameter: Any, flush_off: Any) -> Any:
    """Of a pad that is flush, with its shims [mm]."""
    return rotor_diameter / 2 + flush_off


@derived("mount_plane", "radius of the caliper's mounting plane")
def mount_plane(rotor_diameter: Any, flush_off: Any, caliper_pad_top: Any) -> Any:
    """Of a caliper whose pads are flush, with its shims [mm]."""
    return rotor_diameter / 2 + flush_off - caliper_pad_top


as_it_is("caliper_bottom", "caliper's innermost point above its mounting plane", "caliper_lowest")
as_it_is("caliper_bottom_outboard", "innermost point of the caliper's outer half", "caliper_lowest_outboard")
as_it_is("caliper_bottom_outboard", "innermost point of the caliper's outer half", "caliper_bottom")


@derived("caliper_bottom", "caliper's innermost point above its mounting plane", interval=True)
def caliper_bottom_below_pistons(
    caliper_pad_top: Span, pad_height: Span, caliper_bores: Profile
) -> tuple[float, float]:
    """Where it was not measured: the wall below the largest piston, which stands in the middle of the pad [mm]."""
    largest = max(_diameters(caliper_bores))
    low, high = caliper_pad_top.low - pad_height.high / 2, caliper_pad_top.high - pad_height.low / 2
    return low - largest / 2 - WALL_MOST, high - largest / 2 - WALL_LEAST


@derived("caliper_bottom", "caliper's innermost point above its mounting plane", interval=True)
def caliper_bottom_below_pad(caliper_pad_top: Span, pad_height: Span) -> tuple[float, float]:
    """Where no bore is known either: no higher than the middle of the pad, on which the piston presses [mm]."""
    return PLAUSIBLE["caliper_bottom"][0], caliper_pad_top.high - pad_height.low / 2


def _diameters(bores: Any) -> tuple[float, ...]:
    found: Any = bores.points if isinstance(bores, Profile) else bores
    return tuple(float(one) for one in found)


@derived(
    "sliding_shift", "way of a sliding caliper as pads and disc wear", when={"caliper_build": "sliding"}, interval=True
)
def sliding_shift(
    pad_thickness: Span, pad_backing_thickness: Span, pad_min_lining: Span, rotor_thickness: Span, rotor_min_thickness: Span
) -> tuple[float, float]:  # fmt: skip
    """Inboard, from new to worn: one pad's lining, and of the disc's wear the half, or all where one face wears [mm].

    >>> at = lambda size: Span(size, size)
    >>> sliding_shift(at(14.0), at(5.0), at(2.0), at(24.0), at(22.0))
    (8.0, 9.0)
    """
    lining = (
        pad_thickness.low - pad_backing_thickness.high - pad_min_lining.high,
        pad_thickness.high - pad_backing_thickness.low - pad_min_lining.low,
    )
    disc = rotor_thickness.low - rotor_min_thickness.high, rotor_thickness.high - rotor_min_thickness.low
    return max(0.0, lining[0]) + max(0.0, disc[0]) / 2, max(0.0, lining[1]) + max(0.0, disc[1])


@derived("sliding_shift", "way of a sliding caliper as pads and disc wear", when={"caliper_build": "fixed"})
def no_shift() -> float:
    """A fixed caliper stays where it is [mm]."""
    return 0.0


# ear, bracket and their screws -----------------------------------------------------------------------------------------


@derived("boss_face", "bracket's face on the ear", when={"axial_shim_joint": "ear"})
def boss_face_over_shims(
    rotor_plane: Any, axial_off: Any, bracket_offset: Any, spacer_at_ear: Any, shim_direction: float
) -> Any:
    """The bracket's face at the ear where the caliper is centred by shims there [mm].

    It stands a bracket's offset from the caliper's centre. That offset is counted with a spacer, which therefore comes off it.
    """
    return rotor_plane + axial_off - bracket_offset + spacer_at_ear * shim_direction


@derived("shims_at_ear", "shims at the ear", interval=True)
def shims_at_ear(shims_most: Span) -> tuple[float, float]:
    """None, or as many as are allowed at one screw [mm]."""
    return 0.0, shims_most.high


@derived("boss_seat", "bracket's face on the ear", when={"axial_shim_joint": "ear"})
def boss_seat_over_shims(ear_face_position: Any, spacer_at_ear: Any, shims_at_ear: Any, shim_direction: float) -> Any:
    """The same face, from the ear's [mm]."""
    return ear_face_position + (spacer_at_ear + shims_at_ear) * shim_direction


@derived("boss_seat", "bracket's face on the ear", when={"axial_shim_joint": "lug"})
def boss_seat_on_ear(boss_face: Any) -> Any:
    """No shims at the ear [mm]."""
    return boss_face


@derived("boss_face", "bracket's face on the ear", when={"axial_shim_joint": "lug", "ear_side": "inboard"})
def boss_face_inboard(ear_face_position: Any, spacer_at_ear: Any) -> Any:
    """No shims at the ear, a spacer perhaps [mm]."""
    return ear_face_position + spacer_at_ear


@derived("boss_face", "bracket's face on the ear", when={"axial_shim_joint": "lug", "ear_side": "outboard"})
def boss_face_outboard(ear_face_position: Any, spacer_at_ear: Any) -> Any:
    """No shims at the ear, a spacer perhaps [mm]."""
    return ear_face_position - spacer_at_ear


as_it_is("ear_hole_upper", "hub axis to the upper ear hole", "ear_distance_upper")


@derived("ear_hole_upper", "hub axis to the upper ear hole", interval=True)
def upper_from_height(hub_axis_to_ears: Span, ear_spacing: Span, any_ears_sideways: Span) -> tuple[float, float]:
    """From the line of the holes and the spacing [mm]. Source: Pythagoras."""
    return _hole(hub_axis_to_ears, Span(
        ear_spacing.low / 2 + any_ears_sideways.low, ear_spacing.high / 2 + any_ears_sideways.high
    ))  # fmt: skip


as_it_is("ear_hole_lower", "hub axis to the lower ear hole", "ear_distance_lower")


@derived("ear_hole_lower", "hub axis to the lower ear hole", interval=True)
def lower_from_height(hub_axis_to_ears: Span, ear_spacing: Span, any_ears_sideways: Span) -> tuple[float, float]:
    """From the line of the holes and the spacing [mm]. Source: Pythagoras."""
    return _hole(hub_axis_to_ears, Span(
        ear_spacing.low / 2 - any_ears_sideways.high, ear_spacing.high / 2 - any_ears_sideways.low
    ))  # fmt: skip


def _hole(height: Span, along: Span) -> tuple[float, float]:
    """(least, greatest) distance of a hole at a height, `along` from the foot.

    >>> _hole(Span(79.0, 79.0), Span(59.05, 59.05))[0].__round__(2)
    98.63
    """
    nearest = 0.0 if along.low <= 0 <= along.high else min(abs(along.low), abs(along.high))
    return hypot(height.low, nearest), hypot(height.high, max(abs(along.low), abs(along.high)))


as_it_is("head_height", "height of the bracket screw's head", "bracket_screw_head_height")


@derived("head_height", "height of the bracket screw's head", interval=True)
def head_height(bracket_screw_diameter: Span) -> tuple[float, float]:
    """Where it is blank: from a hexagon head to a cap screw's [mm]. Source: ISO 4017, ISO 4762, from memory."""
    return HEX_HEAD * bracket_screw_diameter.low, CAP_HEAD * bracket_screw_diameter.high


@derived("washers_at_head", "washers under a through screw's head", interval=True)
def washers_at_head(bracket_washers: Span) -> tuple[float, float]:
    """Where screw and nut share the washers: from none to all of them [mm]."""
    return 0.0, bracket_washers.high


# hat and neighbours ----------------------------------------------------------------------------------------------------


as_it_is("hat_mouth", "hat's inboard end", "hat_inner_depth")  # As deep as the hat is, from the hub face [mm].


@derived("hat_mouth", "hat's inboard end", interval=True)
def hat_mouth_at_ring(rotor_plane: Span, rotor_thickness: Span) -> tuple[float, float]:
    """Where the depth is blank: a hat ends somewhere between the friction ring's two faces [mm]."""
    return rotor_plane.low - rotor_thickness.high / 2, rotor_plane.high + rotor_thickness.high / 2


as_it_is("any_hat_outer_diameter", "hat outside diameter", "hat_outer_diameter")


@derived("any_hat_outer_diameter", "hat outside diameter", interval=True)
def hat_outer_within_ring(hat_inner_diameter: Span, rotor_ring_inner_diameter: Span) -> tuple[float, float]:
    """Where it is blank: between the hat's inside and the friction ring's inner edge [mm]."""
    low, high = hat_inner_diameter.low, rotor_ring_inner_diameter.high
    return min(low, high), max(low, high)


as_it_is("any_hub_flange_diameter", "hub flange diameter", "hub_flange_diameter")


@derived("any_hub_flange_diameter", "hub flange diameter", interval=True)
def hub_flange_within_hat(hat_inner_diameter: Span) -> tuple[float, float]:
    """Where it is blank: no larger than the hat that goes over it [mm]."""
    least = fields()["hub_flange_diameter"].low or 0.0
    return min(least, hat_inner_diameter.high), hat_inner_diameter.high


def _past_ring(points: Profile, plane: Span, thick: Span, outer: Span, inner: Span) -> tuple[float, float]:
    """Least distance of the points from the friction ring, (worst, best): apart along the axle or away from it."""
    lows, highs = [], []
    more = points.plus_minus
    for radius, x in points.points:
        r_worst = max(radius - outer.high / 2, inner.low / 2 - radius)
        r_best = max(radius - outer.low / 2, inner.high / 2 - radius)
        x_worst = abs_room(x - more, x + more, plane, thick.high / 2)
        lows.append(max(r_worst, x_worst[0]))
        highs.append(max(r_best, x_worst[1] + (thick.high - thick.low) / 2))
    return min(lows), min(highs)


def abs_room(low: float, high: float, plane: Span, half: float) -> tuple[float, float]:
    """(least, greatest) distance along the axle from a point between low and high to a disc `half` thick each side."""
    least = max(low - plane.high, plane.low - high)
    greatest = max(high - plane.low, plane.high - low)
    return least - half, greatest - half


@derived("neighbour_gap", "neighbours to the friction ring", interval=True)
def neighbour_gap(
    neighbours: Profile, rotor_plane: Span, rotor_thickness: Span, rotor_diameter: Span, any_rotor_ring_inner_diameter: Span
) -> tuple[float, float]:  # fmt: skip
    """Of the nearest of the points, wheels straight (worst, best) [mm].

    >>> at = lambda size: Span(size, size)
    >>> neighbour_gap(Profile(((120.0, 60.0),), 0.0), at(42.0), at(28.0), at(330.0), at(220.0))
    (4.0, 4.0)
    """
    return _past_ring(neighbours, rotor_plane, rotor_thickness, rotor_diameter, any_rotor_ring_inner_diameter)


alike("neighbour_gap_at_lock", "neighbours to the friction ring at full lock", neighbour_gap,
      neighbours="neighbours_at_lock")  # fmt: skip


@derived("bracket_arm_gap", "bracket's arm to the friction ring", interval=True)
def bracket_arm_gap(
    bracket_arm: Profile, axial_error_allowed: Span, rotor_thickness: Span, rotor_diameter: Span,
    any_rotor_ring_inner_diameter: Span,
) -> tuple[float, float]:  # fmt: skip
    """Of the nearest of its points, counted from the caliper's centre plane, wherever that may be beside the disc's [mm]."""
    beside = Span(-axial_error_allowed.high, axial_error_allowed.high)
    return _past_ring(bracket_arm, beside, rotor_thickness, rotor_diameter, any_rotor_ring_inner_diameter)


@derived("hat_screw_reach", "hat screws' heads and nuts from the disc's middle")
def hat_screw_reach(rotor_thickness: Any) -> Any:
    """As far as the disc's faces, where nothing else was measured [mm]."""
    return rotor_thickness / 2


def corner_radius(height: float, width: float) -> float:
    """Radius that the corner of a block reaches [mm]: its top at `height` from the axis, `width` across.

    >>> round(corner_radius(184.5, 160.0), 1)
    201.1
    """
    return sqrt(height**2 + (width / 2) ** 2)


for _key in ("ears_sideways", "rotor_ring_inner_diameter", "caliper_top_width", "caliper_bottom", "caliper_bottom_outboard",
             "wheel_weight_thickness"):  # fmt: skip
    may_be_blank(_key)
