"""Points for the charts, at the sizes as stated: temperatures over the stops, pedal stroke.

Each function returns None, or lists with fewer lines, where what it needs is not known.
"""

from functools import partial

from bomcheck.car import circuits, heat
from bomcheck.car import figures as formulas
from bomcheck.car.balance import G, front_share, ideal_front_share
from bomcheck.car.circuits import other
from bomcheck.car.findings_pedal import is_diagonal
from bomcheck.car.hydraulics import bore_area
from bomcheck.car.scene import Scene
from bomcheck.car.spread import Point, State, Unknown
from bomcheck.model.records import dataclass


@dataclass(frozen=True, slots=True)
class HeatCurves:
    """times [s] and rotor [°C]: the saw-tooth of the stops, two points a stop. stops: number of each point. rotor_now: the
    same of the present rotor, empty where not known. fluid [°C]: in the caliper at each point, with the kit. The rest: lines across [°C], None where blank."""

    times: tuple[float, ...]
    stops: tuple[int, ...]
    rotor: tuple[float, ...]
    rotor_now: tuple[float, ...]
    fluid: tuple[float, ...]
    pad_low: float | None
    pad_high: float | None
    fluid_dry: float | None
    fluid_wet: float | None


@dataclass(frozen=True, slots=True)
class StrokeBudget:
    """parts: names, in the order of the stroke. now, kit [mm]: stroke of each; now is empty where not known. there_is
    [mm]: stroke of the circuit, None if blank. most [mm]: part of it that may be used."""

    parts: tuple[str, ...]
    now: tuple[float, ...]
    kit: tuple[float, ...]
    there_is: float | None
    most: float | None


STROKE_PARTS = ("until the ports are closed", "pad clearance", "give of the calipers", "give of the hoses")


def heat_curves(scene: Scene) -> HeatCurves | None:
    """Temperature of the kit's rotor and of the fluid over the stops of the duty; None where it is not known."""
    try:
        stops, interval, share, air = scene.kit.middle(partial(_stops, axle=scene.axle))
    except Unknown:
        return None
    rotor = _saw(stops)
    times = tuple(t for number in range(len(stops)) for t in (number * interval, number * interval))
    fluid = tuple(heat.fluid_temperature(air, temperature, share) for temperature in rotor)
    lines = (
        scene.job.get(key)
        for key in ("pad_temperature_low", "pad_temperature_high", "fluid_dry_boiling", "fluid_wet_boiling")
    )
    return HeatCurves(times, tuple(n // 2 + 1 for n in range(len(rotor))), rotor, _rotor_now(scene), fluid, *lines)


def _saw(stops: list[heat.Stop]) -> tuple[float, ...]:
    return tuple(temperature for stop in stops for temperature in (stop.before, stop.after))


def _rotor_now(scene: Scene) -> tuple[float, ...]:
    try:
        return _saw(scene.present.middle(partial(_stops, axle=scene.axle))[0])
    except Unknown:
        return ()


def _stops(at: Point, axle: str) -> tuple[list[heat.Stop], float, float, float]:
    air, interval = at["ambient_temperature"], at["stop_interval"]
    stops = heat.repeated_stops(air, formulas.rise(at, axle), interval, at["cooling_time"], round(at["stop_count"]))
    return stops, interval, at["heat_to_fluid"], air


def stroke_budget(scene: Scene) -> StrokeBudget | None:
    """What the stroke of the kit's circuit goes into, now and with the kit; None where it is not known with the kit."""
    try:
        kit = scene.kit.middle(partial(_strokes, axle=scene.axle))
    except Unknown:
        return None
    there_is = _stroke_there_is(scene)
    most = scene.limit("master_stroke_use").high
    return StrokeBudget(STROKE_PARTS, _now(scene), kit, there_is, there_is * most if there_is and most else None)


def _stroke_there_is(scene: Scene) -> float | None:
    """Stroke of the kit's circuit [mm]; with a diagonal split the shorter of both. None where one is blank."""
    axles = (scene.axle, other(scene.axle)) if is_diagonal(scene) else (scene.axle,)
    strokes = [scene.job.get(f"master_stroke_{axle}") for axle in axles]
    return None if None in strokes else min(strokes)


def _now(scene: Scene) -> tuple[float, ...]:
    try:
        return scene.present.middle(partial(_strokes, axle=scene.axle))
    except Unknown:
        return ()


def _strokes(at: Point, axle: str) -> tuple[float, ...]:
    taken, area = circuits.circuit_fluid(at, axle), bore_area(at["master_bore"])
    return (at["master_dead_stroke"], taken.pads / area, taken.calipers / area, taken.hoses / area)


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


def grip_curves(scene: Scene) -> GripCurves | None:
    """Grip used by both axles against the braking rate, now and with the kit; None where neither can be drawn."""
    now, kit = _grips(scene.present), _grips(scene.kit)
    if not kit[0] and not now[0]:
        return None
    return GripCurves(RATES, RATES, *now, *kit, scene.job.get("tyre_friction"))


def _grips(state: State) -> tuple[tuple[float | None, ...], tuple[float | None, ...]]:
    try:
        pairs = [state.middle(partial(formulas.grips, z=rate)) for rate in RATES]
    except Unknown:
        return (), ()
    front, rear = zip(*pairs, strict=True)
    return tuple(map(_on_chart, front)), tuple(map(_on_chart, rear))


def _on_chart(grip: float) -> float | None:
    return grip if 0 <= grip <= TOP_GRIP else None


def share_curves(scene: Scene) -> ShareCurves | None:
    """The front share that suits each braking rate, and those that the brakes give; None without the car's own sizes."""
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
