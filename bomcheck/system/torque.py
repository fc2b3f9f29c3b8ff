"""From line pressure to the torque at a wheel and the force on the road. Two faces of one side's piston area everywhere."""

import math

PADS = 2  # faces of one rotor
WHEELS = 2  # of one axle


def brake_torque(
    pressure: float, area: float, friction: float, radius: float, efficiency: float = 1.0, faces: int = PADS
) -> float:
    """Torque of one brake [N·m]: faces x friction x p A r.

    pressure [MPa]; area [mm²] of one side's pistons; friction [-] of the pads; radius [mm], effective; efficiency [-] of
    the caliper. faces: 2 for a disc with a pad on either side; 1 where a source counts one.

    >>> round(brake_torque(8.0, 2268.2, 0.40, 130.0))
    1887
    """
    return faces * friction * pressure * area * radius * efficiency / 1000.0


def axle_force(area: float, friction: float, radius: float, tyre_radius: float, efficiency: float) -> float:
    """Force of both wheels of an axle on the road for each MPa [N/MPa]; sizes as above, tyre_radius [mm]."""
    return WHEELS * PADS * friction * area * radius * efficiency / tyre_radius


def effective_radius(disc_radius: float, pad_overhang: float, pad_height: float) -> float:
    """Effective radius [mm] from the disc's radius, the pad's top edge over it (negative inside) and the pad's height.

    >>> effective_radius(165.0, -0.5, 52.0)
    138.5
    """
    return disc_radius + pad_overhang - pad_height / 2


def sector_radius(outer: float, inner: float) -> float:
    """Effective radius of a pad of a ring's sector under even pressure [mm].

    Source: Shigley, Mechanical Engineering Design, caliper brakes, uniform pressure.

    >>> round(sector_radius(165.0, 113.0), 1)
    140.6
    """
    return 2.0 / 3.0 * (outer**3 - inner**3) / (outer**2 - inner**2)


def wear_force(pressure_inside: float, angle: float, inner: float, outer: float) -> float:
    """Force on one pad that has worn in [N]: largest pressure [MPa] at the inner edge, angle [degrees], radii [mm].

    Source: Shigley, caliper brakes, uniform wear.
    """
    return math.radians(angle) * pressure_inside * inner * (outer - inner)


def even_force(pressure: float, angle: float, inner: float, outer: float) -> float:
    """Force on one pad under even pressure [N]; arguments as above. Source: the same, uniform pressure."""
    return math.radians(angle) / 2 * pressure * (outer**2 - inner**2)
