"""What cures the wheel's joint, and what centres it: nuts, studs and bolts. Lengths in mm."""

from functools import partial
from math import ceil
from typing import Any

from bomcheck.model.demand import Asked, Demand
from bomcheck.model.finding import mm
from bomcheck.model.rule import Cure, Match, Reading, Remedy, no_cure
from bomcheck.model.verdict import Verdict
from bomcheck.rules.joint_cures import COUNTS, NEW_HALF, PARTS, SEATS, least_of, role, screws, sure
from bomcheck.rules.joint_table import Grip
from bomcheck.tables.fields import fields

HUB = (*COUNTS, "hub_flange_thickness", "hub_stud_knurl_diameter", "wheel_bolt_length")
STUD = ("hub_stud_length", "nut_thread_depth")


def _longer_studs(grip: Grip, reading: Reading) -> Cure:
    free, slack = sum(map(reading.number, grip.members)), sum(map(reading.sizes.half, grip.members))
    wanted = reading.number("stud_diameter") * least_of(reading)
    demands, changes, texts = [], {}, []
    if sure(reading, "hub_stud_length") - free - slack < wanted:
        length = float(ceil(free + slack + wanted)) + 1.0
        demands.append(_studs(reading, length, wanted, free))
        changes["hub_stud_length"] = (length, NEW_HALF)
        texts.append(f"Fit longer studs with at least {mm(length, 0)} of thread from the hub face")
    if sure(reading, "nut_thread_depth") < wanted:
        depth = float(ceil(wanted + NEW_HALF))
        said = f"wheel nuts with at least {mm(depth, 0)} of thread"
        demands.append(screws("wheel", reading, said, said, length=(depth, None)))
        changes["nut_thread_depth"] = (depth, NEW_HALF)
        texts.append(f"Use {said}")
    return Cure(PARTS, "; ".join(texts), tuple(demands), changes)


def _studs(reading: Reading, length: float, wanted: float, free: float) -> Demand:
    """Studs by their catalogue length, which counts from under the head: through the hub's flange and on."""
    stud = reading.sizes["hub_stud_thread"].name
    spec: dict[str, Any] = {"thread": stud}
    said = f"wheel studs {stud}, at least {mm(length, 0)} of thread from the hub face"
    asked = [key for key in ("hub_flange_thickness", "hub_stud_knurl_diameter") if not reading.sizes.has(key)]
    if "hub_flange_thickness" not in asked:
        through = length + sure(reading, "hub_flange_thickness", 1)
        spec["length"] = (through, None)
        said += f", {mm(through, 0)} under the head"
    if "hub_stud_knurl_diameter" not in asked:
        knurl = reading.number("hub_stud_knurl_diameter")
        spec["outer_diameter"] = (knurl - 0.05, knurl + 0.1)
        said += f", knurl {mm(knurl, 2)}"
    shown = mm(reading.number("hub_stud_length") - free, 1)
    reason = f"the stud shows {shown} beyond the wheel, {mm(wanted, 1)} are needed"
    rest: dict[str, Any] = {"spec": spec, "one_time": True, "reason": reason, "used_at": "hub", "said": said}
    count = reading.sizes["hub_bolt_circle"].count
    ask = " ".join(fields()[key].question for key in asked)
    return Asked("wheel stud", count, ask=ask, **rest) if asked else Demand("wheel stud", count, **rest)


def _open_nuts(reading: Reading) -> Cure:
    said = "open wheel nuts, so that the stud may pass through"
    nuts = screws("wheel", reading, said, said, form="open")
    return Cure(PARTS, "Use open wheel nuts, or closed ones with a deeper thread", (nuts,), {"nut_closed": ("no", 0.0)})


def _seated_nuts(reading: Reading) -> Cure:
    seat = reading.sizes["wheel_seat"]
    changes: dict[str, tuple[Any, float]] = {"nut_seat": (seat, 0.0)}
    size, unit = SEATS.get(seat, ("", ""))
    said = f"with a {seat} seat"
    wanted = reading.known(f"wheel_seat_{size}")
    if wanted is not None:
        said += f", {size} {reading.number(f'wheel_seat_{size}'):g}{unit}"
        changes[f"nut_seat_{size}"] = (reading.number(f"wheel_seat_{size}"), 0.0)
    nuts = screws("wheel", reading, said, said)
    return Cure(PARTS, f"Order {role('wheel', reading)}s {said}", (nuts,), changes)


