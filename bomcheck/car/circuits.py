"""Which wheels a circuit serves, and what follows: its fluid, its stroke, the stop when the other circuit has failed.

Front and rear split: a circuit is an axle. Diagonal split: a circuit is one front and the opposite rear brake, so both
circuits are alike and each brakes half of what all four wheels do.
"""

from functools import partial

from bomcheck.car import hydraulics as pedal
from bomcheck.car.balance import Brakes, G, Valve, lock_inverse
from bomcheck.car.figures import AXLES, brakes, fluid, loads, pedal_sizes, turned
from bomcheck.car.hydraulics import axle_force
from bomcheck.car.spread import Point, State, least_of
from bomcheck.model.box import Range


def is_diagonal(at: Point) -> bool:
    """Whether each circuit serves one front and one rear brake. Raises Unknown where the split is not stated."""
    return at["diagonal"] > 0.5


def other(axle: str) -> str:
    """The axle that is not this one."""
    return AXLES[1 - AXLES.index(axle)]


def circuit_fluid(at: Point, axle: str) -> pedal.Fluid:
    """Fluid of the circuit that serves this axle's brakes [mm³]; with a diagonal split half of both axles' fluid."""
    own = fluid(at, axle)
    if not is_diagonal(at):
        return own
    rest = fluid(at, other(axle))
    return pedal.Fluid(
        (own.pads + rest.pads) / 2, (own.calipers + rest.calipers) / 2, (own.hoses + rest.hoses) / 2
    )  # fmt: skip


def millilitres(at: Point, axle: str) -> float:
    """The same, all of it [mL]."""
    return circuit_fluid(at, axle).total / 1000.0


def stroke(at: Point, axle: str) -> float:
    """Stroke of the master cylinder for this circuit [mm]."""
    return pedal.stroke(circuit_fluid(at, axle).total, at["master_bore"], at["master_dead_stroke"])


def stroke_use(at: Point, axle: str) -> float:
    """Part of the circuit's stroke that is used [-]; with a diagonal split of the shorter of the two strokes."""
    there_is = at[f"master_stroke_{axle}"]
    if is_diagonal(at):
        there_is = min(there_is, at[f"master_stroke_{other(axle)}"])
    return stroke(at, axle) / there_is


def foot_travel(at: Point) -> float:
    """Travel at the foot [mm]: free play, ports closed, then the fluid of both circuits; the same for either split."""
    volume = sum(fluid(at, axle).total for axle in AXLES)
    return at["pedal_free_play"] + at["pedal_ratio"] * pedal.stroke(volume, at["master_bore"], at["master_dead_stroke"])


def floor_use(at: Point) -> float:
    """Part of the pedal's whole travel that is used [-]."""
    return foot_travel(at) / at["pedal_travel_to_floor"]


def axle_travel(at: Point, axle: str) -> float:
    """The part of it that this axle's fluid takes [mm]; the same for either split."""
    return at["pedal_ratio"] * pedal.stroke(fluid(at, axle).total, at["master_bore"], 0.0)


def stop_alone(state: State, force: float) -> Range:
    """Deceleration left on one circuit, the weaker of the two, with `force` [N] on the pedal and no wheel locked [m/s²].

    Raises Unknown.
    """
    if state.middle(is_diagonal):
        held = [turned(state.over(partial(diagonal_locks, axle=axle))) for axle in AXLES]
        ends = [state.over(partial(diagonal_pressed, force=force)), *held]
        return least_of([*ends, state.over(lambda at: at["tyre_friction"] * G / 2)])
    pressed = [state.over(partial(axle_pressed, axle=axle, force=force)) for axle in AXLES]
    held = [turned(state.over(partial(axle_locks, axle=axle))) for axle in AXLES]
    return least_of([*pressed, *held, state.over(lambda at: at["tyre_friction"] * G)])


def axle_locks(at: Point, axle: str) -> float:
    """One over the deceleration at which an axle that brakes alone locks [s²/m]; not positive if it never does."""
    return lock_inverse(BY_ITSELF[axle], loads(at), at["tyre_friction"], axle == "front")


BY_ITSELF = {"front": Brakes(1.0, 0.0), "rear": Brakes(0.0, 1.0)}  # how strong it is does not matter to where it locks


def axle_pressed(at: Point, axle: str, force: float) -> float:
    """Deceleration [m/s²] that `force` [N] on the pedal makes where only this axle brakes, its tyres holding."""
    line = pedal.pressure_from(force, *pedal_sizes(at))
    if axle == "rear":
        line = Valve(at["rear_valve_knee"], at["rear_valve_slope"]).rear(line)
    own = axle_force(
        at[f"{axle}_area"], at[f"{axle}_friction"], at[f"{axle}_radius"], at[f"tyre_radius_{axle}"], at["caliper_efficiency"]
    )  # fmt: skip
    return own * line / at["vehicle_mass"]


def diagonal_left(at: Point) -> Brakes:
    """What is left of a diagonal split: one front and one rear brake [N/MPa]."""
    own = brakes(at)
    return Brakes(own.front / 2, own.rear / 2, own.valve)


def diagonal_locks(at: Point, axle: str) -> float:
    """One over the deceleration at which this axle's wheel of a diagonal locks [s²/m]; not positive if it never does.

    The one wheel carries half of its axle's load: it is held against half the grip.
    """
    return lock_inverse(diagonal_left(at), loads(at), at["tyre_friction"] / 2, axle == "front")


def diagonal_pressed(at: Point, force: float) -> float:
    """Deceleration [m/s²] that `force` [N] on the pedal makes on one diagonal, its tyres holding."""
    line = pedal.pressure_from(force, *pedal_sizes(at))
    return sum(diagonal_left(at).forces(line)) / at["vehicle_mass"]
