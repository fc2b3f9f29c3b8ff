"""Were the pistons of one side entered? A figure that is twice too large is held back and asked for."""

from collections.abc import Sequence
from dataclasses import replace

from bomcheck.system.circuits import other
from bomcheck.system.formulas import AXLES, pressure
from bomcheck.system.pistons import both_sides_entered, may_be_both_sides, one_side_area, replaced_both_sides
from bomcheck.system.result import GOOD, LOOK, UNKNOWN, SystemFinding
from bomcheck.system.scene import PRACTICE, Scene
from bomcheck.system.spread import State, Unknown

HARD_STOP = 7.5  # m/s²: softer stops say nothing about the area; common practice, no source
SAID = "The list makes two equal halves, as if the pistons of both sides were entered"
KIT = ("caliper_bores", "caliper_build")
DO = "Enter the pistons of ONE side of a fixed caliper only; all of them doubles torque and fluid."


def pistons(scene: Scene) -> tuple[Scene, tuple[SystemFinding, ...]]:
    """The scene with doubtful areas held back, and what was found about each list of bores.

    The caliper that the kit replaces comes first: the kit's own is held against it only where it is not in doubt.
    """
    found = []
    for axle in (scene.axle, other(scene.axle)):
        keys = _present(axle)
        doubt = _replaced(scene, axle) if axle == scene.axle else _entered(scene, keys, None, scene.kit)
        scene, told = _told(scene, axle, keys, doubt, replaced=axle == scene.axle)
        found += told
    now = scene.present.ranges.get(f"{scene.axle}_area")
    doubt = _entered(scene, KIT, now.middle if now else None, scene.kit)
    scene, told = _told(scene, scene.axle, KIT, doubt)
    order = [f"pistons_{axle}{end}" for axle in AXLES for end in ("", "_now")]
    return scene, tuple(sorted((*found, *told), key=lambda one: order.index(one.key)))


def _present(axle: str) -> tuple[str, str]:
    return f"present_{axle}_bores", f"present_{axle}_build"


def _entered(scene: Scene, keys: tuple[str, str], area: float | None, state: State) -> bool | None:
    """Whether both sides were entered; area [mm²]: of the caliper to compare with."""
    bores, build = map(scene.job.get, keys)
    return both_sides_entered(bores, build, area, _pressure(state)) if bores else False


def _replaced(scene: Scene, axle: str) -> bool | None:
    """The same of the caliper that the kit replaces, against the kit's where that list is not in doubt itself."""
    (bores, build), (kits, kit_build) = map(scene.job.get, _present(axle)), map(scene.job.get, KIT)
    if not bores:
        return False
    trusted = kits and not may_be_both_sides(kits, kit_build)
    return replaced_both_sides(bores, build, one_side_area(kits) if trusted else None, _pressure(scene.present))


def _told(
    scene: Scene, axle: str, keys: tuple[str, str], doubt: bool | None, replaced: bool = False
) -> tuple[Scene, list[SystemFinding]]:
    """The scene, with the area held back where it is in doubt, and the finding; none for a blank list.

    replaced: the caliper that the kit replaces; a question is enough to hold it back.
    """
    bores = scene.job.get(keys[0])
    if not bores:
        return scene, []
    whose = " of the kit" if keys == KIT else " on the car"
    said = f"{_sizes(bores, scene.system)}: {scene.one(one_side_area(bores), 'mm²')} on one side"
    verdict = {True: UNKNOWN, None: UNKNOWN if replaced else LOOK, False: GOOD}[doubt]
    finding = SystemFinding(
        f"pistons_{axle}{'_now' if replaced else ''}", f"Pistons of one side, {axle} caliper{whose}", verdict, said=said,
        source=PRACTICE,
    )  # fmt: skip
    if verdict != GOOD:
        do = f"{DO} {_really(bores, scene.system)}" if replaced else DO
        finding = replace(finding, said=f"{said}. {SAID}", do=do, asks=keys[:1])
    return _held_back(scene, axle, keys[0]) if verdict == UNKNOWN else scene, [finding]


def _really(bores: Sequence[float], system: str) -> str:
    """The way out for a caliper that has as many pistons on one side."""
    one_bore = round(sum(bore**2 for bore in bores) ** 0.5, 1)
    return f"If one side has that many, enter one bore of the same area: {_sizes((one_bore,), system)}"


def _sizes(bores: Sequence[float], system: str) -> str:
    """ "46 + 42 mm", "1.875 + 1.750 in"."""
    if system == "inch":
        return " + ".join(f"{bore / 25.4:.3f}" for bore in bores) + " in"
    return " + ".join(f"{bore:g}" for bore in bores) + " mm"


def _pressure(state: State) -> float | None:
    """Line pressure of the stop asked for, with the areas as entered; None unless it is a hard stop."""
    try:
        return state.middle(lambda at: pressure(at) if at["design_deceleration"] >= HARD_STOP else float("inf"))
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
