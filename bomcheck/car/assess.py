"""All system checks of a job, before and after the kit."""

from collections.abc import Iterator, Sequence

from bomcheck.car.checks import INTERFACE, check_of
from bomcheck.car.findings_balance import IN_THE_CAR, balance, with_parts
from bomcheck.car.findings_heat import heat, pistons, valves
from bomcheck.car.findings_pedal import pedal
from bomcheck.car.scene import Scene, blank, to_see_to
from bomcheck.car.states import AXLES, Beside, car_with_kit, present_car
from bomcheck.engine.inputs import Inputs
from bomcheck.model.demand import Demand
from bomcheck.model.finding import Finding, Reason
from bomcheck.model.job import Job
from bomcheck.model.records import replace
from bomcheck.model.verdict import Verdict

STEPS = (balance, pedal, valves, heat)


def scene_of(job: Job, sizes: Inputs, beside: Beside = ()) -> Scene | None:
    """The car in both states, doubtful piston lists not yet held back; None while the axle is not known."""
    axle = job.get("axle")
    return (
        None
        if axle not in AXLES
        else Scene(job, sizes, axle, present_car(job, sizes, beside), car_with_kit(job, sizes, beside))
    )


def known_scene(job: Job, sizes: Inputs, beside: Beside = ()) -> Scene | None:
    """The same with doubtful piston lists held back, as the charts take it."""
    scene = scene_of(job, sizes, beside)
    return None if scene is None else pistons(scene)[0]


def assess_system(job: Job, sizes: Inputs, beside: Beside = ()) -> tuple[Finding, ...]:
    """Everything that can be said of the brakes as a system, in the order of the sheet. Never raises, never judges the fit.

    What a finding orders, a master cylinder or a valve, goes into the car, and all else is judged again with it.

    job, sizes: with all remedies of the fit checks applied. beside: the other axle's, where it gets a kit too. With nothing entered on the System sheet, one finding says so.
    """
    if not any(key in job.values for key in _system_keys()):
        said = "Nothing is entered on the System sheet: balance, pedal and heat are not judged"
        return (_only(said, check_of("system").do),)
    scene = scene_of(job, sizes, beside)
    if scene is None:
        return (_only("Blank: axle", "State the axle", "axle"),)
    scene, found = pistons(scene)
    told = [finding for step in STEPS for finding in step(scene)]
    parts = [part for finding in told for part in finding.demands]
    kit = with_parts(scene, parts)
    if kit is not scene.kit:
        cured = {finding.check: finding for step in STEPS for finding in step(replace(scene, kit=kit))}
        told = [one if one.demands else _with(one, cured.get(one.check, one), parts) for one in told]
    return (*found, *_at_grip(scene), *told)


def _with(first: Finding, then: Finding, parts: Sequence[Demand]) -> Finding:
    """A finding with the parts in the car; where they change its figure it says so."""
    if then.value is None or then.value == first.value:
        return then
    names = " and the ".join(part.role for part in parts if part.role in IN_THE_CAR)
    return replace(then, said=f"{then.said}, with the {names} that is ordered")


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
