"""The torque table: what the kit prints, in both units, how to get there, and with what."""

from collections.abc import Iterator
from dataclasses import dataclass

from bomcheck.fields import fields
from bomcheck.fitting.strength import strength_of
from bomcheck.notation.types import Thread
from bomcheck.report import Report
from bomcheck.screws.figures import bare, both_units, stages_said
from bomcheck.screws.heads import tools
from bomcheck.screws.wrench import stages, star_order, wrench_for, wrenches_for
from bomcheck.verdict.verdict import Verdict

STUDDED = ("stud in bracket", "screw and nut")
NYLON = "nylon lock"
OPEN_KINDS = ("hexagon", "older hexagon", "12-point", "socket")


@dataclass(frozen=True, slots=True)
class Torque:
    """One joint. joint: "hat", "bracket" or "caliper". place: as the parts list names it. screws: what they are. torque:
    in both units, or what to ask. usable: False where the figure must be asked first. how: stages, order, locking.
    wrenches, sockets: tools. strength: what the figure asks of the screw."""

    joint: str
    place: str
    screws: str
    torque: str
    usable: bool
    how: str
    wrenches: tuple[str, ...]
    sockets: tuple[str, ...]
    strength: str


PLACES = {"hat": "hat to friction ring", "bracket": "bracket to ear", "caliper": "caliper to bracket"}


def torques(report: Report) -> tuple[Torque, ...]:
    """The kit's joints in the order of the work; a one-piece rotor has no hat screws."""
    joints = [joint for joint in PLACES if joint != "hat" or report.cured.get("rotor_build") == "two-piece"]
    return tuple(_torque(report, joint) for joint in joints)


def screw_count(report: Report, joint: str) -> int | None:
    """Screws of the joint at one corner."""
    return report.cured.get("hat_screw_count") if joint == "hat" else 2


def _torque(report: Report, joint: str) -> Torque:
    get = report.cured.get
    thread, grade, torque = (get(f"{joint}_screw_{what}") for what in ("thread", "class", "torque"))
    count = screw_count(report, joint)
    names = (f"{count} x" if count else "", thread.name if thread else "", str(grade or ""))
    doubt = _doubt(report, joint) if torque is not None else ""
    usable = torque is not None and not doubt
    return Torque(
        joint,
        PLACES[joint],
        " ".join(name for name in names if name) or "not known",
        _figure(joint, torque, doubt),
        usable,
        "; ".join(_how(report, joint, torque if usable else None, count)),
        _wrenches(torque, count) if usable and torque else (),
        _sockets(report, joint, thread),
        strength_of(report, joint) if usable else doubt,
    )


def _wrenches(torque: float, count: int | None) -> tuple[str, ...]:
    """Torque wrenches for every stage; one of its own for a figure that none of the workshop's measures."""
    figures = stages(torque, count) if count else (torque,)
    named = tuple(str(one) for one in wrenches_for(figures))
    return named if wrench_for(torque) else (*named, f"torque wrench for {bare(torque)} N·m")


def _figure(joint: str, torque: float | None, doubt: str) -> str:
    if torque is None:
        return f"kit's sheet: ______ ({fields()[f'{joint}_screw_torque'].question})"
    return f"Ask first, do not use {both_units(torque)}" if doubt else both_units(torque)


def _doubt(report: Report, joint: str) -> str:
    """What speaks against the figure; "" for one that is in order."""
    name = f"{joint}_screw_torque_plausible"
    return next((f.said for f in report.findings if f.check == name and f.verdict is Verdict.NOT_KNOWN), "")


def _how(report: Report, joint: str, torque: float | None, count: int | None) -> Iterator[str]:
    steps = stages(torque, count) if torque and count else ()
    if steps:
        yield f"in {len(steps)} stages: {stages_said(steps, str(report.job.get('units')))}"
    if joint == "hat" and count and count > 2:
        yield f"order {'-'.join(map(str, star_order(count)))}, numbered round the circle"
    yield from _threads(report, joint)
    if joint == "hat" and report.cured.get("hat_screw_drilled") == "yes":
        yield "then wire the drilled heads in pairs"


def _threads(report: Report, joint: str) -> Iterator[str]:
    """What is on the threads; threadlocker is never used with a nylon lock nut: common practice, no source."""
    condition = report.cured.get(f"{joint}_screw_condition")
    if condition == "threadlocker" and _nylon(report, joint):
        yield "ask the kit maker before fitting: threadlocker is stated, and it is never used with a nylon lock nut"
    elif condition:
        yield {
            "dry": "threads clean and dry",
            "threadlocker": "threadlocker as the kit's sheet names it, threads clean and dry",
        }.get(condition, f"threads with {'oil' if condition == 'oiled' else condition}")


def _nylon(report: Report, joint: str) -> bool:
    """Whether nylon lock nuts go on these screws; where it is blank what the screws go into, the kind of nut tells."""
    get = report.cured.get
    into = {"bracket": get("bracket_screw_into"), "caliper": get("caliper_fastening")}.get(joint)
    return get(f"{joint}_nut_kind") == NYLON and into in (None, "nut", *STUDDED)


def _sockets(report: Report, joint: str, thread: Thread | None) -> tuple[str, ...]:
    """Tools that may turn the screws or their nuts; the head that was measured rules."""
    if thread is None:
        return ()
    flats = report.cured.get(f"{joint}_screw_head")
    if flats is not None:
        return tools(thread, flats)
    nuts = joint == "caliper" and report.cured.get("caliper_fastening") in STUDDED
    kinds = ("hexagon", "older hexagon", "hexagon nut", "12-point") if nuts else OPEN_KINDS
    return tools(thread, None, kinds)
