"""Bracket to knuckle and caliper to bracket, in the order in which a fitter meets them."""

from importlib import import_module

ORDER = ("ear_holes", "bracket_screws", "caliper_holes", "caliper_screws", "lock_nuts")

for _name in ORDER:
    import_module(f"{__name__}.{_name}")
