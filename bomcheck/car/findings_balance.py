"""Whether the tyres give the stop asked for, before the kit and with it; only ever something to look at."""

from collections.abc import Iterator
from dataclasses import replace
from functools import partial

from bomcheck.car import figures as formulas
from bomcheck.car.balance import (
    NO_KNEE,
    Brakes,
    G,
    Loads,
    Valve,
    equal_grip_rate,
    legal_distance,
    rate_asked,
    stopping_distance,
)
from bomcheck.car.balance import lock_reserve as reserve_at
from bomcheck.car.circuits import other
from bomcheck.car.figures import scales
from bomcheck.car.findings_pedal import lines_of
from bomcheck.car.scene import BAD, GOOD, LOOK, Scene, SystemFinding, compared, judged
from bomcheck.car.spread import AsPresent, Formula, Point, State, Unknown, change, exact, least_of, side_by_side
from bomcheck.model.box import Range
from bomcheck.model.demand import Demand

SOFTER = "Ask for a softer stop, for tyres with more grip, or for brakes that share the work better between the axles"
AHEAD = 1e-9  # a stop at the very limit is still given


def grip_held(scene: Scene, found: SystemFinding, axle: str) -> SystemFinding:
    """The row of the grip that an axle uses, with a word where it is more than its tyres have."""
    return _given(scene, found, lambda at: at["tyre_friction"] - formulas.grip_in_stop(at, axle))


def stop_given(scene: Scene, found: SystemFinding) -> SystemFinding:
    """The row of the hardest stop, with a word where the stop asked for is harder."""
    return _given(scene, found, *(partial(_stop_room, axle=axle) for axle in formulas.AXLES))


def _stop_room(at: Point, axle: str) -> float:
    """One over the stop asked for less one over the one at which this axle locks [s²/m]: not below zero where it holds."""
    return 1 / at["design_deceleration"] - formulas.locks(at, axle)


def _given(scene: Scene, found: SystemFinding, *rooms: Formula) -> SystemFinding:
    """The finding with a word for each state in which one of these rooms is, or may be, less than nothing."""
    if found.after is None:
        return found
    words = [_short(scene, state, when, rooms) for state, when in ((scene.present, "now"), (scene.kit, "with the kit"))]
    words = [word for word in words if word]
    return replace(found, verdict=LOOK, said=". ".join((found.said, *words)), do=found.do or SOFTER) if words else found


def _short(scene: Scene, state: State, when: str, rooms: tuple[Formula, ...]) -> str:
    """ "With the kit the tyres do not give the stop asked for: at most 0.71 g (7.0 m/s²)"; "" where they do."""
    try:
        left, most = least_of([state.over(room) for room in rooms]), formulas.best_range(state)
        asked = state.middle(lambda at: at["design_deceleration"])
    except Unknown:
        return ""
    if left.low >= -AHEAD:
        return ""
    word = "do not" if left.high < -AHEAD else "may not"
    stop = scene.one(asked, "m/s²")
    return f"{when.capitalize()} the tyres {word} give the stop asked for, {stop}: at most {scene.shown(most, 'm/s²')} with no wheel locked"


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


HUNDRED = 100 / 3.6  # m/s
GILLESPIE = "T. D. Gillespie, Fundamentals of Vehicle Dynamics, chapter 3"
SMALLER_FRONT = "Ask the kit maker for calipers with smaller pistons, or for pads of lower friction"


def balance(scene: Scene) -> Iterator[SystemFinding]:
    """All findings about the balance of the two axles."""
    yield _torque(scene, scene.axle, "brake_torque")
    yield _torque(scene, other(scene.axle), "brake_torque_other")
    yield _share(scene)
    yield compared(
        scene, "ideal_share", "Front share that would use both axles' grip alike", "-", formulas.ideal_share,
        formula="front mass share + deceleration ÷ gravity × height ÷ wheelbase", source=GILLESPIE,
    )  # fmt: skip
    for axle in formulas.AXLES:
        grip = compared(
            scene, f"grip_{axle}", f"Grip that the {axle} axle uses in the stop asked for", "-",
            partial(formulas.grip_in_stop, axle=axle), formula="force of the axle ÷ its load in the stop", source=GILLESPIE,
        )  # fmt: skip
        yield grip_held(scene, grip, axle)
    yield lock_order(scene)
    yield _best_stop(scene)
    yield _loss(scene)
    yield _rate_rule(scene)


def _torque(scene: Scene, axle: str, key: str) -> SystemFinding:
    return compared(
        scene, key, f"Torque of one {axle} brake in the stop asked for", "N·m", partial(formulas.torque, axle=axle),
        formula="2 pads × friction × pressure × piston area of one side × effective radius × efficiency",
    )  # fmt: skip


