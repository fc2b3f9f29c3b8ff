"""Across the car: caliper centre against rotor centre, the slot, and the room for pads. + is inboard; lengths in mm."""

from collections.abc import Mapping
from typing import Any

from bomcheck.model.demand import Demand
from bomcheck.model.finding import mm
from bomcheck.model.rule import Check, Cure, Reading, check, never, no_cure, write_down
from bomcheck.model.verdict import Verdict
from bomcheck.tables import page

PARTS, MACHINE, NO = Verdict.FITS_WITH_PARTS, Verdict.NEEDS_MACHINING, Verdict.DOES_NOT_FIT
SHIMS_MAKE_UP = 1.0  # mm that a spacer leaves to the shims, so that they adjust both ways: common practice, no source
THICKEST, DEEPEST = 25.0, 10.0  # mm of a spacer, and of metal off a face: common practice, no source
FAR_OFF = (
    "The caliper sits {} off, more than spacers or facing make up: check the signs of bracket offset and ear face position "
    "(+ is inboard), or ask the kit maker which bracket belongs here"
)
_thinner_pads = never("New pads do not go in over this rotor: ask the kit maker for pads that are made for it")
_piston_falls_out = never("At the wear limits the pistons come out too far: ask the kit maker for the limits to keep")


def _centre(reading: Reading) -> Cure:
    assert reading.value is not None
    off, push = reading.value.middle, reading.number("shim_direction")
    if off * push < 0:  # shims push the right way, only not far enough
        return _spacer(reading, off, push)
    if abs(off) > DEEPEST:
        return no_cure(NO, FAR_OFF.format(mm(abs(off), 1)))
    side = "inboard" if off > 0 else "outboard"
    text = f"Shims cannot cure this: they push the caliper {'inboard' if push > 0 else 'outboard'} and it already sits {mm(abs(off), 2)} too far {side}. Have {mm(abs(off), 2)} taken off the bracket's face, or ask the kit maker"
    return Cure(MACHINE, text, changes=_faced(reading, off))


def _faced(reading: Reading, off: float) -> dict[str, tuple[Any, float]]:
    """The bracket with metal off its ear face: it moves, and its boss, its screw's grip and its thread lose what was cut."""
    changes: dict[str, tuple[Any, float]] = {"bracket_offset": (reading.number("bracket_offset") - off, 0.05)}
    if reading.sizes.has("bracket_ear_thickness"):
        thinner = reading.number("bracket_ear_thickness") - abs(off)
        changes["bracket_ear_thickness"] = (thinner, reading.sizes.half("bracket_ear_thickness") + 0.05)
    if reading.known("bracket_screw_into") == "bracket" and reading.sizes.has("depth_at_ear"):
        shallower = reading.number("depth_at_ear") - abs(off)
        changes["bracket_ear_thread_depth"] = (shallower, reading.sizes.half("depth_at_ear") + 0.05)
    return changes


def _spacer(reading: Reading, off: float, push: float) -> Cure:
    """A spacer at the joint where the shims lie, thinner than the need by what a shim or two then makes up."""
    thick = abs(off) - min(SHIMS_MAKE_UP, reading.known("shim_stack_max_axial", SHIMS_MAKE_UP))
    if thick > THICKEST:
        return no_cure(NO, FAR_OFF.format(mm(abs(off), 1)))
    at_ear = reading.known("axial_shim_joint") == "ear"
    place = "ear and bracket" if at_ear else "bracket and caliper lug"
    there = reading.number("spacer_at_ear" if at_ear else "spacer_at_caliper")
    whole, instead = thick + there, f", in place of the one of {mm(there, 2)}" if there else ""
    spacer = Demand(
        "bracket spacer", 2, reason=f"the caliper sits {mm(abs(off), 2)} from the rotor's centre, more than shims may fill",
        used_at="bracket to ear" if at_ear else "caliper to bracket", spec={"thickness": (whole - 0.5, whole + 0.5)},
        said=f"spacer {mm(whole, 2)} thick between {place}, with screws to suit",
    )  # fmt: skip
    changes = {
        "bracket_offset": (reading.number("bracket_offset") + push * thick, reading.sizes.half("bracket_offset"))
    }
    changes["bracket_spacer_thickness" if at_ear else "caliper_spacer_thickness"] = (whole, 0.05)
    text = f"Fit a spacer of {mm(whole, 2)} between {place}{instead}; shims alone are too thin, they make up the rest"
    return Cure(PARTS, text, (spacer,), changes)


