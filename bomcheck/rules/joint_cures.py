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
from bomcheck.rules.joint_table import JOINTS, Grip, condition, hole_row, screw_count

PARTS, MACHINE, NO = Verdict.FITS_WITH_PARTS, Verdict.NEEDS_MACHINING, Verdict.DOES_NOT_FIT
PLACES = {joint: row["place"] for joint, row in JOINTS.items() if row["diameter"]} | {"banjo": "brake line"}
METALS = ("steel", "iron", "aluminium")
NEW_HALF = 0.25  # mm: ± of a screw that is bought to a length
LONGER = 2.0  # mm that a screw may be longer than it must
KITS_OWN = ("depth_at_ear", "ear_thread_depth")  # threads that metal may be cut for
METAL = {
    "ear_thread_depth": "ear_thickness",
    "depth_at_ear": "bracket_ear_thickness",
    "depth_at_caliper": "bracket_caliper_thickness",
}
"""The part that a thread is cut into."""
SEATS = {"ball": ("radius", " mm"), "cone": ("angle", "°")}
HELD_BY = "bracket_screw_count"
# What name, number and kind of the screws depend on.
COUNTS = (
    HELD_BY, "caliper_fastening", "hat_screw_count", "hub_fixing", "hub_lug_count", "hub_stud_thread",
    "nut_material", "wheel_seat", "wheel_seat_radius", "wheel_seat_angle",
)  # fmt: skip


def role(joint: str, reading: Reading) -> str:
    """Role of the screw, or of the wheel's nut, in the parts list."""
    if joint == "wheel":
        return "wheel bolt" if reading.known("hub_fixing") == "bolt" else "wheel nut"
    stud = joint == "caliper" and reading.known("caliper_fastening") == "stud in bracket"
    return "caliper stud" if stud else f"{joint} screw"


def screws(joint: str, reading: Reading, said: str, reason: str, **spec: Any) -> Demand:
    """The screws, or wheel nuts, of one joint. spec: what they must be beside their thread; None: open."""
    thread = reading.known({"wheel": "hub_stud_thread"}.get(joint, f"{joint}_screw_thread"))
    spec = {**({"thread": thread.name} if thread is not None else {}), **spec}
    if joint == "wheel":
        spec = {key: value for key, value in {**_on_the_wheel(reading), **spec}.items() if value is not None}
    number = _each(joint, reading)
    return Demand(role(joint, reading), number, spec=spec, reason=reason, used_at=PLACES[joint], said=said)


def _each(joint: str, reading: Reading) -> int:
    """As many as the joint has screws."""
    return screw_count(joint, reading.known) or 1


def _on_the_wheel(reading: Reading) -> dict[str, Any]:
    """What new nuts or bolts of a wheel have beside the thread: enough of it, and the wheel's seat."""
    seat, stud, has = reading.known("wheel_seat"), reading.known("hub_stud_thread"), reading.sizes.has
    size = f"seat_{SEATS.get(seat, ('',))[0]}"
    spec = {"seat": seat, size: reading.number(f"wheel_{size}") if has(f"wheel_{size}") else None}
    if reading.known("hub_fixing") == "bolt":
        length = reading.number("wheel_bolt_length") if has("wheel_bolt_length") else None
        return {**spec, "length": None if length is None else (length - 0.5, length + 0.5)}
    limit = limit_for(f"stud_engagement_{reading.known('nut_material', 'steel')}", reading.sizes.job)
    return spec if stud is None else {**spec, "length": (stud.diameter * (limit.low or 0.0) + NEW_HALF, None)}


def remedy(kind: str, grip: Grip) -> Remedy:
    """The remedy of one check of a row; wheel studs, nuts and bolts have their own."""
    thread, key = f"{grip.joint}_screw_thread", grip.row["needs"]
    if kind == "thread":
        tapped, screw = grip.row["tapped"], grip.row["fitted"]
        changes = (screw, tapped) if tapped == "ear_thread" else (screw,)
        return Remedy(partial(_other_thread, grip, tapped, screw), (tapped, screw, *COUNTS), changes, (PARTS, MACHINE))
    if kind == "shank":
        return Remedy(partial(_more_thread, grip, key), (key, thread, grip.pitch, *COUNTS), (key,))
    reads = (grip.length, *grip.members, *grip.holds, thread, *grip.row["limit"].split()[1:], *COUNTS)
    act: Any = {"engaged": _longer, "nut": partial(_to_length, grip.pitch), "bottoms": _shorter}[kind]
    return Remedy(partial(act, grip), reads, (grip.length,), (PARTS, MACHINE, NO))


def least_of(reading: Reading) -> float:
    """The lower limit in force."""
    assert reading.limit is not None
    return reading.limit.low or 0.0