def _share(scene: Scene) -> SystemFinding:
    """The share before and after, judged by its change."""
    found = compared(
        scene, "front_share", "Front axle's share of the braking", "-", formulas.share,
        formula="front force ÷ (front force + rear force) at the same line pressure, behind the rear valve if there is one",
    )  # fmt: skip
    if found.after is None or found.before is None:
        return found
    both = side_by_side(scene.present, scene.kit)
    shift = judged(
        scene,
        "front_share",
        "",
        "-",
        lambda: both.searched(change(formulas.share)),
        None,
        "front_share_change",
        warn=True,
    )
    assert shift.after is not None
    assert shift.limit is not None
    points = 100 * shift.after.middle
    said = f"{found.said}: {_points(abs(points))} {'more' if points > 0 else 'less'} at the front"
    room = 100 * (shift.limit.high or 0.0)
    do = (
        ""
        if shift.verdict == GOOD
        else f"More than {_points(room)} change how the car brakes: see which axle locks first, below"
    )
    return replace(found, verdict=shift.verdict, said=said, do=do)


def _points(number: float) -> str:
    """ "1 point", "18 points"."""
    return f"{number:.0f} {'point' if round(number) == 1 else 'points'}"


def _best_stop(scene: Scene) -> SystemFinding:
    try:
        before = formulas.best_range(scene.present)
    except Unknown:
        before = None
    found = judged(
        scene, "best_stop", "Hardest stop with no wheel locked, on this grip", "m/s²", lambda: formulas.best_range(scene.kit), before,
        formula="the deceleration at which the first axle uses all of the tyres' grip", source=GILLESPIE,
    )  # fmt: skip
    if found.after is None:
        return found
    metres, legal = stopping_distance(HUNDRED, found.after.middle), legal_distance(HUNDRED)
    most = scene.one(scene.kit.middle(formulas.grip_limit), "m/s²")
    said = (
        f"{found.said}: {_from_hundred(scene)} {scene.one(metres, 'm')}; a new car must stop in {scene.one(legal, 'm')}. "
        f"The tyres allow {most}, whatever the brakes"
    )
    return stop_given(scene, replace(found, said=said, verdict=LOOK if metres > legal else GOOD))


def _from_hundred(scene: Scene) -> str:
    """The speed that stopping distances are stated for."""
    return "from 62 mph (100 km/h)" if scene.system == "inch" else "from 100 km/h"


def _loss(scene: Scene) -> SystemFinding:
    both = side_by_side(scene.present, scene.kit)

    def part(at: Point) -> float:
        return 1.0 - formulas.best_stop(at) / formulas.best_stop(AsPresent(at))

    found = judged(
        scene, "best_stop_loss", "Stopping power lost by the kit", "-", lambda: both.searched(part), None, "best_stop_loss",
        formula="1 − best stop with the kit ÷ best stop now",
    )  # fmt: skip
    if found.after is None or found.verdict == GOOD:
        return found
    return replace(found, said=_customer_words(scene, found), do=_area_that_keeps_balance(scene))


def _customer_words(scene: Scene, found: SystemFinding) -> str:
    assert found.after is not None
    now, then = (state.middle(formulas.best_stop) for state in (scene.present, scene.kit))
    first = "front" if scene.kit.middle(partial(formulas.locks, axle="front")) >= 1 / then - 1e-9 else "rear"
    metres = stopping_distance(HUNDRED, then) - stopping_distance(HUNDRED, now)
    if metres <= 0:
        return f"{found.said}"
    return (
        f"With the kit the {first} wheels lock sooner: at best {scene.one(then, 'm/s²')} instead of "
        f"{scene.one(now, 'm/s²')}, {_from_hundred(scene)} {scene.one(metres, 'm')} farther to stop"
    )


def _area_that_keeps_balance(scene: Scene) -> str:
    """The piston area with which the kit's axle brakes as strongly as the present one."""
    axle = scene.axle
    per = {name: getattr(scene, name).middle(formulas.brakes) for name in ("present", "kit")}
    now, then = (getattr(per[name], axle) for name in ("present", "kit"))
    area = scene.kit.ranges[f"{axle}_area"].middle * now / then
    return (
        f"{SMALLER_FRONT if axle == 'front' else SMALLER_FRONT.replace('smaller', 'other')}: about "
        f"{scene.one(area, 'mm²')} of pistons on one side would keep the present balance"
    )


def _rate_rule(scene: Scene) -> SystemFinding:
    """Whether the braking rate that type rules ask for is reached on this grip; for information."""

    def room() -> Range:
        grip = scene.kit.middle(lambda at: at["tyre_friction"])
        state = replace(scene.kit, ranges={**scene.kit.ranges, "tyre_friction": exact(grip)})
        asked = rate_asked(min(0.8, max(0.2, grip)))
        best = formulas.best_range(state)
        return Range(*(end / G - asked for end in (best.low, best.middle, best.high)))

    return judged(
        scene, "rate_rule", "Braking beyond what type rules ask for on this grip", "-", room, None, "rate_rule", warn=True,
        formula="best stop ÷ gravity − (0.1 + 0.85 × (grip − 0.2)), grip taken as 0.2 to 0.8",
        source="Directive 71/320/EEC, annex II, appendix; for information, this is no approval",
        do="The car uses too little of the grip before an axle locks; look at the front share",
    )  # fmt: skip
