"""Whether the tyres give the stop asked for, before the kit and with it; only ever something to look at."""

from collections.abc import Iterator
from functools import partial
from math import prod

from bomcheck.car import figures as formulas
from bomcheck.car.balance import NO_KNEE, Brakes, G, Loads, Valve, equal_grip_rate, legal_distance, stopping_distance
from bomcheck.car.balance import lock_reserve as reserve_at
from bomcheck.car.circuits import other
from bomcheck.car.figures import scales
from bomcheck.car.findings_pedal import lines_of
from bomcheck.car.scene import Scene, blank, compared, judged, to_see_to
from bomcheck.car.spread import AsPresent, Formula, Point, State, Unknown, change, least_of, side_by_side
from bomcheck.model.demand import Demand, scope_of
from bomcheck.model.finding import Finding, Reason, Weight
from bomcheck.model.records import replace
from bomcheck.model.verdict import Verdict
from bomcheck.tables.fields import fields

SOFTER = "Ask for a softer stop, for tyres with more grip, or for brakes that share the work better between the axles"
AHEAD = 1e-9  # a stop at the very limit is still given


def stop_given(scene: Scene, found: Finding) -> Finding:
    """The row of the hardest stop, with a word where the stop asked for is harder."""
    return _given(scene, found, *(partial(_stop_room, axle=axle) for axle in formulas.AXLES))


def _stop_room(at: Point, axle: str) -> float:
    """One over the stop asked for less one over the one at which this axle locks [s²/m]: not below zero where it holds."""
    return 1 / at["design_deceleration"] - formulas.locks(at, axle)


def _given(scene: Scene, found: Finding, *rooms: Formula) -> Finding:
    """The finding with a word for each state in which one of these rooms is, or may be, less than nothing."""
    if found.value is None or scene.at_grip:
        return found
    words = [_short(scene, state, when, rooms) for state, when in ((scene.present, "now"), (scene.kit, "with the kit"))]
    words = [word for word in words if word]
    return to_see_to(found, said=". ".join((found.said, *words)), do=found.do or SOFTER) if words else found


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
CLOSER = "At the sizes as stated the front wheels lock first: state the sizes more closely{}. If it stays"
MOST_NAMED = 3


def _closer(scene: Scene, state: State) -> str:
    """What to do where the sizes do not tell, with those that decide."""
    keys = [(*state.asks.get(key, ()), key)[0] for key in state.decisive(formulas.reserve)]
    names = [fields()[key].label.lower() for key in keys if key in fields()]
    return CLOSER.format(f", first of all {', '.join(names[:MOST_NAMED])}" if names else "")


def lock_order(scene: Scene) -> Finding:
    """Whether the front wheels lock first, and the valve that sees to it."""
    found = compared(scene, "lock_order", formulas.reserve)
    if found.value is None:
        return found
    rate = _equal_rate(scene.kit.middle(formulas.brakes), scene.kit.middle(formulas.loads))
    bare = scene.kit.middle(formulas.brakes).valve.knee == NO_KNEE
    first = "the front wheels lock first" if found.value.low > -AHEAD else "the rear wheels may lock first"
    said = f"{first} up to {TOP_RATE:.2f} g" if found.value.low > -AHEAD else first
    said += f", from {rate:.2f} g on" if bare and 0 < rate < TOP_RATE else ""
    found = replace(found, said=f"{found.said}. Front share beyond that of equal grip: {said}")
    if found.verdict is not Verdict.FITS:
        return _cured_by_valve(scene, found)
    return _beyond(scene, found, rate) if bare and rate >= TOP_RATE and "tyre_friction" in scene.kit.ranges else found


def _beyond(scene: Scene, found: Finding, rate: float) -> Finding:
    """With a word where tyres of much grip let the car brake harder than rules ask about, and the rear wheels then lock first."""
    if scene.kit.middle(formulas.best_stop) / G < rate - AHEAD:
        return found
    do = "On tyres with this grip the rear locks first in the hardest stops: an adjustable proportioning valve in the rear line"
    return to_see_to(found, said=f"{found.said}; beyond {rate:.2f} g, which these tyres give, the rear ones do", do=do)


def _equal_rate(own: Brakes, here: Loads) -> float:
    """Braking rate beyond which the rear wheels would lock first without any valve."""
    return equal_grip_rate(own.front / (own.front + own.rear), here.mass_share, here.height_share)


