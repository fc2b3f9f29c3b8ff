"""Who locks first, and the valve that puts it right."""

from dataclasses import replace

from bomcheck.parts.demand import Demand
from bomcheck.system import formulas
from bomcheck.system.balance import NO_KNEE, Brakes, G, Loads, Valve, equal_grip_rate
from bomcheck.system.balance import lock_reserve as reserve_at
from bomcheck.system.figures import scales
from bomcheck.system.findings_circuits import lines_of
from bomcheck.system.result import BAD, GOOD, SystemFinding
from bomcheck.system.scene import Scene, compared

VALVE_SLOPE = 0.4  # of an adjustable valve beyond its knee: common practice, no source
LEAST_RATE, TOP_RATE = formulas.RATES[0], formulas.RATES[-1]
MILDER = "Ask the kit maker for a milder rear brake or a stronger front one"
CLOSER = "At the sizes as stated the front wheels lock first: state the sizes more closely. If it stays"


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
    own, here = scene.kit.middle(formulas.brakes), scene.kit.middle(formulas.loads)
    rate = _equal_rate(own, here)
    return f", from {rate:.2f} g on" if own.valve.knee == NO_KNEE and 0 < rate < TOP_RATE else ""


def _equal_rate(own: Brakes, here: Loads) -> float:
    """Braking rate beyond which the rear wheels would lock first without any valve."""
    return equal_grip_rate(own.front / (own.front + own.rear), here.mass_share, here.height_share)


def _cured_by_valve(scene: Scene, found: SystemFinding) -> SystemFinding:
    """What a valve in the rear line can do, a new one or the one that is there; only what was tried is said."""
    own, here = scene.kit.middle(formulas.brakes), scene.kit.middle(formulas.loads)
    assert found.after is not None
    if found.after.middle >= 0:
        return replace(found, do=f"{CLOSER}, {_sooner(scene, own)}")
    if own.valve.knee != NO_KNEE:
        knee = _knee(own, here, own.valve.slope)
        if knee is not None:
            return replace(found, do=_set_again(scene, own.valve.knee, knee))
    knee = _knee(own, here, VALVE_SLOPE)
    if knee is None:
        return replace(found, do=f"{MILDER}; {_tried(own, here)}")
    return _new_valve(scene, found, knee, own.valve.knee != NO_KNEE)


def _sooner(scene: Scene, own: Brakes) -> str:
    if own.valve.knee != NO_KNEE:
        return f"let the valve that is there begin below {_pressure(scene, own.valve.knee)}, if it can be set"
    return f"an adjustable proportioning valve for {lines_of(scene, 'rear')[1]} gives room; try it where it is safe"


def _set_again(scene: Scene, now: float, knee: float) -> str:
    return (
        f"Set the valve that is there to begin at about {_pressure(scene, knee)} instead of {_pressure(scene, now)}, and try it "
        "where it is safe; if it cannot be set, fit an adjustable one that can"
    )


def _tried(own: Brakes, here: Loads) -> str:
    """Why no valve is named."""
    if _equal_rate(own, here) <= LEAST_RATE:
        return f"the rear would lock first from {LEAST_RATE:.2f} g on, before a valve could begin"
    slopes = [VALVE_SLOPE] if own.valve.knee == NO_KNEE else [own.valve.slope, VALVE_SLOPE]
    said = " and ".join(f"{slope:.2f}" for slope in dict.fromkeys(slopes))
    return f"a valve in the rear line, tried with a slope of {said}, does not cure it alone"


def _new_valve(scene: Scene, found: SystemFinding, knee: float, instead: bool) -> SystemFinding:
    count, line = lines_of(scene, "rear")
    said = f"adjustable proportioning valve for {line}, set to begin at about {_pressure(scene, knee)}"
    reason = "without it the rear wheels would lock first"
    part = Demand("proportioning valve", count, per="car", said=said, reason=reason, used_at="brake line")
    place = ", in place of the one that is there" if instead else ""
    do = (
        f"Fit an {said}{place}, and try it where it is safe"
        if found.verdict == BAD
        else f"It may need an {said}{place}"
    )
    return replace(found, do=do, demands=(part,) if found.verdict == BAD else ())


def _pressure(scene: Scene, pressure: float) -> str:
    """A pressure [MPa] in both units, the job's first: "3.3 MPa (475 psi)"."""
    names = [scale.said(pressure) for scale in scales("MPa", "inch")]
    first, second = names if scene.system == "inch" else reversed(names)
    return f"{first} ({second})"


def _knee(own: Brakes, here: Loads, slope: float) -> float | None:
    """Knee pressure [MPa] of a valve of this slope that keeps the front wheels first at the sizes as stated; None if none."""
    rate = _equal_rate(own, here)
    if not LEAST_RATE < rate < TOP_RATE:
        return None
    bare = Brakes(own.front, own.rear)
    knee = bare.pressure_for(here.mass * G * rate)
    limited = Brakes(own.front, own.rear, Valve(knee, slope))
    return knee if all(reserve_at(limited, here, z) >= -1e-9 for z in formulas.RATES) else None
