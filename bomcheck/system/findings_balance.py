"""Torque, front share, who locks first, the best stop."""

from collections.abc import Iterator
from dataclasses import replace
from functools import partial

from bomcheck.system import formulas
from bomcheck.system.balance import (
    G,
    legal_distance,
    rate_asked,
    stopping_distance,
)
from bomcheck.system.circuits import other
from bomcheck.system.findings_grip import grip_held, stop_given
from bomcheck.system.findings_locking import lock_order
from bomcheck.system.result import GOOD, LOOK, SystemFinding
from bomcheck.system.scene import Scene, compared, judged
from bomcheck.system.side_by_side import AsPresent, change, side_by_side
from bomcheck.system.spread import Point, Unknown, exact
from bomcheck.verdict.box import Range

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
