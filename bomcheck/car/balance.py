"""Who brakes how much: front share, the ideal one, the grip each axle uses, who locks first, the best stop.

Decelerations in m/s², also as z = deceleration over gravity [-]. front, rear: force of an axle on the road for each MPa
[N/MPa]. mass_share: part of the mass on the front axle at rest [-]. height_share: height of the centre of gravity over the
wheelbase [-]. Source of the formulas: T. D. Gillespie, Fundamentals of Vehicle Dynamics, chapter 3; Directive 71/320/EEC.
"""

from bomcheck.model.records import dataclass

G = 9.80665
NO_KNEE = float("inf")


@dataclass(frozen=True, slots=True)
class Valve:
    """Holds the rear pressure back beyond the knee [MPa]; slope [-]: rise of rear over rise of front pressure there."""

    knee: float = NO_KNEE
    slope: float = 1.0

    def rear(self, pressure: float) -> float:
        """Rear pressure [MPa] for a front pressure.

        >>> Valve(3.0, 0.4).rear(5.0)
        3.8
        """
        return pressure if pressure <= self.knee else self.knee + self.slope * (pressure - self.knee)


@dataclass(frozen=True, slots=True)
class Brakes:
    """front, rear [N/MPa] and the rear line's valve."""

    front: float
    rear: float
    valve: Valve = Valve()

    def forces(self, pressure: float) -> tuple[float, float]:
        """Force of the front and of the rear axle [N] at a line pressure [MPa]."""
        return self.front * pressure, self.rear * self.valve.rear(pressure)

    def pressure_for(self, force: float) -> float:
        """Line pressure [MPa] at which both axles together give `force` [N]."""
        pressure = force / (self.front + self.rear)
        if pressure <= self.valve.knee:
            return pressure
        held = self.rear * self.valve.knee * (1 - self.valve.slope)
        return (force - held) / (self.front + self.rear * self.valve.slope)


@dataclass(frozen=True, slots=True)
class Loads:
    """mass [kg]; mass_share, height_share [-]."""

    mass: float
    mass_share: float
    height_share: float

    def axles(self, deceleration: float) -> tuple[float, float]:
        """Load of the front and of the rear axle [N] while braking.

        >>> [round(load) for load in Loads(1500.0, 1.5 / 2.7, 0.52 / 2.7).axles(7.0)]
        [10194, 4516]
        """
        front = self.mass * (G * self.mass_share + deceleration * self.height_share)
        return front, self.mass * G - front


def ideal_front_share(mass_share: float, height_share: float, z: float) -> float:
    """Front share of the force at which both axles use the same grip: (lr + z h) / L.

    >>> round(ideal_front_share(0.6, 0.24, 0.614), 3)
    0.747
    """
    return mass_share + z * height_share


def front_share(brakes: Brakes, mass: float, deceleration: float) -> float:
    """Front axle's part of the braking force [-] in a stop with this deceleration."""
    front, rear = brakes.forces(brakes.pressure_for(mass * deceleration))
    return front / (front + rear)


def grip_used(brakes: Brakes, loads: Loads, deceleration: float) -> tuple[float, float]:
    """Grip that the front and the rear axle use [-]: braking force over load. A rear axle without load uses infinity."""
    forces = brakes.forces(brakes.pressure_for(loads.mass * deceleration))
    return tuple(  # type: ignore[return-value]
        force / load if load > 0 else float("inf")
        for force, load in zip(forces, loads.axles(deceleration), strict=True)
    )


def locking_deceleration(brakes: Brakes, loads: Loads, grip: float) -> tuple[float, float]:
    """Deceleration at which the front, and at which the rear axle would lock on a road of this grip [m/s²].

    Infinity for an axle that never locks. The lesser one is the best stop with neither axle locked.
    """
    return inverted(lock_inverse(brakes, loads, grip, True)), inverted(lock_inverse(brakes, loads, grip, False))


def inverted(inverse: float) -> float:
    """One over a number that is not positive where there is no end: infinity then."""
    return 1.0 / inverse if inverse > 0 else NO_KNEE


