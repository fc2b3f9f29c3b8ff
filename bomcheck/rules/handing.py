"""Left and right: vanes that pump outward, bleed screws that stand uppermost."""

from bomcheck.model.rule import Cure, Match, Reading, match
from bomcheck.model.verdict import Verdict


def _one_of_each(reading: Reading) -> Cure:
    lefts, rights, _ = reading.sizes["rotors_in_box"]
    one, side = reading.known("corners") in (None, 1), reading.known("corner_side")
    lacking = side if one and side in ("left", "right") else "right" if lefts > rights else "left"
    return Cure(Verdict.FITS_WITH_PARTS, f"Exchange one rotor: the {lacking} one is missing")


@match(when={"rotor_vanes": "directional"}, requires=("rotors_in_box",), remedy=_one_of_each)
def rotors_handed(
    rotor_vanes: str, rotors_in_box: tuple[int, int, int], corner_side: str | None = None, corners: int | None = None
) -> Match:
    """One left and one right rotor

    Must be true:
        Rotors with directional vanes come as one left and one right, and each goes on its own side; one corner in scope
        takes one rotor of its own side.
    Why:
        Vanes that run backward pump no air and the rotor overheats.
    Example:
        >>> rotors_handed("directional", (2, 0, 0)).same
        False

    Remedy:
        Exchanging the wrong one.
    Source:
        common practice, no source
    """
    lefts, rights, either = rotors_in_box
    said = f"{lefts} left and {rights} right in the box" + (f", {either} without a side" if either else "")
    if either:
        return Match(
            None, said, ("rotor_vanes",), "State in Box contents which rotor is the left and which the right one"
        )
    if corners == 1 and corner_side is None:
        return Match(None, said, ("corner_side",))
    if corners in (None, 1) and corner_side in ("left", "right"):
        own = lefts if corner_side == "left" else rights
        do = f"The {corner_side} one goes on, on that side only"
        return Match(own >= 1, f"{said}, the {corner_side} corner is in scope", do=do)
    return Match(lefts == rights, said, do="Fit each rotor on its own side, vanes leaning back at the top")


@match(requires=("caliper_position_present",))
def bleed_screw_up(
    caliper_position_present: str, caliper_position_kit: str | None = None, caliper_bores: tuple[float, ...] | None = None,
    corners: int | None = None,
) -> Match:  # fmt: skip
    """Bleed screw uppermost

    Must be true:
        With the caliper where the kit puts it, its bleed screw is the highest point, and of pistons of several sizes the
        smallest stands where the disc enters.
    Why:
        Air that cannot rise to the bleed screw stays in the caliper; pistons the wrong way round wear the pads to a wedge.
    Example:
        >>> bleed_screw_up("ahead", "behind", (40.0, 40.0)).same
        True

    Remedy:
        Swapping the left and right bodies where the caliper moves to the other side of the axle and its pistons are all alike;
        else bodies that are made for that side.
    Source:
        common practice, no source
    """
    words = {"ahead": "caliper ahead of the axle line", "behind": "caliper behind the axle line", "drum": "drum brake"}
    said = f"{words[caliper_position_present]} now, {words.get(caliper_position_kit or '', 'not stated')} with the kit"
    if caliper_position_kit is None and caliper_position_present != "drum":
        return Match(
            True,
            said,
            do="Look where the kit puts the caliper: its bleed screw must stand uppermost, its smallest piston lead",
        )
    if caliper_position_present in (caliper_position_kit, "drum"):
        drum = caliper_position_present == "drum"
        return Match(True, said, do="Check that the bleed screw stands uppermost" if drum else "")
    if corners == 1:
        do = "Ask the kit maker for the other side's body: this corner's has its bleed screw below there"
        return Match(None, said, ("caliper_position_kit",), do)
    if caliper_bores is None or len(set(caliper_bores)) > 1:
        do = "Ask the kit maker for bodies made for that side: swapped ones have their largest piston where the disc enters"
        return Match(None, said, ("caliper_position_kit" if caliper_bores else "caliper_bores",), do)
    do = "Put the left caliper body on the right and the right one on the left: bleed screw uppermost"
    return Match(True, said, do=do)
