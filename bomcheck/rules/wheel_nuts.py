"""Wheel nuts, studs and bolts: what the joint list does not say of them. Lengths in mm."""

from math import ceil, floor
from typing import Any

from bomcheck.model.demand import Asked, Demand
from bomcheck.model.finding import mm, mm_range
from bomcheck.model.limits import limit_for
from bomcheck.model.rule import Cure, Match, Reading, Remedy, check, match, no_cure
from bomcheck.model.types import BoltCircle, Thread
from bomcheck.model.verdict import Verdict
from bomcheck.rules.threads import compare_threads
from bomcheck.tables.fields import fields

PARTS, NO = Verdict.FITS_WITH_PARTS, Verdict.DOES_NOT_FIT
PASSED = ("hat_flange_thickness", "wheel_spacer_thickness_now", "wheel_seat_depth")


NEW_THREAD = 0.25  # mm either way in the thread of a new nut or stud: common practice, no source
SEATS = ("wheel_seat", "wheel_seat_radius", "wheel_seat_angle")
SEAT_SIZES = {"ball": "radius", "cone": "angle"}


def wheel_nuts(reading: Reading, said: str, **spec: Any) -> Demand:
    """The nuts, or bolts, of one wheel on the hub's circle; new ones have the hub's thread, enough of it, and the wheel's seat.
    spec: what else they must be."""
    circle: BoltCircle = reading.sizes["hub_bolt_circle"]
    role = "wheel bolt" if reading.known("hub_fixing") == "bolt" else "wheel nut"
    stud: Thread | None = reading.known("hub_stud_thread")
    known: dict[str, Any] = {"seat": reading.known("wheel_seat")}
    size = f"seat_{SEAT_SIZES.get(known['seat'], '')}"
    if reading.sizes.has(f"wheel_{size}"):
        known[size] = reading.number(f"wheel_{size}")
    if stud is not None:
        limit = limit_for(f"stud_engagement_{reading.known('nut_material', 'steel')}", reading.sizes.job)
        known |= {"thread": stud.name, "length": (stud.diameter * (limit.low or 0.0) + NEW_THREAD, None)}
    if role == "wheel bolt":
        length = reading.number("wheel_bolt_length") if reading.sizes.has("wheel_bolt_length") else None
        known["length"] = None if length is None else (length - 0.5, length + 0.5)
    spec = {key: value for key, value in {**known, **spec}.items() if value is not None}
    return Demand(role, circle.count, spec=spec, reason=said, used_at="wheel", said=said)


def _matching_nuts(reading: Reading) -> Cure:
    stud: Thread = reading.sizes["hub_stud_thread"]
    nuts = wheel_nuts(reading, f"wheel nuts {stud.name}, the ones at hand do not fit the stud", thread=stud.name)
    return Cure(PARTS, f"Order wheel nuts {stud.name} with the wheel's seat", (nuts,), {"nut_thread": (stud, 0.0)})


@match(remedy=_matching_nuts)
def stud_and_nut(hub_stud_thread: Thread, nut_thread: Thread) -> Match:
    """Stud and nut thread

    Must be true:
        The wheel nut, or the thread of the wheel bolt to be used, has the hub's thread and pitch.
    Why:
        A nut of nearly the right thread starts, feels tight and lets go.
    Example:
        >>> from bomcheck.notation import read_thread
        >>> stud_and_nut(read_thread("M12x1.5"), read_thread("M12x1.25")).same
        False

    Remedy:
        Nuts of the stud's thread.
    Source:
        common practice, no source
    """
    return compare_threads(hub_stud_thread, nut_thread, "stud", "nut", ("hub_stud_thread", "nut_thread"))


def remedy(name: str) -> Remedy:
    """The remedy of a check of the wheel's joint, by its name."""
    hub = (
        "hub_bolt_circle", "hub_fixing", "hub_stud_thread", "hub_flange_thickness", "hub_stud_knurl_diameter", *SEATS,
        "nut_material",
    )  # fmt: skip
    if name in ("bolt_engagement", "bolt_bottoms"):
        return Remedy(_other_bolts, (*PASSED, *hub, "hub_thread_depth"), ("wheel_bolt_length",), (PARTS, NO))
    if name == "closed_nut_bottoms":
        return Remedy(_open_nuts, hub, ("nut_closed",))
    return Remedy(
        _longer_studs, (*PASSED, *hub, "hub_stud_length", "nut_thread_depth"), ("hub_stud_length", "nut_thread_depth")
    )


def _passed(reading: Reading) -> tuple[float, float]:
    """(thickness, ±) of all that stands between hub face and nut."""
    return sum(reading.number(key) for key in PASSED), sum(reading.sizes.half(key) for key in PASSED)


