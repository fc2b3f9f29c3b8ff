"""What the brake line consumes."""

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from bomcheck.model.demand import BOTH, Asked, Demand, ask_of
from bomcheck.model.finding import mm
from bomcheck.model.limits import limit_for
from bomcheck.model.records import replace
from bomcheck.model.types import LineEnd
from bomcheck.supply.line_arrangement import CENTRE_HOSE, AxleLines
from bomcheck.supply.line_chain import Answer, AskFirst, Closed, Open
from bomcheck.supply.line_ends import Joint, Need, joins, opposite
from bomcheck.supply.line_question import path_question
from bomcheck.supply.line_words import Chain, Link, added_up
from bomcheck.supply.needs import SCREW_SLACK, Assembly, around, needs, only_ask
from bomcheck.tables.fields import fields

REASONS = "; "  # between two reasons of one part


def for_both(corners: Sequence[list[Demand]]) -> list[Demand]:
    """What both corners take alike, for whatever reason, counts per corner; the rest is for the left or the right one."""
    if len(corners) < 2 or corners[0] == corners[1]:
        return corners[0] if corners else []
    alike = [_one_of(one, same) for one in corners[0] if (same := _alike(one, corners[1]))]
    rest = [
        replace(one, side=side)
        for side, corner, other in zip(BOTH, corners, reversed(corners), strict=True)
        for one in corner
        if not _alike(one, other)
    ]
    return alike + rest


def _alike(demand: Demand, others: Sequence[Demand]) -> list[Demand]:
    return [other for other in others if _part(other) == _part(demand)]


def _part(demand: Demand) -> dict[str, Any]:
    """What part it is and how many, without why and without what is asked about it."""
    return {key: value for key, value in vars(demand).items() if key not in ("reason", "ask")}


def _one_of(demand: Demand, same: Sequence[Demand]) -> Demand:
    """One demand for both corners, with the reasons and the questions of either."""
    reasons = dict.fromkeys(text for one in (demand, *same) for text in one.reason.split(REASONS))
    asks = dict.fromkeys(text for one in (demand, *same) if (text := ask_of(one)))
    whole = Demand(**_part(demand), reason=REASONS.join(reasons))
    return Asked(**vars(whole), ask=" ".join(asks)) if asks else whole


PLACE = "brake line"
BOTH_ENDS = ("line_end", "caliper_inlet")
WASHER_UNDER, WASHER_OVER = (
    0.05,
    0.4,
)  # mm that a sealing washer's hole may differ from its screw: common practice, no source
SEALANT = 0.5  # mL for one taper joint: common practice, no source
BULKHEAD = "bulkhead"
LEADS = "leads the fluid to the caliper"
HELD = ("line clip",)  # follows from the tab and its clip, not from the chain


def line_demands(assembly: Assembly) -> list[Demand]:
    """All that the lines of the axle take, by corner; with a centre hose by axle."""
    lines: AxleLines | None = assembly.line
    if lines is None:
        return list(_bare(assembly, _questions(assembly)))
    if lines.refused:
        return [Asked("brake tube", 0, unit="m", said="brake line", ask=lines.refused, used_at=PLACE)]
    if lines.arrangement == CENTRE_HOSE:
        return [replace(demand, per="axle") for demand in _of_centre(assembly, lines)]
    return for_both([list(_of_answer(assembly, answer)) for answer in lines.answers])


def _of_centre(assembly: Assembly, lines: AxleLines) -> Iterator[Demand]:
    """One hose to a tee; from there on rigid tubes, whose length is measured on the car."""
    for answer in lines.answers:
        yield from _of_answer(assembly, answer)
    if lines.tee is not None:
        ends = {key: end.name for key, end in (("end_a", lines.tee.end_a), ("end_b", lines.tee.end_b)) if end}
        yield Demand("tee", 1, spec=ends, said="tee", reason="divides the line to both corners", used_at=PLACE)
    yield from _used_up(assembly, lines.tubes)
    ask = " ".join(lines.remarks)
    yield Asked("brake tube", 0, unit="m", said="rigid tubes from the tee to the calipers", ask=ask, used_at=PLACE)


