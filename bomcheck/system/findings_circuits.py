"""The two circuits of the master cylinder: the stop on one of them alone, and the fluid that one takes."""

from dataclasses import replace
from functools import partial

from bomcheck.system import circuits
from bomcheck.system.result import SystemFinding
from bomcheck.system.scene import Scene, compared, judged
from bomcheck.system.spread import State, Unknown
from bomcheck.verdict.box import Range

ALONE = {
    True: "force of one front and one rear brake ÷ mass, at most what their tyres hold",
    False: "force of the axle that is left ÷ mass, at most what its tyres hold",
}
FLUID = "4 × piston area of one side × pad clearance + give of both calipers and hoses at the pressure for pedal travel"
HALF = (
    "half of this for each axle, both added: one front and one rear brake; the other axle's pads, calipers and hoses "
    "taken to give as this one's"
)


def is_diagonal(scene: Scene) -> bool | None:
    """Whether the split is diagonal; None where it is not stated."""
    try:
        return scene.kit.middle(circuits.is_diagonal)
    except Unknown:
        return None


def circuit_name(scene: Scene) -> str:
    """The circuit that serves the kit's brakes, in a sentence."""
    return "one diagonal circuit" if is_diagonal(scene) else f"the {scene.axle} circuit"


def lines_of(scene: Scene, axle: str) -> tuple[float, str]:
    """How many valves an axle takes, and where they go: one, or with a diagonal split one in each wheel's line."""
    if is_diagonal(scene) is None:
        return 1, f"the {axle} line (with a diagonal split one in each)"
    return (2, f"each {axle} wheel's line") if is_diagonal(scene) else (1, f"the {axle} line")


def stop_on_one(scene: Scene, state: State) -> Range | None:
    """The stop on one circuit with the largest allowed force on the pedal [m/s²]; None where it is not known."""
    try:
        return circuits.stop_alone(state, scene.limit("pedal_force").high or 0.0)
    except Unknown:
        return None


def one_circuit(scene: Scene) -> SystemFinding:
    """The stop with the largest allowed force on the pedal when the better circuit has failed; only ever a warning."""
    force = scene.limit("pedal_force").high or 0.0
    before = stop_on_one(scene, scene.present)
    found = judged(
        scene, "failed_circuit", f"Stop on one circuit with {scene.one(force, 'N')} on the pedal", "m/s²", lambda: circuits.stop_alone(scene.kit, force), before,
        "failed_circuit", warn=True, formula=ALONE[bool(is_diagonal(scene))],
        do="With one circuit failed little braking is left; tell the customer",
    )  # fmt: skip
    if found.after is None:
        return found
    which = "on either diagonal circuit" if is_diagonal(scene) else "with the weaker axle alone"
    return replace(found, said=f"{found.said}: {which}")


def circuit_fluid(scene: Scene) -> SystemFinding:
    """Fluid that the kit's circuit moves, stated only."""
    split = f"{FLUID}; {HALF}" if is_diagonal(scene) else FLUID
    return compared(
        scene, "circuit_fluid", f"Fluid that {circuit_name(scene)} takes", "mL",
        partial(circuits.millilitres, axle=scene.axle), formula=split,
    )  # fmt: skip
