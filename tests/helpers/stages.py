"""A job as it is known on the telephone, with the car measured, and with the kit measured too; five invented cars."""

from dataclasses import replace

from bomcheck.assess import assess
from bomcheck.model.job import Job, Value
from bomcheck.model.verdict import Verdict
from bomcheck.tables import rows
from bomcheck.tables.fields import fields
from bomcheck.tables.sources import usual_interval

CARS = ("camper_van", "estate_rear_axle", "saloon_drums_to_discs", "hill_climb_two_seater", "hatchback_too_strong")
LISTED = {"maker_list_covers": "yes", "car_as_made": "yes"}


def stages(whole: Job) -> dict[str, Job]:
    """The job as it is known at each stage; the kit's sizes with the ± of a sheet until they are measured."""
    known, told = fields(), {row["key"] for row in rows("phone")}
    kit = {key: _from_sheet(value) for key, value in whole.values.items() if known[key].section == "kit"}
    rest = {key: value for key, value in whole.values.items() if known[key].section in ("job", "system")}
    listed = {key: Value(key, text, 0.0, text) for key, text in LISTED.items()}
    phone = {key: value for key, value in whole.values.items() if key in told}
    car = {key: value for key, value in whole.values.items() if known[key].section == "corner"}
    return {
        "phone": replace(whole, values={**rest, **kit, **phone, **listed}),
        "car measured": replace(whole, values={**rest, **kit, **car, **listed}),
        "all measured": replace(whole, values={**whole.values, **listed}),
    }


def _from_sheet(value: Value) -> Value:
    if not isinstance(value.value, float):
        return value
    shift, half = usual_interval(fields()[value.key], "kit sheet", value.value)
    return replace(value, value=value.value + shift, plus_minus=half, source="kit sheet")


def settled(job: Job) -> tuple[int, int]:
    """(how many of the checks that apply are settled, how many apply)."""
    found = [one.verdict for one in assess(job).findings if one.check != "parts_complete"]
    apply = [one for one in found if one is not Verdict.DOES_NOT_APPLY]
    return sum(one is not Verdict.NOT_KNOWN for one in apply), len(apply)
