"""The car's brakes in figures: units, formulas with their numbers."""

from functools import partial

from bomcheck.car import balance, heat
from bomcheck.car import hydraulics as pedal
from bomcheck.car.hydraulics import axle_force, brake_torque
from bomcheck.car.spread import Point, State, least_of
from bomcheck.model.box import Range
from bomcheck.model.limits import Limit
from bomcheck.model.records import dataclass
from bomcheck.notation import units


@dataclass(frozen=True, slots=True)
class Scale:
    """A unit as it is printed: shown = (value - zero) / factor, with so many decimals."""

    name: str
    digits: int
    factor: float = 1.0
    zero: float = 0.0

    def of(self, value: float) -> float:
        """An internal value on this scale."""
        return (value - self.zero) / self.factor

    def bare(self, value: float) -> str:
        """The same as text, without the unit; a bare 0 where it is exactly that, never "-0"."""
        return "0" if self.of(value) == 0 else f"{round(self.of(value), self.digits) + 0.0:.{self.digits}f}"

    def said(self, value: float) -> str:
        """The same with the unit."""
        return f"{self.bare(value)} {self.name}".rstrip()


def _scale(name: str, quantity: str, digits: int, inside: float = 1.0) -> Scale:
    """A unit of the units table. inside: the table's own unit in one of the findings' ("mL" of 1000 mm³)."""
    unit = units.find(name, quantity)
    assert unit is not None
    return Scale(name, digits, unit.factor / inside, unit.offset)


_METRIC = {
    "-": (Scale("", 2),), "share": (Scale("%", 0, 0.01),), "points": (Scale("points", 0, 0.01),),
    "rate": (Scale("g", 2),), "m/s²": (Scale("g", 2, balance.G), Scale("m/s²", 1)), "residual": (Scale("MPa", 3),),
    "K": (Scale("°C", 0),), **{name: (Scale(name, 0),) for name in ("N", "N·m", "°C", "m", "mm²", "mm³/(m·MPa)")},
    **{name: (Scale(name, 1),) for name in ("mL", "mm", "MPa")},
}  # fmt: skip
_FAHRENHEIT = _scale("°F", "temperature", 0)
_PSI = _scale("psi", "pressure", 0)
_INCH = {
    **_METRIC, "m/s²": (Scale("g", 2, balance.G), _scale("ft/s²", "acceleration", 1)),
    "residual": (Scale("psi", 1, _PSI.factor), Scale("MPa", 3)), "N": (_scale("lbf", "force", 0), Scale("N", 0)),
    "N·m": (_scale("lb·ft", "torque", 0), Scale("N·m", 0)), "MPa": (_PSI, Scale("MPa", 1)),
    "°C": (_FAHRENHEIT, Scale("°C", 0)), "K": (Scale("°F", 0, _FAHRENHEIT.factor), Scale("°C", 0)),
    "m": (_scale("ft", "length", 0, 1000.0), Scale("m", 0)), "mL": (_scale("in³", "volume", 2, 1000.0), Scale("mL", 1)),
    "mm": (_scale("in", "length", 2),), "mm²": (_scale("in²", "area", 2),),
}  # fmt: skip
KINDS = {
    **dict.fromkeys(("front_share", "ideal_share", "best_stop_loss", "master_stroke", "one_side", "pedal_travel_use"), "share"),
    "lock_order": "points", "rate_rule": "rate", "residual_valve": "residual", "residual_valve_other": "residual",
}  # fmt: skip
"""Findings whose figures are printed otherwise than their unit says."""
BEHIND = {"single_stop": "hotter", "single_stop_other": "hotter", "fluid_margin": "in hand"}
"""A word behind the unit."""


def scales(unit: str, system: str = "metric", key: str = "") -> tuple[Scale, ...]:
    """The scales of a unit, the one that rules first. key: of the finding; some are printed in a way of their own."""
    table = _INCH if system == "inch" else _METRIC
    return table.get(KINDS.get(key, unit)) or (Scale(unit, 2),)


def one(value: float, unit: str, system: str = "metric", key: str = "") -> str:
    """A single figure.

    >>> one(8.826, "m/s²"), one(500.0, "N", "inch"), one(0.65, "-", key="master_stroke")
    ('0.90 g (8.8 m/s²)', '112 lbf (500 N)', '65 %')
    """
    return shown(Range(value, value, value), unit, system, key)


