"""The work in its order, with the parts of each step, and all that the fitter needs beside the kit's own sheet. Pure data."""

import re
from collections.abc import Iterator, Sequence

from bomcheck.car.checks import BAD, word
from bomcheck.model.finding import limit_text, own_first
from bomcheck.model.limits import limit_for
from bomcheck.model.line import HERE, ON_CAR, Line
from bomcheck.model.records import dataclass, replace
from bomcheck.model.report import Report
from bomcheck.model.verdict import Verdict
from bomcheck.paper import fit_up_words as words
from bomcheck.paper.fit_up_words import needed, new_master, parks, steers
from bomcheck.paper.setting import Shims, shim_rows
from bomcheck.paper.torques import Tool, Torque, tool_list, torques
from bomcheck.paper.wrenches import INCH, LONGEST_IN_GROUP, WIDEST_SPAN, wire_pairs
from bomcheck.supply.needs import IN_CALIPER, IN_HAT, was_drum
from bomcheck.tables import rows, texts

NOT_PARTS = ("labour", "machining", "question")


@dataclass(frozen=True, slots=True)
class Step:
    """One step. title; do: sentences. parts: what is used, with quantity for the whole job. joint: of the torque table."""

    number: int
    title: str
    do: tuple[str, ...]
    parts: tuple[str, ...] = ()
    joint: str = ""


STEPS = {row["step"]: row for row in rows("steps")}
PLACES = {title: tuple(filter(None, row["places"].split("; "))) for title, row in STEPS.items()}
FIRST = next(iter(STEPS))
SHOES, TRIAL, PARK = "Parking shoes on the backing plate", "Try the wheel", "Parking brake"
ROLES = {role: title for title, row in STEPS.items() for role in row["roles"].split("; ") if role}


def steps(report: Report) -> tuple[Step, ...]:
    """All steps that this job has, numbered."""
    placed: dict[str, list[str]] = {}
    for line in report.parts:
        listed = line.role not in NOT_PARTS and (report.job.side != "right" or line.side == "right")
        if listed and line.needed > 0 and line.status != "surplus":
            placed.setdefault(_step_of(line, report), []).append(_named(line, line.here))
    found: list[Step] = []
    for title in PLACES:
        do = tuple(_WORK[title](report)) if title in _WORK else ()
        parts = tuple(placed.get(title, ()))
        if do or parts:
            found.append(Step(len(found) + 1, title, do, parts, STEPS[title]["joint"]))
    return tuple(found)


def _step_of(line: Line, report: Report) -> str:
    if line.role == "rotor":
        return "Join hat and friction ring" if report.cured.get("rotor_build") == "two-piece" else "Put the rotor on"
    if line.role in ROLES:
        return ROLES[line.role]
    places = [place.strip() for place in line.used_at.split(",")]
    return next((title for title, own in PLACES.items() if set(own) & set(places)), FIRST)


def _named(line: Line, came: str) -> str:
    """How many of what; what is not here yet says so."""
    amount = f"{line.needed:g} x" if line.unit == "each" else f"{line.needed:g} {line.unit}"
    words, number = line.named
    side = f", {line.side}" if line.side in ("left", "right") else ""
    there = came == HERE or (not came and line.status in ("in kit", "on car", "on shelf"))
    waits = "" if there else f" ({came or line.status})"
    return f"{amount} {words}{f' [{number}]' if number else ''}{side}{waits}"


def _lay_out(report: Report) -> Iterator[str]:
    if report.job.side == "right":
        yield "Parts that both sides take are listed with the left one."
    yield "Count the box against the parts list and look at every part: thread, mark, side, damage."
    for finding in report.findings:
        if finding.verdict is Verdict.NEEDS_MACHINING and finding.do:
            yield f"Before anything is fitted: {finding.do}."
    if was_drum(report.job) == "yes":
        yield (
            "Car safe on stands. Wheel, drum, shoes, wheel cylinder and backing plate off; cap the open line. The drum's residual "
            "valve comes out of the master cylinder or the line: it would hold the pads on the rotor; then bleed all four corners."
        )
        return
    yield "Car safe on stands. Wheel, caliper, pads and rotor off; hang the caliper up, never by its hose. Cap the open line."
    if parks(report) and report.job.get("park_brake") == IN_HAT and not _shoes_in_hat(report):
        yield "Parking shoes, springs and levers off the backing plate, their cable out: the new hat has no drum for them."


