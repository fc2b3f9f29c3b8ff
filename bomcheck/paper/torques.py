"""Assembly preload and torque from the friction of thread and head: a second way beside the nut factor.

Source: VDI 2230 part 1:2003, equations 5.4/20 and R13: preload at 90 percent of the least yield strength, bolt loaded by
tension and twist together. The bearing face of the head from ISO 4014/4017, the hole of ISO 273 (medium).
"""

import math
from collections.abc import Iterator, Mapping
from typing import Any

from bomcheck.model.records import dataclass
from bomcheck.model.report import Report
from bomcheck.model.types import Thread
from bomcheck.model.verdict import Verdict
from bomcheck.paper.wrenches import heads, stages, star_order, tools, wire, wrench_for, wrenches_for
from bomcheck.rules import screw_strength as screws
from bomcheck.rules.joint_table import JOINTS, condition, screw_count
from bomcheck.tables.fields import fields

YIELD_SHARE = 0.90
# Least 0.2 % yield stress [MPa], up to M16 and above: ISO 898-1:2013 table 3, from memory.
YIELD = {"8.8": (640.0, 660.0), "10.9": (940.0, 940.0), "12.9": (1100.0, 1100.0)}
# Nominal diameter -> (least bearing diameter under a hexagon head, medium clearance hole) [mm]: ISO 4014, ISO 273.
BEARING = {
    6.0: (8.88, 6.6), 8.0: (11.63, 9.0), 10.0: (14.63, 11.0), 12.0: (16.63, 13.5), 14.0: (19.64, 15.5),
    16.0: (22.49, 17.5),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Tightened:
    """tension [N] and torque [N·m] of the tightened screw."""

    tension: float
    torque: float


def tightened(thread: Thread, grade: str, friction: float = 0.12) -> Tightened | None:
    """Preload and torque of a metric hexagon screw; None where thread, pitch or class is not in the tables.

    friction [-]: the same in the thread and under the head.
    """
    bearing, strong = BEARING.get(thread.diameter), YIELD.get(grade)
    if thread.form != "M" or thread.pitch is None or bearing is None or strong is None:
        return None
    pitch, middle = thread.pitch, thread.diameter - 0.649519 * thread.pitch
    stressed = (middle + thread.diameter - 1.226869 * pitch) / 2
    twist = 1.5 * middle / stressed * (pitch / (math.pi * middle) + 1.155 * friction)
    yielding = strong[0] if thread.diameter <= 16 else strong[1]
    tension = math.pi / 4 * stressed**2 * YIELD_SHARE * yielding / math.sqrt(1 + 3 * twist**2)
    arm = 0.16 * pitch + 0.58 * middle * friction + sum(bearing) / 4 * friction
    return Tightened(tension, tension * arm / 1000.0)


def strength_of(report: Report, joint: str) -> str:
    """ "49 % of the screw's proof strength, 49.7 kN; ..." with what the nut factor's scatter makes of it."""
    values: list[Any] = [
        report.cured.get(f"{joint}_screw_{what}") for what in ("torque", "thread", "class", "condition")
    ]
    if any(value is None for value in values[:3]):
        return ""
    torque, thread, grade, condition = values
    use, load = screws.proof_use(torque, thread, str(grade), condition), screws.proof_load(thread, str(grade))
    if use is None or load is None:
        return ""
    tension = screws.force(use.low * load, use.high * load)
    said = f"{_percent(use.low, use.high)} of the screw's proof strength, {tension}"
    return f"{said}; {_scatter(torque, thread, load, condition)}{_book(thread, str(grade))}"


def _scatter(torque: float, thread: Thread, load: float, condition: str | None) -> str:
    """What the nut factors that are seen for this condition make of the figure; an unknown one is a range already."""
    slick, rough = screws.nut_factors_seen(condition)
    factors = f"nut factors of {_span(slick, rough, 2)}"
    if condition is None:
        return f"condition not known, so for {factors}"
    low, high = (screws.preload(torque, thread.diameter, factor) / load for factor in (rough, slick))
    return f"{factors} are seen for {condition}: {_percent(low, high)}"


def _span(low: float, high: float, digits: int) -> str:
    first, last = f"{low:.{digits}f}", f"{high:.{digits}f}"
    return first if first == last else f"{first} to {last}"


def _percent(low: float, high: float) -> str:
    return f"{_span(low * 100, high * 100, 0)} %"


def _book(thread: Thread, grade: str) -> str:
    """What the friction formula allows a metric screw at most, for comparison only."""
    most = tightened(thread, grade)
    return (
        f"; the screw takes at most {screws.both_units(round(most.torque))} by VDI 2230, friction 0.12" if most else ""
    )


FASTENERS = ("hat", "bracket", "caliper")
STUDDED = ("stud in bracket", "screw and nut")
NYLON = "nylon lock"
OPEN_KINDS = ("hexagon", "older hexagon", "12-point", "socket")


@dataclass(frozen=True, slots=True)
class Torque:
    """One joint. joint: row of `tables/joints.txt`. place: as the parts list names it. screws: what they are. torque:
    in both units, or what to ask. asked [N·m]: 0 where the figure must be asked first. how: stages, order, locking.
    wrenches, sockets: tools. strength: what the figure asks of the screw. bench: name of its row for what the bench writes."""

    joint: str
    place: str
    screws: str
    torque: str
    asked: float
    how: str
    wrenches: tuple[str, ...]
    sockets: tuple[str, ...]
    strength: str
    bench: str = ""


PLACES = {joint: row["place"] for joint, row in JOINTS.items()}
BLANK = "as the maker prints: ______"


def torques(report: Report) -> tuple[Torque, ...]:
    """Every screwed joint that the corner has, in the order of the work, from the list of joints."""
    made = (row for row in JOINTS.values() if _has(report, condition(row["when"])))
    return tuple(_torque(report, row["joint"]) if row["joint"] in FASTENERS else _printed(report, row) for row in made)


def _has(report: Report, when: Mapping[str, tuple[str, ...]]) -> bool:
    inlet = report.cured.get("caliper_inlet")
    known = {"inlet_seat": (inlet.seat if inlet is not None else "") or "not known"}
    return all((known[key] if key in known else report.cured.get(key)) in allowed for key, allowed in when.items())


def _printed(report: Report, row: Mapping[str, str]) -> Torque:
    """A joint of which the kit's sheet describes no screw: as its maker prints it, where nothing was typed."""
    get = report.cured.get
    circle: Any = get("hub_bolt_circle")
    between = [len(steps) - 1 for steps in _line_joints(report)]  # all joints of the line but the one at the caliper
    counted = {"hub_lug_count": circle.count if circle is not None else None, "line_joints": max(between, default=1)}
    count = counted.get(row["count"], row["count"]) if row["count"] else None
    torque = get(f"{row['screw']}_torque") if row["screw"] else None
    thread = {"wheel": get("nut_thread"), "banjo": getattr(get("caliper_inlet"), "thread", None)}.get(row["joint"])
    names = (f"{count} x" if count else "", row["screws"], thread.name if thread else "")
    how = [row["how"]]
    if row["joint"] == "wheel" and count and int(count) > 2:
        how.append(f"order {'-'.join(map(str, star_order(int(count))))}")
    return Torque(
        row["joint"], row["place"], " ".join(name for name in names if name), screws.both_units(torque) if torque else BLANK, torque or 0.0,
        "; ".join(how), _wrenches(torque, int(count)) if torque and count else (), _turned_by(row, thread), "",
    )  # fmt: skip


def _turned_by(row: Mapping[str, str], thread: Thread | None) -> tuple[str, ...]:
    """What turns it; wheel nuts have sizes of their own, which no screw table knows."""
    if row["joint"] == "wheel":
        inch = thread is not None and thread.form == "UN"
        return (f"wheel nut socket: {'3/4 or 13/16 in' if inch else '17, 19 or 21 mm'}, as the nuts are",)
    return (row["tool"],)


def _torque(report: Report, joint: str) -> Torque:
    get = report.cured.get
    thread, grade, torque = (get(f"{joint}_screw_{what}") for what in ("thread", "class", "torque"))
    count = screw_count(joint, get)
    names = (f"{count} x" if count else "", thread.name if thread else "", str(grade or ""))
    doubt = _doubt(report, joint) if torque is not None else ""
    usable = torque if not doubt else None
    named, figure = " ".join(filter(None, names)) or "not known", _figure(joint, torque, doubt)
    how, sockets = "; ".join(_how(report, joint, usable, count)), _sockets(report, joint, thread)
    strength = strength_of(report, joint) if usable is not None else doubt
    wrenches = _wrenches(usable, count) if usable else ()
    return Torque(joint, PLACES[joint], named, figure, usable or 0.0, how, wrenches, sockets, strength)


def _wrenches(torque: float, count: int | None) -> tuple[str, ...]:
    """Torque wrenches for every stage; one of its own for a figure that none of the workshop's measures."""
    figures = stages(torque, count) if count else (torque,)
    named = tuple(str(one) for one in wrenches_for(figures))
    return named if wrench_for(torque) else (*named, f"torque wrench for {screws.both_units(torque)}")


def _figure(joint: str, torque: float | None, doubt: str) -> str:
    if torque is None:
        return f"kit's sheet: ______ ({fields()[f'{joint}_screw_torque'].question})"
    return f"Ask first, do not use {screws.both_units(torque)}" if doubt else screws.both_units(torque)


def _doubt(report: Report, joint: str) -> str:
    """What speaks against the figure; "" for one that is in order."""
    name = f"{joint}_screw_torque_plausible"
    return next((f.said for f in report.findings if f.check == name and f.verdict is Verdict.NOT_KNOWN), "")


def _how(report: Report, joint: str, torque: float | None, count: int | None) -> Iterator[str]:
    steps = stages(torque, count) if torque and count else ()
    if steps:
        yield f"in {len(steps)} stages: {screws.stages_said(steps, str(report.job.get('units')))}"
    if count and count > 2:
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
        return (f"socket or key for the {JOINTS[joint]['screws']}, as they are",)
    flats = report.cured.get(f"{joint}_screw_head")
    if flats is not None:
        return tools(thread, flats)
    nuts = joint == "caliper" and report.cured.get("caliper_fastening") in STUDDED
    kinds = ("hexagon", "older hexagon", "hexagon nut", "12-point") if nuts else OPEN_KINDS
    return tools(thread, None, kinds)


@dataclass(frozen=True, slots=True)
class Tool:
    """name and what it is for."""

    name: str
    use: str


def tool_list(report: Report) -> tuple[Tool, ...]:
    """Every tool once, with all its uses."""
    uses: dict[str, list[str]] = {}
    for tool in (*_for_screws(report), *_for_line(report), *_for_all(report)):
        uses.setdefault(tool.name, []).append(tool.use)
    return tuple(Tool(name, ", ".join(dict.fromkeys(found))) for name, found in uses.items())


def _for_screws(report: Report) -> Iterator[Tool]:
    for row in torques(report):
        if row.sockets:
            known = "" if len(row.sockets) == 1 else ", whichever the screw takes"
            yield Tool(" or ".join(row.sockets) + known, row.place)
        second = _second(report, row.joint)
        if second:
            yield Tool(second, row.place)
        for wrench in row.wrenches:
            yield Tool(wrench, row.place)
    if report.cured.get("hat_screw_drilled") == "yes":
        yield Tool(f"twisting pliers for safety wire {wire()}", PLACES["hat"])


def _second(report: Report, joint: str) -> str:
    """The wrench for the other end of a screw with a nut; "" where there is none. A stud in its bracket holds itself."""
    thread: Thread | None = report.cured.get(f"{joint}_screw_thread")
    nuts = any(line.role == f"{joint} nut" and line.needed > 0 for line in report.parts)
    if not nuts or (report.cured.get("caliper_fastening") == STUDDED[0] and joint == "caliper"):
        return ""
    sizes = _nut_sizes(thread) if thread else ()
    named = f" of {' or '.join(sizes)}" if sizes else ""
    return f"second wrench{named} for the nuts: one tool holds, the other turns"


def _nut_sizes(thread: Thread) -> tuple[str, ...]:
    """Sizes of this thread's nuts, "16 mm"; a metric nut is as wide as a hexagon head (ISO 4032, from memory)."""
    found = heads(thread)
    own = [head.size for head in found if head.kind == "hexagon nut"]
    return tuple(dict.fromkeys(own or [head.size for head in found if "hexagon" in head.kind]))


def _line_joints(report: Report) -> list[tuple[Any, ...]]:
    """The joints of each closed line, from the car's end to the caliper."""
    answers = getattr(report.line, "answers", None) or ([report.line] if report.line else [])
    return [chain.steps for answer in answers if (chain := getattr(answer, "chain", None)) and chain.steps]


def _for_line(report: Report) -> Iterator[Tool]:
    """Wrenches of the joints, and line tools."""
    for steps in _line_joints(report):
        yield from (Tool(step.joint.wrenches, "brake line") for step in steps)
    yield Tool("cap or plug for the open line, rag and water", "brake line")


def _for_all(report: Report) -> Iterator[Tool]:
    yield Tool("dial gauge on a stand", "runout of hub and rotor")
    yield Tool("feeler gauges", "rotor in the caliper")
    yield Tool("vernier and rule", "pads, shims")
    yield Tool("wire brush and 0.02 mm straightedge or blade rule", "hub face and ears")
    yield Tool("bleed hose, bottle and bleed screw wrench", "bleeding")
    if "in caliper" in (report.cured.get("park_brake"), report.cured.get("kit_park_brake")):
        yield Tool("tool that turns the piston back", "parking brake")
    if any(line.role == "wheel stud" and line.needed for line in report.parts):
        yield Tool("press, or a pull-in tool for studs", "hub")