def shown(value: Range, unit: str, system: str = "metric", key: str = "") -> str:
    """A figure with its range: "412 N (380 to 447)".

    >>> shown(Range(380.2, 411.7, 447.4), "N"), shown(Range(0.72, 0.72, 0.72), "-")
    ('412 N (380 to 447)', '0.72')
    >>> shown(Range(380.2, 411.7, 447.4), "N", "inch"), shown(Range(82.0, 91.0, 101.0), "K", key="single_stop")
    ('93 lbf (85 to 101; 412 N)', '91 °C hotter (82 to 101)')
    """
    first, *more = scales(unit, system, key)
    low, high = first.bare(value.low), first.bare(value.high)
    beside = [] if low == high else [f"{low} to {high}"]
    beside += [scale.said(value.middle) for scale in more]
    named = " ".join(part for part in (first.said(value.middle), BEHIND.get(key, "")) if part)
    return f"{named} ({'; '.join(beside)})" if beside else named


def limit_shown(limit: Limit, system: str = "metric", key: str = "") -> str:
    """A limit in the same digits: "at most 500 N"."""
    if limit.low is not None and limit.high is not None:
        first, *more = scales(limit.unit, system, key)
        beside = ", ".join(f"{scale.bare(limit.low)} to {scale.said(limit.high)}" for scale in more)
        return f"{first.bare(limit.low)} to {first.said(limit.high)}" + (f" ({beside})" if beside else "")
    if limit.low is not None:
        return f"at least {one(limit.low, limit.unit, system, key)}"
    return f"at most {one(limit.high, limit.unit, system, key)}" if limit.high is not None else "any"


def now_and_then(
    before: Range | None, after: Range, limit: Limit | None, unit: str, system: str = "metric", key: str = ""
) -> str:
    """ "110 N now, 46 N with the kit; should be at most 500 N"."""
    said = f"{shown(after, unit, system, key)} with the kit"
    if before:
        said = f"{shown(before, unit, system, key)} now, {said}"
    return f"{said}; should be {limit_shown(limit, system, key)}" if limit else said


RATES = (0.15, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8)  # braking rates z at which the lock order is looked at
AXLES = ("front", "rear")
NO_VALVE = balance.Valve()


def brakes(at: Point) -> balance.Brakes:
    """Both axles' force for each MPa [N/MPa], and the rear valve."""
    efficiency = at["caliper_efficiency"]
    front = axle_force(at["front_area"], at["front_friction"], at["front_radius"], at["tyre_radius_front"], efficiency)
    rear = axle_force(at["rear_area"], at["rear_friction"], at["rear_radius"], at["tyre_radius_rear"], efficiency)
    knee = at["rear_valve_knee"]
    slope = at["rear_valve_slope"]
    return balance.Brakes(
        front, rear, NO_VALVE if knee == balance.NO_KNEE and slope == 1.0 else balance.Valve(knee, slope)
    )


def loads(at: Point) -> balance.Loads:
    """Mass [kg] and how it stands on the axles."""
    return balance.Loads(at["vehicle_mass"], at["front_mass_share"], at["cg_height"] / at["wheelbase"])


def pressure(at: Point) -> float:
    """Line pressure in the stop asked for [MPa]."""
    return brakes(at).pressure_for(at["vehicle_mass"] * at["design_deceleration"])


def share(at: Point) -> float:
    """Front axle's part of the braking force in the stop asked for [-]."""
    return balance.front_share(brakes(at), at["vehicle_mass"], at["design_deceleration"])


def axle_share(at: Point, axle: str) -> float:
    """The same for either axle."""
    front = share(at)
    return front if axle == "front" else 1.0 - front


def torque(at: Point, axle: str) -> float:
    """Torque of one brake of this axle in the stop asked for [N·m]."""
    line = pressure(at)
    own = line if axle == "front" else balance.Valve(at["rear_valve_knee"], at["rear_valve_slope"]).rear(line)
    return brake_torque(own, at[f"{axle}_area"], at[f"{axle}_friction"], at[f"{axle}_radius"], at["caliper_efficiency"])


def ideal_share(at: Point) -> float:
    """Front share at which both axles would use the same grip in the stop asked for [-]."""
    here = loads(at)
    return here.mass_share + at["design_deceleration"] / balance.G * here.height_share


