"""What follows from a job before any check runs: circles that snap to a named pattern, what the box says of sides.

The values made here stand beside the typed ones under names of their own and point back to the typed field.
"""

from bomcheck.model.job import Job, Value
from bomcheck.model.limits import limit_for
from bomcheck.model.records import replace
from bomcheck.model.types import BoltCircle
from bomcheck.notation.bolt_circle import circle_from_chord, named_circles


def settle(job: Job) -> Job:
    """The job with the values that follow from others."""
    job = _with_chord(job)
    values = dict(job.values)
    values.update(_circle(job, "hub_bolt_circle", "hub_circle_diameter"))
    values.update(_circle(job, "wheel_bolt_circle", "wheel_circle_diameter"))
    values.update(_limits(job))
    rotors = [part for part in job.box if part.role == "rotor"]
    if rotors:
        sides = tuple(int(sum(p.quantity or 0 for p in rotors if p.side == s)) for s in ("left", "right", "either"))
        values["rotors_in_box"] = Value("rotor_vanes", sides, place=rotors[0].place)
    return replace(job, values=values)


def _with_chord(job: Job) -> Job:
    """Where only the lug count is typed as the bolt circle: the circle from the distance between two studs."""
    circle, chord, over = job.get("hub_bolt_circle"), job.values.get("hub_stud_chord"), job.get("hub_stud_chord_over")
    if not isinstance(circle, BoltCircle) or circle.low is not None or chord is None or over is None:
        return job
    between = 1 if over == "one between" else 0
    diameter = circle_from_chord(chord.value, circle.count, between)
    half = circle_from_chord(chord.plus_minus, circle.count, between)
    found = BoltCircle(f"{circle.count}x{diameter:.1f}", circle.count, diameter, diameter)
    typed = replace(job.values["hub_bolt_circle"], value=found, plus_minus=half)
    measured = Value("hub_stud_chord", "measured")
    return replace(job, values={**job.values, "hub_bolt_circle": typed, "hub_bolt_circle_basis": measured})


def _circle(job: Job, typed_key: str, key: str) -> dict[str, Value]:
    typed = job.values.get(typed_key)
    if typed is None or not isinstance(typed.value, BoltCircle) or typed.value.diameter is None:
        return {}
    diameter = typed.value.diameter
    measured = typed_key == "hub_bolt_circle" and _is_measured(job, typed.value)
    half = typed.plus_minus if measured else 0.0
    near = [named for named in named_circles().get(typed.value.count, ()) if abs(named - diameter) <= half + 1e-9]
    if measured and len(near) == 1:
        diameter, half = near[0], 0.0
    settled = {key: replace(typed, value=diameter, plus_minus=half)}
    return {**settled, f"{key}_stated": replace(typed, value=diameter, plus_minus=0.0)}


def _is_measured(job: Job, circle: BoltCircle) -> bool:
    """As stated; where that is blank, a circle that has no name can only have been measured."""
    basis = job.get("hub_bolt_circle_basis")
    named = any(abs(known - (circle.diameter or 0.0)) < 0.005 for known in named_circles().get(circle.count, ()))
    return basis == "measured" or (basis is None and not named)


def _limits(job: Job) -> dict[str, Value]:
    """Where a centred, flush caliper may stand, and other limits that sizes of bodies follow from."""
    build = job.get("caliper_build")
    flush = limit_for("flush_edge", job)
    proof = limit_for("proof_use", job)
    stack = limit_for("shim_stack", job).high or 0.0
    found = {
        "shims_most": Value("shim_stack_max_axial", job.get("shim_stack_max_axial", stack)),
        "proof_use_low": Value("bracket_screw_torque", proof.low or 0.0),
        "proof_use_high": Value("bracket_screw_torque", proof.high or 1.0),
        "flush_low": Value("caliper_pad_top", flush.low or 0.0),
        "flush_high": Value("caliper_pad_top", flush.high or 0.0),
    }
    if build in ("fixed", "sliding"):
        centring = limit_for(f"axial_error_{build}", job)
        found["axial_error_allowed"] = Value("caliper_build", max(-(centring.low or 0.0), centring.high or 0.0))
    return found
