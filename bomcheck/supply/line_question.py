"""What is asked of the brake-line solver, and whether one part may serve: surely, perhaps, or not."""

from dataclasses import field
from math import inf

from bomcheck.model.demand import Demand
from bomcheck.model.finding import length, mm
from bomcheck.model.job import Part
from bomcheck.model.records import dataclass
from bomcheck.model.types import LineEnd
from bomcheck.supply.part_words import kept_off_roads
from bomcheck.supply.spec import fit

ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class ChainLimits:
    """slack, excess [mm]: a hose is at least path + slack long and at most `excess` longer. adapters [-]: at most two."""

    slack: float = 12.0
    excess: float = 60.0
    adapters: int = 2


@dataclass(frozen=True, slots=True)
class LineQuestion:
    """One line to be closed.

    path_length: (mm, ±mm) along the route at full droop and lock, None if not measured. road_use: None if not stated.
    needed_in_days: None if no date is set. side: "left", "right", or "centre" for one hose that serves the whole axle.
    has_bracket: a tab, on the car or new, holds the joint at the car's end. clip_on_car: its clip is there and sound.
    """

    car_end: LineEnd
    caliper_inlet: LineEnd
    path_length: tuple[float, float] | None
    road_use: bool | None = None
    needed_in_days: float | None = None
    has_bracket: bool = False
    clip_on_car: bool = False
    side: str = "left"
    limits: ChainLimits = field(default_factory=ChainLimits)


@dataclass(frozen=True, slots=True)
class Use:
    """Whether a part may serve. `against`: why it may not; `ask`: what would settle it. Both empty: it surely may."""

    against: str = ""
    ask: str = ""


YES = Use()


def surely(use: Use) -> bool:
    """Nothing speaks against the part and nothing is left to ask."""
    return not use.against and not use.ask


def perhaps(use: Use) -> bool:
    """Nothing speaks against the part, whatever the answers to what is left to ask."""
    return not use.against


def always(_use: Use) -> bool:
    """Every part, to see what was passed over."""
    return True


def may_serve(part: Part, source: str, question: LineQuestion) -> Use:
    """Everything about a part but its ends: side, delivery, and for a hose the road mark and the length."""
    uses = [_side(part, question.side), _delivery(part, source, question.needed_in_days)]
    uses.append(_words(part, question.road_use))
    if part.role == "hose":
        uses += [_road(part, question.road_use), _length(part, question)]
    refused = [use.against for use in uses if use.against]
    if refused:
        return Use(against="; ".join(refused))
    asks = [use.ask for use in uses if use.ask]
    return Use(ask=" ".join(asks)) if asks else YES


def hose_window(question: LineQuestion) -> tuple[float, float, float, float]:
    """Hose lengths [mm]: (shortest that may do, shortest that surely does, longest that surely does, longest that may)."""
    if question.path_length is None:
        return -inf, inf, -inf, inf
    path, half = question.path_length
    least, most = path + question.limits.slack, path + question.limits.slack + question.limits.excess
    return least - half, least + half, most - half, most + half


def called(part: Part) -> str:
    """How a part is named in a sentence."""
    return " ".join(text for text in (part.role, part.part_number or part.description) if text)


def _side(part: Part, side: str) -> Use:
    if part.side in ("", "either", side):
        return YES
    return Use(against=f"{called(part)} is for the {part.side} side only")


def _words(part: Part, road_use: bool | None) -> Use:
    """What its own words say against it, as for the parts list."""
    found = fit(part, Demand(part.role, 1, unit=part.unit or "each"))
    kept = kept_off_roads(part)[0] if road_use and part.role == "hose" else ""
    against = "; ".join(filter(None, (*found.against, kept)))
    return Use(
        f"{called(part)}: {against}" if against else "",
        f"Look at {called(part)}: {found.remark}." if found.unstated else "",
    )


def _delivery(part: Part, source: str, days: float | None) -> Use:
    if days is None or source != "order":
        return YES
    if part.lead_days is None:
        return Use(ask=f"How many days does {called(part)} take to arrive? Ask {part.supplier or 'the supplier'}.")
    if part.lead_days <= days:
        return YES
    takes = f"{part.lead_days:g} day{'' if part.lead_days == 1 else 's'}"
    return Use(against=f"{called(part)} takes {takes}, needed in {days:g}")


def _road(part: Part, road_use: bool | None) -> Use:
    if road_use is False or part.road_marked == "yes":
        return YES
    state = "is not road-marked" if part.road_marked == "no" else "does not say whether it is road-marked"
    if road_use:
        return Use(against=f"{called(part)} {state}; the car is used on the road")
    return Use(ask=f"Is the car used on the road? {called(part)[:1].upper()}{called(part)[1:]} {state}.")


def _length(part: Part, question: LineQuestion) -> Use:
    if part.length is None:
        return Use(ask=f"How long is {called(part)}? Read its tag, or measure it end to end.")
    if question.path_length is None:
        return Use(ask=path_question())
    low, sure_low, sure_high, high = hose_window(question)
    if part.length < low - ROUNDING:
        return Use(against=f"{called(part)} is {mm(part.length)}, too short: at least {mm(sure_low)} are needed")
    if part.length > high + ROUNDING:
        return Use(against=f"{called(part)} is {mm(part.length)}, too long: at most {mm(sure_high)} are allowed")
    if sure_low - ROUNDING <= part.length <= sure_high + ROUNDING:
        return YES
    return Use(ask=_measure_better(part, question))


def path_question() -> str:
    """What to ask when the path was not measured."""
    return (
        "How long is the hose's path? Lay a string along the route at full droop and at full lock, "
        "and take the longer one in mm."
    )


def _measure_better(part: Part, question: LineQuestion) -> str:
    """Names the ± at which this hose is surely good or surely not."""
    assert question.path_length is not None
    assert part.length is not None
    path, half = question.path_length
    least = path + question.limits.slack
    nearest = min(abs(part.length - least), abs(least + question.limits.excess - part.length))
    wanted = f"within ±{mm(nearest)}" if nearest > ROUNDING else "more exactly"
    return (
        f"Measure the hose's path {wanted} (now {length(path)} ±{mm(half)}): "
        f"{called(part)}, {mm(part.length)}, is right for a part of that range only."
    )
