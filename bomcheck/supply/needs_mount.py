"""What rotor, hat, bracket and caliper consume."""

from collections.abc import Iterator
from math import ceil
from typing import Any

from bomcheck.model.demand import BOTH, Asked, Demand
from bomcheck.model.finding import mm
from bomcheck.model.stack import StackPlan
from bomcheck.rules.joint_table import screw_count, shim_joint
from bomcheck.supply.needs import (
    IN_HAT,
    SHIM_SLACK,
    WASHER_SLACK,
    Assembly,
    around,
    hole_for,
    known,
    lock_nut,
    needs,
    only_ask,
    screw_keys,
    screw_spec,
    state,
    thread_name,
)
from bomcheck.tables.fields import fields

PLACE = "hat to friction ring"
WIRE_PER_PAIR = 0.15  # m; two screws are wired as a pair: common practice, no source
WIRE_SPARE = 1.2
SPACER_SLACK = 0.1  # mm either way: common practice, no source
LOCKER_PER_SCREW = 0.3  # mL: common practice, no source


@needs
def rotor(assembly: Assembly) -> Iterator[Demand]:
    """One rotor for each corner; left and right are different parts where the vanes are directional."""
    vanes = assembly.get("rotor_vanes")
    for side in ("left", "right") if vanes == "directional" else ("either",):
        said = "rotor with directional vanes, for this side only" if vanes == "directional" else "rotor"
        yield state(
            assembly, "rotor", 1, "rotor_vanes", side=side, said=said, reason="the kit's rotor", used_at="hub",
            spec=_rotor_spec(assembly),
        )  # fmt: skip


def _rotor_spec(assembly: Assembly) -> dict[str, Any]:
    sizes = (("outer_diameter", "rotor_diameter", 1.0), ("thickness", "rotor_thickness", 0.3))
    found = ((key, assembly.get(field), slack) for key, field, slack in sizes)
    hub, spec = (
        assembly.get("hub_bolt_circle"),
        {key: around(size, slack) for key, size, slack in found if size is not None},
    )
    one_piece = assembly.get("rotor_build") == "one-piece" and hub is not None and hub.diameter
    drum = assembly.get("hat_park_drum_diameter") if assembly.get("kit_park_brake") == IN_HAT else None
    return known({**spec, "said_pattern": hub.name, "said_drum": drum}) if one_piece else spec


def _comes_joined(assembly: Assembly) -> bool:
    return "joined rotor" in (assembly.get("kit_comes_fitted") or ())


@needs
def hat(assembly: Assembly) -> Iterator[Demand]:
    """A two-piece rotor sits on its own hat."""
    if assembly.get("rotor_build") == "one-piece" or _comes_joined(assembly):
        return
    circles = assembly.get("hat_bolt_circle") or ()
    said = "hat" + (f", {' or '.join(circle.name for circle in circles)}" if circles else "")
    hub = assembly.get("hub_bolt_circle")
    spec = {"pattern": hub.name} if hub is not None and hub.diameter and (not circles or hub in circles) else {}
    spec |= known({"bore": assembly.get("hat_bore")})
    yield state(
        assembly, "hat", 1, "rotor_build", "kit_comes_fitted", spec=spec, said=said, used_at="hub",
        reason="carries the friction ring of a two-piece rotor",
    )  # fmt: skip


@needs
def spacers(assembly: Assembly) -> Iterator[Demand]:
    """The kit's own spacers, without which offset and heights are others; one at each of the joint's screws."""
    for joint, place in (("bracket", "bracket to ear"), ("caliper", "caliper to bracket")):
        thick = assembly.get(f"{joint}_spacer_thickness")
        if thick:
            spec = known({"thickness": around(thick, SPACER_SLACK), "inner_diameter": hole_for(assembly, joint)})
            said, count = f"spacer {mm(thick, 2)} thick", screw_count(joint, assembly.get) or 2
            reason = "the kit's offset and heights are counted with it"
            role = (
                "caliper spacer"
                if joint == "caliper" and assembly.get("caliper_mount") == "radial"
                else "bracket spacer"
            )
            yield Demand(role, count, spec=spec, said=said, reason=reason, used_at=place)


