"""Checks, bleeding, bedding, test and cautions: the same for every job but for what this one has."""

from collections.abc import Iterator

from bomcheck.parts.line import Line
from bomcheck.report import Report
from bomcheck.screws.wrench import castellated_reach, crow_foot_setting
from bomcheck.system.result import BAD, LOOK

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
        "Through a crow-foot in line with the wrench set torque × L ÷ (L + a): L grip to drive, a drive to screw. With L 400 mm "
        f"and a 40 mm set {share:.0f} % of the torque; square to the wrench set it unchanged."
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
