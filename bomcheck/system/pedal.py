"""Pedal and master cylinder: force, pressure, fluid, stroke. MPa, mm, mm², mm³, N."""

import math
from dataclasses import dataclass

NO_BOOSTER = float("inf")


def bore_area(bore: float) -> float:
    """Area of the master cylinder [mm²] from its bore [mm]."""
    return math.pi / 4 * bore**2


def pedal_force(
    pressure: float, bore: float, ratio: float, gain: float = 1.0, runout: float = NO_BOOSTER, efficiency: float = 1.0
) -> float:
    """Force of the foot [N] for a line pressure [MPa].

    bore [mm] of the master cylinder; ratio [-] of the pedal; gain [-] of the booster up to its run-out pressure [MPa],
    beyond which the foot alone makes the rest; efficiency [-] of pedal and cylinder.

    >>> round(pedal_force(8.0, 25.4, 4.0, gain=5.0), 1)
    202.7
    """
    helped = min(pressure, runout)
    return (helped / gain + pressure - helped) * bore_area(bore) / (ratio * efficiency)


def pressure_from(
    force: float, bore: float, ratio: float, gain: float = 1.0, runout: float = NO_BOOSTER, efficiency: float = 1.0
) -> float:
    """Line pressure [MPa] that a force of the foot [N] makes; the other way round of `pedal_force`."""
    alone = force * ratio * efficiency / bore_area(bore)
    return alone * gain if alone * gain <= runout else runout + alone - runout / gain


@dataclass(frozen=True, slots=True)
class Fluid:
    """Fluid that one circuit of two wheels takes [mm³]: to close the pads' air, in the calipers, in the hoses."""

    pads: float
    calipers: float
    hoses: float

    @property
    def total(self) -> float:
        """All of it [mm³]."""
        return self.pads + self.calipers + self.hoses


def circuit_fluid(
    area: float, clearance: float, compliance: float, hose_compliance: float, hose_length: float, pressure: float
) -> Fluid:
    """Fluid for both wheels of one axle at a pressure [MPa].

    area [mm²]: pistons of one side; twice that moves, or the same moves twice as far. clearance [mm] on each side of the
    disc. compliance [mm³/MPa] of one caliper; hose_compliance [mm³/(m·MPa)]; hose_length [mm] at one wheel.
    """
    return Fluid(
        pads=2 * 2 * area * clearance,
        calipers=2 * compliance * pressure,
        hoses=2 * hose_compliance * hose_length / 1000.0 * pressure,
    )


def stroke(volume: float, bore: float, dead_stroke: float) -> float:
    """Stroke of the master cylinder's piston [mm]: volume [mm³] over its area, after the ports are closed [mm].

    >>> round(stroke(4000.0, 25.4, 1.5), 2)
    9.39
    """
    return volume / bore_area(bore) + dead_stroke
