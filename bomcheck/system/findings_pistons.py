"""Were the pistons of one side entered? A figure that is twice too large is held back and asked for."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from bomcheck.system.formulas import pressure
from bomcheck.system.pistons import both_sides_entered, one_side_area
from bomcheck.system.result import GOOD, LOOK, UNKNOWN, SystemFinding
from bomcheck.system.scene import PRACTICE, Scene
from bomcheck.system.spread import State, Unknown

HARD_STOP = 7.5  # m/s²: softer stops say nothing about the area; common practice, no source
SAID = "The list makes two equal halves, as if the pistons of both sides were entered"
DO = "Enter the pistons of ONE side of a fixed caliper only; all of them doubles torque and fluid."


def pistons(scene: Scene) -> tuple[Scene, tuple[SystemFinding, ...]]:
    """The scene with doubtful areas held back, and what was found about each list of bores."""
    found = []
    for axle in ("front", "rear"):
        kits = axle == scene.axle
        bores_key, build_key = ("caliper_bores", "caliper_build") if kits else _present(axle)
        for doubt in _doubts(scene, axle, bores_key, build_key, kits):
            found.append(doubt)
            if doubt.verdict == UNKNOWN:
                scene = _held_back(scene, axle, bores_key)
    return scene, tuple(found)


def _present(axle: str) -> tuple[str, str]:
    return f"present_{axle}_bores", f"present_{axle}_build"


def _doubts(scene: Scene, axle: str, bores_key: str, build_key: str, kits: bool) -> Iterator[SystemFinding]:
    bores, build = scene.job.get(bores_key), scene.job.get(build_key)
    if not bores:
        return
    now = scene.job.get(_present(axle)[0]) if kits else None
    doubt = both_sides_entered(bores, build, one_side_area(now) if now else None, _pressure(scene))
    title = f"Pistons of one side, {axle} caliper{' of the kit' if kits else ' on the car'}"
    said = f"{_sizes(bores, scene.system)}: {scene.one(one_side_area(bores), 'mm²')} on one side"
    verdict = {True: UNKNOWN, None: LOOK, False: GOOD}[doubt]
    asks = () if verdict == GOOD else (bores_key,)
    told = said if verdict == GOOD else f"{said}. {SAID}"
    yield SystemFinding(
        f"pistons_{axle}", title, verdict, said=told, do="" if verdict == GOOD else DO, asks=asks, source=PRACTICE
    )


def _sizes(bores: Sequence[float], system: str) -> str:
    """ "46 + 42 mm", "1.875 + 1.750 in"."""
    if system == "inch":
        return " + ".join(f"{bore / 25.4:.3f}" for bore in bores) + " in"
    return " + ".join(f"{bore:g}" for bore in bores) + " mm"


def _pressure(scene: Scene) -> float | None:
    """Line pressure of the stop asked for, with the areas as entered; None unless it is a hard stop."""
    try:
        return scene.kit.middle(lambda at: pressure(at) if at["design_deceleration"] >= HARD_STOP else float("inf"))
    except Unknown:
        return None


def _held_back(scene: Scene, axle: str, bores_key: str) -> Scene:
    why = "The piston list seems to hold both sides of the caliper"
    present, kit = (_without(state, f"{axle}_area", bores_key, why) for state in (scene.present, scene.kit))
    return replace(scene, present=present, kit=kit)


def _without(state: State, key: str, bores_key: str, why: str) -> State:
    """The state without an area that comes from these bores."""
    if state.asks.get(key) != (bores_key,):
        return state
    ranges = {known: size for known, size in state.ranges.items() if known != key}
    return State(ranges, state.asks, {**state.why, key: why})
