"""Checks, bleeding, bedding, test and cautions: the same for every job but for what this one has."""

from collections.abc import Iterator
from dataclasses import dataclass

from bomcheck.car.scene import BAD, GOOD, LOOK, UNKNOWN
from bomcheck.model.finding import mm
from bomcheck.model.line import Line
from bomcheck.model.report import Report
from bomcheck.model.verdict import Verdict
from bomcheck.paper import fit_up as words
from bomcheck.paper.setting import Shims, shim_rows
from bomcheck.paper.torques import Tool, Torque, tool_list, torques
from bomcheck.paper.wrenches import (
    INCH,
    LONGEST_IN_GROUP,
    WIDEST_SPAN,
    castellated_reach,
    crow_foot_setting,
    wire_pairs,
)

SPINDLE_NUT, CASTELLATED = "spindle nut", ("castle", "castellated", "slotted")
CAUTIONS = (
    "Brakes are for people who are trained, and where the law asks for it licensed, to work on them. Another competent person looks over the finished job.",
    (
        "This sheet is a help for that work. It approves nothing and stands for no inspection. Rules for changed brakes differ from place to "
        "place: ask before the car goes on the road; tell the insurer."
    ),
    "The kit maker's sheet rules wherever it says otherwise. It stays with the car, and so does this one.",
    "No hose without its road mark on a road car. What is meant to be used once is used once.",
)


def torque_notes(report: Report) -> Iterator[str]:
    """How a torque is kept where the wrench or the nut does not allow it plainly; nuts only where this job has them."""
    share = crow_foot_setting(100.0, 400.0, 40.0)
    yield (
        f"Through a crow-foot in line with the wrench set torque × L ÷ (L + a): L grip to drive, a drive to screw. With L {mm(400)} "
        f"and a {mm(40)} set {share:.0f} % of the torque; square to the wrench set it unchanged."
    )
    used = [line for line in report.parts if line.needed > 0]
    if any(_is_castellated(line) for line in used):
        yield (
            "Castellated nut of a clamped joint: tighten to the low side of its torque, then on to the next slot, "
            f"at most {castellated_reach():.0f} degrees; never back. New pin."
        )
    if any(line.role == SPINDLE_NUT for line in used):
        yield (
            "Spindle nut of a wheel bearing: by the car maker's manual, to its end play or its torque. An adjustable bearing's nut "
            "is turned back to the end play. New pin or new staking."
        )


def _is_castellated(line: Line) -> bool:
    """Whether it is a slotted nut that clamps something; the spindle nut sets a bearing."""
    said = f"{line.description} {line.spec}".lower()
    return line.role.endswith(" nut") and line.role != SPINDLE_NUT and any(word in said for word in CASTELLATED)


def before_wheel(report: Report) -> Iterator[str]:
    """What is looked at before the wheel goes on."""
    yield "Every screw of the table tightened and marked with paint; wire, clips, pins and cotters in"
    yield "Rotor turns free; gap to the caliper on both sides, noted at three points"
    yield "Pads: whole face on the friction ring, top edge inside the rotor's edge"
    yield "Hose and wheel-speed cable free from lock to lock, at droop and at ride height"
    yield "All joints dry after the pedal was held; reservoir between its marks"
    if report.cured.get("wheel_weight_thickness") != 0.0:
        yield "No balance weights stuck where the caliper passes"
    if report.cured.get("axle") == "rear" and report.cured.get("park_brake") not in (None, "none"):
        yield "Parking brake holds and lets go"


def bleeding(report: Report) -> Iterator[str]:
    """In which order, with what."""
    yield "Fluid of the class on the reservoir's cap or a higher glycol one, from a sealed can; never mix with silicone."
    yield "Start at the wheel whose line is longest and end at the nearest, unless the car's manual has another order."
    if report.cured.get("caliper_build") == "fixed":
        yield "A caliper with two bleed screws: the inboard one first, then the outboard one. A light tap lets bubbles rise."
    else:
        yield "The bleed screw must be the caliper's highest point; otherwise take the caliper off its bracket to bleed it."
    yield "A car with a pressure modulator may need its own procedure: see the car's manual."
    yield "Go on until no bubble comes and the pedal is high and hard at the first push."


def bedding(report: Report) -> Iterator[str]:
    """By the pad maker's sheet."""
    compound = report.cured.get("pad_compound")
    named = f" for {compound}" if compound else ""
    yield f"Bed the pads by their maker's sheet{named}: it rules speeds, number of stops and cooling. No sheet, no guess: ask for it."
    low, high = report.cured.get("pad_temperature_low"), report.cured.get("pad_temperature_high")
    if low is not None and high is not None:
        both = f"{low:.0f} to {high:.0f} °C ({_fahrenheit(low)} to {_fahrenheit(high)} °F)"
        yield f"They are made for {both}; do not stand on the brake while they are hot."


def _fahrenheit(celsius: float) -> str:
    return f"{celsius * 1.8 + 32:.0f}"


