"""The system's formulas on one set of true sizes; each may be run over the ± by `State.over`."""

from functools import partial

from bomcheck.system import heat, pedal
from bomcheck.system.balance import (
    NO_KNEE,
    Brakes,
    G,
    Loads,
    Valve,
    best_deceleration,
    front_share,
    grip_used,
    inverted,
    lock_inverse,
    lock_reserve,
)
from bomcheck.system.spread import Point, State, least_of
from bomcheck.system.torque import axle_force, brake_torque
from bomcheck.verdict.box import Range

RATES = (0.15, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8)  # braking rates z at which the lock order is looked at
AXLES = ("front", "rear")
NO_VALVE = Valve()


def brakes(at: Point) -> Brakes:
    """Both axles' force for each MPa [N/MPa], and the rear valve."""
    efficiency = at["caliper_efficiency"]
    front = axle_force(at["front_area"], at["front_friction"], at["front_radius"], at["tyre_radius_front"], efficiency)
    rear = axle_force(at["rear_area"], at["rear_friction"], at["rear_radius"], at["tyre_radius_rear"], efficiency)
    knee = at["rear_valve_knee"]
    slope = at["rear_valve_slope"]
    return Brakes(front, rear, NO_VALVE if knee == NO_KNEE and slope == 1.0 else Valve(knee, slope))


def loads(at: Point) -> Loads:
    """Mass [kg] and how it stands on the axles."""
    return Loads(at["vehicle_mass"], at["front_mass_share"], at["cg_height"] / at["wheelbase"])


def pressure(at: Point) -> float:
    """Line pressure in the stop asked for [MPa]."""
    return brakes(at).pressure_for(at["vehicle_mass"] * at["design_deceleration"])


def share(at: Point) -> float:
    """Front axle's part of the braking force in the stop asked for [-]."""
    return front_share(brakes(at), at["vehicle_mass"], at["design_deceleration"])


def axle_share(at: Point, axle: str) -> float:
    """The same for either axle."""
    front = share(at)
    return front if axle == "front" else 1.0 - front


def torque(at: Point, axle: str) -> float:
    """Torque of one brake of this axle in the stop asked for [N·m]."""
    line = pressure(at)
    own = line if axle == "front" else Valve(at["rear_valve_knee"], at["rear_valve_slope"]).rear(line)
    return brake_torque(own, at[f"{axle}_area"], at[f"{axle}_friction"], at[f"{axle}_radius"], at["caliper_efficiency"])


def ideal_share(at: Point) -> float:
    """Front share at which both axles would use the same grip in the stop asked for [-]."""
    here = loads(at)
    return here.mass_share + at["design_deceleration"] / G * here.height_share


def reserve(at: Point) -> float:
    """Front share above the one that uses both axles' grip alike [-], the lowest over braking rates of 0.15 to 0.80."""
    own, here = brakes(at), loads(at)
    rates = list(RATES)
    if own.valve.knee != NO_KNEE:
        at_knee = (own.front + own.rear) * own.valve.knee / (here.mass * G)
        rates.append(min(max(at_knee, RATES[0]), RATES[-1]))
    return min(lock_reserve(own, here, rate) for rate in rates)


def locks(at: Point, axle: str) -> float:
    """One over the deceleration at which this axle would lock on the tyres' grip [s²/m]; not positive if it never does."""
    return lock_inverse(brakes(at), loads(at), at["tyre_friction"], axle == "front")


def grip_limit(at: Point) -> float:
    """The most that tyres and road allow [m/s²]."""
    return at["tyre_friction"] * G


def best_stop(at: Point) -> float:
    """Best deceleration with no axle locked [m/s²]."""
    return best_deceleration(brakes(at), loads(at), at["tyre_friction"])


def best_range(state: State) -> Range:
    """The same over the ±: the least of what each axle and the tyres allow. Raises Unknown."""
    ends = [turned(state.over(partial(locks, axle=axle))) for axle in AXLES]
    return least_of([*ends, state.over(grip_limit)])


def turned(inverse: Range) -> Range:
    """One over a range of `locks`: infinity where it is not positive."""
    return Range(inverted(inverse.high), inverted(inverse.middle), inverted(inverse.low))


def grips(at: Point, z: float) -> tuple[float, float]:
    """Grip that the front and the rear axle use at a braking rate [-]."""
    return grip_used(brakes(at), loads(at), z * G)


def grip_in_stop(at: Point, axle: str) -> float:
    """Grip that this axle uses in the stop asked for [-]."""
    return grips(at, at["design_deceleration"] / G)[AXLES.index(axle)]


def foot(at: Point) -> float:
    """Pedal force in the stop asked for [N]."""
    return pedal.pedal_force(pressure(at), *pedal_sizes(at))


def pedal_sizes(at: Point) -> tuple[float, float, float, float, float]:
    """Bore [mm], ratio [-], gain [-], run-out [MPa] and efficiency [-], as `pedal.pedal_force` takes them."""
    runout = at["booster_runout_pressure"]
    return at["master_bore"], at["pedal_ratio"], at["booster_gain"], runout, at["pedal_efficiency"]


def fluid(at: Point, axle: str) -> pedal.Fluid:
    """Fluid that this axle's two brakes take at the pressure at which the travel is judged [mm³]."""
    return pedal.circuit_fluid(
        at[f"{axle}_area"], at["pad_clearance"], at["caliper_compliance"], at["hose_compliance"], at["hose_length"],
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
