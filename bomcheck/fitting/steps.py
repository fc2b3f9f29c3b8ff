"""The work in its order: what to do at each step and which lines of the parts list it takes."""

from collections.abc import Iterator
from dataclasses import dataclass

from bomcheck.parts.line import Line
from bomcheck.report import Report
from bomcheck.screws.wire import INCH, LONGEST_IN_GROUP, WIDEST_SPAN, wire_pairs
from bomcheck.system.result import GOOD, UNKNOWN
from bomcheck.verdict.verdict import Verdict

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
