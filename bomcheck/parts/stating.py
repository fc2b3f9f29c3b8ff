"""Helpers to state a need: what a field leaves open becomes a question on the demand, never a guess."""

from typing import Any

from bomcheck.fields import fields
from bomcheck.notation.types import Thread
from bomcheck.parts.asked import Asked
from bomcheck.parts.demand import Demand
from bomcheck.parts.needs import Assembly

SCREW_SLACK = (
    0.5  # mm either way that a screw's length may differ from what the kit's sheet says: common practice, no source
)
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