@needs
def hat_screws(assembly: Assembly) -> Iterator[Demand]:
    """Screws of hat and friction ring with what locks them: nuts, wire through drilled heads, or threadlocker."""
    if assembly.get("rotor_build") != "two-piece" or _comes_joined(assembly):
        return
    count = assembly.get("hat_screw_count")
    if count is None:
        yield from only_ask(
            assembly, "hat screw", "hat_screw_count", used_at=PLACE, reason="hold the hat to the friction ring"
        )
        return
    if assembly.get("hat_joint") == "bobbins and circlips":
        return
    keys = ("kit_comes_fitted", *screw_keys("hat"))
    spec = screw_spec(assembly, "hat")
    yield state(
        assembly, "hat screw", count, *keys, spec=spec, reason="hold the hat to the friction ring", used_at=PLACE
    )
    yield from _washers(assembly, "hat", PLACE)
    yield from _locked(assembly, int(count))


def _locked(assembly: Assembly, count: int) -> Iterator[Demand]:
    drilled, nut = assembly.get("hat_screw_drilled"), assembly.get("hat_nut_height")
    condition = assembly.get("hat_screw_condition")
    glued = condition == "threadlocker" or (condition is None and nut == 0 and drilled != "yes")
    if nut or (nut is None and drilled != "yes" and not glued):
        blank = () if nut else ("hat_nut_height",)
        spec = {"thread": thread_name(assembly, "hat"), "nut_kind": None if condition == "threadlocker" else "lock"}
        yield state(
            assembly, "hat nut", count, *blank, spec=spec, one_time=True, said="lock nut", used_at=PLACE,
            reason="lock the hat's screws; a lock nut holds once",
        )  # fmt: skip
    if drilled == "yes":
        length = round(ceil(count / 2) * WIRE_PER_PAIR * WIRE_SPARE, 3)
        reason = "locks the drilled heads in pairs; new each time"
        yield Demand("safety wire", length, unit="m", one_time=True, said="safety wire", reason=reason, used_at=PLACE)
    if glued:
        yield threadlocker(count, PLACE)


def threadlocker(screws: int, place: str) -> Demand:
    """Threadlocker for so many screws; the same kind everywhere, so that it becomes one line."""
    said = "threadlocker of the strength that the kit's sheet names"
    reason = "secures screws; clean and dry threads"
    return Demand(
        "threadlocker", round(screws * LOCKER_PER_SCREW, 3), unit="mL", one_time=True, said=said, reason=reason,
        used_at=place,
    )  # fmt: skip


EAR, CALIPER = "bracket to ear", "caliper to bracket"
WITH_STUD, WITH_NUT = "stud in bracket", "screw and nut"


@needs
def bracket_screws(assembly: Assembly) -> Iterator[Demand]:
    """Screws that hold the bracket to the ears, with a nut each where they go through. Twice as many in an axle's box: asked how many."""
    spec, count = screw_spec(assembly, "bracket"), _count(assembly, "bracket")
    box = sum(part.quantity or 0.0 for part in assembly.job.box if part.role == "bracket screw" and part.unit == "each")
    keys = (*screw_keys("bracket"), *(("bracket_screw_count",) if box >= 4 * count and box % (2 * count) == 0 else ()))
    yield state(assembly, "bracket screw", count, *keys, spec=spec, reason="hold the bracket to the ears", used_at=EAR)
    into, kind = assembly.get("bracket_screw_into"), assembly.get("bracket_nut_kind")
    if into == "nut":
        yield _nut(assembly, "bracket", "bracket nut", EAR)
    elif into is None:
        yield from only_ask(assembly, "bracket nut", "bracket_screw_into", used_at=EAR)
    yield from _washers(assembly, "bracket", EAR)
    yield from _locker(assembly, "bracket", kind if into == "nut" else None, EAR)


@needs
def caliper(assembly: Assembly) -> Iterator[Demand]:
    """One caliper for each corner; of one corner whose side is blank, and a box that tells the sides apart, the side is asked."""
    build, box = assembly.get("caliper_build"), assembly.job.box
    sided = assembly.get("corners") == 1 and any(part.role == "caliper" and part.side in BOTH for part in box)
    yield state(
        assembly, "caliper", 1, *(("corner_side",) if sided else ()), said=f"{build} caliper" if build else "caliper",
        reason="the kit's caliper", used_at=CALIPER,
    )  # fmt: skip