@check(
    limit={"fixed": "axial_error_fixed", "sliding": "axial_error_sliding"},
    limit_by="caliper_build", stack="axial", target=0.0, remedy=_centre,
)  # fmt: skip
def caliper_centred(
    ear_face_position: Any, bracket_offset: Any, shim_direction: float, axial_shim_stack: Any, rotor_plane: Any
) -> Any:
    """Caliper centred on the rotor

    Must be true:
        The caliper's centre plane lies on the rotor's, with shims where they are needed.
    Why:
        A rotor off centre wears one pad first and may touch the caliper when it is hot.
    Example:
        >>> round(caliper_centred(40.0, 7.0, -1.0, 1.6, 45.0), 2)
        0.4

    Remedy:
        Shims, where they push the right way; a spacer where they get too thick; metal off the bracket otherwise.
    Source:
        common practice, no source
    """
    return ear_face_position + bracket_offset + axial_shim_stack * shim_direction - rotor_plane


@check(limit="new_pads", remedy=_thinner_pads)
def new_pads_go_in(caliper_piston_gap: Any, rotor_thickness: Any, pad_thickness: Any) -> Any:
    """New pads go in

    Must be true:
        With the pistons home, two new pads and the rotor find room between them.
    Why:
        Pads that must be forced in drag from the first metre.
    Example:
        >>> round(new_pads_go_in(66.0, 32.0, 16.5), 2)
        1.0

    Remedy:
        None: other pads.
    Source:
        common practice, no source
    """
    return caliper_piston_gap - rotor_thickness - 2 * pad_thickness


HOME = ("caliper_piston_stroke", "caliper_piston_gap", "rotor_min_thickness", "pad_backing_thickness")


def _reserve(sizes: Mapping[str, Any], sides: int) -> Any:
    """Stroke less what rotor and pads lose in wear, which the pistons of so many sides share [mm]."""
    stroke, gap, rotor, *pads = (sizes[key] for key in (*HOME, "pad_min_lining") if key in sizes)
    out = gap - rotor
    for thickness in pads:
        out = out - 2 * thickness
    return stroke - (out / sides if sides > 1 else out)


BUILDS = (
    ("fixed", 2, (20.0, 66.0, 30.0, 6.0, 2.0), ("each piston", "")),
    ("sliding", 1, (30.0, 60.0, 24.0, 6.0, 2.0), ("the piston, which takes up both sides' wear,", ", sliding caliper")),
)
"""Build, sides that share the wear, sizes of the example, who has the travel."""


def _write_travel(name: str, limit: str, keys: tuple[str, ...], title: str, true: str, **words: str) -> None:
    """A check of the pistons' travel, of fixed calipers and of sliding ones, whose piston takes up both sides' wear."""
    for build, sides, shown, who in BUILDS:

        def reserve(sides: int = sides, **sizes: Any) -> Any:
            return _reserve(sizes, sides)

        own = name if build == "fixed" else f"sliding_{name}"
        example: dict[str, Any] = dict(zip(keys, shown, strict=False))
        reserve.__doc__ = page("piston travel").format(
            title=title + who[1], true=true.format(who=who[0]), name=own, sizes=tuple(example.values()), value=reserve(**example), **words
        )  # fmt: skip
        when = {"caliper_build": (build,)}
        write_down(Check(own, title + who[1], "axial", reserve, "range", limit, when=when, parameters=keys, remedy=_piston_falls_out))  # fmt: skip


_write_travel(
    "piston_travel_worn", "worn_travel", (*HOME, "pad_min_lining"), "Piston travel at the wear limits",
    "With rotor and pads worn to their limits {who} has travel in reserve.",
    why="A piston that leaves its seal loses the fluid at once.", source="common practice, no source",
)  # fmt: skip
_write_travel(
    "pistons_stay_in", "bore_travel", HOME, "Pistons in their bores, lining gone",
    "Even with the lining gone down to the backing plates {who} stays in its bore.",
    why="A neglected pad must cost a rotor, not the pedal.", source="geometry",
)  # fmt: skip
