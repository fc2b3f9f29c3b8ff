"""An invented car and kit for the system's tests; sizes in internal units, each with the usual ± of its field."""

from typing import Any

from bomcheck.car.assess import assess_axles
from bomcheck.engine.inputs import Inputs
from bomcheck.model.finding import Finding
from bomcheck.model.job import Job, Value
from bomcheck.rules.derived import DERIVATIONS
from bomcheck.tables.fields import fields

CAR: dict[str, Any] = {
    "axle": "front", "duty": "fast road",
    "vehicle_mass": 1450.0, "front_mass_share": 0.55, "wheelbase": 2600.0, "cg_height": 520.0,
    "tyre_radius_front": 310.0, "tyre_radius_rear": 310.0,
    "pedal_ratio": 4.0, "booster_gain": 5.0, "booster_runout_pressure": 8.0,
    "circuit_split": "front and rear", "master_bore": 22.225, "master_stroke_front": 18.0, "master_stroke_rear": 16.0, "master_dead_stroke": 1.5,
    "tyre_friction": 0.9, "design_deceleration": 8.0,
    "present_front_bores": (54.0,), "present_front_build": "sliding",
    "present_front_effective_radius": 110.0, "present_front_friction": 0.38,
    "present_rear_bores": (36.0,), "present_rear_build": "sliding",
    "present_rear_effective_radius": 115.0, "present_rear_friction": 0.36,
    "present_front_rotor_mass": 5.5, "present_rear_rotor_mass": 3.5,
    "pad_clearance": 0.2, "caliper_compliance": 60.0, "hose_compliance": 120.0, "hose_path_length": 350.0,
    "fluid_dry_boiling": 260.0, "fluid_wet_boiling": 170.0,
    "stop_speed_from": 35.0, "stop_speed_to": 15.0, "stop_count": 10, "stop_interval": 40.0, "ambient_temperature": 20.0,
    "residual_valve_front": 0.0, "residual_valve_rear": 0.0, "reservoir_below_caliper": "no",
}  # fmt: skip
KIT: dict[str, Any] = {
    "caliper_bores": (42.0, 38.0, 34.0), "caliper_build": "fixed", "rotor_diameter": 330.0, "pad_height": 52.0,
    "pad_friction": 0.42, "rotor_mass": 7.0, "pad_thickness": 16.0, "pad_min_thickness": 8.0,
    "pad_temperature_low": 10.0, "pad_temperature_high": 700.0,
}  # fmt: skip
EVERYTHING = {**CAR, **KIT}


def car(halves: float = 1.0, **changed: Any) -> Job:
    """The job with some fields changed; None takes a field out. halves: factor on every usual ±."""
    values = {key: value for key, value in {**EVERYTHING, **changed}.items() if value is not None}
    known = fields()
    return Job({k: Value(k, v, halves * known[k].plus_minus if k in known else 0.0) for k, v in values.items()})


def sizes_of(job: Job) -> Inputs:
    """The sizes of a job."""
    return Inputs(job, DERIVATIONS)


def found(job: Job) -> dict[str, Finding]:
    """The system findings of a job by key."""
    return {finding.check: finding for finding in assess_axles([(job, sizes_of(job))])[0]}