def _cured_by_valve(scene: Scene, found: Finding) -> Finding:
    """What a valve in the rear line can do, a new one or the one that is there; only what was tried is said."""
    own, here = scene.kit.middle(formulas.brakes), scene.kit.middle(formulas.loads)
    assert found.value is not None
    if found.value.middle >= 0:
        return replace(found, do=f"{_closer(scene, scene.kit)}, {_sooner(scene, own)}")
    if own.valve.knee != NO_KNEE:
        knee = _knee(own, here, own.valve.slope)
        if knee is not None:
            begin, now = _pressure(scene, _surely(scene, knee, own.valve.slope)), _pressure(scene, own.valve.knee)
            if begin == now:
                return replace(found, do=f"{_closer(scene, scene.kit)}, {_sooner(scene, own)}")
            do = f"Set the valve that is there to begin at about {begin} instead of {now}, and try it where it is safe; if it "
            return replace(found, do=f"{do}cannot be set, fit an adjustable one that can", weight=Weight.AGAINST)
    knee = _knee(own, here, VALVE_SLOPE)
    if knee is None:
        return replace(found, do=f"{MILDER}; {_tried(own, here)}")
    return _new_valve(scene, found, _surely(scene, knee, VALVE_SLOPE), own.valve.knee != NO_KNEE)


def _sooner(scene: Scene, own: Brakes) -> str:
    if own.valve.knee != NO_KNEE:
        return f"let the valve that is there begin below {_pressure(scene, own.valve.knee)}, if it can be set"
    return f"an adjustable proportioning valve for {lines_of(scene, 'rear')[1]} gives room; try it where it is safe"


def _tried(own: Brakes, here: Loads) -> str:
    """Why no valve is named."""
    if _equal_rate(own, here) <= LEAST_RATE:
        return f"the rear would lock first from {LEAST_RATE:.2f} g on, before a valve could begin"
    slopes = [VALVE_SLOPE] if own.valve.knee == NO_KNEE else [own.valve.slope, VALVE_SLOPE]
    said = " and ".join(f"{slope:.2f}" for slope in dict.fromkeys(slopes))
    return f"a valve in the rear line, tried with a slope of {said}, does not cure it alone"


# parts of the pressure at which a valve must begin at the sizes as stated
EARLIER = (1.0, 0.9, 0.8, 0.7, 0.6, 0.5, 0.4, 0.3)


def _surely(scene: Scene, knee: float, slope: float) -> float:
    """The highest pressure [MPa] at which a valve may begin so that the front wheels lock first for every true size; `knee` where none is."""
    least = scene.limit("lock_reserve").low or 0.0

    def holds(knee: float) -> bool:
        return scene.kit.put(rear_valve_knee=knee, rear_valve_slope=slope).over(formulas.reserve).low >= least

    return next(filter(holds, (knee * part for part in EARLIER)), knee)


def _new_valve(scene: Scene, found: Finding, knee: float, instead: bool) -> Finding:
    count, line = lines_of(scene, "rear")
    said = f"adjustable proportioning valve for {line}, set to begin at about {_pressure(scene, knee)} (slope about {VALVE_SLOPE:g})"
    reason = "without it the rear wheels would lock first"
    puts, at = {"rear_valve_knee": knee, "rear_valve_slope": VALVE_SLOPE}, "brake line"
    its = tuple(puts.items())
    part = Demand("proportioning valve", count, per="car", said=said, reason=reason, used_at=at, puts=its)
    place = ", in place of the one that is there" if instead else ""
    if found.verdict is Verdict.NOT_KNOWN:
        return replace(found, do=f"It may need an {said}{place}")
    then = scene.kit.put(**puts).over(formulas.reserve)
    do = f"Fit an {said}{place}, and try it where it is safe: with it {scene.shown(then, '-', found.check)}"
    if then.low < (scene.limit("lock_reserve").low or 0.0):  # it takes one, and it may not do
        closer = _closer(scene, scene.kit.put(**puts))
        do += f"; {closer[0].lower()}{closer[1:]}, a milder rear brake"
        found = replace(found, reason=Reason.STRADDLES)
        return replace(found, verdict=Verdict.NOT_KNOWN, do=do, demands=(part,))
    return replace(found, verdict=Verdict.FITS_WITH_PARTS, do=do, demands=(part,))


def _pressure(scene: Scene, pressure: float) -> str:
    """A pressure [MPa] in both units, the job's first: "3.3 MPa (475 psi)"."""
    first, second = scales("MPa", "inch")[:: 1 if scene.system == "inch" else -1]
    return f"{first.said(pressure)} ({second.said(pressure)})"


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


