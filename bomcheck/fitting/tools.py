"""The tool list, from the screws, the line and the kind of kit."""

from collections.abc import Iterator
from dataclasses import dataclass

from bomcheck.fitting.torques import PLACES, STUDDED, torques
from bomcheck.notation.types import Thread
from bomcheck.report import Report
from bomcheck.screws.heads import heads
from bomcheck.screws.heads import tools as sockets_of
from bomcheck.screws.wire import wire


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
    nut: Thread | None = report.cured.get("nut_thread")
    if nut is not None:
        found = sockets_of(nut, None, ("hexagon", "older hexagon"))
        yield Tool(
            f"wheel nut socket{f', {found[0].split(chr(32))[0]} mm or as the nuts are' if found and nut.form == 'M' else ''}",
            "wheel",
        )
    if report.cured.get("hat_screw_drilled") == "yes":
        usual = wire()
        yield Tool(f"twisting pliers for safety wire{f' {usual}' if usual else ''}", PLACES["hat"])


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


def _for_line(report: Report) -> Iterator[Tool]:
    """Wrenches of the joints, and line tools."""
    answers = getattr(report.line, "answers", None) or ([report.line] if report.line else [])
    for answer in answers:
        for step in getattr(getattr(answer, "chain", None), "steps", ()):
            yield Tool(step.joint.wrenches, "brake line")
    yield Tool("cap or plug for the open line, rag and water", "brake line")


def _for_all(report: Report) -> Iterator[Tool]:
    yield Tool("dial gauge on a stand", "runout of hub and rotor")
    yield Tool("feeler gauges", "rotor in the caliper")
    yield Tool("vernier and rule", "pads, shims")
    yield Tool("wire brush and 0.02 mm straightedge or blade rule", "hub face and ears")
    yield Tool("bleed hose, bottle and bleed screw wrench", "bleeding")
    if report.cured.get("hub_removed") == "yes":
        yield Tool("hub nut socket and puller", "hub")
    if report.cured.get("park_brake") == "in caliper":
        yield Tool("tool that turns the piston back", "parking brake")
    if any(line.role == "wheel stud" and line.needed for line in report.parts):
        yield Tool("press, or a pull-in tool for studs", "hub")
