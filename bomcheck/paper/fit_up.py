"""The work in its order, with the parts of each step, and all that the fitter needs beside the kit's own sheet. Pure data."""

import re
from collections.abc import Iterator, Sequence
from itertools import chain

from bomcheck.car.checks import BAD, word
from bomcheck.model.line import HERE, Line
from bomcheck.model.records import dataclass, replace
from bomcheck.model.report import Report
from bomcheck.model.verdict import Verdict
from bomcheck.notation import units
from bomcheck.notation.text import says, written
from bomcheck.paper import fit_up_words as words
from bomcheck.paper.setting import Shims, shim_rows
from bomcheck.paper.tick_list import BENCH_PREFIX, as_used
from bomcheck.paper.torques import Tool, Torque, tool_list, torques
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
PARK = "Parking brake"
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
        do = tuple(words.said_of(title, report))
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
    made = _of_car(report) if report.axles else _of_axle(report)
    names = [f"torque {row.joint}" for row in made.torques]
    names = [name + " again" * names[:at].count(name) for at, name in enumerate(names)]
    return replace(made, torques=tuple(replace(row, bench=name) for row, name in zip(made.torques, names, strict=True)))


def _of_car(report: Report) -> FitUp:
    """Both axles in the order in which a car is done: one after the other, then what is done once."""
    own = [(one.job.place, _of_axle(one)) for one in report.axles]
    made = [made for _, made in own]

    def once(name: str, together: bool = False) -> tuple[str, ...]:
        """What every axle says, once; what one says alone, with its name. together: the whole of it, where axles differ."""
        said: dict[str, tuple[str, ...]] = {}
        for axle, one in zip((str(one.job.get("axle")) for one in report.axles), made, strict=True):
            said[axle] = tuple(dict.fromkeys((*said.get(axle, ()), *getattr(one, name))))
        apart = together and len(set(said.values())) > 1
        named = ((f"{axle.capitalize()}: ", words) for axle, every in said.items() for words in every)
        shared = set.intersection(*map(set, said.values())) if not apart else set()
        return tuple(dict.fromkeys(words if words in shared else f"{axle}{words}" for axle, words in named))

    return FitUp(
        warning=_warning(report),
        steps=_steps_of_car(report),
        torques=tuple(replace(row, place=f"{axle} {row.place}") for axle, one in own for row in one.torques),
        torque_notes=once("torque_notes"),
        tools=tuple({tool.name: tool for one in made for tool in one.tools}.values()),
        shims=tuple(replace(row, title=f"{axle.capitalize()}: {row.title}") for axle, one in own for row in one.shims),
        before_wheel=once("before_wheel"),
        bleeding=once("bleeding"),
        bedding=once("bedding", together=True),
        test=(*words.said_of("trial", report), *dict.fromkeys(chain(*map(words.to_mind, report.axles)))),
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
    pages = ("before the wheel", "bleeding", "trial")
    before, bleeding, trial = (tuple(words.said_of(page, report)) for page in pages)
    notes, bedding, mind = (tuple(of(report)) for of in (words.torque_notes, words.bedding, words.to_mind))
    return FitUp(
        _warning(report), steps(report), torques(report), notes, tool_list(report), shim_rows(report), before, bleeding, bedding,
        (*trial, *mind), texts("texts")["fit-up cautions"],
    )  # fmt: skip


def _warning(report: Report) -> str:
    """Why the work must not begin yet, or what the customer must be told before it does."""
    if report.verdict in READY:
        against = [finding.title for finding in report.system if word(finding) == BAD]
        return f"Settle first with the customer, the brakes as a whole: {'; '.join(against)}" if against else ""
    titles = [f"{finding.title[:1].lower()}{finding.title[1:]}" for finding in report.deciding]
    named = ", ".join(titles[:NAMED]) + (f" and {len(titles) - NAMED} more" if len(titles) > NAMED else "")
    return f"Do not begin: {WHY.get(report.verdict, str(report.verdict))}: {named}"


UNDONE, ALONE = written("undone"), written("alone", r"[\s.!]*({})[\s.!]*")
FIGURE = re.compile(r"(\d+(?:[.,]\d+)?)\s*([^\W\d_]*(?:[·.\s/*-]?[^\W\d_]+)?)")
BARE = re.compile(r"\s*(\d+(?:[.,]\d+)?)\s*[A-Za-z]{0,3}\s*")  # with initials
OF_WRENCH = 0.06  # the share by which a hand torque tool may be off: ISO 6789, from memory
AS_NEEDED = ("shim", "cable tie", "cleaner", "torque paint", "line cap")
"""Of these fewer than planned may be right."""


def written_against(report: Report) -> Iterator[str]:
    """What the bench wrote on Tick list and Fit-up that speaks against driving: fewer used, not done, another torque."""
    own = {
        key.removeprefix(BENCH_PREFIX): typed for key, typed in report.job.own.items() if key.startswith(BENCH_PREFIX)
    }
    if not own:
        return
    planned, used = as_used(report.parts, {}), as_used(report.parts, report.job.own)
    for line in planned.values():
        if used[line.key].needed < line.needed - 1e-6 and line.unit in ("each", "set") and line.role not in AS_NEEDED:
            yield f"Tick list, {line.named[0]}: {used[line.key].needed:g} used, {line.needed:g} needed"
    for key, typed in own.items():
        texts = (str(typed.get(one, "")) for one in ("done", "ticked"))
        if said := next((text for text in texts if says(UNDONE, text) or ALONE.fullmatch(text)), ""):
            sheet, _, row = key.partition(" ")
            named = f"{row}..." if sheet == "check" else row.removesuffix(" again")
            yield f'{"Tick list" if sheet == "tick" else "Fit-up"}, {named}: "{said}" stands there'
    for joint in fit_up(report).torques:
        turned = str(own.get(joint.bench, {}).get("done", ""))
        tried = _newton_metres(turned) if joint.asked else []
        if tried and all(abs(one - joint.asked) > OF_WRENCH * joint.asked for one in tried):
            yield f'Fit-up, {joint.place}: "{turned.strip()}" stands there, {joint.torque} is asked'


def _newton_metres(typed: str) -> list[float]:
    """The torques that a text names [N·m]; a bare figure may be in any unit."""
    here, bare = units.named("N·m"), BARE.fullmatch(typed)
    named = [
        (figure, units.find(words, "torque") or units.find(words.split(" ")[0], "torque"))
        for figure, words in FIGURE.findall(typed)
    ]
    if not any(unit for _, unit in named) and bare:
        named = [(bare[1], units.named(unit)) for unit in ("N·m", "lb·ft", "lb·in")]
    return [units.convert(float(figure.replace(",", ".")), unit, here) for figure, unit in named if unit and here]