def lock_inverse(brakes: Brakes, loads: Loads, grip: float, front: bool) -> float:
    """One over the deceleration at which this axle locks [s²/m]; zero or less where it never does.

    Where force of the axle = grip x its load, below the valve's knee or, if not there, beyond it. The inverse has no jump.
    """
    share, height = loads.mass_share, loads.height_share
    if not front:
        share, height = 1 - share, -height
    inverse = 0.0
    for held, slope in _stages(brakes.valve):
        total, constant = brakes.front + brakes.rear * slope, brakes.rear * held
        rise, base = (brakes.front, 0.0) if front else (brakes.rear * slope, constant)
        # axle force = base + rise p, where p = (mass a - constant) / total; its load = mass (G share + a height)
        there_is = grip * loads.mass * G * share - base + rise * constant / total
        inverse = loads.mass * (rise / total - grip * height) / there_is if there_is > 0 else NO_KNEE
        if inverse > 0 and (loads.mass / inverse - constant) / total <= brakes.valve.knee:
            break
    return inverse


def _stages(valve: Valve) -> list[tuple[float, float]]:
    """Rear pressure = held + slope x front pressure, below the knee and beyond it."""
    beyond = [] if valve.knee == NO_KNEE else [(valve.knee * (1 - valve.slope), valve.slope)]
    return [(0.0, 1.0), *beyond]


def best_deceleration(brakes: Brakes, loads: Loads, grip: float) -> float:
    """Best stop with no axle locked [m/s²]; never more than grip x gravity."""
    return min(*locking_deceleration(brakes, loads, grip), grip * G)


def lock_reserve(brakes: Brakes, loads: Loads, z: float) -> float:
    """Front share of the braking less the share that uses both axles' grip alike [-], at a braking rate z.

    Positive where the front uses more of its grip and would lock first.
    """
    return front_share(brakes, loads.mass, z * G) - ideal_front_share(loads.mass_share, loads.height_share, z)


RULED, RISE = (0.2, 0.8), 0.7  # grips for which type rules ask for a rate, and by how much it rises with the grip


def rate_asked(grip: float) -> float:
    """Least braking rate z [-] that must be reached on a road of this grip before an axle locks: 0.1 + 0.7 (k - 0.2).

    Source: UN R13-H, annex 5, for grips of 0.2 to 0.8; the repealed Directive 71/320/EEC, annex II, had 0.85 for 0.7.

    >>> round(rate_asked(0.8), 2)
    0.52
    """
    return 0.1 + RISE * (grip - RULED[0])


def rate_room(brakes: Brakes, loads: Loads) -> float:
    """Braking rate at which the first axle locks less the one asked for [-], the least over all grips for which one is.

    Between the ends it can be least where the front's locking rate rises as steeply as the rule, on either side of the valve's
    knee, or at the knee itself; the rear's rate bends the other way.
    """
    share, height, weight = loads.mass_share, loads.height_share, loads.mass * G
    grips = [*RULED]
    for held, slope in _stages(brakes.valve):
        part = brakes.front / (brakes.front + brakes.rear * slope)
        steepest = part * (share + height * brakes.rear * held / weight) / RISE
        grips += [(part - steepest**0.5) / height] if height > 0 <= steepest else []
    if brakes.valve.knee != NO_KNEE:
        grips += grip_used(brakes, loads, sum(brakes.forces(brakes.valve.knee)) / loads.mass)
    tried = (min(max(grip, RULED[0]), RULED[1]) for grip in grips)
    return min(best_deceleration(brakes, loads, grip) / G - rate_asked(grip) for grip in tried)


def equal_grip_rate(front_part: float, mass_share: float, height_share: float) -> float:
    """Braking rate z [-] at which both axles use the same grip; beyond it the rear would lock first. No valve."""
    return (front_part - mass_share) / height_share


def stopping_distance(speed: float, deceleration: float) -> float:
    """Distance [m] from `speed` [m/s] to rest; the driver's reaction is not in it."""
    return speed**2 / (2 * deceleration)


def legal_distance(speed: float) -> float:
    """Longest stopping distance [m] from `speed` [m/s], brakes cold: 0.10 V + 0.0060 V², V in km/h.

    Source: FMVSS 135, S7.5 (70 m from 100 km/h).

    >>> round(legal_distance(100 / 3.6))
    70
    """
    kilometres = speed * 3.6
    return 0.10 * kilometres + 0.0060 * kilometres**2
