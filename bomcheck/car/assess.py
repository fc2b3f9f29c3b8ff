"""All system checks of a job, before and after the kit."""

from bomcheck.car.findings_balance import balance
from bomcheck.car.findings_heat import heat, pistons, valves
from bomcheck.car.findings_pedal import pedal
from bomcheck.car.scene import UNKNOWN, Scene, SystemFinding
from bomcheck.car.states import AXLES, car_with_kit, present_car
from bomcheck.engine.inputs import Inputs
from bomcheck.model.job import Job

STEPS = (balance, pedal, valves, heat)


def scene_of(job: Job, sizes: Inputs) -> Scene | None:
    """The car in both states, doubtful piston lists not yet held back; None while the axle is not known."""
    axle = job.get("axle")
    return None if axle not in AXLES else Scene(job, sizes, axle, present_car(job, sizes), car_with_kit(job, sizes))


def known_scene(job: Job, sizes: Inputs) -> Scene | None:
    """The same with doubtful piston lists held back, as the charts take it."""
    scene = scene_of(job, sizes)
    return None if scene is None else pistons(scene)[0]


def assess_system(job: Job, sizes: Inputs) -> tuple[SystemFinding, ...]:
    """Everything that can be said of the brakes as a system, in the order of the sheet. Never raises, never judges the fit.

    job, sizes: with all remedies of the fit checks applied. With nothing entered on the System sheet, one finding says so.
    """
    if not any(key in job.values for key in _system_keys()):
        said = "Nothing is entered on the System sheet: balance, pedal and heat are not judged"
        return (
            SystemFinding(
                "system", "Brakes as a system", UNKNOWN, said=said, do="Fill in the System sheet to have it judged"
            ),
        )
    scene = scene_of(job, sizes)
    if scene is None:
        return (
            SystemFinding(
                "system", "Brakes as a system", UNKNOWN, said="Blank: axle", do="State the axle", asks=("axle",)
            ),
        )
    scene, found = pistons(scene)
    return (*found, *(finding for step in STEPS for finding in step(scene)))


def _system_keys() -> tuple[str, ...]:
    from bomcheck.tables.fields import section_fields

    return tuple(field.key for field in section_fields("system"))
