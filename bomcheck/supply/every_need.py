"""Everything that an assembly consumes: all steps of the work, whose needs are written down where they stand."""

from bomcheck.model.demand import Demand
from bomcheck.supply import needs_line, needs_mount, needs_pads, roles
from bomcheck.supply.needs import NEEDS, Assembly

STEPS = (needs_line, needs_mount, needs_pads, roles)
"""Importing them writes their needs down."""


def all_demands(assembly: Assembly) -> list[Demand]:
    """Everything that the assembly consumes, step by step."""
    return [demand for step in NEEDS.values() for demand in step(assembly)]
