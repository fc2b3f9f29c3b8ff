"""Torque, pedal, pistons and fluid."""

import math
from collections.abc import Sequence
from functools import cache

from bomcheck.model.box import Range
from bomcheck.model.records import dataclass
from bomcheck.tables import rows

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


SURE, LIKELY, FREE = 6, 4, 2  # pistons entered: a pair of halves of so many is a slip, may be one, is usual
TOO_LARGE = 1.5  # times the present area: common practice, no source
TOO_SMALL = 0.6
FAR_TOO_SMALL = 0.4  # no kit has two and a half times the area that was there: common practice, no source
SOFT_PRESSURE = 2.5  # MPa for a hard stop: less than any usual car takes; common practice, no source


def one_side_area(bores: Sequence[float]) -> float:
    """Area of the pistons of ONE side [mm²] from their bores [mm]; for a sliding caliper all of its pistons.

    >>> round(one_side_area((38.0, 38.0)))
    2268
    """
    return sum(math.pi / 4 * bore**2 for bore in bores)


def equal_halves(bores: Sequence[float]) -> bool:
    """Whether the list could be both sides of one caliper: every bore in it an even number of times.

    >>> equal_halves((42.0, 42.0, 38.0, 38.0)), equal_halves((42.0, 38.0, 34.0))
    (True, False)
    """
    return len(bores) >= FREE and all(list(bores).count(bore) % 2 == 0 for bore in bores)


def may_be_both_sides(bores: Sequence[float], build: str | None) -> bool:
    """Whether the list alone speaks for both sides: four pistons or more of a fixed caliper in equal halves.

    >>> may_be_both_sides((40.0, 40.0, 36.0, 36.0), "fixed"), may_be_both_sides((40.0, 40.0), "fixed")
    (True, False)
    """
    return build != "sliding" and len(bores) >= LIKELY and equal_halves(bores)


def replaced_both_sides(
    bores: Sequence[float], build: str | None, kit_area: float | None = None, pressure: float | None = None
) -> bool | None:
    """The same as `both_sides_entered` of the caliper that the kit replaces, [mm²] and [MPa] as there.

    kit_area [mm²]: one side of the kit's caliper, None where its list is in doubt itself. A list of four or more that may
    be both sides is only free where half of it would be far less than the kit's; else it is a question.

    >>> replaced_both_sides((40.0, 40.0, 36.0, 36.0), "fixed", 3428.0)
    """
    found = both_sides_entered(bores, build, kit_area, pressure)
    if found is False and may_be_both_sides(bores, build):
        plain = kit_area is not None and one_side_area(bores) / 2 < FAR_TOO_SMALL * kit_area
        return False if plain else None
    return found


def both_sides_entered(
    bores: Sequence[float], build: str | None, present_area: float | None = None, pressure: float | None = None
) -> bool | None:
    """Whether the pistons of both sides seem to have been entered. True: surely or by the figures. None: ask.

    build: "fixed" or "sliding"; a sliding caliper has one side. present_area [mm²]: one side of the caliper on the car
    now, on the same axle. pressure [MPa]: of a hard stop with the area as entered. Without a figure to compare with, four
    pistons that make two equal halves are a question and two are taken as usual.

    >>> both_sides_entered((42.0, 42.0, 38.0, 38.0, 34.0, 34.0), "fixed")
    True
    >>> both_sides_entered((38.0, 38.0), "fixed")
    False
    """
    if build == "sliding" or not equal_halves(bores):
        return False
    if len(bores) >= SURE:
        return True
    ratio = one_side_area(bores) / present_area if present_area else None
    if ratio is not None and ratio / 2 < TOO_SMALL:
        return False
    large = (ratio is not None and ratio > TOO_LARGE) or (pressure is not None and pressure < SOFT_PRESSURE)
    if large:
        return True
    return None if len(bores) >= LIKELY and ratio is None else False


CM3_PER_FOOT = 1000.0 / 0.3048  # mm³ per metre in one cm³ per foot
PSI = 0.00689475729  # MPa


@cache
def boiling_points() -> dict[str, tuple[float, float]]:
    """Least (dry, wet) boiling point [°C] by class of fluid: FMVSS 116."""
    return {row["class"]: (float(row["dry"]), float(row["wet"])) for row in rows("brake_fluids")}


def fluids_for(wet: float) -> tuple[str, ...]:
    """Glycol fluids whose least wet boiling point reaches this [°C].

    >>> fluids_for(150.0)
    ('DOT 4', 'DOT 5.1')
    """
    return tuple(row["class"] for row in rows("brake_fluids") if row["base"] == "glycol" and float(row["wet"]) >= wet)


def highest_wet() -> float:
    """The highest least wet boiling point that any class of fluid must have [°C].

    >>> highest_wet()
    180.0
    """
    return max(wet for _, wet in boiling_points().values())


OF_BOUGHT_PADS = "edge code"  # what is typed where the friction is that of pads that are bought


def friction_of(code: str) -> Range | None:
    """Friction [-] of the first letter of an edge code, "FF"; None for a letter without an upper bound or none at all.

    >>> friction_of("FG")
    Range(low=0.35, middle=0.4, high=0.45)
    """
    row = next((row for row in rows("friction_codes") if row["letter"] == code.strip()[:1].upper()), None)
    if row is None or not row["high"]:
        return None
    low, high = float(row["low"]), float(row["high"])
    return Range(low, round((low + high) / 2, 6), high)


def legal_hose_compliance(bore: str, kind: str, pressure: int) -> float | None:
    """Most that a hose may swell [mm³/(m·MPa)], by bore [in, as text], kind and pressure [psi]: FMVSS 106, table I.

    >>> round(legal_hose_compliance("1/8", "low", 1000), 1)
    157.0
    """
    row = next((row for row in rows("hose_expansion") if (row["bore"], row["kind"]) == (bore, kind)), None)
    figure = row[f"psi_{pressure}"] if row else ""
    return float(figure) * CM3_PER_FOOT / (pressure * PSI) if figure else None


@cache
def master_bores() -> tuple[tuple[str, float], ...]:
    """(As stamped, bore [mm]) of the master cylinders that the trade sells, smallest first."""
    return tuple((row["stamped"], float(row["bore"])) for row in rows("master_bores"))
