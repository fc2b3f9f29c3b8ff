"""Whether a part serves a demand: what speaks against it, and what it does not state."""

from collections.abc import Iterable
from functools import cache
from itertools import permutations
from typing import Any

from bomcheck.model.demand import BOTH, Demand
from bomcheck.model.finding import mm, mm_range
from bomcheck.model.job import Part
from bomcheck.model.records import dataclass, replace
from bomcheck.model.stack import other_stack
from bomcheck.model.types import NOISE, LineEnd, Thread
from bomcheck.rules.screw_strength import class_name, not_lower
from bomcheck.supply.counting import per_unit
from bomcheck.supply.line_ends import agrees
from bomcheck.supply.part_sizes import HANDED, side_in_words, worded
from bomcheck.supply.part_words import BY_WORDS, SEATS, YES, Answer, Matcher, by_its_words, kept_off_roads, text_says

ENDS = "its ends"
SIZES = ("length", "thickness", "inner_diameter", "outer_diameter")
# Spec key: a part in the box serves only if it states all that is asked for, as the kit's own part has failed a check.
ALL_STATED = "all_stated"
# Spec key: parts that make a check worse, each with what speaks against it.
REFUSED = "refused"
AS_TYPED = (REFUSED, "for_use")  # keys that name parts as they stand in their lists
NAMES = {"inner_diameter": "inside diameter", "outer_diameter": "outside diameter", "road_marked": "road mark"}


@dataclass(frozen=True, slots=True)
class Fit:
    """against: why the part does not serve. unstated: what the part does not say; it serves if that turns out well."""

    against: tuple[str, ...] = ()
    unstated: tuple[str, ...] = ()

    @property
    def serves(self) -> bool:
        """Nothing speaks against it."""
        return not self.against

    @property
    def surely(self) -> bool:
        """Nothing speaks against it and all that matters is stated."""
        return not self.against and not self.unstated

    @property
    def remark(self) -> str:
        """What to look at, "" where all is stated."""
        texts = [text if text.startswith(("its ", "whether ")) else f"its {text}" for text in self.unstated]
        return f"it does not state {', '.join(texts)}" if texts else ""


def fit(part: Part, demand: Demand) -> Fit:
    """Whether this part serves this demand, by role, side, counting and everything in its spec."""
    if part.role != demand.role:
        return Fit((f"it is a {part.role}, not a {demand.role}",))
    said, wrong = worded(part)
    answers = [(wrong, ""), _axle(part, demand), _side(part, demand), _counted(part, demand)]
    answers += by_its_words(part.role, (part.strength_class, part.description, part.note))
    answers += [
        _matcher(key)(part if key in AS_TYPED else said, key, wanted, demand)
        for key, wanted in demand.spec.items()
        if wanted is not None
    ]
    return Fit(tuple(text for text, _ in answers if text), tuple(text for _, text in answers if text))


def needed_side(demand: Demand) -> str:
    """left, right or either; the demand or its spec may say so."""
    return demand.side if demand.side != "either" else str(demand.spec.get("side", "either"))


def why_not(parts: Iterable[Part], demand: Demand, most: int = 3) -> str:
    """For parts of the role that do not serve: which and why, in one line; "" where there is none."""
    said = []
    for part in parts:
        answer = fit(part, demand) if part.role == demand.role else Fit()
        if answer.against:
            said.append(f"{called(part)} does not serve: {', '.join(answer.against)}")
    return "; ".join(dict.fromkeys(said[:most]))


def called(part: Part) -> str:
    """How a part is named in a sentence."""
    text = part.description or part.role
    return f"{text} ({part.part_number})" if part.part_number else text


def _matcher(key: str) -> Matcher:
    if key in SIZES:
        return _size
    own = {"thread": _thread, "class": _class, "end_a": _ends, "end_b": _no_answer, "side": _no_answer, "metal": _no_answer, "road_marked": _road, "chosen": lambda *_: ("its length is chosen on the car first", ""),
           "stack": _stack, ALL_STATED: _no_answer, REFUSED: lambda part, _key, wanted, _demand: next(((why, "") for other, why in wanted if other == part), YES)}  # fmt: skip
    return own.get(key) or BY_WORDS.get(key, text_says)


def _no_answer(_part: Part, _key: str, _wanted: Any, _demand: Demand) -> Answer:
    return YES


def _stack(part: Part, _key: str, wanted: Any, _demand: Demand) -> Answer:
    other = other_stack(part, wanted)
    return (f"it is {other}, {wanted} needed", "") if other else YES


def _axle(part: Part, demand: Demand) -> Answer:
    """What lies in the box of one axle's kit is not the other's."""
    elsewhere = part.axle and demand.axle and part.axle != demand.axle
    return (f"it lies in the box of the {part.axle} axle's kit", "") if elsewhere else YES


def _side(part: Part, demand: Demand) -> Answer:
    wanted, has = needed_side(demand), part.side or "either"
    if wanted in BOTH and has == "either" and part.role in HANDED:
        return "", "side"
    said = side_in_words(part.description) if part.role in HANDED else ""
    if said and has in BOTH and said != has:
        return f"its words say {said}, its column {has}: look which is right", ""
    return YES if "either" in (wanted, has) or has == wanted else (f"it is for the {has} side", "")


