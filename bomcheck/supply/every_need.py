"""Everything that an assembly consumes: all steps of the work, whose needs are written down where they stand."""

from bomcheck.model.demand import Demand
from bomcheck.model.records import replace
from bomcheck.supply import needs_line, needs_mount, needs_pads, roles
from bomcheck.supply.needs import NEEDS, Assembly

OF_AN_AXLE = ("rotor", "hat", "caliper", "bracket", "pad set", "hose")
STEPS = (needs_line, needs_mount, needs_pads, roles)
"""Importing them writes their needs down."""


def all_demands(assembly: Assembly) -> list[Demand]:
    """Everything that the assembly consumes, step by step; what is made for one axle says for which."""
    found, axle = [demand for step in NEEDS.values() for demand in step(assembly)], assembly.get("axle")
    if axle is None:
        return found
    return [replace(one, spec={**one.spec, "at_axle": axle}) if one.role in OF_AN_AXLE else one for one in found]