def _longer_studs(reading: Reading) -> Cure:
    (free, slack), wanted = (
        _passed(reading),
        reading.number("stud_diameter") * ((reading.limit.low or 0.0) if reading.limit else 1.0),
    )
    demands, changes, texts = [], {}, []
    if reading.number("hub_stud_length") - reading.sizes.half("hub_stud_length") - free - slack < wanted:
        length = float(ceil(free + slack + wanted)) + 1.0
        demands.append(_studs(reading, length, wanted, free))
        changes["hub_stud_length"] = (length, NEW_THREAD)
        texts.append(f"Fit longer studs with at least {mm(length, 0)} of thread from the hub face")
    if reading.number("nut_thread_depth") - reading.sizes.half("nut_thread_depth") < wanted:
        depth = float(ceil(wanted + NEW_THREAD))
        demands.append(wheel_nuts(reading, f"wheel nuts with at least {mm(depth, 0)} of thread", length=(depth, None)))
        changes["nut_thread_depth"] = (depth, NEW_THREAD)
        texts.append(f"Use wheel nuts with at least {mm(depth, 0)} of thread")
    return Cure(PARTS, "; ".join(texts), tuple(demands), changes)


def _studs(reading: Reading, length: float, wanted: float, free: float) -> Demand:
    """Studs by their catalogue length, which counts from under the head: through the hub's flange and on."""
    stud, circle = reading.sizes["hub_stud_thread"], reading.sizes["hub_bolt_circle"]
    spec: dict[str, Any] = {"thread": stud.name}
    said = f"wheel studs {stud.name}, at least {mm(length, 0)} of thread from the hub face"
    asked = [key for key in ("hub_flange_thickness", "hub_stud_knurl_diameter") if not reading.sizes.has(key)]
    if "hub_flange_thickness" not in asked:
        through = reading.number("hub_flange_thickness") + reading.sizes.half("hub_flange_thickness")
        spec["length"] = (length + through, None)
        said += f", {mm(length + through, 0)} under the head"
    if "hub_stud_knurl_diameter" not in asked:
        knurl = reading.number("hub_stud_knurl_diameter")
        spec["outer_diameter"] = (knurl - 0.05, knurl + 0.1)
        said += f", knurl {mm(knurl, 2)}"
    reason = (
        f"the stud shows {mm(reading.number('hub_stud_length') - free, 1)} beyond the wheel, {mm(wanted, 1)} are needed"
    )
    rest: dict[str, Any] = {"spec": spec, "one_time": True, "reason": reason, "used_at": "hub", "said": said}
    if asked:
        return Asked("wheel stud", circle.count, ask=" ".join(fields()[key].question for key in asked), **rest)
    return Demand("wheel stud", circle.count, **rest)


def _open_nuts(reading: Reading) -> Cure:
    nuts = wheel_nuts(reading, "open wheel nuts, so that the stud may pass through", form="open")
    return Cure(PARTS, "Use open wheel nuts, or closed ones with a deeper thread", (nuts,), {"nut_closed": ("no", 0.0)})


def _other_bolts(reading: Reading) -> Cure:
    (free, slack), job = _passed(reading), reading.sizes.job
    wanted = reading.number("stud_diameter") * (limit_for("stud_engagement_steel", job).low or 0.0)
    depth = reading.number("hub_thread_depth") - reading.sizes.half("hub_thread_depth")
    if depth < wanted:
        return no_cure(NO, "The hub's own thread is too short for any bolt: have the hub looked at")
    low = float(ceil(free + slack + wanted))
    high = float(floor(free - slack + depth - (limit_for("wheel_bolt_bottoming", job).low or 0.0)))
    if low > high:  # no length is right for every size inside the ±
        text = f"Choose the wheel bolts on the car: at least {mm(wanted, 0)} in the hub, clear of its bottom"
        bolts = wheel_nuts(reading, "wheel bolts, their length chosen on the car", length=None)
        return Cure(PARTS, text, (Asked(**vars(bolts), ask=f"{text}."),))
    said = f"wheel bolts with {mm_range(low, high, 0)} of thread beyond the seat"
    return Cure(
        PARTS, f"Use {said}", (wheel_nuts(reading, said, length=(low, high)),), {"wheel_bolt_length": (low, 0.0)}
    )


def _seated_nuts(reading: Reading) -> Cure:
    seat = reading.sizes["wheel_seat"]
    size = SEAT_SIZES.get(seat, "")
    key = f"wheel_seat_{size}"
    wanted = reading.number(key) if size and reading.sizes.has(key) else None
    unit = {"radius": " mm", "angle": "°"}.get(size, "")
    said = f"with a {seat} seat" + (f", {size} {wanted:g}{unit}" if wanted is not None else "")
    changes: dict[str, tuple[Any, float]] = {"nut_seat": (seat, 0.0)}
    if wanted is not None:
        changes[f"nut_seat_{size}"] = (wanted, 0.0)
    return Cure(PARTS, f"Order wheel nuts or bolts {said}", (wheel_nuts(reading, said),), changes)


