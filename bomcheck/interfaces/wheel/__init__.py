"""The wheel on what the kit leaves of studs and pilot, and over the caliper."""

from importlib import import_module

ORDER = ("nuts", "bolts", "on_hub", "over_caliper")

for _name in ORDER:
    import_module(f"{__name__}.{_name}")