def sure(reading: Reading, key: str, way: int = -1) -> float:
    """Least (way -1) or greatest (1) that a size may be [mm]."""
    return reading.number(key) + way * reading.sizes.half(key)


def _longest(grip: Grip, reading: Reading) -> float | None:
    """Longest screw that stays above the bottom of a blind hole with no shims [mm]; None where nothing bounds it."""
    blind = condition(grip.row["blind"]).items()
    if not grip.row["bottoms"] or not all(reading.known(key) in allowed for key, allowed in blind):
        return None
    low = sum(sure(reading, key) for key in (*grip.members, grip.holds[0]))
    return low - (limit_for(grip.row["bottom"], reading.sizes.job).low or 0.0) - NEW_HALF


def _longer(grip: Grip, reading: Reading) -> Cure:
    wanted = least_of(reading) * reading.number(grip.diameter)
    for key in grip.holds:
        deep = sure(reading, key)
        if deep < wanted:
            text = f"The thread in {grip.row['holder']} is only {mm(deep, 1)} deep, {mm(wanted, 1)} are needed"
            if key not in KITS_OWN and ("caliper" in grip.row["holder"] or grip.joint == "wheel"):
                return no_cure(NO, f"{text}: ask the kit maker")
            steel = limit_for("screw_engagement_steel", reading.sizes.job).low or 0.0
            insert, metal = (
                deep >= steel * reading.number(grip.diameter),
                key if key in METAL.values() else METAL.get(key),
            )
            if not insert and metal and reading.sizes.has(metal) and sure(reading, metal, 1) < wanted:
                return no_cure(NO, f"{text}, and there is no more metal: ask the kit maker")
            what = (
                f"fit a thread insert {mm(deep, 1)} long, as deep as the thread is"
                if insert
                else "have it tapped deeper"
            )
            return Cure(MACHINE, f"{text}: {what}, or ask the kit maker")
    return _to_length(grip.diameter, grip, reading)


def _to_length(unit: str, grip: Grip, reading: Reading) -> Cure:
    """Longer screws, as far as a blind hole lets them. unit: the size in which the check counts."""
    more = reading.short * reading.number(unit) + max(0.0, NEW_HALF - reading.sizes.half(grip.length))
    new = float(ceil(reading.number(grip.length) + more - 1e-9))
    longest = _longest(grip, reading)
    if longest is not None and new > longest:
        return _on_the_car(grip, reading)
    return _ordered(grip, reading, new, (new, new + LONGER if longest is None else min(new + LONGER, longest)), "short")


def _shorter(grip: Grip, reading: Reading) -> Cure:
    less = reading.short + max(0.0, NEW_HALF - reading.sizes.half(grip.length))
    new = float(floor(reading.number(grip.length) - less + 1e-9))
    least = sum(sure(reading, key, 1) for key in grip.members) + _least_held(grip, reading) + NEW_HALF
    if new < least:
        return _on_the_car(grip, reading)
    return _ordered(grip, reading, new, (max(new - LONGER, least), new), "long")


def _least_held(grip: Grip, reading: Reading) -> float:
    """Thread that must stand in what holds it [mm], by the limit in force; of a metal that is not known, the most of any."""
    family, _, by = grip.row["limit"].partition(" ")
    metals = (reading.known(by),) if by and reading.known(by) else METALS if by else ("",)
    limits = (limit_for("_".join(filter(None, (family, metal))), reading.sizes.job) for metal in metals)
    return max(limit.low or 0.0 for limit in limits) * float(reading.number(grip.diameter))


ROOT = "caliper_stud_root_length"
WHERE = {"wheel": "beyond the seat", "caliper stud": "beyond the bracket"}  # from where a length without a head counts


def _ordered(grip: Grip, reading: Reading, new: float, span: tuple[float, float], why: str) -> Cure:
    length, name = mm(reading.number(grip.length)), role(grip.joint, reading)
    root = grip.length == ROOT
    where = "of root in the bracket" if root else WHERE.get(grip.joint, WHERE.get(name, "under the head"))
    said = f"{name}s {'with ' if root else ''}{mm(new)} {'' if root else 'long '}{where}"
    part = screws(grip.joint, reading, said, f"{length} {where} is too {why}", length=None if root else span)
    return Cure(PARTS, f"Use {said} instead of {length}", (part,), {grip.length: (new, NEW_HALF)})


def _on_the_car(grip: Grip, reading: Reading) -> Cure:
    """No length is right for every true size inside the ±: none that is at hand serves before it is chosen."""
    name, enough = role(grip.joint, reading), mm(_least_held(grip, reading), 0)
    text = f"Choose the length of the {name}s on the car: at least {enough} in the thread and clear of its bottom"
    why = "too short or too long, as the true sizes are"
    part = screws(grip.joint, reading, f"{name}s, their length chosen on the car", why, length=None, chosen=True)
    return Cure(PARTS, text, (Asked(**{**vars(part), "ask": f"{text}."}),))