def _of_answer(assembly: Assembly, answer: Answer) -> Iterator[Demand]:
    if isinstance(answer, Closed):
        yield from _of_chain(assembly, answer.chain, " ".join(answer.questions) if answer.first_ask else "")
    elif isinstance(answer, AskFirst):
        ask = " ".join(answer.questions)
        yield from _of_chain(assembly, answer.possible, ask) if answer.possible else _bare(assembly, ask)
    elif answer.missing is not None:
        asks = dict.fromkeys([*answer.missing.asks, *_path_asks(assembly)])
        yield from _of_chain(assembly, answer.missing.chain, " ".join(asks))
    else:
        yield from _bare(assembly, " ".join(_path_asks(assembly)), _open_reason(answer))


def _of_chain(assembly: Assembly, chain: Chain, ask: str) -> Iterator[Demand]:
    for link in chain.links:
        spec = (
            _hose_spec(assembly, link.toward_car, link.toward_caliper)
            if link.part.role == "hose"
            else _adapter_spec(link)
        )
        reason = LEADS if link.part.role == "hose" else "the ends do not meet without it"
        yield _asked(Demand(link.part.role, 1, spec=spec, reason=reason, used_at=PLACE, said=link.part.role), ask)
    at_both_ends = {(need.role, need.spec): need.quantity for need in _at_ends(_known_ends(assembly))}
    for need in chain.needs:
        sure = not ask or need.quantity <= at_both_ends.get((need.role, need.spec), 0)
        yield from (_asked(one, "" if sure else ask) for one in _used_up(assembly, [need]))


def _known_ends(assembly: Assembly) -> list[LineEnd]:
    """The car's end and the caliper's inlet, those that are fully known."""
    ends = (assembly.get(key) for key in BOTH_ENDS)
    return [end for end in ends if end is not None and not end.unknown]


def _at_ends(ends: Iterable[LineEnd]) -> tuple[Need, ...]:
    """What the joints at both ends of the line take, whatever lies between."""
    joints = [joint for end in ends if isinstance(joint := joins(end, opposite(end)), Joint)]
    return added_up(need for joint in joints for need in joint.needs)


def _adapter_spec(link: Link) -> dict[str, Any]:
    spec: dict[str, Any] = {"end_a": link.toward_car.name, "end_b": link.toward_caliper.name}
    if BULKHEAD in f"{link.part.description} {link.part.note}".lower():
        spec["kind"] = BULKHEAD
    return spec


def _hose_spec(assembly: Assembly, near: LineEnd | None, far: LineEnd | None) -> dict[str, Any]:
    spec: dict[str, Any] = {"end_a": near.name, "end_b": far.name} if near and far else {}
    window = _window(assembly)
    if window is not None:
        spec["length"] = window
    if assembly.get("road_use") != "no":
        spec["road_marked"] = "yes"
    return spec


def _window(assembly: Assembly) -> tuple[float, float] | None:
    """Hose lengths that are right for every path inside its ± [mm]; None where the path is not known well enough."""
    path = assembly.get("hose_path_length")
    if path is None:
        return None
    half, slack = assembly.sizes.half("hose_path_length"), limit_for("hose_slack", assembly.job).low or 0.0
    low, high = path + half + slack, path - half + slack + (limit_for("hose_excess", assembly.job).high or 0.0)
    return (low, high) if low <= high else None


def _path_asks(assembly: Assembly) -> list[str]:
    """What is to be asked before anybody can say how long the hose must be; nothing where that is known."""
    if assembly.get("hose_path_length") is None:
        return [path_question()]
    if _window(assembly) is not None:
        return []
    half = (limit_for("hose_excess", assembly.job).high or 0.0) / 2
    return [f"Measure the hose's path within ±{mm(half)}: as it is now, no hose is right for all that it may be."]


def _bare(assembly: Assembly, ask: str, reason: str = LEADS) -> Iterator[Demand]:
    """No chain is known: one hose from end to end, as far as the ends are known, and what its two joints take."""
    ends = _known_ends(assembly)
    near, far = (opposite(end) for end in ends) if len(ends) == len(BOTH_ENDS) else (None, None)
    spec = _hose_spec(assembly, near, far)
    yield _asked(Demand("hose", 1, spec=spec, said="hose", reason=reason, used_at=PLACE), ask)
    yield from _used_up(assembly, _at_ends(ends))


