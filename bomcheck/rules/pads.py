"""The pads: their shape in the caliper, and whether the compound suits what the car is used for."""

from bomcheck.model.demand import Demand
from bomcheck.model.rule import Cure, Match, Reading, match
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
    return Cure(Verdict.FITS_WITH_PARTS, f"Order {said}", (pads,), {"pad_shape": (shape, 0.0)})


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
    duty = reading.sizes["duty"]
    said = f"pads of a compound for {duty} use"
    changes = {"pad_duty": ((duty,), 0.0)}
    return Cure(
        Verdict.FITS_WITH_PARTS,
        f"Order {said}; keep the pads of the kit for what they are made for",
        (_pads(reading, said, duty=duty),),
        changes,
    )


@match(remedy=_duty_cure)
def pad_compound_suits(pad_duty: tuple[str, ...], duty: str) -> Match:
    """Pad compound against duty

    Must be true:
        The compound is meant for what the car is used for.
    Why:
        A race pad does not bite cold and wears the rotor on the road; a road pad fades on a track.
    Example:
        >>> pad_compound_suits(("race",), "road").same
        False

    Remedy:
        Pads of a compound for this duty.
    Source:
        common practice, no source
    """
    return Match(duty in pad_duty, f"pads are meant for {' and '.join(pad_duty)}, the car is used for {duty}")
