"""Points for the charts of the balance, at the sizes as stated: grip used and front share, both against deceleration.

Each function returns None, or lists with fewer lines, where what it needs is not known.
"""

from dataclasses import dataclass
from functools import partial

from bomcheck.job import Job
from bomcheck.system import formulas
from bomcheck.system.assess import known_scene
from bomcheck.system.balance import G, front_share, ideal_front_share
from bomcheck.system.spread import State, Unknown
from bomcheck.verdict.inputs import Inputs

RATES = tuple(round(0.05 * step, 2) for step in range(2, 21))
"""Braking rates z, 0.10 to 1.00."""
TOP_GRIP = 1.5  # beyond this a curve leaves the chart


@dataclass(frozen=True, slots=True)
class GripCurves:
    """rates: deceleration over gravity [-]. Each list: grip used by that axle [-] at each rate, None off the chart; empty
    where not known. ideal: both alike. tyre_grip: of the road, None if blank."""

    rates: tuple[float, ...]
    ideal: tuple[float, ...]
    front_now: tuple[float | None, ...]
    rear_now: tuple[float | None, ...]
    front_kit: tuple[float | None, ...]
    rear_kit: tuple[float | None, ...]
    tyre_grip: float | None


@dataclass(frozen=True, slots=True)
class ShareCurves:
    """rates: deceleration over gravity [-]. Each list: front axle's part of the braking [-] at each rate: ideal, with which
    both axles use the same grip; now and with the kit, empty where not known."""

    rates: tuple[float, ...]
    ideal: tuple[float, ...]
    now: tuple[float, ...]
    kit: tuple[float, ...]


def grip_curves(job: Job, sizes: Inputs) -> GripCurves | None:
    """Grip used by both axles against the braking rate, now and with the kit; None where neither can be drawn."""
    scene = known_scene(job, sizes)
    if scene is None:
        return None
    now, kit = _grips(scene.present), _grips(scene.kit)
    if not kit[0] and not now[0]:
        return None
    return GripCurves(RATES, RATES, *now, *kit, job.get("tyre_friction"))


def _grips(state: State) -> tuple[tuple[float | None, ...], tuple[float | None, ...]]:
    try:
        pairs = [state.middle(partial(formulas.grips, z=rate)) for rate in RATES]
    except Unknown:
        return (), ()
    front, rear = zip(*pairs, strict=True)
    return tuple(map(_on_chart, front)), tuple(map(_on_chart, rear))


def _on_chart(grip: float) -> float | None:
    return grip if 0 <= grip <= TOP_GRIP else None


def share_curves(job: Job, sizes: Inputs) -> ShareCurves | None:
    """The front share that suits each braking rate, and those that the brakes give; None without the car's own sizes."""
    scene = known_scene(job, sizes)
    if scene is None:
        return None
    try:
        car = scene.kit.middle(formulas.loads)
    except Unknown:
        return None
    ideal = tuple(ideal_front_share(car.mass_share, car.height_share, rate) for rate in RATES)
    return ShareCurves(RATES, ideal, _shares(scene.present), _shares(scene.kit))


def _shares(state: State) -> tuple[float, ...]:
    try:
        own, mass = state.middle(formulas.brakes), state.middle(formulas.loads).mass
    except Unknown:
        return ()
    return tuple(front_share(own, mass, rate * G) for rate in RATES)
