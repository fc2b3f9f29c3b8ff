"""Heat of the rotor: energy of a stop, its rise in temperature, and what repeated stops come to. J, kg, K, s, °C, m/s."""

import math

from bomcheck.model.records import dataclass


def stop_energy(mass: float, speed_from: float, speed_to: float, rotating: float = 1.0) -> float:
    """Energy that one stop takes from the car [J]. mass [kg]; speeds [m/s]; rotating [-]: factor for turning parts.

    >>> round(stop_energy(1500.0, 30.0, 0.0, 1.04))
    702000
    """
    return 0.5 * mass * rotating * (speed_from**2 - speed_to**2)


def rotor_rise(energy: float, axle_share: float, into_rotor: float, rotor_mass: float, specific_heat: float) -> float:
    """Rise of one rotor in one stop [K].

    energy [J] of the stop; axle_share [-]: the axle's part of the braking; into_rotor [-]: part of a brake's heat that goes
    into the rotor; rotor_mass [kg] of the friction ring; specific_heat [J/(kg·K)].

    >>> round(rotor_rise(702000.0, 0.7, 0.92, 8.0, 480.0), 1)
    58.9
    """
    return energy * axle_share / 2 * into_rotor / (rotor_mass * specific_heat)


@dataclass(frozen=True, slots=True)
class Stop:
    """Temperature of the rotor just before and just after one stop [°C]."""

    before: float
    after: float


def repeated_stops(ambient: float, rise: float, interval: float, time_constant: float, count: int) -> list[Stop]:
    """Stops one after another: each lifts the rotor by `rise`, between them it cools toward the air.

    ambient [°C]; rise [K]; interval and time_constant [s]. Source: Shigley, Mechanical Engineering Design, temperature
    rise of brakes.
    """
    kept = math.exp(-interval / time_constant)
    stops, now = [], ambient
    for _ in range(count):
        stops.append(Stop(now, now + rise))
        now = ambient + (now + rise - ambient) * kept
    return stops


def peak(ambient: float, rise: float, interval: float, time_constant: float, count: float) -> float:
    """Temperature just after the last of `count` stops [°C], in closed form.

    >>> round(peak(20.0, 60.0, 30.0, 300.0, 12), 1)
    460.6
    """
    kept = math.exp(-interval / time_constant)
    left = math.exp(-interval / time_constant * count)
    return ambient + rise * (1 - left) / (1 - kept)


def ceiling(ambient: float, rise: float, interval: float, time_constant: float) -> Stop:
    """Where endless stops of this kind come to rest. Source as above."""
    top = ambient + rise / (1 - math.exp(-interval / time_constant))
    return Stop(top - rise, top)


def fluid_temperature(ambient: float, rotor: float, share: float) -> float:
    """Temperature of the fluid in the caliper [°C]; share [-] of the rotor's excess over the air that reaches it."""
    return ambient + share * (rotor - ambient)
