"""All system checks of a job, before and after the kit."""

from collections.abc import Iterator, Sequence

from bomcheck.car.checks import INTERFACE, check_of
from bomcheck.car.findings_balance import balance
from bomcheck.car.findings_heat import heat, pistons, valves
from bomcheck.car.findings_pedal import pedal
from bomcheck.car.scene import Scene, blank, to_see_to
from bomcheck.car.spread import State
from bomcheck.car.states import AXLES, Beside, car_with_kit, present_car
from bomcheck.engine.inputs import Inputs
from bomcheck.model.box import Range
from bomcheck.model.demand import Demand
from bomcheck.model.finding import Finding, Reason
from bomcheck.model.job import Job
from bomcheck.model.records import replace
from bomcheck.model.verdict import Verdict

STEPS = (balance, pedal, valves, heat)


def known_scene(job: Job, sizes: Inputs, beside: Beside = (), parts: Sequence[Demand] = ()) -> Scene | None:
    """The car in both states with doubtful piston lists held back and what is ordered in it, as the charts take it; None while
    nothing can be said."""
    scene, _ = _seen(job, sizes, beside)
    return scene and replace(scene, kit=scene.kit.put(**_figures(parts)))


def assess_axles(axles: Beside, bore: Range | None = None) -> list[tuple[Finding, ...]]:
    """Everything that can be said of the brakes as a system by each axle that gets a kit, in the order of the sheet. Never raises,
    never judges the fit.

    What a finding orders, a master cylinder or a valve, goes into the car, and all else is judged again with it, by the other axle too.

    axles: each job and its sizes with all remedies of the fit checks applied. bore: of a master cylinder that is tried. With nothing
    entered on the System sheet, one finding says so.
    """
    seen = [_seen(*one, [other for other in axles if other is not one]) for one in axles]
    scenes = [_agreed(scene, [other for other, _ in seen]) if scene else None for scene, _ in seen]
    if bore is not None:
        scenes = [one and replace(one, kit=one.kit.put(master_bore=bore)) for one in scenes]
    told = [[finding for step in STEPS for finding in step(one)] if one else [] for one in scenes]
    parts = _that_stay([part for one in told for finding in one for part in finding.demands])
    both = zip(seen, scenes, told, strict=True)
    return [(*first, *(_again(scene, own, parts) if scene else ())) for (_, first), scene, own in both]


def _seen(job: Job, sizes: Inputs, beside: Beside) -> tuple[Scene | None, tuple[Finding, ...]]:
    """The scene with doubtful piston lists held back, and what is said of it before it is judged."""
    if not any(key in job.values for key in _system_keys()):
        said = "Nothing is entered on the System sheet: balance, pedal and heat are not judged"
        return None, (_only(said, check_of("system").do),)
    axle = job.get("axle")
    if axle not in AXLES:
        return None, (_only("Blank: axle", "State the axle", "axle"),)
    states = present_car(job, sizes, beside), car_with_kit(job, sizes, beside)
    scene, found = pistons(Scene(job, sizes, axle, *states))
    return scene, (*found, *_at_grip(scene))


def _agreed(scene: Scene, others: Sequence[Scene | None]) -> Scene:
    """The scene without the areas of other kits that their own scenes hold back."""
    held = {f"{one.axle}_area": one.kit for one in others if one and f"{one.axle}_area" not in one.kit.ranges}
    ranges = {key: size for key, size in scene.kit.ranges.items() if key not in held}
    asks = {key: kit.asks.get(key, ()) for key, kit in held.items()}
    why = {key: kit.why.get(key, "") for key, kit in held.items()}
    return replace(scene, kit=State(ranges, {**scene.kit.asks, **asks}, {**scene.kit.why, **why})) if held else scene


def _figures(parts: Sequence[Demand]) -> dict[str, float]:
    """What they make of the car."""
    return {key: figure for part in parts for key, figure in part.puts}


def _that_stay(parts: Sequence[Demand]) -> list[Demand]:
    """Of several master cylinders, one in the box or one for each axle, the largest is the car's."""
    most = max((_figures([part]).get("master_bore", 0.0) for part in parts), default=0.0)
    return [part for part in parts if _figures([part]).get("master_bore", most) == most]


def _again(scene: Scene, told: Sequence[Finding], parts: Sequence[Demand]) -> Iterator[Finding]:
    """The findings with the parts in the car, but for those that order them; where they change a figure it says so."""
    kit = scene.kit.put(**_figures(parts))
    put = [part.role for part in parts if any(kit.ranges[key] != scene.kit.ranges.get(key) for key, _ in part.puts)]
    cured = {one.check: one for step in STEPS for one in step(replace(scene, kit=kit))} if put else {}
    names = list(dict.fromkeys(put))
    with_it = f"With the {' and the '.join(names)} that {'is' if len(names) == 1 else 'are'} ordered"
    for first in told:
        orders = tuple(part for part in first.demands if part in parts)
        then = replace(first, demands=orders) if orders else cured.get(first.check, first)
        new = then.value is not None and then.value != first.value
        yield replace(then, said=f"{then.said}. {with_it}") if new else then


def of_both(front: Sequence[Finding], rear: Sequence[Finding]) -> tuple[Finding, ...]:
    """What was found of a car whose axles both get a kit: what each axle's own checks say, and what is the car's once."""
    told = [one for axle, found in zip(AXLES, (front, rear), strict=True) for one in found if _own(one, axle)]
    return tuple(one for place, one in enumerate(told) if one not in told[:place])


def _own(finding: Finding, axle: str) -> bool:
    """Whether it is the finding of this axle's own scene; one for the whole car is the front's."""
    check = check_of(finding.check)
    if check.name == "pistons":
        return finding.check.startswith(f"pistons_{axle}")
    if check.per == "car":
        return axle == AXLES[0]
    return not finding.check.endswith("_other")


def _only(said: str, do: str, *asks: str) -> Finding:
    check = check_of("system")
    return Finding(
        check.name, check.title, INTERFACE, Verdict.NOT_KNOWN, said=said, do=do, asks=asks, unit=check.unit,
        reason=Reason.BLANK, weight=check.weight, source=check.source,
    )  # fmt: skip


def _at_grip(scene: Scene) -> Iterator[Finding]:
    """That no deceleration is asked for, and which stop is taken in its place."""
    if scene.at_grip:
        check = check_of("stop_asked")
        stop = scene.kit.middle(lambda at: at["design_deceleration"])
        known = "tyre_friction" in scene.job.values
        grip = "the tyres' grip" if known else "the grip that road tyres usually have on a dry road"
        said = f"Blank: the stop on all of {grip} is taken, {scene.one(stop, check.unit)}"
        asks = ("design_deceleration",) if known else ("design_deceleration", "tyre_friction")
        yield replace(to_see_to(blank(scene, check.name), said=said, do=check.do), asks=asks)


def _system_keys() -> tuple[str, ...]:
    from bomcheck.tables.fields import section_fields

    return tuple(field.key for field in section_fields("system"))