def trial_before_driving(report: Report) -> Iterator[str]:
    """In the order in which a fault would hurt least."""
    yield "Standing, engine running: a firm foot for a full minute (60 s). The pedal must not creep down. Then a lamp and a clean rag at every joint."
    yield "Pump: the pedal's height stays the same from push to push, and it comes back at once."
    yield "Private ground, level and empty: roll off and stop softly from 10 km/h (6 mph), once straight and once in each direction at full steering. Look again for wet joints and bright rub marks."
    yield "Still off the road: from 20 km/h (12 mph), then from 40 km/h (25 mph), a soft stop each, then a firmer one. It stays straight, quiet, and lets go at once."
    yield "Feel from a hand's breadth away, never touch: both rotors of the axle are equally warm."
    yield "Then let it cool: torque, marks, gaps and joints once more."
    for finding in getattr(report, "system", ()):
        if finding.verdict in (BAD, LOOK) and finding.key in (
            "lock_order",
            "best_stop_loss",
            "pedal_travel",
            "pad_window",
        ):
            yield f"Mind: {finding.do[:1].lower()}{finding.do[1:].rstrip('.')}."


NOT_PARTS = ("labour", "machining", "question")


@dataclass(frozen=True, slots=True)
class Step:
    """One step. title; do: sentences. parts: what is used, with quantity for the whole job. joint: of the torque table."""

    number: int
    title: str
    do: tuple[str, ...]
    parts: tuple[str, ...] = ()
    joint: str = ""


# Step -> places of the parts list that belong to it; what has no place of its own is laid out first.
PLACES = {
    "Clean and check the hub": ("hub", "hub pilot", "hub face"),
    "Join hat and friction ring": ("hat to friction ring",),
    "Put the rotor on": ("hub to wheel", "rotor"),
    "Bracket on the knuckle": ("bracket to ear", "dust shield"),
    "Caliper on the bracket": ("caliper to bracket", "caliper"),
    "Pads": ("pads in the caliper",),
    "Brake line": ("brake line", "line in its tab"),
    "Parking brake": ("parking brake",),
    "Pedal and valves": ("pedal",),
    "Bleed": ("bleeding",),
    "Wheel": ("wheel",),
}
FIRST = "Lay out and take off"
# Parts whose step does not follow from the place that the parts list names.
ROLES = {"pad set": "Pads", "pad pin": "Pads", "pad clip": "Pads", "hat": "Join hat and friction ring"}


def steps(report: Report) -> tuple[Step, ...]:
    """All steps that this job has, numbered."""
    placed: dict[str, list[str]] = {}
    for line in report.parts:
        if line.needed > 0 and line.status != "surplus" and line.role not in NOT_PARTS:
            placed.setdefault(_step_of(line, report), []).append(_named(line))
    found: list[Step] = []
    for title in (FIRST, *PLACES):
        do = tuple(_WORK[title](report)) if title in _WORK else ()
        parts = tuple(placed.get(title, ()))
        if do or parts:
            found.append(Step(len(found) + 1, title, do, parts, _JOINTS.get(title, "")))
    return tuple(found)


def _step_of(line: Line, report: Report) -> str:
    if line.role == "rotor":
        return "Join hat and friction ring" if report.cured.get("rotor_build") == "two-piece" else "Put the rotor on"
    if line.role in ROLES:
        return ROLES[line.role]
    places = [place.strip() for place in line.used_at.split(",")]
    return next((title for title, own in PLACES.items() if set(own) & set(places)), FIRST)


def _named(line: Line) -> str:
    amount = f"{line.needed:g} x" if line.unit == "each" else f"{line.needed:g} {line.unit}"
    number = f" [{line.part_number}]" if line.part_number else ""
    side = f", {line.side}" if line.side in ("left", "right") else ""
    waits = "" if line.status in ("in kit", "on car", "on shelf") else f" ({line.status})"
    return f"{amount} {line.description or line.role}{number}{side}{waits}"


def _lay_out(report: Report) -> Iterator[str]:
    yield "Count the box against the parts list and look at every part: thread, mark, side, damage."
    for finding in report.findings:
        if finding.verdict is Verdict.NEEDS_MACHINING and finding.do:
            yield f"Before anything is fitted: {finding.do}."
    yield "Car safe on stands. Wheel, caliper, pads and rotor off; hang the caliper up, never by its hose. Cap the open line."


def _hub(report: Report) -> Iterator[str]:
    yield "Hub face and pilot to bare metal; measure the face's runout. Ears free of paint and burrs."
    if report.cured.get("hub_removed") == "yes":
        yield "Hub, seals, bearings and spindle nut by the car maker's manual."
    yield "A thin film of anti-seize on face and pilot, none on the studs."


def _ring(report: Report) -> Iterator[str]:
    if report.cured.get("rotor_build") != "two-piece":
        return
    yield "Friction ring on the hat by the kit's sheet, screws by hand until all are in, then to their torque."
    count = report.cured.get("hat_screw_count")
    if report.cured.get("hat_screw_drilled") == "yes" and count:
        pairs = ", ".join("-".join(map(str, group)) for group in wire_pairs(int(count)))
        yield f"Wire the heads {pairs}; the wire pulls toward tightening, its end bent in."
        span, group = (
            f"{round(length / 10)} cm ({length / INCH:.0f} in)" for length in (WIDEST_SPAN, LONGEST_IN_GROUP)
        )
        yield f"No more than {span} from head to head, and {group} of wire in one group."


