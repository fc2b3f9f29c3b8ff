"""The demands of the assembly and those of the cures as one list, so that nothing is counted twice."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from bomcheck.parts.demand import Demand
from bomcheck.parts.spec import ALL_STATED

# Roles that have one place on a corner, whatever a cure calls that place.
ONE_PLACE = (
    "rotor", "hat", "bracket", "bracket screw", "caliper", "caliper screw", "caliper stud", "caliper nut", "pad set",
    "hose", "hub", "park shoe set", "park hardware set",
)  # fmt: skip
# What a cure says about pads replaces what the kit's own pads are.
REPLACES = {"duty": ("compound",), "compound": ("compound",)}


def gather(needs: Iterable[Demand], cures: Iterable[Demand]) -> list[Demand]:
    """The steps' demands, then those of the cures that no step has.

    needs: of the assembly with all cures applied. A cure's demand for a part that a step needs at the same place is
    that same part: it adds its spec and its reason to the step's, which knows the quantity. The part that the box holds
    in its place has failed a check; it serves only if it states all that is asked for.
    """
    found = list(needs)
    for cure in cures:
        places = [number for number, demand in enumerate(found) if _same_part(demand, cure)]
        for number in places:
            found[number] = _with(found[number], cure)
        if not places:
            found.append(cure)
    return found


def _same_part(demand: Demand, cure: Demand) -> bool:
    if demand.role != cure.role:
        return False
    return cure.role in ONE_PLACE or (demand.used_at == cure.used_at and not _apart(demand, cure))


def _apart(demand: Demand, cure: Demand) -> bool:
    """Rings and washers of one place come in several sizes; only the same size is the same part."""
    sizes = ("thickness", "inner_diameter", "outer_diameter")
    different = any(key in demand.spec and key in cure.spec and demand.spec[key] != cure.spec[key] for key in sizes)
    work = demand.unit == "hour" and demand.said != cure.said
    return different or work


def _with(demand: Demand, cure: Demand) -> Demand:
    gone = {key for said in cure.spec for key in REPLACES.get(said, ())}
    spec: dict[str, Any] = {key: value for key, value in demand.spec.items() if key not in gone}
    changed = any(spec.get(key) != value for key, value in cure.spec.items())
    stated = {ALL_STATED: True} if changed or gone else {}
    reason = "; ".join(dict.fromkeys(text for text in (demand.reason, cure.reason) if text))
    count: dict[str, Any] = {} if demand.quantity else {"quantity": cure.quantity, "per": cure.per, "unit": cure.unit}
    return replace(demand, spec={**spec, **cure.spec, **stated}, reason=reason, said=cure.said or demand.said, **count)
