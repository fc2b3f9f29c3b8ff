"""What holds the caliper: bracket, caliper, their screws, studs, nuts and washers, and the shims."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from bomcheck.interfaces.needs_rotor import threadlocker
from bomcheck.parts.asked import Asked
from bomcheck.parts.demand import Demand
from bomcheck.parts.needs import Assembly, needs
from bomcheck.parts.stating import (
    SHIM_SLACK,
    WASHER_SLACK,
    around,
    hole_for,
    known,
    lock_nut,
    only_ask,
    screw_keys,
    screw_spec,
    state,
    thread_name,
)

if TYPE_CHECKING:
    from bomcheck.verdict.adjust import StackPlan

EAR, CALIPER = "bracket to ear", "caliper to bracket"
SCREWS = 2  # of one bracket, and of one caliper
WITH_STUD, WITH_NUT = "stud in bracket", "screw and nut"


@needs
def bracket(assembly: Assembly) -> Iterator[Demand]:
    """One bracket for each corner."""
    yield Demand("bracket", 1, reason="carries the caliper", used_at=EAR)


@needs
def bracket_screws(assembly: Assembly) -> Iterator[Demand]:
    """Two screws hold the bracket to the ears, with a nut each where they go through."""
    keys = screw_keys("bracket")
    spec = screw_spec(assembly, "bracket")
    yield state(assembly, "bracket screw", SCREWS, *keys, spec=spec, reason="hold the bracket to the ears", used_at=EAR)
    into, kind = assembly.get("bracket_screw_into"), assembly.get("bracket_nut_kind")
    if into == "nut":
        yield _nut(assembly, "bracket", "bracket nut", EAR)
    elif into is None:
        yield from only_ask(assembly, "bracket nut", "bracket_screw_into", used_at=EAR)
    yield from _washers(assembly, "bracket", EAR)
    yield from _locker(assembly, "bracket", kind if into == "nut" else None, EAR)


@needs
def caliper(assembly: Assembly) -> Iterator[Demand]:
    """One caliper for each corner."""
    build = assembly.get("caliper_build")
    yield Demand(
        "caliper", 1, said=f"{build} caliper" if build else "caliper", reason="the kit's caliper", used_at=CALIPER
    )


@needs
def caliper_fastening(assembly: Assembly) -> Iterator[Demand]:
    """Two screws, or two studs with nuts, hold the caliper to the bracket."""
    how = assembly.get("caliper_fastening")
    role = "caliper stud" if how == WITH_STUD else "caliper screw"
    keys = ("caliper_fastening", *screw_keys("caliper"))
    spec = screw_spec(assembly, "caliper")
    yield state(assembly, role, SCREWS, *keys, spec=spec, reason="hold the caliper to the bracket", used_at=CALIPER)
    if how in (WITH_STUD, WITH_NUT):
        yield _nut(assembly, "caliper", "caliper nut", CALIPER)
    yield from _washers(assembly, "caliper", CALIPER)
    kind = assembly.get("caliper_nut_kind") if how in (WITH_STUD, WITH_NUT) else None
    yield from _locker(assembly, "caliper", kind, CALIPER)


def _nut(assembly: Assembly, joint: str, role: str, place: str) -> Demand:
    words, once = lock_nut(assembly.get(f"{joint}_nut_kind"))
    reason = "a lock nut holds once" if once else "one on each screw"
    keys = (f"{joint}_screw_thread", f"{joint}_nut_kind")
    spec = known({"thread": thread_name(assembly, joint)})
    return state(assembly, role, SCREWS, *keys, spec=spec, one_time=once, said=words, reason=reason, used_at=place)


def _washers(assembly: Assembly, joint: str, place: str) -> Iterator[Demand]:
    """As many at each screw as the kit's sheet says."""
    count = assembly.get(f"{joint}_washer_count")
    if count is None:
        yield from only_ask(assembly, "washer", f"{joint}_washer_count", used_at=place)
        return
    if not count:
        return
    thick = assembly.get(f"{joint}_washer_thickness")
    spec = known({
        "inner_diameter": hole_for(assembly, joint),
        "thickness": None if thick is None else around(thick, WASHER_SLACK),
    })  # fmt: skip
    said = f"hardened washer for {thread_name(assembly, joint) or 'the screw'}"
    keys = (f"{joint}_screw_thread",)
    yield state(
        assembly,
        "washer",
        SCREWS * count,
        *keys,
        spec=spec,
        said=said,
        reason=f"{count:g} at each screw",
        used_at=place,
    )


def _locker(assembly: Assembly, joint: str, nut_kind: str | None, place: str) -> Iterator[Demand]:
    """Threadlocker where the sheet asks for it or says nothing; never with a nylon lock nut."""
    condition = assembly.get(f"{joint}_screw_condition")
    if condition in (None, "threadlocker") and nut_kind != "nylon lock":
        yield threadlocker(SCREWS, place)


@needs
def axial_shims(assembly: Assembly) -> Iterator[Demand]:
    """Pieces of the thickest axial stack that may be needed, and of the one to start with, at every screw."""
    joint = "caliper" if assembly.get("axial_shim_joint") == "lug" else "bracket"
    yield from _shims(assembly, "axial", joint, CALIPER if joint == "caliper" else EAR)


@needs
def radial_shims(assembly: Assembly) -> Iterator[Demand]:
    """Pieces of the thickest radial stack that may be needed, and of the one to start with, at every screw."""
    yield from _shims(assembly, "radial", "caliper", CALIPER)


def _shims(assembly: Assembly, name: str, joint: str, place: str) -> Iterator[Demand]:
    plan = assembly.plans.get(name)
    reason = "centre the caliper on the rotor" if name == "axial" else "bring the pads flush with the rotor's edge"
    if plan is None:
        ask = f"Measure first what places the caliper; then the {name} shims can be counted"
        yield Asked("shim", 0, ask=ask, said=f"{name} shims", reason=reason, used_at=place)
        return
    for thickness, count in _pieces(plan):
        spec = known({"thickness": around(thickness, SHIM_SLACK), "inner_diameter": hole_for(assembly, joint)})
        said = f"shim {thickness:g} mm"
        yield Demand(
            "shim", SCREWS * count, spec=spec, said=said, reason=f"{reason}; {count} at each screw", used_at=place
        )


def _pieces(plan: "StackPlan") -> list[tuple[float, int]]:
    """(thickness [mm], pieces at a screw) that make the thickest stack, and the one to start with."""
    pieces = dict(plan.most.pieces)
    for thickness, count in plan.likely.pieces:
        pieces[thickness] = max(count, pieces.get(thickness, 0))
    return list(pieces.items())
