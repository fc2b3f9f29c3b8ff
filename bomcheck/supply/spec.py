"""Whether a part serves a demand: what speaks against it, and what it does not state."""

import re
from collections.abc import Callable, Iterable
from contextlib import suppress
from functools import cache
from itertools import permutations
from typing import Any

from bomcheck.model.demand import BOTH, Demand
from bomcheck.model.errors import Unreadable
from bomcheck.model.finding import mm, mm_range
from bomcheck.model.job import Part
from bomcheck.model.records import dataclass, replace
from bomcheck.model.stack import other_stack
from bomcheck.model.types import BoltCircle, LineEnd, Thread
from bomcheck.rules.screw_strength import class_name, not_lower
from bomcheck.supply.counting import per_unit
from bomcheck.supply.line_ends import agrees

ENDS = "its ends"
HANDED = ("rotor", "caliper")  # of which left and right are two parts, where one side is asked for
SIZES = ("length", "thickness", "inner_diameter", "outer_diameter")
SLACK = 1e-6  # mm: the noise of adding sizes
SAME_CIRCLE = 0.3  # mm between circles that are one: the nearest two with names are 0.65 apart
_FAST = re.compile(r"\bfast road\b", re.IGNORECASE)
# Spec key: a part in the box serves only if it states all that is asked for, as the kit's own part has failed a check.
ALL_STATED = "all_stated"
# Spec key: parts that make a check worse, each with what speaks against it.
REFUSED = "refused"
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


Answer = tuple[str, str]
"""(What speaks against it, what is not stated), "" for nothing."""
YES: Answer = ("", "")


def fit(part: Part, demand: Demand) -> Fit:
    """Whether this part serves this demand, by role, side, counting and everything in its spec."""
    if part.role != demand.role:
        return Fit((f"it is a {part.role}, not a {demand.role}",))
    answers = [_axle(part, demand), _side(part, demand), _counted(part, demand)]
    answers += [_matcher(key)(part, key, wanted, demand) for key, wanted in demand.spec.items() if wanted is not None]
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


def _matcher(key: str) -> Callable[[Part, str, Any, Demand], Answer]:
    if key in SIZES:
        return _size
    return {"thread": _thread, "class": _class, "end_a": _ends, "end_b": _no_answer, "side": _no_answer,
            "road_marked": _road, "fluid": _fluid, "duty": _duty, "public_roads": _public_roads, "nut_kind": _nut_kind, "pattern": _pattern,
            "own_pilot": _own_pilot, "metal": _metal, "chosen": _chosen,
            "stack": _stack, "seat_radius": _seat, "seat_angle": _seat, ALL_STATED: _no_answer, REFUSED: _refused}.get(key, _text)  # fmt: skip


def _no_answer(_part: Part, _key: str, _wanted: Any, _demand: Demand) -> Answer:
    return YES


def _refused(part: Part, _key: str, wanted: Any, _demand: Demand) -> Answer:
    return next(((why, "") for other, why in wanted if other == part), YES)


def _stack(part: Part, _key: str, wanted: Any, _demand: Demand) -> Answer:
    other = other_stack(part, wanted)
    return (f"it is {other}, {wanted} needed", "") if other else YES


SEATS = {"seat_radius": r"\br(?:adius)? ?(\d+(?:\.\d+)?)\b", "seat_angle": r"(\d+(?:\.\d+)?) ?(?:°|deg)"}


def _seat(part: Part, key: str, wanted: Any, _demand: Demand) -> Answer:
    """The radius of a ball or the angle of a cone, as it stands in the part's words: "R13", "radius 13", "60°", "60 degrees"."""
    found = re.findall(SEATS[key], f"{part.strength_class} {part.description} {part.note}".lower())
    name, unit = key.replace("_", " "), " mm" if key == "seat_radius" else "°"
    if not found:
        return "", name
    said = float(found[0])
    return YES if abs(said - wanted) < SLACK else (f"its {name} is {said:g}{unit}, {wanted:g}{unit} needed", "")


def _axle(part: Part, demand: Demand) -> Answer:
    """What lies in the box of one axle's kit is not the other's."""
    elsewhere = part.axle and demand.axle and part.axle != demand.axle
    return (f"it lies in the box of the {part.axle} axle's kit", "") if elsewhere else YES


def _side(part: Part, demand: Demand) -> Answer:
    wanted, has = needed_side(demand), part.side or "either"
    if wanted in BOTH and has == "either" and part.role in HANDED:
        return "", "side"
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
    short, long = low is not None and stated < low - SLACK, high is not None and stated > high + SLACK
    return (f"its {name} is {mm(stated)}, {range_text(low, high)} needed", "") if short or long else YES


