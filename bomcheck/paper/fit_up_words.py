"""Checks, bleeding, bedding, test and cautions: the same for every job but for what this one has."""

from collections.abc import Iterator

from bomcheck.car.checks import BAD, LOOK, word
from bomcheck.model.finding import in_inches, own_first
from bomcheck.model.line import ASK, SURPLUS, Line
from bomcheck.model.report import Report
from bomcheck.paper.wrenches import castellated_reach, crow_foot_setting

MASTER = "master cylinder"
SPINDLE_NUT, CASTELLATED = "spindle nut", ("castle", "castellated", "slotted")


def held_by(report: Report) -> str:
    """What holds the wheel."""
    return "bolts" if report.cured.get("hub_fixing") == "bolt" else "nuts"


def torque_notes(report: Report) -> Iterator[str]:
    """How a torque is kept where the wrench or the nut does not allow it plainly; nuts only where this job has them."""
    lever, foot = ("16 in", "1.5 in") if in_inches() else ("400 mm", "40 mm")
    share = crow_foot_setting(100.0, float(lever.split()[0]), float(foot.split()[0]))
    yield (
        "A wrench scatters by a quarter besides. Through a crow-foot in line with it set torque × L ÷ (L + a): L grip to drive, a drive "
        f"to screw. With L {lever} and a {foot} set {share:.0f} % of the torque; square to the wrench set it unchanged."
    )
    used = [line for line in report.parts if line.needed > 0]
    if any(_is_castellated(line) for line in used):
        yield (
            "Castellated nut of a clamped joint: tighten to the low side of its torque, then on to the next slot, "
            f"at most {castellated_reach():.0f} degrees; never back. New pin."
        )
    if any(line.role == SPINDLE_NUT and (line.needed > 0 or line.status == ASK) for line in report.parts):
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
    turned = "from lock to lock, at droop and at ride height" if steers(report) else "at full droop and at ride height"
    yield f"Hose and wheel-speed cable free {turned}"
    yield "All joints dry after the pedal was held; reservoir between its marks"
    if report.cured.get("wheel_weight_thickness") != 0.0:
        yield "No balance weights stuck where the caliper passes"
    if parks(report):
        yield "Parking brake holds and lets go"


def steers(report: Report) -> bool:
    """Whether the wheels of this axle are steered."""
    return bool(report.cured.get("axle") != "rear")


def parks(report: Report) -> bool:
    """Whether this axle has a parking brake."""
    return bool(report.cured.get("axle") == "rear" and report.cured.get("park_brake") not in (None, "none"))


def needed(report: Report, *roles: str) -> list[Line]:
    """Lines of these roles that go into the car."""
    return [line for line in report.parts if line.role in roles and line.needed > 0 and line.status != SURPLUS]


def new_master(report: Report) -> bool:
    """Whether a new master cylinder goes in."""
    return bool(needed(report, MASTER))


def bleeding(report: Report) -> Iterator[str]:
    """In which order, with what, and the look for leaks when it is done."""
    yield "Fluid of the class on the reservoir's cap or a higher glycol one, from a sealed can; never mix with silicone."
    if new_master(report):
        yield "The system was empty: all four corners, and fluid enough for it lies ready."
    yield "Start at the wheel whose line is longest and end at the nearest, unless the car's manual has another order."
    if report.cured.get("caliper_build") == "fixed":
        yield "A caliper with two bleed screws: the inboard one first, then the outboard one. A light tap lets bubbles rise."
    else:
        yield (
            "The bleed screw must be the caliper's highest point; otherwise take the caliper off its bracket to bleed it, "
            "with a block as thick as the rotor between the pads, so that no piston comes out."
        )
    yield "A car with a pressure modulator may need its own procedure: see the car's manual."
    yield "Go on until no bubble comes and the pedal is high and hard at the first push."
    yield "Then hold the pedal hard and look at every joint and bleed screw with a lamp and a clean rag: all dry."


def fitted_pads(report: Report) -> Line | None:
    """The pads that go into the car: those of the kit, or the ones bought in their place."""
    return next(iter(needed(report, "pad set")), None)


def kits_own_pads(report: Report) -> bool:
    """Whether they are the ones that are fitted."""
    pads, same = fitted_pads(report), f"compound {report.cured.get('pad_compound') or ''}"
    if pads is not None and pads.own.instead:
        return False
    return pads is None or pads.in_kit >= pads.needed or (not pads.part_number and same in pads.spec)


def bedding(report: Report) -> Iterator[str]:
    """By the sheet of the pads that are fitted; the kit's temperatures only where the kit's pads are."""
    pads, job, of_kit = fitted_pads(report), report.cured, kits_own_pads(report)
    compound = str(job.get("pad_compound") or "")
    named = f" for {compound}" if compound and of_kit else ""
    if pads is not None and not of_kit:
        words, number = pads.named
        named = f" for {words}{f' [{number}]' if number else ''}"
    yield f"Bed the pads by their maker's sheet{named}: it rules speeds, number of stops and cooling. No sheet, no guess: ask for it."
    low, high = job.get("pad_temperature_low"), job.get("pad_temperature_high")
    if of_kit and low is not None and high is not None:
        both = own_first(f"{low:.0f} to {high:.0f} °C", f"{_fahrenheit(low)} to {_fahrenheit(high)} °F")
        yield f"They are made for {both}; do not stand on the brake while they are hot."


def _fahrenheit(celsius: float) -> str:
    return f"{celsius * 1.8 + 32:.0f}"


def trial_before_driving(report: Report) -> Iterator[str]:
    """In the order in which a fault would hurt least."""
    yield "Standing, engine running: a firm foot for a full minute (60 s). The pedal must not creep down. Then a lamp and a clean rag at every joint."
    warm = own_first("20 °C", "68 °F")
    if needed(report, "threadlocker"):
        yield f"Threadlocker has cured as long as its bottle says (often 24 hours at {warm}, longer in the cold) before the car is driven."
    yield "Pump: the pedal's height stays the same from push to push, and it comes back at once."
    once = "once straight and once in each direction at full steering" if steers(report) else "twice"
    yield f"Private ground, level and empty: roll off and stop softly from {own_first('10 km/h', '6 mph')}, {once}. Look again for wet joints and bright rub marks."
    speeds = own_first("20 km/h", "12 mph"), own_first("40 km/h", "25 mph")
    yield f"Still off the road: from {speeds[0]}, then from {speeds[1]}, a soft stop each, then a firmer one. It stays straight, quiet, and lets go at once."
    yield "Feel from a hand's breadth away, never touch: both rotors of the axle are equally warm."
    yield "Then let it cool: torque, marks, gaps and joints once more."


def to_mind(report: Report) -> Iterator[str]:
    """What the brakes as a whole are not good at; the kit's pads only where they are fitted."""
    for finding in report.system:
        said = word(finding)
        if said in (BAD, LOOK) and finding.check in ("lock_order", "best_stop_loss", "pedal_travel"):
            yield f"Mind: {finding.title[:1].lower()}{finding.title[1:]}: {said}, see the sheet Whole car."
        if said in (BAD, LOOK) and finding.check == "pad_window" and kits_own_pads(report):
            yield f"Mind: {finding.do[:1].lower()}{finding.do[1:].rstrip('.')}."
