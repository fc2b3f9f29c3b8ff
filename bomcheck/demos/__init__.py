"""The demo jobs: invented cars and kits that show every verdict. `python -m bomcheck.demos` writes them as workbooks."""

from importlib import import_module

from bomcheck.demos.demo import Demo

NAMES = (
    "hill_climb_two_seater",
    "camper_van",
    "estate_rear_axle",
    "saloon_drums_to_discs",
    "inch_pickup",
    "half_measured_coupe",
    "hatchback_too_strong",
)


def all_demos() -> tuple[Demo, ...]:
    """Every demo, in the order in which to look at them."""
    return tuple(import_module(f"bomcheck.demos.{name}").DEMO for name in NAMES)