def range_text(low: float | None, high: float | None) -> str:
    """A range in mm as it is said: "40 to 42 mm", "at least 40 mm"."""
    if low is None or high is None:
        return f"at most {mm(high or 0.0)}" if low is None else f"at least {mm(low)}"
    return mm(low) if high - low < SLACK else mm_range(low, high)


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
        alike = abs(has.diameter - must.diameter) < SLACK
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
    if wanted != "yes" or part.road_marked == "yes":
        return YES
    return ("it is not road-marked" if part.road_marked == "no" else "it does not say that it is road-marked"), ""


def _duty(part: Part, key: str, wanted: Any, demand: Demand) -> Answer:
    """A pad that does not say what use it is for is not for this one, and one for fast road is not one for the road."""
    if wanted == "road":
        part = replace(part, description=_FAST.sub("", part.description), note=_FAST.sub("", part.note))
    found = _text(part, key, wanted, demand)
    return found if found == YES or found[0] else (f"it does not say that it is for {wanted} use", "")


def _fluid(part: Part, _key: str, wanted: Any, _demand: Demand) -> Answer:
    """Silicone fluid (DOT 5, but not 5.1) never mixes with the glycol fluids, and mineral oil swells their seals.
    Source: 49 CFR 571.116, classes by base."""
    named = re.sub(r"^(?=[345](?:\.1)?$)", "DOT ", part.strength_class.strip())  # "4" in the column of the class
    texts = (named, part.description)
    oil = " (?:mineral|lhm) " if "dot" in _words(" ".join(texts)) else " (?:mineral|hydraulic|oil|lhm) "
    base = "silicone" if _says(texts, " (?:silicone|dot ?5(?! 1)) ") else "mineral" if _says(texts, oil) else "glycol"
    if base != wanted:
        return f"it is {base} fluid, {wanted} needed", ""
    if _says(texts, " dot ?(?:3 )?(?:or |and )?(?:dot )?(?:4|5 1) "):
        return YES
    return "", "whether DOT 3 is the class on the reservoir's cap" if _says(texts, " dot ?3 ") else "class"


def _nut_kind(part: Part, _key: str, wanted: Any, _demand: Demand) -> Answer:
    """A plain nut locks nothing, and nylon gives up where brakes get hot: common practice, no source."""
    texts = (part.strength_class, part.description, part.note)
    nylon, metal = (
        _says(texts, r" nyl\w* "),
        _says(texts, r" (?:all ?metal|metal lock\w*|crimped|deformed) "),
    )  # nyloc, nylock
    wrong = (
        "nylon" if nylon and "nylon" not in wanted else "plain" if _says(texts, " plain ") and wanted != "plain" else ""
    )
    if wrong:
        return f"it is a {wrong} nut, {wanted} needed", ""
    locks = metal or nylon or _says(texts, r" (?:self )?lock\w* ")
    if wanted == "all-metal lock" and locks and not metal:
        return "", "whether it is all-metal"
    return YES if locks or wanted == "plain" else ("", "kind")


def _read_circles(text: str) -> tuple[BoltCircle, ...]:
    """() for what is no bolt circle."""
    from bomcheck.notation.bolt_circle import read_bolt_circles

    with suppress(Unreadable):
        return read_bolt_circles(text) or ()
    return ()


_CIRCLES = re.compile(
    r"\b(?:\d{1,2} ?x ?\d{1,3}(?:\.\d+)?(?:/\d{2,3}(?:\.\d+)?)*|\d{2,3}(?:\.\d+)? ?x ?\d(?![\d.]))(?: ?(?:mm|in|inch)\b| ?\")?"
)
_CHANGES = re.compile(r" (?:to|adapter|adaptor|conversion|converts?) ")


def _pattern(part: Part, _key: str, wanted: Any, _demand: Demand) -> Answer:
    """The bolt circles that stand in the part's words, as "5x112", "5x4.75" or "5x100/112"; of two that one changes into the other, asked."""
    text = f"{part.description} {part.note}".lower()
    circles = [one for found in _CIRCLES.findall(text) for one in _read_circles(found) if one.diameter]
    must = _read_circles(wanted)
    if not circles or not must:
        return "", "bolt circle"
    apart = [abs((one.diameter or 0.0) - (must[0].diameter or 0.0)) for one in circles if one.count == must[0].count]
    if min(apart, default=1.0) > SAME_CIRCLE:
        return f"it is {circles[0].name}, {wanted} needed", ""
    changes = len({one.name for one in circles}) > 1 and _CHANGES.search(_words(text))
    return ("", f"whether it is {wanted} on both faces") if changes else YES