def _hub(report: Report) -> Iterator[str]:
    yield "Hub face and pilot to bare metal. Ears free of paint and burrs."
    if report.cured.get("hub_face_runout") is None:
        yield "Measure the hub face's runout: at the disc's edge it shows about twice over."
    if any(line.status != ON_CAR for line in needed(report, "backing plate")):
        yield "New backing plates on first: the hub hides them."
    if report.cured.get("hub_removed") == "yes":
        yield "Hub, seals, bearings and spindle nut by the car maker's manual."
    yield "A thin film of anti-seize on the pilot only; none on face and threads unless the maker says so."


def _ring(report: Report) -> Iterator[str]:
    if report.cured.get("rotor_build") != "two-piece":
        return
    yield "Friction ring on the hat by the kit's sheet, screws by hand until all are in, then to their torque."
    count = report.cured.get("hat_screw_count")
    if report.cured.get("hat_screw_drilled") == "yes" and count:
        pairs = ", ".join("-".join(map(str, group)) for group in wire_pairs(int(count)))
        yield f"Wire the heads {pairs}; the wire pulls toward tightening, its end bent in."
        span, group = (
            own_first(f"{length / 10:.0f} cm", f"{length / INCH:.0f} in") for length in (WIDEST_SPAN, LONGEST_IN_GROUP)
        )
        yield f"No more than {span} from head to head, and {group} of wire in one group."


def _rotor(report: Report) -> Iterator[str]:
    yield "Wash the oil off both friction faces with brake cleaner and a clean cloth; no bare fingers on them afterwards."
    yield f"Rotor on the hub without force; a few wheel {words.held_by(report)} over plain washers keep it flat while the rest is set."
    if report.cured.get("rotor_vanes") == "directional":
        yield "Each rotor on its own side: the vanes lean back at the top."
    most = limit_text(limit_for("hub_runout", report.job))
    yield f"Measure the rotor's runout near its edge: {most}; turn it on by a hole if that helps."


def _bracket(report: Report) -> Iterator[str]:
    yield "First without locking: bracket with its starting shims, screws snug, so that it can be set."
    if report.cured.get("bracket_screw_into") == "nut":
        yield "Screw heads on the disc's side, nuts away from it: only so was their room beside the disc judged."
    yield "When the caliper stands right: one screw out at a time, locking as the kit's sheet says, then the torque."


def _caliper(report: Report) -> Iterator[str]:
    yield from (f"{one.do}." for one in report.findings if one.check == "bleed_screw_up" and one.do)
    yield "Caliper with its starting shims, bleed screw uppermost; turn the rotor: it touches nothing."
    yield "Set it by the shims (see Shims below), then tighten to the torque. Look at what no size tells, as the sheet Compatibility names it."


def _trial(report: Report) -> Iterator[str]:
    yield (
        f"With pads and line in, before the fluid: wheel on by hand with two {words.held_by(report)}, a full turn. It touches neither caliper nor line "
        "at barrel, spokes and weights; then off again."
    )


def _pads(report: Report) -> Iterator[str]:
    yield "Pads slide freely by hand, pins and clips seated; their top edge inside the rotor's edge all along."


def _line(report: Report) -> Iterator[str]:
    hose = "Old hose off, new one on without twist" if needed(report, "hose") else "Line on without twist"
    washers = ", new sealing washers" if needed(report, "sealing washer") else ""
    yield f"{hose}{washers}, tab and clip. Only equal threads and seats, started by hand."
    turned = "Turn from lock to lock" if steers(report) else "Let the axle down and up:"
    yield f"{turned} at full droop and at ride height: nothing is tight or rubs."


def _shoes(report: Report) -> Iterator[str]:
    if parks(report) and _shoes_in_hat(report):
        yield "Before the rotor hides them: shoes, springs and clips in, pivots greased thinly, adjuster turned in."
        yield "Drum inside the hat clean and dry. Once the rotor is on, set the shoes until they just drag, then back until it turns free."


def _shoes_in_hat(report: Report) -> bool:
    return bool(report.cured.get("kit_park_brake", report.cured.get("park_brake")) == IN_HAT)


def _park(report: Report) -> Iterator[str]:
    if parks(report):
        if report.cured.get("kit_park_brake") == IN_CALIPER and report.cured.get("park_lever") != "electric":
            yield "Not before it is bled: pump the pedal until the pads lie on; the cable goes on with each lever on its stop."
        yield "Join and set the parking brake: it holds, and the wheel runs free when it is let off."


def _pedal(report: Report) -> Iterator[str]:
    for finding in getattr(report, "system", ()):
        if finding.demands:
            yield f"{finding.do}."
    if new_master(report):
        yield (
            "New master cylinder: bled on the bench until no bubble comes, then on. Between push rod and piston stays the play "
            "that the car's manual names; without any the brake does not let go."
        )


