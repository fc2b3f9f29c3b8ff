"""Wheel nuts, studs and bolts."""

from typing import Any

from bomcheck.model.affine import least
from bomcheck.model.demand import Demand
from bomcheck.model.finding import mm, mm_range
from bomcheck.model.rule import Cure, Match, Reading, check, match, no_cure
from bomcheck.model.types import BoltCircle, Thread
from bomcheck.model.verdict import Verdict
from bomcheck.rules.threads import compare_threads

PARTS, MACHINE, NO = Verdict.FITS_WITH_PARTS, Verdict.NEEDS_MACHINING, Verdict.DOES_NOT_FIT


def wheel_nuts(reading: Reading, said: str, **spec: Any) -> Demand:
    """The nuts, or bolts, of one wheel on the hub's circle; spec: what they must be beside their thread."""
    circle: BoltCircle = reading.sizes["hub_bolt_circle"]
    role = "wheel bolt" if reading.known("hub_fixing") == "bolt" else "wheel nut"
    stud: Thread | None = reading.known("hub_stud_thread")
    known = {"thread": stud.name} if stud is not None else {}
    return Demand(role, circle.count, spec={**known, **spec}, reason=said, used_at="wheel", said=said)


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


def _longer_studs(reading: Reading) -> Cure:
    diameter = reading.number("stud_diameter")
    free = (
        reading.number("hat_flange_thickness")
        + reading.number("wheel_spacer_thickness_now")
        + reading.number("wheel_seat_depth")
    )
    assert reading.limit is not None
    assert reading.limit.low is not None
    wanted = reading.limit.low * diameter
    demands, changes, texts = [], {}, []
    slack = sum(
        reading.sizes.half(k) for k in ("hat_flange_thickness", "wheel_spacer_thickness_now", "wheel_seat_depth")
    )
    if reading.number("hub_stud_length") - reading.sizes.half("hub_stud_length") - free - slack < wanted:
        length = float(-int(-(free + slack + wanted) // 1)) + 1.0
        circle, stud = reading.sizes["hub_bolt_circle"], reading.sizes["hub_stud_thread"]
        reason = f"the stud shows {mm(reading.number('hub_stud_length') - free, 1)} beyond the wheel, {mm(wanted, 1)} are needed"
        said = f"wheel studs {stud.name}, at least {mm(length, 0)} of thread from the hub face"
        demands.append(Demand("wheel stud", circle.count, spec={"thread": stud.name, "length": (length, None)},
                              one_time=True, reason=reason, used_at="hub", said=said))  # fmt: skip
        changes["hub_stud_length"] = (length, 0.0)
        texts.append(f"Fit longer studs, {stud.name} with at least {mm(length, 0)} of thread from the hub face")
    if reading.number("nut_thread_depth") - reading.sizes.half("nut_thread_depth") < wanted:
        depth = float(-int(-wanted // 1))
        said = f"wheel nuts with at least {mm(depth, 0)} of thread"
        demands.append(wheel_nuts(reading, said, length=(depth, None)))
        changes["nut_thread_depth"] = (depth, 0.0)
        texts.append(f"Use wheel nuts with at least {mm(depth, 0)} of thread")
    return Cure(PARTS, "; ".join(texts), tuple(demands), changes)


@check(
    limit={"steel": "stud_engagement_steel", "aluminium": "stud_engagement_aluminium"}, limit_by="nut_material",
    unit="x diameter", when={"hub_fixing": "stud"}, remedy=_longer_studs,
)  # fmt: skip
def stud_engagement(
    hub_stud_length: Any, hat_flange_thickness: Any, wheel_spacer_thickness_now: Any, wheel_seat_depth: Any,
    nut_thread_depth: Any, stud_diameter: float,
) -> Any:  # fmt: skip
    """Thread in the wheel nut

    Must be true:
        Enough of the stud's thread stands in the wheel nut, behind hat, spacer and wheel.
    Why:
        A thicker hat eats stud. A nut on too few turns strips, or comes off.
    Example:
        >>> round(stud_engagement(45.0, 8.0, 0.0, 12.0, 25.0, 12.0), 3)
        2.083

    Remedy:
        Longer studs; nuts with more thread where the nut is the short one.
    Source:
        common practice, no source: one diameter in a steel nut, one and a half in an aluminium one
    """
    shown = hub_stud_length - hat_flange_thickness - wheel_spacer_thickness_now - wheel_seat_depth
    return least(shown, nut_thread_depth) / stud_diameter


def _open_nuts(reading: Reading) -> Cure:
    nuts = wheel_nuts(reading, "open wheel nuts, so that the stud may pass through")
    return Cure(PARTS, "Use open wheel nuts, or closed ones with a deeper thread", (nuts,), {"nut_closed": ("no", 0.0)})


@check(limit="nut_bottoming", when={"hub_fixing": "stud", "nut_closed": "yes"}, remedy=_open_nuts)
def closed_nut_bottoms(
    nut_thread_depth: Any,
    hub_stud_length: Any,
    hat_flange_thickness: Any,
    wheel_spacer_thickness_now: Any,
    wheel_seat_depth: Any,
) -> Any:
    """Closed nut before it bottoms

    Must be true:
        A closed wheel nut clamps the wheel before it meets the end of the stud.
    Why:
        A nut that bottoms feels tight and leaves the wheel loose.
    Example:
        >>> closed_nut_bottoms(30.0, 45.0, 8.0, 0.0, 12.0)
        5.0

    Remedy:
        Open or deeper nuts.
    Source:
        common practice, no source
    """
    return nut_thread_depth - (hub_stud_length - hat_flange_thickness - wheel_spacer_thickness_now - wheel_seat_depth)


def _seated_nuts(reading: Reading) -> Cure:
    seat = reading.sizes["wheel_seat"]
    return Cure(
        PARTS,
        f"Order wheel nuts or bolts with a {seat} seat",
        (wheel_nuts(reading, f"with a {seat} seat", seat=seat),),
        {"nut_seat": (seat, 0.0)},
    )


@match(remedy=_seated_nuts)
def nut_seat_matches(nut_seat: str, wheel_seat: str) -> Match:
    """Nut seat in the wheel

    Must be true:
        The nut or bolt has the seat that the wheel has: cone, ball or flat.
    Why:
        A cone in a ball seat touches on a line, wears and comes loose.
    Example:
        >>> nut_seat_matches("cone", "ball").same
        False

    Remedy:
        Nuts or bolts with the wheel's seat.
    Source:
        common practice, no source
    """
    return Match(nut_seat == wheel_seat, f"nut: {nut_seat}, wheel: {wheel_seat}")


def _slim_nuts(reading: Reading) -> Cure:
    largest = reading.number("wheel_hole_diameter") - 0.2
    nuts = wheel_nuts(reading, f"with a shank of at most {mm(largest, 1)}", outer_diameter=(None, largest))
    return Cure(PARTS, f"Use wheel nuts with a shank of at most {mm(largest, 1)}", (nuts,))


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


def _longer_bolts(reading: Reading) -> Cure:
    free = (
        reading.number("hat_flange_thickness")
        + reading.number("wheel_spacer_thickness_now")
        + reading.number("wheel_seat_depth")
    )
    slack = sum(
        reading.sizes.half(k) for k in ("hat_flange_thickness", "wheel_spacer_thickness_now", "wheel_seat_depth")
    )
    low = float(-int(-(free + slack + reading.number("stud_diameter")) // 1))
    depth = reading.number("hub_thread_depth") - reading.sizes.half("hub_thread_depth")
    if depth < reading.number("stud_diameter"):
        return no_cure(NO, "The hub's own thread is too short for any bolt: have the hub looked at")
    high = float(int(free - slack + depth))
    if low > high:  # no length is right for every size inside the ±
        said = "wheel bolts, their length chosen on the car"
        text = f"Choose the wheel bolts on the car: at least {mm(reading.number('stud_diameter'), 0)} in the hub, clear of its bottom"
        return Cure(PARTS, text, (wheel_nuts(reading, said),))
    bolts = wheel_nuts(
        reading, f"wheel bolts with {mm_range(low, high, 0)} of thread beyond the seat", length=(low, high)
    )
    return Cure(
        PARTS,
        f"Use wheel bolts with {mm_range(low, high, 0)} of thread beyond the seat",
        (bolts,),
        {"wheel_bolt_length": (low, 0.0)},
    )


@check(limit="stud_engagement_steel", unit="x diameter", when={"hub_fixing": "bolt"}, remedy=_longer_bolts)
def bolt_engagement(
    wheel_bolt_length: Any, hat_flange_thickness: Any, wheel_spacer_thickness_now: Any, wheel_seat_depth: Any,
    hub_thread_depth: Any, stud_diameter: float,
) -> Any:  # fmt: skip
    """Wheel bolt in the hub's thread

    Must be true:
        Enough of the wheel bolt's thread stands in the hub, behind wheel, spacer and hat.
    Why:
        A thicker hat eats thread. A bolt on too few turns strips, or comes out.
    Example:
        >>> bolt_engagement(40.0, 8.0, 0.0, 12.0, 18.0, 12.0)
        1.5

    Remedy:
        Longer wheel bolts, as far as the hub's thread is deep.
    Source:
        common practice, no source
    """
    inside = wheel_bolt_length - hat_flange_thickness - wheel_spacer_thickness_now - wheel_seat_depth
    return least(inside, hub_thread_depth) / stud_diameter


@check(limit="wheel_bolt_bottoming", when={"hub_fixing": "bolt"}, remedy=_longer_bolts)
def bolt_bottoms(
    hub_thread_depth: Any,
    wheel_bolt_length: Any,
    hat_flange_thickness: Any,
    wheel_spacer_thickness_now: Any,
    wheel_seat_depth: Any,
) -> Any:
    """Wheel bolt before it bottoms

    Must be true:
        The wheel bolt clamps the wheel before it reaches the end of the hub's thread.
    Why:
        A bolt that bottoms, or reaches what turns behind the hub, leaves the wheel loose.
    Example:
        >>> bolt_bottoms(25.0, 40.0, 8.0, 0.0, 12.0)
        5.0

    Remedy:
        Shorter wheel bolts.
    Source:
        common practice, no source
    """
    return hub_thread_depth - (wheel_bolt_length - hat_flange_thickness - wheel_spacer_thickness_now - wheel_seat_depth)
