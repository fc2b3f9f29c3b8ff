"""All system checks of a job, before and after the kit."""

from collections.abc import Iterator
from dataclasses import replace

from bomcheck.car.checks import INTERFACE, check_of
from bomcheck.car.findings_balance import balance
from bomcheck.car.findings_heat import heat, pistons, valves
from bomcheck.car.findings_pedal import pedal
from bomcheck.car.scene import Scene, blank, to_see_to
from bomcheck.car.states import AXLES, car_with_kit, present_car
from bomcheck.engine.inputs import Inputs
from bomcheck.model.finding import Finding, Reason
from bomcheck.model.job import Job
from bomcheck.model.verdict import Verdict

STEPS = (balance, pedal, valves, heat)


def scene_of(job: Job, sizes: Inputs) -> Scene | None:
    """The car in both states, doubtful piston lists not yet held back; None while the axle is not known."""
    axle = job.get("axle")
    return None if axle not in AXLES else Scene(job, sizes, axle, present_car(job, sizes), car_with_kit(job, sizes))


def known_scene(job: Job, sizes: Inputs) -> Scene | None:
    """The same with doubtful piston lists held back, as the charts take it."""
    scene = scene_of(job, sizes)
    return None if scene is None else pistons(scene)[0]


def assess_system(job: Job, sizes: Inputs) -> tuple[Finding, ...]:
    """Everything that can be said of the brakes as a system, in the order of the sheet. Never raises, never judges the fit.

    job, sizes: with all remedies of the fit checks applied. With nothing entered on the System sheet, one finding says so.
    """
    if not any(key in job.values for key in _system_keys()):
        said = "Nothing is entered on the System sheet: balance, pedal and heat are not judged"
        return (_only(said, check_of("system").do),)
    scene = scene_of(job, sizes)
    if scene is None:
        return (_only("Blank: axle", "State the axle", "axle"),)
    scene, found = pistons(scene)
    return (*found, *_at_grip(scene), *(finding for step in STEPS for finding in step(scene)))


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
        said = f"Blank: the stop on all of the tyres' grip is taken, {scene.one(stop, check.unit)}"
        yield replace(to_see_to(blank(scene, check.name), said=said, do=check.do), asks=("design_deceleration",))


def _system_keys() -> tuple[str, ...]:
    from bomcheck.tables.fields import section_fields

    return tuple(field.key for field in section_fields("system"))