def _seats_match(
    nut_seat: str, wheel_seat: str, nut_seat_radius: float | None = None, wheel_seat_radius: float | None = None,
    nut_seat_angle: float | None = None, wheel_seat_angle: float | None = None,
) -> Match:  # fmt: skip
    """A cone has an angle, a ball a radius; neither is assumed."""
    said = f"nut: {nut_seat}, wheel: {wheel_seat}"
    if nut_seat != wheel_seat or nut_seat == "flat":
        return Match(nut_seat == wheel_seat, said)
    size, unit = SEATS[nut_seat]
    one, other = {"radius": (nut_seat_radius, wheel_seat_radius), "angle": (nut_seat_angle, wheel_seat_angle)}[size]
    blank = tuple(f"{whose}_seat_{size}" for whose, found in (("nut", one), ("wheel", other)) if found is None)
    if blank:
        return Match(None, f"{said}; the {size} is not stated, and it is not assumed", blank)
    return Match(one == other, f"{said}; {size} {one:g}{unit} and {other:g}{unit}")


def _slim_nuts(reading: Reading) -> Cure:
    largest = sure(reading, "wheel_hole_diameter") - least_of(reading)
    said = f"with a shank of at most {mm(largest, 1)}"
    nuts = screws("wheel", reading, said, said, outer_diameter=(None, largest))
    return Cure(PARTS, f"Use wheel nuts {said}", (nuts,), {"nut_shank_diameter": (largest, 0.0)})


def _centring(nut_seat: str, nut_shank_diameter: Any = None) -> Match:
    """Cones and balls centre; flat nuts do so by a shank."""
    if nut_seat != "flat":
        return Match(True, f"nuts with {nut_seat} seats")
    shank = nut_shank_diameter is not None
    return Match(shank, f"flat nuts {'with a shank' if shank else 'without a shank: nothing centres the wheel'}")


def _centre_on_pilot(reading: Reading) -> Cure:
    text = "Nothing centres the wheel: centre it on the hub's pilot, with a ring if its bore is larger, or use nuts with a fitting shank"
    return Cure(PARTS, text, changes={"wheel_centring": ("pilot", 0.0)})


# Remedies of studs that are held by too little of their nuts, or meet the end of closed ones, by check.
STUDS = {
    "stud_engagement": lambda kind, grip: Remedy(partial(_longer_studs, grip), (*grip.members, *HUB, *STUD), STUD),
    "closed_nut_bottoms": lambda kind, grip: Remedy(_open_nuts, HUB, ("nut_closed",)),
}
CENTRED = Remedy(_centre_on_pilot, (), ("wheel_centring",))
NOT_OVER = (
    "The wheel does not go over the studs or bolts: look at the thread again, or take a wheel that belongs on this hub"
)
HOLES = {
    "over": lambda joint, *sizes: Remedy(lambda _: no_cure(Verdict.DOES_NOT_FIT, NOT_OVER)),
    "enters": lambda joint, *sizes: Remedy(_slim_nuts, (*sizes, *HUB), ("nut_shank_diameter",)),
    "centres": lambda joint, *sizes: CENTRED,
}
SIZED = tuple(f"{whose}_seat_{size}" for size in ("radius", "angle") for whose in ("nut", "wheel"))
SEATED = Remedy(_seated_nuts, ("wheel_seat", *SIZED, *HUB), ("nut_seat", "nut_seat_radius", "nut_seat_angle"))
# Matches of the wheel's nuts: page, check, function, what else the check says.
MATCHES: tuple[tuple[str, str, Any, dict[str, Any]], ...] = (
    ("seat", "nut_seat_matches", _seats_match, {"remedy": SEATED}),
    ("centred", "something_centres_wheel", _centring, {"when": {"wheel_centring": ("nuts",)}, "remedy": CENTRED}),
)