def _bleed(report: Report) -> Iterator[str]:
    yield f"See Bleeding below{', all four corners' if new_master(report) else ''}; keep the reservoir filled, and fluid off the paint."


def _wheel(report: Report) -> Iterator[str]:
    yield f"Do all checks below first, after bleeding. Wheel on by hand, {words.held_by(report)} crosswise in stages to the figure of the car's or wheel's maker."
    yield f"Turn the wheel a full turn: no touch on caliper, weights or line. Tighten again after {own_first('50 to 100 km', '30 to 60 miles')}."


_WORK = {
    FIRST: _lay_out, "Clean and check the hub": _hub, "Join hat and friction ring": _ring, "Put the rotor on": _rotor,
    SHOES: _shoes, "Bracket on the knuckle": _bracket, "Caliper on the bracket": _caliper, TRIAL: _trial, "Pads": _pads, "Brake line": _line,
    "Pedal and valves": _pedal, "Bleed": _bleed, PARK: _park, "Wheel": _wheel,
}  # fmt: skip
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
    return _of_car(report) if report.axles else _of_axle(report)


def _of_car(report: Report) -> FitUp:
    """Both axles in the order in which a car is done: one after the other, then what is done once."""
    own = [(one.job.place, _of_axle(one)) for one in report.axles]
    made = [made for _, made in own]

    def once(name: str) -> tuple[str, ...]:
        return tuple(dict.fromkeys(said for one in made for said in getattr(one, name)))

    return FitUp(
        warning=_warning(report),
        steps=_steps_of_car(report),
        torques=tuple(replace(row, place=f"{axle} {row.place}") for axle, one in own for row in one.torques),
        torque_notes=once("torque_notes"),
        tools=tuple({tool.name: tool for one in made for tool in one.tools}.values()),
        shims=tuple(replace(row, title=f"{axle.capitalize()}: {row.title}") for axle, one in own for row in one.shims),
        before_wheel=once("before_wheel"),
        bleeding=once("bleeding"),
        bedding=once("bedding"),
        test=(
            *words.trial_before_driving(report),
            *dict.fromkeys(said for one in report.axles for said in words.to_mind(one)),
        ),
        cautions=texts("texts")["fit-up cautions"],
    )


def _steps_of_car(report: Report) -> tuple[Step, ...]:
    """The steps of each axle without those that a car takes once; these at the end, with what is for the whole car."""
    axles = [str(one.job.get("axle")) for one in report.each_axle]
    found: list[Step] = []
    for one in report.axles:
        axle, own_axle = one.job.place.capitalize(), one.job.get("axle") if one.job.side != "right" else ""
        parts = tuple(
            line for line in one.parts if line.axle or len(axles) == 1 or _first_used(line, axles) == own_axle
        )
        own = steps(replace(one, parts=parts, system=()))
        found += [
            replace(step, title=f"{axle}: {step.title[:1].lower()}{step.title[1:]}")
            for step in own
            if not STEPS[step.title]["once"]
        ]
    last = steps(replace(report.axles[-1], parts=report.parts, system=report.system))
    parking = [step for step in found if step.title.endswith(f": {PARK.lower()}")]
    once = [step for step in last if STEPS[step.title]["once"]]
    found = [*(step for step in found if step not in parking), *once[:-1], *parking, *once[-1:]]
    return tuple(replace(step, number=number) for number, step in enumerate(found, start=1))


def _first_used(line: Line, axles: Sequence[str]) -> str:
    """The axle at which the first of what is for the whole car is used, as its reasons name it."""
    return next((one for one in axles if re.search(rf", {one}(?:;|$)", line.reason)), axles[0])


def _of_axle(report: Report) -> FitUp:
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
        test=(*words.trial_before_driving(report), *words.to_mind(report)),
        cautions=texts("texts")["fit-up cautions"],
    )


def _warning(report: Report) -> str:
    """Why the work must not begin yet, or what the customer must be told before it does."""
    if report.verdict in READY:
        against = [finding.title for finding in report.system if word(finding) == BAD]
        return f"Settle first with the customer, the brakes as a whole: {'; '.join(against)}" if against else ""
    titles = [f"{finding.title[:1].lower()}{finding.title[1:]}" for finding in report.deciding]
    named = ", ".join(titles[:NAMED]) + (f" and {len(titles) - NAMED} more" if len(titles) > NAMED else "")
    return f"Do not begin: {WHY.get(report.verdict, str(report.verdict))}: {named}"