def reserve(at: Point) -> float:
    """Front share above the one that uses both axles' grip alike [-], the lowest over braking rates of 0.15 to 0.80."""
    own, here = brakes(at), loads(at)
    rates = list(RATES)
    if own.valve.knee != balance.NO_KNEE:
        at_knee = (own.front + own.rear) * own.valve.knee / (here.mass * balance.G)
        rates.append(min(max(at_knee, RATES[0]), RATES[-1]))
    return min(balance.lock_reserve(own, here, rate) for rate in rates)


def rule_room(at: Point) -> float:
    """Braking rate beyond the one that type rules ask for [-], on the grip where it is least."""
    return balance.rate_room(brakes(at), loads(at))


def locks(at: Point, axle: str) -> float:
    """One over the deceleration at which this axle would lock on the tyres' grip [s²/m]; not positive if it never does."""
    return balance.lock_inverse(brakes(at), loads(at), at["tyre_friction"], axle == "front")


def grip_limit(at: Point) -> float:
    """The most that tyres and road allow [m/s²]."""
    return at["tyre_friction"] * balance.G


def best_stop(at: Point) -> float:
    """Best deceleration with no axle locked [m/s²]."""
    return balance.best_deceleration(brakes(at), loads(at), at["tyre_friction"])


def best_range(state: State) -> Range:
    """The same over the ±: the least of what each axle and the tyres allow. Raises Unknown."""
    ends = [turned(state.over(partial(locks, axle=axle))) for axle in AXLES]
    return least_of([*ends, state.over(grip_limit)])


def turned(inverse: Range) -> Range:
    """One over a range of `locks`: infinity where it is not positive."""
    return Range(balance.inverted(inverse.high), balance.inverted(inverse.middle), balance.inverted(inverse.low))


def grips(at: Point, z: float) -> tuple[float, float]:
    """Grip that the front and the rear axle use at a braking rate [-]."""
    return balance.grip_used(brakes(at), loads(at), z * balance.G)


def grip_in_stop(at: Point, axle: str) -> float:
    """Grip that this axle uses in the stop asked for [-]."""
    return grips(at, at["design_deceleration"] / balance.G)[AXLES.index(axle)]


def foot(at: Point) -> float:
    """Pedal force in the stop asked for [N]."""
    return pedal.pedal_force(pressure(at), *pedal_sizes(at))


def foot_alone(at: Point, rate: float) -> float:
    """Pedal force [N] that slows the car by `rate` [m/s²] where the booster gives nothing."""
    line = brakes(at).pressure_for(at["vehicle_mass"] * rate)
    return pedal.pedal_force(line, at["master_bore"], at["pedal_ratio"], efficiency=at["pedal_efficiency"])


def pedal_sizes(at: Point) -> tuple[float, float, float, float, float]:
    """Bore [mm], ratio [-], gain [-], run-out [MPa] and efficiency [-], as `pedal.pedal_force` takes them."""
    runout = at["booster_runout_pressure"]
    return at["master_bore"], at["pedal_ratio"], at["booster_gain"], runout, at["pedal_efficiency"]


def fluid(at: Point, axle: str) -> pedal.Fluid:
    """Fluid that this axle's two brakes take at the pressure at which the travel is judged [mm³]."""
    return pedal.circuit_fluid(
        at[f"{axle}_area"], at["pad_clearance"], at["caliper_compliance"], at["hose_compliance"], at[f"hose_length_{axle}"],
        at["stroke_pressure"],
    )  # fmt: skip


def rise(at: Point, axle: str) -> float:
    """Rise of one rotor of this axle in one stop [K]."""
    energy = heat.stop_energy(at["vehicle_mass"], at["stop_speed_from"], at["stop_speed_to"], at["rotating_parts"])
    return heat.rotor_rise(
        energy, axle_share(at, axle), at["heat_into_rotor"], at[f"{axle}_rotor_mass"], at["specific_heat"]
    )


def hottest(at: Point, axle: str) -> float:
    """Temperature of the rotor just after the last stop [°C]."""
    lift = rise(at, axle)
    return heat.peak(at["ambient_temperature"], lift, at["stop_interval"], at["cooling_time"], at["stop_count"])


def fluid_heat(at: Point, axle: str) -> float:
    """Temperature of the fluid in the caliper after the last stop [°C]."""
    return heat.fluid_temperature(at["ambient_temperature"], hottest(at, axle), at["heat_to_fluid"])