def balance(scene: Scene) -> Iterator[Finding]:
    """All findings about the balance of the two axles."""
    yield _torque(scene, scene.axle, "brake_torque")
    yield _torque(scene, other(scene.axle), "brake_torque_other")
    yield _share(scene)
    yield compared(scene, "ideal_share", formulas.ideal_share)
    for axle in formulas.AXLES:
        grip = compared(scene, f"grip_{axle}", partial(formulas.grip_in_stop, axle=axle), axle)
        yield _given(
            scene, grip, partial(lambda at, axle: at["tyre_friction"] - formulas.grip_in_stop(at, axle), axle=axle)
        )
    yield from _one_side(scene)
    yield lock_order(scene)
    yield _best_stop(scene)
    yield _loss(scene)
    yield judged(scene, blank(scene, "rate_rule"), lambda: scene.kit.searched(formulas.rule_room))


def _one_side(scene: Scene) -> Iterator[Finding]:
    """Where one wheel alone gets the kit: whether it brakes as the other one of its axle does."""

    def part(at: Point) -> float:
        sizes = [f"{scene.axle}_{size}" for size in ("area", "friction", "radius")]
        new, old = (prod(own[key] for key in sizes) for own in (at, AsPresent(at)))
        return min(new, old) / max(new, old)

    if scope_of(scene.job).count == 1 and not scene.job.side:
        both = side_by_side(scene.present, scene.kit)
        found = judged(scene, blank(scene, "one_side"), lambda: both.searched(part))
        yield replace(found, said=f"{found.said}. All else here is reckoned with the kit on both wheels")


def _torque(scene: Scene, axle: str, key: str) -> Finding:
    return compared(scene, key, partial(formulas.torque, axle=axle), axle)


def _share(scene: Scene) -> Finding:
    """The share before and after, judged by its change."""
    found = compared(scene, "front_share", formulas.share, held=False)
    if found.value is None or found.before is None:
        return found
    both = side_by_side(scene.present, scene.kit)
    shift = judged(scene, replace(found, before=None), lambda: both.searched(change(formulas.share)))
    assert shift.value is not None
    assert shift.limit is not None
    points = 100 * shift.value.middle
    said = f"{found.said}: {_points(abs(points))} {'more' if points > 0 else 'less'} at the front"
    room = 100 * (shift.limit.high or 0.0)
    do = (
        ""
        if shift.verdict is Verdict.FITS
        else f"More than {_points(room)} change how the car brakes: see which axle locks first, below"
    )
    return replace(found, verdict=shift.verdict, reason=shift.reason, said=said, do=do)


def _points(number: float) -> str:
    """ "1 point", "18 points"."""
    return f"{number:.0f} {'point' if round(number) == 1 else 'points'}"


def _best_stop(scene: Scene) -> Finding:
    try:
        before = formulas.best_range(scene.present)
    except Unknown:
        before = None
    found = replace(blank(scene, "best_stop"), before=before)
    found = judged(scene, found, lambda: formulas.best_range(scene.kit))
    if found.value is None:
        return found
    metres, legal = stopping_distance(HUNDRED, found.value.middle), legal_distance(HUNDRED)
    most = scene.one(scene.kit.middle(formulas.grip_limit), "m/s²")
    said = (
        f"{found.said}: {_from_hundred(scene)} {scene.one(metres, 'm')}; a new car must stop in {scene.one(legal, 'm')}. "
        f"The tyres allow {most}, whatever the brakes"
    )
    return stop_given(scene, to_see_to(found, said=said) if metres > legal else replace(found, said=said))


def _from_hundred(scene: Scene) -> str:
    """The speed that stopping distances are stated for."""
    return "from 62 mph (100 km/h)" if scene.system == "inch" else "from 100 km/h"


def _loss(scene: Scene) -> Finding:
    both = side_by_side(scene.present, scene.kit)

    def part(at: Point) -> float:
        return 1.0 - formulas.best_stop(at) / formulas.best_stop(AsPresent(at))

    found = judged(scene, blank(scene, "best_stop_loss"), lambda: both.searched(part))
    if found.value is None or found.verdict is Verdict.FITS:
        return found
    return replace(found, said=_customer_words(scene, found), do=_area_that_keeps_balance(scene))


def _customer_words(scene: Scene, found: Finding) -> str:
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
    """The piston area with which the kit's axle is as strong beside the other one, as it then is, as it is now."""
    axle = scene.axle
    now, then = (state.middle(formulas.brakes) for state in (scene.present, scene.kit))
    share_now, share_then = (getattr(one, axle) / getattr(one, other(axle)) for one in (now, then))
    area = scene.kit.ranges[f"{axle}_area"].middle * share_now / share_then
    pistons, friction = ("smaller", "lower") if share_now < share_then else ("larger", "higher")
    asked = f"Ask the kit maker for {axle} calipers with {pistons} pistons, or for pads of {friction} friction"
    return f"{asked}: about {scene.one(area, 'mm²')} of pistons on one side would keep the present balance"
