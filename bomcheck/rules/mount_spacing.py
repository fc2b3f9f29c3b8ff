"""Two holes against two holes: the spacing at the ears and at the caliper, with the float of the screws in plain holes. Lengths in mm."""

from typing import Any

from bomcheck.model.affine import most
from bomcheck.model.finding import mm
from bomcheck.model.limits import limit_for
from bomcheck.model.rule import Cure, Reading, check, no_cure
from bomcheck.model.verdict import Verdict


def _ream(reading: Reading) -> Cure:
    assert reading.value is not None
    beyond = f"The spacing is {mm(reading.value.middle, 2)} beyond the float"
    if reading.value.middle <= (limit_for("ear_spacing_ream", reading.sizes.job).high or 0.0):
        text = f"{beyond}: ream or slot the holes, only if the kit maker allows it"
        return Cure(Verdict.NEEDS_MACHINING, text)
    return no_cure(Verdict.DOES_NOT_FIT, f"{beyond}: this bracket is not made for this knuckle")


@check(limit="ear_spacing", remedy=_ream)
def ear_spacing_fits(bracket_ear_spacing: Any, ear_spacing: Any, ear_float: Any) -> Any:
    """Ear spacing beyond the float

    Must be true:
        The bracket's holes differ from the ears' by no more than the float of the screws in the plain holes.
    Why:
        Screws that are forced in stand crooked and work loose.
    Example:
        >>> round(ear_spacing_fits(130.2, 130.0, 0.5), 2)
        -0.3

    Remedy:
        Up to 1 mm beyond the float: reaming, if the kit maker allows it. More: another bracket.
    Source:
        common practice, no source
    """
    return most(bracket_ear_spacing - ear_spacing, ear_spacing - bracket_ear_spacing) - ear_float


def _other_bracket(reading: Reading) -> Cure:
    return no_cure(Verdict.DOES_NOT_FIT, "Bracket and caliper do not belong together: ask the kit maker")


@check(limit="caliper_spacing", remedy=_other_bracket)
def caliper_spacing_fits(bracket_caliper_spacing: Any, caliper_mount_spacing: Any, caliper_float: Any) -> Any:
    """Caliper mount spacing beyond the float

    Must be true:
        The caliper's holes differ from the bracket's by no more than the float of the screws in the plain holes.
    Why:
        A caliper that is forced over its studs stands crooked.
    Example:
        >>> round(caliper_spacing_fits(130.2, 130.0, 0.5), 2)
        -0.3

    Remedy:
        None: bracket and caliper do not belong together.
    Source:
        common practice, no source
    """
    off = most(bracket_caliper_spacing - caliper_mount_spacing, caliper_mount_spacing - bracket_caliper_spacing)
    return off - caliper_float
