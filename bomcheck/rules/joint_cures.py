"""What cures a screwed joint: screws of the right length, thread or shank, sleeves, washers. Lengths in mm.

A remedy uses the limit in force, and what it orders goes back into the job with its own ±, so that everything is judged again.
"""

from functools import partial
from math import ceil, floor
from typing import Any

from bomcheck.model.demand import Asked, Demand
from bomcheck.model.finding import mm
from bomcheck.model.limits import limit_for
from bomcheck.model.rule import Cure, Reading, Remedy, no_cure
from bomcheck.model.verdict import Verdict
from bomcheck.rules import wheel_nuts
from bomcheck.rules.joint_table import Grip, condition, hole_row

PARTS, MACHINE, NO = Verdict.FITS_WITH_PARTS, Verdict.NEEDS_MACHINING, Verdict.DOES_NOT_FIT
PLACES = {
    "hat": "hat to friction ring", "bracket": "bracket to ear", "caliper": "caliper to bracket", "banjo": "brake line",
}  # fmt: skip
NEW_HALF = 0.25  # mm: ± of a screw that is bought to a length
LONGER = 2.0  # mm that a screw may be longer than it must
KITS_OWN = ("depth_at_ear", "ear_thread_depth")  # threads that metal may be cut for


def role(grip: Grip, reading: Reading) -> str:
    """Role of the screw in the parts list."""
    stud = grip.joint == "caliper" and reading.known("caliper_fastening") == "stud in bracket"
    return "caliper stud" if stud else grip.row["screw"].removesuffix("'s root")


def count(grip: Grip, reading: Reading) -> float:
    """Screws of the joint at one corner."""
    return float(reading.known("hat_screw_count", 1)) if grip.joint == "hat" else 1 if grip.joint == "banjo" else 2


def _screws(grip: Grip, reading: Reading, said: str, reason: str, **spec: Any) -> Demand:
    thread = None if grip.joint == "banjo" else reading.known(f"{grip.joint}_screw_thread")
    known = {"thread": thread.name} if thread is not None else {}
    name = role(grip, reading)
    return Demand(
        name, count(grip, reading), spec={**known, **spec}, reason=reason, used_at=PLACES[grip.joint],
        said=f"{name}s {said}",
    )  # fmt: skip


def remedy(kind: str, grip: Grip) -> Remedy:
    """The remedy of one check of a row; wheel studs, nuts and bolts have their own."""
    if grip.joint == "wheel":
        return wheel_nuts.remedy(grip.row["engaged"] if kind == "engaged" else grip.row["bottoms"])
    thread = f"{grip.joint}_screw_thread"
    reads = (grip.length, *grip.members, *grip.holds, thread, "caliper_fastening", "hat_screw_count")
    if kind == "shank":
        key = grip.row["needs"]
        return Remedy(
            partial(_more_thread, grip, key), (key, thread, grip.pitch, "caliper_fastening", "hat_screw_count"), (key,)
        )
    act = {"engaged": _longer, "nut": _past_nut, "bottoms": _shorter}[kind]
    return Remedy(partial(act, grip), reads, (grip.length,), (PARTS, MACHINE, NO))


def _need(reading: Reading, grip: Grip) -> float:
    """Thread that the limit in force asks for [mm]."""
    assert reading.limit is not None
    return (reading.limit.low or 0.0) * reading.number(grip.diameter)


def _longest(grip: Grip, reading: Reading) -> float | None:
    """Longest screw that stays above the bottom of a blind hole with no shims [mm]; None where nothing bounds it."""
    blind = grip.row["bottoms"] and all(
        reading.known(key) in allowed for key, allowed in condition(grip.row["blind"]).items()
    )
    if not blind:
        return None
    low = sum(reading.number(key) - reading.sizes.half(key) for key in (*grip.members, grip.holds[0]))
    return low - (limit_for(grip.row["bottom"], reading.sizes.job).low or 0.0) - NEW_HALF


def _longer(grip: Grip, reading: Reading) -> Cure:
    wanted = _need(reading, grip)
    for key in grip.holds:
        deep = reading.number(key) - reading.sizes.half(key)
        if deep < wanted:
            text = f"The thread in {grip.row['holder']} is only {mm(deep, 1)} deep, {mm(wanted, 1)} are needed"
            cut = key in KITS_OWN or "caliper" not in grip.row["holder"]
            return (
                Cure(MACHINE, f"{text}: fit a thread insert or ask the kit maker")
                if cut
                else no_cure(NO, f"{text}: ask the kit maker")
            )
    return _to_length(grip, reading, reading.short * reading.number(grip.diameter))


def _past_nut(grip: Grip, reading: Reading) -> Cure:
    return _to_length(grip, reading, reading.short * reading.number(grip.pitch))


def _to_length(grip: Grip, reading: Reading, by: float) -> Cure:
    """Screws longer by so much, as far as a blind hole lets them."""
    length = reading.number(grip.length)
    new = float(ceil(length + by + max(0.0, NEW_HALF - reading.sizes.half(grip.length)) - 1e-9))
    longest = _longest(grip, reading)
    if longest is not None and new > longest:
        return _on_the_car(grip, reading)
    most = new + LONGER if longest is None else min(new + LONGER, longest)
    return _ordered(grip, reading, new, (new, most), "short")


def _shorter(grip: Grip, reading: Reading) -> Cure:
    length = reading.number(grip.length)
    new = float(floor(length - reading.short - max(0.0, NEW_HALF - reading.sizes.half(grip.length)) + 1e-9))
    through = sum(reading.number(key) + reading.sizes.half(key) for key in grip.members)
    if new <= through + reading.number(grip.diameter) / 2:
        return _on_the_car(grip, reading)
    return _ordered(grip, reading, new, (new - LONGER, new), "long")


