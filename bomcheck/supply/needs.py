"""What the steps of the work consume: the list of all needs, and demands that ask for one part made into one."""

import re
from collections.abc import Callable, Iterable, Mapping
from typing import TYPE_CHECKING, Any

from bomcheck.model.demand import Asked, Demand, ask_of
from bomcheck.model.job import Job
from bomcheck.model.records import dataclass, replace
from bomcheck.model.types import Thread
from bomcheck.supply.spec import ALL_STATED
from bomcheck.tables.fields import fields

if TYPE_CHECKING:
    from bomcheck.engine.inputs import Inputs
    from bomcheck.model.stack import StackPlan


@dataclass(frozen=True)
class Assembly:
    """The corner with all remedies applied, as the fitter will put it together.

    job, sizes: after the remedies. plans: the shim stacks by name ("axial", "radial"), where known. line: the solution
    of the brake line (`bomcheck.supply.line_chain`), None where it was not asked for. ordered: roles that the brakes as a whole
    ask for.
    """

    job: Job
    sizes: "Inputs"
    plans: "Mapping[str, StackPlan]"
    line: Any = None
    ordered: frozenset[str] = frozenset()

    def get(self, key: str, default: Any = None) -> Any:
        """The bare value of a field or derived size without its ±; `default` where it is not known."""
        if not self.sizes.has(key):
            return default
        value = self.sizes[key]
        return value.at(self.sizes.box.middle) if hasattr(value, "slopes") else value


Needs = Callable[[Assembly], Iterable[Demand]]
NEEDS: dict[str, Needs] = {}


def needs(function: Needs) -> Needs:
    """Write down one step of the assembly: a function from the Assembly to the demands of that step."""
    NEEDS[f"{function.__module__}.{function.__name__}"] = function
    return function


SCREW_SLACK = 0.5  # mm either way that a screw's length may differ from the kit's sheet: common practice, no source
WASHER_ROOM = 1.5  # mm that a washer's hole may be larger than its screw: common practice, no source; compare ISO 7089
WASHER_SLACK = 0.3  # mm either way in a washer's thickness: ISO 7089 (grade A, to 2.5 mm), from memory
SHIM_SLACK = 0.02  # mm either way in a shim's thickness: common practice, no source


def state(assembly: Assembly, role: str, quantity: float, *keys: str, **rest: Any) -> Demand:
    """The demand; for each of `keys` that is blank, with the field's question. rest: as for `Demand`."""
    blank = [key for key in keys if not assembly.sizes.has(key)]
    if not blank:
        return Demand(role, quantity, **rest)
    return Asked(role, quantity, ask=" ".join(dict.fromkeys(fields()[key].question for key in blank)), **rest)


def only_ask(assembly: Assembly, role: str, *keys: str, **rest: Any) -> list[Demand]:
    """A line that asks for fields without which not even the number is known; none if they are all known."""
    demand = state(assembly, role, 0, *keys, **rest)
    return [demand] if isinstance(demand, Asked) else []


def screw_spec(assembly: Assembly, joint: str) -> dict[str, Any]:
    """Thread, length and class of a joint's screws or studs, as far as known. joint: "hat", "bracket" or "caliper"."""
    spec: dict[str, Any] = {"thread": thread_name(assembly, joint)}
    length = assembly.get(f"{joint}_screw_length")
    if length is not None:
        spec["length"] = around(length, SCREW_SLACK)
    grade = assembly.get(f"{joint}_screw_class")
    if grade is not None and grade != "not marked":
        spec["class"] = grade
    return known(spec)


def screw_keys(joint: str) -> tuple[str, str, str]:
    """The fields that say what a joint's screws are."""
    return (f"{joint}_screw_thread", f"{joint}_screw_length", f"{joint}_screw_class")


def thread_name(assembly: Assembly, joint: str) -> str | None:
    """Name of a joint's thread, None where it is blank."""
    thread: Thread | None = assembly.get(f"{joint}_screw_thread")
    return thread.name if thread else None


def hole_for(assembly: Assembly, joint: str) -> tuple[float, float] | None:
    """Range of the hole of a washer or shim that goes on a joint's screws [mm]."""
    thread: Thread | None = assembly.get(f"{joint}_screw_thread")
    return (thread.diameter, thread.diameter + WASHER_ROOM) if thread else None


def around(size: float, slack: float) -> tuple[float, float]:
    """size - slack .. size + slack [mm]."""
    return round(size - slack, 4), round(size + slack, 4)


def known(spec: dict[str, Any]) -> dict[str, Any]:
    """The spec without what is not known."""
    return {key: value for key, value in spec.items() if value is not None}


def lock_nut(kind: str | None) -> tuple[str, bool]:
    """(Words for a nut of this kind, whether it is used once only). A kind that is not known counts as a lock nut."""
    if kind in (None, "none"):
        return "nut", True
    return f"{kind} nut", kind != "plain"


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
    both = replace(
        demand, spec=known({**spec, **cure.spec, **stated}), reason=reason, said=cure.said or demand.said, **count
    )
    return Asked(**{**vars(both), "ask": ask_of(both) or ask_of(cure)}) if ask_of(cure) else both


IN_HAT, IN_CALIPER, IN_DRUM = "drum in hat", "in caliper", "in drum"
_DRUMS = re.compile(r"\bdrums?\b(?!\s+in\b)", re.IGNORECASE)
DRUM_VALVE = 0.03  # MPa: valves for discs hold about 0.014, those for drums about 0.07 (common practice, no source)


def was_drum(job: Job) -> str | None:
    """Whether this axle has drums today: "yes" or "no" as the job says or lets see, None where nothing tells."""
    axle, now = job.get("axle"), job.get("caliper_position_present")
    park = job.get("park_brake") if axle == "rear" else None
    if now is not None or park == IN_DRUM:
        return "yes" if now == "drum" or park == IN_DRUM else "no"
    if (job.get(f"residual_valve_{axle}") or 0.0) > DRUM_VALVE:
        return "yes"
    if park in (IN_HAT, IN_CALIPER) or job.get(f"present_{axle}_bores"):
        return "no"
    words = (str(job.get(key) or "") for key in ("vehicle_label", "kit_label", "note"))
    return "yes" if any(_DRUMS.search(text) and IN_HAT not in text.lower() for text in words) else None