def _counted(part: Part, demand: Demand) -> Answer:
    factor = per_unit(part.role, part.unit, demand.unit)
    if factor is None:
        return f"it is counted in {part.unit or 'each'}: state how much one holds, in {demand.unit}", ""
    return ("", "contents") if factor == float("inf") else YES


def _size(part: Part, key: str, wanted: Any, _demand: Demand) -> Answer:
    name, stated = NAMES.get(key, key), getattr(part, key)
    if stated is None and key == "inner_diameter" and part.thread is not None:
        stated = part.thread.diameter
    if stated is None:
        return "", name
    low, high = wanted
    short, long = low is not None and stated < low - NOISE, high is not None and stated > high + NOISE
    return (f"its {name} is {mm(stated)}, {range_text(low, high)} needed", "") if short or long else YES


def range_text(low: float | None, high: float | None) -> str:
    """A range in mm as it is said: "40 to 42 mm", "at least 40 mm"."""
    if low is None or high is None:
        return f"at most {mm(high or 0.0)}" if low is None else f"at least {mm(low)}"
    return mm(low) if high - low < NOISE else mm_range(low, high)


@cache
def _read_thread(name: str) -> Thread | None:
    from bomcheck.notation.thread import read_thread

    return read_thread(name)


def thread_of(wanted: Any) -> Thread | None:
    """The thread of a spec, which may be given by its name."""
    return _read_thread(wanted) if isinstance(wanted, str) else wanted


def _thread(part: Part, _key: str, wanted: Any, _demand: Demand) -> Answer:
    has, must = part.thread, thread_of(wanted)
    if has is None or must is None:
        return "", "thread"
    if has.pitch is None or must.pitch is None:
        alike = abs(has.diameter - must.diameter) < NOISE
        return ("", "pitch") if alike else (f"its thread is {has.name}, {must.name} needed", "")
    return YES if has.name == must.name else (f"its thread is {has.name}, {must.name} needed", "")


def _class(part: Part, _key: str, wanted: Any, demand: Demand) -> Answer:
    if not part.strength_class or class_name(part.strength_class) == "not marked":
        return "", "class"
    thread = part.thread or thread_of(demand.spec.get("thread"))
    enough = not_lower(part.strength_class, str(wanted), thread.diameter if thread else None)
    if enough is None:
        return "", f"whether class {part.strength_class} is at least {wanted}"
    return YES if enough else (f"its class {part.strength_class} is lower than {wanted}", "")


@cache
def _read_end(name: str) -> LineEnd | None:
    from bomcheck.notation.line_end import read_line_end

    return read_line_end(name)


def _ends(part: Part, _key: str, wanted: Any, demand: Demand) -> Answer:
    """Both ends at once; which way round does not matter. What is stated counts also where the rest is not."""
    asked = [end for end in (wanted, demand.spec.get("end_b")) if end]
    must = [end for end in (_read_end(one) if isinstance(one, str) else one for one in asked) if end]
    ways = [list(zip(way, must, strict=True)) for way in permutations((part.end_a, part.end_b), len(must))]
    ways = [way for way in ways if all(has is None or agrees(has, end) for has, end in way)]
    if any(all(has is not None and not has.unknown for has, _ in way) for way in ways):
        return YES
    if ways:
        return "", ENDS
    return f"its ends are {' and '.join(end.name for end in (part.end_a, part.end_b) if end is not None)}", ""


def _road(part: Part, _key: str, wanted: Any, _demand: Demand) -> Answer:
    if wanted != "yes":
        return YES
    if part.road_marked == "yes":
        return kept_off_roads(part)
    return ("it is not road-marked" if part.road_marked == "no" else "it does not say that it is road-marked"), ""


def on_side(demand: Demand, side: str) -> Demand:
    """The same demand for one side of the car."""
    return replace(demand, side=side)


SAID = {
    "fluid": "{} based", "duty": "for {} use", "nut_kind": "{} nut", "metal": "metal", "pattern": "{}", "own_pilot": "with its own pilot",
    "public_roads": "for public roads too",
}  # fmt: skip
# Keys whose meaning the demand's own words or another key already carry.
UNSAID = ("end_b", "side", "use", "position", "stack", "chosen", "for_use", "pad_thickness", "bore", "said_pattern", "said_drum", "at_axle", ALL_STATED,
          REFUSED)  # fmt: skip


def spec_text(demand: Demand) -> str:
    """What the part must be: "M12x1.5, length 44.5 to 45.5 mm, class 10.9 or higher"."""
    said = [_spec_text_words(key, wanted, demand) for key, wanted in demand.spec.items() if wanted is not None]
    return ", ".join([text for text in said if text])


def _spec_text_words(key: str, wanted: Any, demand: Demand) -> str:
    if key in SIZES:
        return f"{NAMES.get(key, key)} {range_text(*wanted)}"
    if key == "class":
        return f"class {wanted} or higher"
    if key == "road_marked":
        return "road-marked" if wanted == "yes" else ""
    if key == "end_a":
        ends = [getattr(end, "name", end) for end in (wanted, demand.spec.get("end_b")) if end]
        return " to ".join(map(str, ends))
    if key in UNSAID:
        return ""
    if key in SEATS:
        return f"{key.replace('_', ' ')} {wanted:g}{' mm' if key == 'seat_radius' else '°'}"
    if key in SAID:
        return SAID[key].format(wanted)
    name = getattr(wanted, "name", str(wanted))
    return name if key == "thread" else f"{key.replace('_', ' ')} {name}"
