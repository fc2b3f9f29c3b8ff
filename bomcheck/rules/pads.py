"""The pads: their shape in the caliper, and whether the compound suits what the car is used for."""

from typing import Any

from bomcheck.model.demand import Demand
from bomcheck.model.finding import mm
from bomcheck.model.rule import Cure, Match, Reading, check, match, no_cure
from bomcheck.model.verdict import Verdict


def _pads(reading: Reading, said: str, **spec: str) -> Demand:
    shape = reading.known("caliper_pad_shape") or reading.known("pad_shape")
    full = {**({"shape": shape} if shape else {}), **spec}
    return Demand(
        "pad set", 1, per="axle", unit="set", spec=full, one_time=True, reason=said, used_at="caliper", said=said
    )


def _shape_cure(reading: Reading) -> Cure:
    shape = reading.sizes["caliper_pad_shape"]
    duty = reading.known("duty")
    said = f"pads of shape {shape}" + (f" for {duty} use" if duty else "")
    pads = _pads(reading, said, **({"duty": duty} if duty else {}))
    return Cure(Verdict.FITS_WITH_PARTS, f"Use {said}", (pads,), {"pad_shape": (shape, 0.0)})


@match(remedy=_shape_cure)
def pad_shape_matches(pad_shape: str, caliper_pad_shape: str) -> Match:
    """Pad shape

    Must be true:
        The pads have the shape that the caliper takes.
    Why:
        A pad of another shape does not go in, or does not slide.
    Example:
        >>> pad_shape_matches("P-31", "p-31").same
        True

    Remedy:
        Pads of the caliper's shape.
    Source:
        common practice, no source
    """
    same = pad_shape.strip().casefold() == caliper_pad_shape.strip().casefold()
    return Match(same, f"pads: {pad_shape}, caliper takes: {caliper_pad_shape}")


def _duty_cure(reading: Reading) -> Cure:
    duty, meant = reading.sizes["duty"], reading.sizes["pad_duty"]
    said = f"pads of a compound for {duty} use"
    text = f"Use {said}; keep the pads of the kit for what they are made for"
    return Cure(Verdict.FITS_WITH_PARTS, text, (_pads(reading, said, duty=duty),), {"pad_duty": ((*meant, duty), 0.0)})


@match(remedy=_duty_cure)
def pad_compound_suits(pad_duty: tuple[str, ...], duty: str, road_use: str | None = None) -> Match:
    """Pad compound against duty

    Must be true:
        The compound is meant for what the car is used for, and none for track or race alone is driven on public roads.
    Why:
        A race pad does not bite cold and wears the rotor on the road; a road pad fades on a track. A car that is raced and driven on
        the road takes pads that are made for both, or two sets that are changed.
    Example:
        >>> pad_compound_suits(("race",), "road").same
        False

    Remedy:
        Pads of a compound for this duty.
    Source:
        common practice, no source
    """
    roads = road_use == "yes"
    cold, both = roads and not {"road", "fast road"} & set(pad_duty), roads and duty in ("track", "race")
    said = f"pads are meant for {' and '.join(pad_duty)}, the car is used for {duty}"
    said += " and on public roads" if cold or both else ""
    if both and (cold or duty not in pad_duty):
        do = "Agree with the customer on two sets of pads, changed at the track, and type the duty for the set that is fitted now"
        return Match(None, said, ("duty",), do)
    if road_use is None and duty in pad_duty and not {"road", "fast road"} & set(pad_duty):
        return Match(None, f"{said}; whether on public roads, too, is blank", ("road_use",))
    return Match(duty in pad_duty and not cold, said)


def _worn_too_far(reading: Reading) -> Cure:
    least = mm(reading.limit.low or 0.0, 1) if reading.limit else ""
    text = f"Change the pads at {least} of lining at the latest: ask the kit maker for the wear limit and type it"
    return no_cure(Verdict.DOES_NOT_FIT, text)


@check(limit="pad_lining", remedy=_worn_too_far)
def lining_at_wear_limit(pad_min_lining: Any) -> Any:
    """Lining left at the wear limit

    Must be true:
        Where the pads must be changed there is still lining on their backing plates.
    Why:
        Rivets or backing plates rub on the rotor, and a thin lining lets its heat through to the fluid.
    Example:
        >>> lining_at_wear_limit(2.0)
        2.0

    Remedy:
        None: another wear limit, as the kit maker gives it.
    Source:
        49 CFR 393.47(d), 1.6 mm on a hydraulic disc brake
    """
    return pad_min_lining


def shield_away(reading: Reading, cut: str, reason: str, **changes: Any) -> Cure:
    """A dust shield that is taken off, or cut where it cannot be."""
    what = "Take the dust shield off" if reading.known("shield") == "removable" else cut
    said = f"{what[:1].lower()}{what[1:]}"
    labour = Demand("labour", 0.5, unit="hour", reason=reason, used_at="dust shield", said=said)
    text = f"{what}; make sure that the sensor lead and the knuckle stay covered"
    return Cure(Verdict.FITS_WITH_PARTS, text, (labour,), changes)


def _cut_shield(reading: Reading) -> Cure:
    cut, reason = "Cut the dust shield out where the caliper stands", "the dust shield stands where the caliper goes"
    return shield_away(reading, cut, reason, shield_window=("yes", 0.0))


@match(when={"shield": ("fixed", "removable")}, remedy=_cut_shield)
def shield_lets_caliper_in(shield_window: str) -> Match:
    """Dust shield round the caliper

    Must be true:
        The dust shield is open where the caliper and its pads stand.
    Why:
        A caliper does not go on through sheet metal; one that is forced in bends the shield onto the rotor.
    Example:
        >>> shield_lets_caliper_in("yes").same
        True

    Remedy:
        Cutting the shield out, or taking it off.
    Source:
        geometry
    """
    same = shield_window == "yes"
    return Match(same, f"the shield is {'' if same else 'not '}cut out for the caliper")
