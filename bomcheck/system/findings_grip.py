"""Whether the tyres give the stop asked for, before the kit and with it; only ever something to look at."""

from dataclasses import replace
from functools import partial

from bomcheck.system import formulas
from bomcheck.system.result import LOOK, SystemFinding
from bomcheck.system.scene import Scene
from bomcheck.system.spread import Formula, Point, State, Unknown, least_of

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