def _more_thread(grip: Grip, key: str, reading: Reading) -> Cure:
    """Screws of the same length with so much thread that the worst case comes up to the limit."""
    now, name = reading.number(key), role(grip.joint, reading)
    wanted = float(ceil(now + reading.short * reading.number(grip.pitch) + NEW_HALF))
    thread = reading.sizes[f"{grip.joint}_screw_thread"].name
    said = f"{name}s {thread} with at least {mm(wanted)} of thread, or threaded throughout"
    reason = f"the plain shank of screws with {mm(now)} of thread is longer than what they clamp"
    part = screws(grip.joint, reading, said, reason, thread_length="full thread")
    return Cure(PARTS, f"Use {said}; the strength class stays", (part,), {key: (wanted, NEW_HALF)})


def _other_thread(grip: Grip, tapped: str, screw: str, reading: Reading) -> Cure:
    """Screws of the thread that is tapped; the car's ear may also take a thread insert."""
    held, fitted, name = reading.sizes[tapped], reading.sizes[screw], role(grip.joint, reading)
    if tapped == "ear_thread" and held.diameter < fitted.diameter:
        text = f"Have the ear drilled and tapped {fitted.name}, only if the kit maker allows it; else another bracket"
        return Cure(MACHINE, text, changes={tapped: (fitted, 0.0)})
    reason = f"{grip.row['holder']} has the thread {held.name}"
    if tapped == "ear_thread" and held.diameter > fitted.diameter:
        part = Demand("thread insert", _each("bracket", reading), spec={"thread": fitted.name}, reason=reason, used_at=PLACES["bracket"],
                      said=f"thread inserts {fitted.name} for an ear tapped {held.name}")  # fmt: skip
        text = f"Fit thread inserts {fitted.name} in the ear if the kit maker allows it"
        return Cure(PARTS, text, (part,), {tapped: (fitted, 0.0)})
    part = screws(grip.joint, reading, f"{name}s {held.name}", reason, thread=held.name)
    return Cure(PARTS, f"Use {name}s {held.name}", (part,), {screw: (held, 0.0)})


def _sleeve_or_drill(joint: str, hole: str, screw: str, reading: Reading) -> Cure:
    """A sleeve where the hole is too large, drilling where it is too small."""
    size, now = reading.number(screw), reading.number(hole)
    if reading.below:
        fine = float(hole_row(float(size))["fine"])
        text = f"Drill the hole to {mm(fine, 1)}, only if the kit maker allows it"
        return Cure(MACHINE, text, changes={hole: (fine, 0.1)})
    said = f"{mm(now, 1)} outside and {mm(size, 1)} inside"
    sleeve = Demand("stepped sleeve", _each(joint, reading), spec={"inner_diameter": (size, size + 0.1), "outer_diameter": (now - 0.1, now), "metal": True},
                    reason="the hole is larger than the screw", used_at=PLACES[joint], said=f"stepped sleeve, {said}")  # fmt: skip
    return Cure(PARTS, f"Fit stepped sleeves, {said}", (sleeve,), {hole: (size + 0.05, 0.05)})


def _wider(joint: str, hole: str, reading: Reading) -> Cure:
    wide = sure(reading, hole, 1) + 2 * least_of(reading)
    washer = Demand("washer", _each(joint, reading), spec={"outer_diameter": (wide, None)}, reason="the head sinks into the hole", used_at=PLACES[joint],
                    said=f"hardened washer, at least {mm(wide, 1)} outside")  # fmt: skip
    return Cure(PARTS, f"Use hardened washers at least {mm(wide, 1)} outside; they lengthen the grip", (washer,))


def _ream(joint: str, reading: Reading) -> Cure:
    assert reading.value is not None
    beyond = f"The spacing is {mm(reading.value.middle, 2)} beyond the float"
    if joint != "bracket":
        return no_cure(NO, f"{beyond}: bracket and caliper do not belong together, ask the kit maker")
    if reading.value.middle <= (limit_for("ear_spacing_ream", reading.sizes.job).high or 0.0):
        return Cure(MACHINE, f"{beyond}: ream or slot the holes, only if the kit maker allows it")
    return no_cure(NO, f"{beyond}: this bracket is not made for this knuckle")


HOLES = {  # by page of `joint_holes.txt`, from joint and sizes
    "hole": lambda joint, *sizes: Remedy(
        partial(_sleeve_or_drill, joint, *sizes), (*sizes, HELD_BY), sizes[:1], (PARTS, MACHINE)
    ),
    "bears": lambda joint, bearing, hole: Remedy(partial(_wider, joint, hole), (hole, HELD_BY)),
    "spacing": lambda joint, *sizes: Remedy(partial(_ream, joint), verdicts=(MACHINE, NO)),
}