def _own_pilot(part: Part, _key: str, _wanted: Any, _demand: Demand) -> Answer:
    """A spacer that carries the hub's pilot on, where the wheel is centred by it."""
    texts, pilot = (part.description, part.note), " (?:pilots?|spigots?|hub ?centric) "
    if _says(texts, pilot):
        return YES
    denied = re.search(pilot, _words(" ".join(texts)))
    return ("it has no pilot of its own", "") if denied else ("", "whether it has a pilot of its own")


def _chosen(_part: Part, _key: str, _wanted: Any, _demand: Demand) -> Answer:
    return "its length is chosen on the car first", ""


def _metal(part: Part, _key: str, _wanted: Any, _demand: Demand) -> Answer:
    kinds = ("plastic", "nylon", "polymer", "resin")
    soft = next((kind for kind in kinds if _says((part.description, part.note), f" {kind} ")), "")
    return (f"it is of {soft}, metal needed", "") if soft else YES


def _public_roads(part: Part, _key: str, _wanted: Any, _demand: Demand) -> Answer:
    """A pad whose own words keep it off the road."""
    texts = [_words(text) for text in (part.strength_class, part.description, part.note)]
    only = any(re.search(r" (?:rac\w+|track|competition|circuit|off road)(?: use)? only ", text) for text in texts)
    denied = any(re.search(r" (?:not|never) (?:[a-z]+ ){0,4}(?:road|street|highway)s? ", text) for text in texts)
    return ("by its own words it is not for public roads", "") if only or denied else YES


def _words(text: str) -> str:
    return f" {re.sub(r'[^a-z0-9]+', ' ', text.lower()).strip()} "


_BEFORE = re.compile(r" (?:(?:not|never|except|unsuitable|isn) (?:[a-z0-9]+ ){0,3}|(?:no|non|off|without) )$")
_BEHIND = re.compile(r" (?:use )?(?:free|racing|prohibited|forbidden|not (?:allowed|legal|approved|permitted)) ")


def _denied(between: list[str]) -> bool:
    """Whether the words before or behind what is looked for deny it: "not for road use", "off-road", "road racing"."""
    before = any(_BEFORE.search(f"{text} ") for text in between[:-1])
    return before or any(_BEHIND.match(f" {text} ") for text in between[1:])


def _says(texts: Iterable[str], words: str) -> bool:
    """Whether these words (a pattern over plain text) stand in one of the texts and nothing beside them denies them."""
    clauses = (_words(clause) for text in texts for clause in re.split(r", |[;()]", text))
    found = ((clause, one) for clause in clauses for one in re.finditer(words, clause))
    return any(not _denied([clause[: one.start()], clause[one.end() :]]) for clause, one in found)


# Texts of one key that exclude each other: a part that says one of them is not the other.
EXCLUDES = {
    "use": ("brake", "wheel bearing"), "position": ("inner", "outer"), "form": ("open", "closed"), "seat": ("cone", "ball", "flat"),
}  # fmt: skip


def _text(part: Part, key: str, wanted: Any, _demand: Demand) -> Answer:
    """Anything else: the text must stand in the part's class, description or remark."""
    must = _words(str(wanted))
    texts = (part.strength_class, part.description, part.note)
    said = [_words(text) for text in texts]
    if any(must in text for text in said):
        clauses = (_words(clause) for text in texts for clause in re.split(r", |[;()]", text))
        return (f"by its own words it is not {wanted}", "") if any(_denied(one.split(must)) for one in clauses) else YES
    others = [other for other in EXCLUDES.get(key, ()) if any(_words(other) in text for text in said)]
    if others:
        return f"it is {others[0]}, {wanted} needed", ""
    if key == "compound" and part.strength_class:
        return f"its compound is {part.strength_class}, {wanted} needed", ""
    return "", key.replace("_", " ")


def on_side(demand: Demand, side: str) -> Demand:
    """The same demand for one side of the car."""
    return replace(demand, side=side)


SAID = {
    "fluid": "{} based", "duty": "for {} use", "nut_kind": "{} nut", "metal": "metal", "pattern": "{}", "own_pilot": "with its own pilot",
    "public_roads": "for public roads too",
}  # fmt: skip
# Keys whose meaning the demand's own words or another key already carry.
UNSAID = ("end_b", "side", "use", "position", "stack", "chosen", ALL_STATED, REFUSED)


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