def _ordered(grip: Grip, reading: Reading, new: float, span: tuple[float, float], why: str) -> Cure:
    length, name = reading.number(grip.length), role(grip, reading)
    part = _screws(
        grip, reading, f"{mm(new)} long under the head", f"screws of {mm(length)} are too {why}", length=span
    )
    return Cure(PARTS, f"Use {name}s {mm(new)} long instead of {mm(length)}", (part,), {grip.length: (new, NEW_HALF)})


def _on_the_car(grip: Grip, reading: Reading) -> Cure:
    """No length is right for every true size inside the ±."""
    room = f"at least {mm(reading.number(grip.diameter), 0)} in the thread and clear of its bottom"
    part = _screws(
        grip, reading, "their length chosen on the car", "too short or too long, as the true sizes are", length=None
    )
    text = f"Choose the length of the {role(grip, reading)}s on the car: {room}"
    return Cure(PARTS, text, (Asked(**vars(part), ask=f"{text}."),))


def _more_thread(grip: Grip, key: str, reading: Reading) -> Cure:
    """Screws of the same length with so much thread that the worst case comes up to the limit."""
    now, name = reading.number(key), role(grip, reading)
    wanted = float(ceil(now + reading.short * reading.number(grip.pitch) + NEW_HALF))
    thread = reading.sizes[f"{grip.joint}_screw_thread"].name
    said = f"{thread} with at least {mm(wanted)} of thread, or threaded throughout"
    reason = f"the plain shank of screws with {mm(now)} of thread is longer than what they clamp"
    part = _screws(grip, reading, said, reason, thread_length="full thread")
    return Cure(PARTS, f"Use {name}s {said}; the strength class stays", (part,), {key: (wanted, NEW_HALF)})


def thread_remedy(grip: Grip, tapped: str) -> Remedy:
    """Screws of the thread that is tapped; the car's ear may also take a thread insert."""
    screw = f"{grip.joint}_screw_thread"
    reads = (tapped, screw, "caliper_fastening", "hat_screw_count")
    changes = (screw, tapped) if tapped == "ear_thread" else (screw,)
    return Remedy(partial(_other_thread, grip, tapped, screw), reads, changes, (PARTS, MACHINE))


def _other_thread(grip: Grip, tapped: str, screw: str, reading: Reading) -> Cure:
    held, fitted = reading.sizes[tapped], reading.sizes[screw]
    holder, name = grip.row["holder"], role(grip, reading)
    if tapped == "ear_thread" and held.diameter < fitted.diameter:
        text = (
            f"Have the ear drilled and tapped {fitted.name} only if the kit maker allows it; otherwise another bracket"
        )
        return Cure(MACHINE, text, changes={tapped: (fitted, 0.0)})
    if tapped == "ear_thread" and held.diameter > fitted.diameter:
        part = Demand("thread insert", 2, spec={"thread": fitted.name}, reason=f"the ear is tapped {held.name}", used_at=PLACES["bracket"],
                      said=f"thread inserts {fitted.name} for an ear tapped {held.name}")  # fmt: skip
        return Cure(
            PARTS,
            f"Fit thread inserts {fitted.name} in the ear if the kit maker allows it",
            (part,),
            {tapped: (fitted, 0.0)},
        )
    part = Demand(name, count(grip, reading), spec={"thread": held.name}, reason=f"{holder} is tapped {held.name}",
                  used_at=PLACES[grip.joint], said=f"{name}s {held.name}")  # fmt: skip
    return Cure(PARTS, f"Order {name}s {held.name}", (part,), {screw: (held, 0.0)})


def hole_remedy(joint: str, hole: str) -> Remedy:
    """A sleeve where the hole is too large, drilling where it is too small."""
    screw = f"{joint}_screw_diameter"
    return Remedy(partial(_sleeve_or_drill, joint, hole, screw), (hole, screw), (hole,), (PARTS, MACHINE))


def _sleeve_or_drill(joint: str, hole: str, screw: str, reading: Reading) -> Cure:
    size, now = reading.number(screw), reading.number(hole)
    if reading.below:
        fine = float(hole_row(float(size))["fine"])
        return Cure(
            MACHINE, f"Drill the hole to {mm(fine, 1)}, only if the kit maker allows it", changes={hole: (fine, 0.1)}
        )
    sleeve = Demand("stepped sleeve", 2, spec={"inner_diameter": (size, size + 0.1), "outer_diameter": (now - 0.1, now)},
                    reason="the hole is larger than the screw", used_at=PLACES[joint], said=f"stepped sleeve, {mm(now, 1)} outside, {mm(size, 1)} inside")  # fmt: skip
    text = f"Fit stepped sleeves, {mm(now, 1)} outside and {mm(size, 1)} inside"
    return Cure(PARTS, text, (sleeve,), {hole: (size + 0.05, 0.05)})


def washer_remedy(joint: str, hole: str) -> Remedy:
    """Washers that are wide enough for the hole."""
    return Remedy(partial(_wider, joint, hole), (hole,))


def _wider(joint: str, hole: str, reading: Reading) -> Cure:
    wide = reading.number(hole) + reading.sizes.half(hole) + 2 * ((reading.limit.low or 0.0) if reading.limit else 0.0)
    washer = Demand("washer", 2, spec={"outer_diameter": (wide, None)}, reason="the head sinks into the hole", used_at=PLACES[joint],
                    said=f"hardened washer, at least {mm(wide, 1)} outside")  # fmt: skip
    return Cure(PARTS, f"Use hardened washers at least {mm(wide, 1)} outside; they lengthen the grip", (washer,))