SEAT_REMEDY = Remedy(
    _seated_nuts, (*SEATS, "hub_bolt_circle", "hub_fixing", "hub_stud_thread", "nut_material", "wheel_bolt_length"),
    ("nut_seat", "nut_seat_radius", "nut_seat_angle"),
)  # fmt: skip


@match(remedy=SEAT_REMEDY)
def nut_seat_matches(
    nut_seat: str, wheel_seat: str, nut_seat_radius: float | None = None, wheel_seat_radius: float | None = None,
    nut_seat_angle: float | None = None, wheel_seat_angle: float | None = None,
) -> Match:  # fmt: skip
    """Nut seat in the wheel

    Must be true:
        The nut or bolt has the seat that the wheel has: cone of the same angle, ball of the same radius, or flat.
    Why:
        A cone in a ball seat, or a ball of another radius, touches on a line, wears and comes loose.
    Example:
        >>> nut_seat_matches("cone", "ball").same
        False

    Remedy:
        Nuts or bolts with the wheel's seat.
    Source:
        common practice, no source
    """
    said = f"nut: {nut_seat}, wheel: {wheel_seat}"
    if nut_seat != wheel_seat or nut_seat == "flat":
        return Match(nut_seat == wheel_seat, said)
    size, unit = ("radius", " mm") if nut_seat == "ball" else ("angle", "°")
    pair = (nut_seat_radius, wheel_seat_radius) if size == "radius" else (nut_seat_angle, wheel_seat_angle)
    blank = tuple(f"{whose}_seat_{size}" for whose, one in zip(("nut", "wheel"), pair, strict=True) if one is None)
    if blank:
        return Match(None, f"{said}; the {size} is not stated, and it is not assumed", blank)
    return Match(pair[0] == pair[1], f"{said}; {size} {pair[0]:g}{unit} and {pair[1]:g}{unit}")


def _slim_nuts(reading: Reading) -> Cure:
    room = (reading.limit.low or 0.0) if reading.limit else 0.0
    largest = reading.number("wheel_hole_diameter") - reading.sizes.half("wheel_hole_diameter") - room
    nuts = wheel_nuts(reading, f"with a shank of at most {mm(largest, 1)}", outer_diameter=(None, largest))
    changes = {"nut_shank_diameter": (largest, 0.0)}
    return Cure(PARTS, f"Use wheel nuts with a shank of at most {mm(largest, 1)}", (nuts,), changes)


@check(limit="nut_shank_clearance", requires=("nut_shank_diameter",), remedy=_slim_nuts)
def nut_shank_enters(wheel_hole_diameter: Any, nut_shank_diameter: Any) -> Any:
    """Nut shank in the wheel's hole

    Must be true:
        Where the nut has a shank, it enters the wheel's hole.
    Why:
        A shank that stands on the wheel holds the seat off.
    Example:
        >>> nut_shank_enters(16.0, 15.5)
        0.5

    Remedy:
        Nuts with a thinner shank.
    Source:
        common practice, no source
    """
    return wheel_hole_diameter - nut_shank_diameter


def _centre_on_pilot(reading: Reading) -> Cure:
    text = "Nothing centres the wheel: centre it on the hub's pilot, with a ring if its bore is larger, or use nuts with a fitting shank"
    return Cure(PARTS, text, changes={"wheel_centring": ("pilot", 0.0)})


@match(when={"wheel_centring": "nuts"}, remedy=_centre_on_pilot)
def something_centres_wheel(nut_seat: str, nut_shank_diameter: Any = None) -> Match:
    """Wheel centred by its nuts

    Must be true:
        Nuts that centre a wheel have cone or ball seats, or a shank that fills the wheel's holes.
    Why:
        Flat nuts hold the wheel wherever it happens to hang: it shakes, and its studs are bent to and fro.
    Example:
        >>> something_centres_wheel("flat").same
        False

    Remedy:
        A ring on the hub's pilot, or nuts with a fitting shank.
    Source:
        common practice, no source
    """
    if nut_seat != "flat":
        return Match(True, f"nuts with {nut_seat} seats")
    shank = nut_shank_diameter is not None
    return Match(shank, f"flat nuts {'with a shank' if shank else 'without a shank: nothing centres the wheel'}")


@check(
    limit="nut_shank_play",
    when={"wheel_centring": "nuts", "nut_seat": "flat"},
    requires=("nut_shank_diameter",),
    remedy=_centre_on_pilot,
)
def shank_centres_wheel(wheel_hole_diameter: Any, nut_shank_diameter: Any) -> Any:
    """Nut shank centring the wheel

    Must be true:
        Flat nuts that centre a wheel have shanks that fill its holes.
    Why:
        With play round the shanks the wheel hangs off centre and shakes.
    Example:
        >>> shank_centres_wheel(16.0, 15.75)
        0.25

    Remedy:
        A ring on the hub's pilot, or nuts with a fitting shank.
    Source:
        common practice, no source
    """
    return wheel_hole_diameter - nut_shank_diameter