@needs
def caliper_fastening(assembly: Assembly) -> Iterator[Demand]:
    """Two screws, or two studs with nuts, hold the caliper to the bracket."""
    how = assembly.get("caliper_fastening")
    role = "caliper stud" if how == WITH_STUD else "caliper screw"
    keys = ("caliper_fastening", *screw_keys("caliper"))
    spec = screw_spec(assembly, "caliper")
    count = _count(assembly, "caliper")
    yield state(assembly, role, count, *keys, spec=spec, reason="hold the caliper to the bracket", used_at=CALIPER)
    if how in (WITH_STUD, WITH_NUT):
        yield _nut(assembly, "caliper", "caliper nut", CALIPER)
    yield from _washers(assembly, "caliper", CALIPER)
    kind = assembly.get("caliper_nut_kind") if how in (WITH_STUD, WITH_NUT) else None
    yield from _locker(assembly, "caliper", kind, CALIPER)


def _count(assembly: Assembly, joint: str) -> int:
    return screw_count(joint, assembly.get) or 0


def _nut(assembly: Assembly, joint: str, role: str, place: str) -> Demand:
    kind = assembly.get(f"{joint}_nut_kind")
    words, once = lock_nut(kind)
    reason = "a lock nut holds once" if once else "one on each screw"
    keys = (f"{joint}_screw_thread", f"{joint}_nut_kind")
    spec = known({"thread": thread_name(assembly, joint), "nut_kind": None if kind == "none" else kind})
    count = _count(assembly, joint)
    line = state(assembly, role, count, *keys, spec=spec, one_time=once, said=words, reason=reason, used_at=place)
    return Asked(**{**vars(line), "ask": fields()[f"{joint}_nut_kind"].question}) if kind == "none" else line


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
        assembly, "washer", _count(assembly, joint) * count, *keys, spec=spec, said=said, reason=f"{count:g} at each screw",
        used_at=place,
    )  # fmt: skip


def _locker(assembly: Assembly, joint: str, nut_kind: str | None, place: str) -> Iterator[Demand]:
    """Threadlocker where the sheet asks for it; where it says nothing, unless a lock nut locks. Never with a nylon lock nut."""
    condition, by_nut = assembly.get(f"{joint}_screw_condition"), nut_kind in ("all-metal lock", "nylon lock")
    if (condition == "threadlocker" and nut_kind != "nylon lock") or (condition is None and not by_nut):
        yield threadlocker(_count(assembly, joint), place)


@needs
def shims(assembly: Assembly) -> Iterator[Demand]:
    """Pieces for every stack that may be needed, at every screw."""
    yield from _shims(assembly, "axial", "centre the caliper on the rotor")
    yield from _shims(assembly, "radial", "bring the pads flush with the rotor's edge")


def _shims(assembly: Assembly, name: str, reason: str) -> Iterator[Demand]:
    joint = shim_joint(name, assembly.get)
    place = CALIPER if joint == "caliper" else EAR
    plan, field = assembly.plans.get(name), f"shim_sizes_{name}"
    rest: dict[str, Any] = {"reason": reason, "used_at": place}
    if plan is None:
        ask = f"Measure first what places the caliper; then the {name} shims can be counted"
        yield Asked("shim", 0, ask=ask, said=f"{name} shims", **rest)
    elif plan.covered is None and plan.pieces is None:
        ask = f"{fields()[field].question} Nothing is planned before that is known"
        yield Asked("shim", 0, ask=ask, said=f"{name} shims", **rest)
    elif plan.covered is not None:
        yield from _pieces(assembly, plan, joint, rest)


def _pieces(assembly: Assembly, plan: StackPlan, joint: str, rest: dict[str, Any]) -> Iterator[Demand]:
    """What must lie at hand so that every true size finds its stack; where no pieces do that, the start, and what to measure."""
    ask = "" if plan.pieces is not None else "Measure closer what places the caliper: no shims serve all that it may be"
    for thickness, count in plan.likely.pieces if plan.pieces is None else plan.pieces:
        spec = known({
            "thickness": around(thickness, SHIM_SLACK), "inner_diameter": hole_for(assembly, joint), "stack": plan.name,
        })  # fmt: skip
        said = f"{plan.name} shim {mm(thickness)}"
        told = {**rest, "reason": f"{rest['reason']}; {count} at each screw", "said": said, "spec": spec}
        number = _count(assembly, joint) * count
        yield Asked("shim", number, ask=ask, **told) if ask else Demand("shim", number, **told)