def _rotor(report: Report) -> Iterator[str]:
    yield "Rotor on the hub without force; a few wheel nuts over plain washers keep it flat while the rest is set."
    if report.cured.get("rotor_vanes") == "directional":
        yield "Each rotor on its own side: the vanes lean back at the top."
    yield "Measure the rotor's runout near its edge and turn it on the studs if that helps."


def _bracket(report: Report) -> Iterator[str]:
    yield "First without locking: bracket with its starting shims, screws snug, so that it can be set."
    yield "When the caliper stands right: one screw out at a time, locking as the kit's sheet says, then the torque."


def _caliper(report: Report) -> Iterator[str]:
    yield "Caliper with its starting shims, bleed screw uppermost; turn the rotor: it touches nothing."
    yield "Set it by the shims (see Shims below), then tighten to the torque."


def _pads(report: Report) -> Iterator[str]:
    yield "Pads slide freely by hand, pins and clips seated; their top edge inside the rotor's edge all along."


def _line(report: Report) -> Iterator[str]:
    yield "Old hose off, new one on without twist, new sealing washers, tab and clip. Only equal threads and seats, started by hand."
    yield "Turn from lock to lock at full droop and at ride height: nothing is tight or rubs."


def _park(report: Report) -> Iterator[str]:
    if report.cured.get("axle") == "rear" and report.cured.get("park_brake") not in (None, "none"):
        yield "Join and set the parking brake: it holds, and the wheel runs free when it is let off."


def _pedal(report: Report) -> Iterator[str]:
    for finding in getattr(report, "system", ()):
        if finding.demands and finding.verdict not in (GOOD, UNKNOWN):
            yield f"{finding.do}."


def _bleed(report: Report) -> Iterator[str]:
    yield "See Bleeding below; keep the reservoir filled, and fluid off the paint."


def _wheel(report: Report) -> Iterator[str]:
    yield "Do all checks below first. Wheel on by hand, nuts crosswise in stages to the figure of the car's or wheel's maker."
    yield "Turn the wheel a full turn: no touch on caliper, weights or line. Tighten again after 50 to 100 km (30 to 60 miles)."


_WORK = {
    FIRST: _lay_out, "Clean and check the hub": _hub, "Join hat and friction ring": _ring, "Put the rotor on": _rotor,
    "Bracket on the knuckle": _bracket, "Caliper on the bracket": _caliper, "Pads": _pads, "Brake line": _line,
    "Parking brake": _park, "Pedal and valves": _pedal, "Bleed": _bleed, "Wheel": _wheel,
}  # fmt: skip
_JOINTS = {
    "Join hat and friction ring": "hat",
    "Bracket on the knuckle": "bracket",
    "Caliper on the bracket": "caliper",
}


READY = (Verdict.FITS, Verdict.FITS_WITH_PARTS)
WHY = {Verdict.NOT_KNOWN: "not known yet", Verdict.NEEDS_MACHINING: "needs machining first"}
NAMED = 3  # findings that the warning names


@dataclass(frozen=True)
class FitUp:
    """warning: a sentence where the job is not ready for the car, or its brakes as a whole are not good; "" otherwise. steps: in order, with their parts.
    torques, tools, shims: tables. torque_notes, before_wheel, bleeding, bedding, test, cautions: sentences in order."""

    warning: str
    steps: tuple[Step, ...]
    torques: tuple[Torque, ...]
    torque_notes: tuple[str, ...]
    tools: tuple[Tool, ...]
    shims: tuple[Shims, ...]
    before_wheel: tuple[str, ...]
    bleeding: tuple[str, ...]
    bedding: tuple[str, ...]
    test: tuple[str, ...]
    cautions: tuple[str, ...]


def fit_up(report: Report) -> FitUp:
    """All that the fitter needs beside the kit's own sheet."""
    return FitUp(
        warning=_warning(report),
        steps=steps(report),
        torques=torques(report),
        torque_notes=tuple(words.torque_notes(report)),
        tools=tool_list(report),
        shims=shim_rows(report),
        before_wheel=tuple(words.before_wheel(report)),
        bleeding=tuple(words.bleeding(report)),
        bedding=tuple(words.bedding(report)),
        test=tuple(words.trial_before_driving(report)),
        cautions=words.CAUTIONS,
    )


def _warning(report: Report) -> str:
    """Why the work must not begin yet, or what the customer must be told before it does."""
    if report.verdict in READY:
        against = [finding.title for finding in report.system if finding.verdict == BAD]
        return f"Settle first with the customer, the brakes as a whole: {'; '.join(against)}" if against else ""
    titles = [f"{finding.title[:1].lower()}{finding.title[1:]}" for finding in report.deciding]
    named = ", ".join(titles[:NAMED]) + (f" and {len(titles) - NAMED} more" if len(titles) > NAMED else "")
    return f"Do not begin: {WHY.get(report.verdict, str(report.verdict))}: {named}"
