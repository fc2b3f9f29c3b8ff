"""Who locks first, and the valve that puts it right."""

from dataclasses import replace

from bomcheck.parts.demand import Demand
from bomcheck.system import formulas
from bomcheck.system.balance import NO_KNEE, Brakes, G, Valve, equal_grip_rate
from bomcheck.system.balance import lock_reserve as reserve_at
from bomcheck.system.figures import one
from bomcheck.system.findings_circuits import lines_of
from bomcheck.system.result import BAD, GOOD, SystemFinding
from bomcheck.system.scene import Scene, compared
from bomcheck.system.spread import Point, State, Unknown

VALVE_SLOPE = 0.4  # of an adjustable valve beyond its knee: common practice, no source
LEAST_KNEE_RATE = 0.15


def lock_order(scene: Scene) -> SystemFinding:
    """Whether the front wheels lock first, and the valve that sees to it."""
    found = compared(
        scene, "lock_order", "Front wheels lock before the rear ones", "-", formulas.reserve, "lock_reserve",
        formula="front share of the braking − (front mass share + rate × height ÷ wheelbase), the lowest over rates of 0.15 to 0.80",
        source=scene.limit("lock_reserve").source,
    )  # fmt: skip
    if found.after is None:
        return found
    said = "the rear wheels may lock first" if found.verdict != GOOD else "the front wheels lock first on every road"
    found = replace(found, said=f"{found.said}. Front share beyond that of equal grip: {said}{_from_which_rate(scene)}")
    return found if found.verdict == GOOD else _cured_by_valve(scene, found)


def _from_which_rate(scene: Scene) -> str:
    try:
        if scene.kit.middle(lambda at: at["rear_valve_knee"]) != NO_KNEE:
            return ""
        rate = scene.kit.middle(_equal_rate)
    except Unknown:
        return ""
    return f", from {rate:.2f} g on" if 0 < rate < 0.8 else ""


def _equal_rate(at: Point) -> float:
    here = formulas.loads(at)
    return equal_grip_rate(formulas.share(at), here.mass_share, here.height_share)


def _cured_by_valve(scene: Scene, found: SystemFinding) -> SystemFinding:
    """A proportioning valve in the rear line where one is not there yet and can do it."""
    knee = _knee(scene.kit)
    if knee is None:
        do = "Ask the kit maker for a milder rear brake or a stronger front one; a valve in the rear line alone does not cure it"
        return replace(found, do=do)
    count, line = lines_of(scene, "rear")
    begins = scene.one(knee, "MPa") if scene.system == "inch" else f"{knee:.1f} MPa ({one(knee, 'MPa', 'inch')})"
    said = f"adjustable proportioning valve for {line}, set to begin at about {begins}"
    reason = "without it the rear wheels would lock first"
    part = Demand("proportioning valve", count, per="car", said=said, reason=reason, used_at="brake line")
    do = f"Fit an {said}, and try it where it is safe" if found.verdict == BAD else f"It may need an {said}"
    return replace(found, do=do, demands=(part,) if found.verdict == BAD else ())


def _knee(kit: State) -> float | None:
    """Knee pressure [MPa] of a valve that keeps the front wheels first at the sizes as stated; None if there is none."""
    try:
        own, here = kit.middle(formulas.brakes), kit.middle(formulas.loads)
        rate = kit.middle(_equal_rate)
    except Unknown:
        return None
    if own.valve.knee != NO_KNEE or rate <= LEAST_KNEE_RATE:
        return None
    knee = own.pressure_for(here.mass * G * rate)
    limited = Brakes(own.front, own.rear, Valve(knee, VALVE_SLOPE))
    return knee if all(reserve_at(limited, here, z) >= -1e-9 for z in formulas.RATES) else None