def _open_reason(answer: Open) -> str:
    texts = [LEADS, f"nothing in the box or the price list closes the line: {answer.open_joint}", *answer.reasons]
    if answer.wanted_adapter:
        texts.append(f"an adapter would do it as well: {answer.wanted_adapter}")
    return "; ".join(texts)


def _questions(assembly: Assembly) -> str:
    blank = [key for key in ("line_end", "caliper_inlet", "hose_path_length") if not assembly.sizes.has(key)]
    return " ".join(fields()[key].question for key in blank) or "Which hose leads from the car's line to the caliper?"


def _asked(demand: Demand, ask: str) -> Demand:
    return Asked(**vars(demand), ask=ask) if ask else demand


def _used_up(assembly: Assembly, needs: Iterable[Need]) -> Iterator[Demand]:
    for need in needs:
        if need.role not in HELD:
            yield _of_need(assembly, need)


def _of_need(assembly: Assembly, need: Need) -> Demand:
    rest: dict[str, Any] = {"reason": need.reason, "used_at": PLACE, "one_time": need.one_time}
    if need.role == "thread sealant":
        return Demand(need.role, need.quantity * SEALANT, unit="mL", said=f"sealant {need.spec}", **rest)
    said = need.role if need.role in ("sealing washer", "banjo screw", "tube nut") else f"{need.role} {need.spec}"
    return Demand(need.role, need.quantity, spec=_need_spec(assembly, need), said=said, **rest)


def _need_spec(assembly: Assembly, need: Need) -> dict[str, Any]:
    if need.bore is not None:
        return {"inner_diameter": (round(need.bore - WASHER_UNDER, 4), round(need.bore + WASHER_OVER, 4))}
    spec: dict[str, Any] = {"thread": need.thread.name} if need.thread else {}
    length = assembly.get("banjo_screw_length")
    if need.role == "banjo screw":
        window = _banjo_window(assembly, need)
        if window is not None or length is not None:
            spec["length"] = window or around(length, SCREW_SLACK)
    return spec


def _banjo_window(assembly: Assembly, need: Need) -> tuple[float, float] | None:
    """Lengths under the head that hold in the port and stay above its bottom for every true size [mm]; None while one is blank."""
    keys = ("banjo_thickness", "banjo_washers", "caliper_inlet_depth")
    if need.thread is None or not all(assembly.sizes.has(key) for key in keys):
        return None
    middle = {key: float(assembly.get(key)) for key in keys}
    half = {key: assembly.sizes.half(key) for key in keys}
    passed, slack = middle[keys[0]] + middle[keys[1]], half[keys[0]] + half[keys[1]]
    held = need.thread.diameter * (limit_for("banjo_engagement", assembly.job).low or 0.0)
    low = passed + slack + held
    high = passed - slack + middle[keys[2]] - half[keys[2]] - (limit_for("banjo_depth", assembly.job).low or 0.0)
    return (round(low, 1), round(high, 1)) if low <= high else None


IN_TAB = "line in its tab"


@needs
def hose_line(assembly: Assembly) -> Iterator[Demand]:
    """Hose, adapters, washers, screws and sealant from the car's line to the caliper."""
    yield from line_demands(assembly)


@needs
def line_clip(assembly: Assembly) -> Iterator[Demand]:
    """A clip holds the joint in its tab; the old one stays where it is sound."""
    there = assembly.get("line_bracket")
    if there is None:
        yield from only_ask(assembly, "line clip", "line_bracket", used_at=IN_TAB)
        return
    if there == "no":
        said = "bracket that holds the joint of tube and hose, with its screw"
        reason = "nothing on the car holds that joint; one that moves breaks its tube"
        yield Demand("strut bracket", 1, said=said, reason=reason, used_at=IN_TAB)
    yield _clip(there == "yes" and assembly.get("line_clip") == "yes")


def _clip(on_car: bool) -> Demand:
    rest: dict[str, Any] = {"said": "clip for the line's tab", "used_at": IN_TAB}
    if on_car:
        return Demand("line clip", 1, on_car=True, reason="the clip on the car is sound and stays", **rest)
    return Demand("line clip", 1, one_time=True, reason="no sound clip is on the car", **rest)
