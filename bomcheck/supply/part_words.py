"""What the words of a part say beside its sizes: its kind, what it is for, and what they deny."""

import re
from collections.abc import Callable, Iterable
from contextlib import suppress
from functools import cache
from typing import Any

from bomcheck.model.demand import Demand
from bomcheck.model.errors import Unreadable
from bomcheck.model.finding import mm
from bomcheck.model.job import Part
from bomcheck.model.records import replace
from bomcheck.model.types import NOISE, BoltCircle
from bomcheck.supply.part_sizes import ALIKE
from bomcheck.tables import rows

Answer = tuple[str, str]
"""(What speaks against it, what is not stated), "" for nothing."""
YES: Answer = ("", "")
PILOT_SLACK, LEAST_PILOT = 0.5, 45.0  # mm: of a pilot in a spacer's words, and what is none; common practice, no source
SAME_CIRCLE = 0.3  # mm between circles that are one: the nearest two with names are 0.65 apart
_FAST = re.compile(r"\bfast road\b", re.IGNORECASE)

SEATS = {"seat_radius": r"\br(?:adius)? ?(\d+(?:\.\d+)?)\b", "seat_angle": r"(\d+(?:\.\d+)?) ?(?:°|deg)"}


def _seat(part: Part, key: str, wanted: Any, _demand: Demand) -> Answer:
    """The radius of a ball or the angle of a cone, as it stands in the part's words: "R13", "radius 13", "60°", "60 degrees"."""
    found = re.findall(SEATS[key], f"{part.strength_class} {part.description} {part.note}".lower())
    name, unit = key.replace("_", " "), " mm" if key == "seat_radius" else "°"
    if not found:
        return "", name
    said = float(found[0])
    return YES if abs(said - wanted) < NOISE else (f"its {name} is {said:g}{unit}, {wanted:g}{unit} needed", "")


def _duty(part: Part, key: str, wanted: Any, demand: Demand) -> Answer:
    """A pad that does not say what use it is for is not for this one, and one for fast road is not one for the road."""
    if wanted == "road":
        part = replace(part, description=_FAST.sub("", part.description), note=_FAST.sub("", part.note))
    found = text_says(part, key, wanted, demand)
    return found if found == YES or found[0] else (f"it does not say that it is for {wanted} use", "")


def _fluid(part: Part, _key: str, wanted: Any, _demand: Demand) -> Answer:
    """Silicone fluid (DOT 5, but not 5.1) never mixes with the glycol fluids, and mineral oil swells their seals.
    Source: 49 CFR 571.116, classes by base."""
    named = re.sub(r"^(?=[345](?:\.1)?$)", "DOT ", part.strength_class.strip())  # "4" in the column of the class
    texts = tuple(re.sub(r"5[.,]1(?!\d)", "5x1", re.sub("[()]", " ", text)) for text in (named, part.description))
    oil = " (?:mineral|lhm) " if "dot" in _words(" ".join(texts)) else " (?:mineral|hydraulic|oil|lhm) "
    base = (
        "silicone"
        if _says((*texts, part.note), " (?:silicone?|dot ?5) ")
        else "mineral"
        if _says((*texts, part.note), oil)
        else "glycol"
    )
    if base != wanted:
        return f"it is {base} fluid, {wanted} needed", ""
    if _says(texts, " dot ?(?:3 )?(?:or |and )?(?:dot )?(?:4|5x1) "):
        return YES
    return "", "whether DOT 3 is the class on the reservoir's cap" if _says(texts, " dot ?3 ") else "class"


def _nut_kind(part: Part, _key: str, wanted: Any, _demand: Demand) -> Answer:
    """A plain nut locks nothing, and nylon gives up where brakes get hot: common practice, no source."""
    texts = (part.strength_class, part.description, part.note)
    nylon, metal = (
        _says(texts, r" (?:nyl\w*|polyamide|plastic) "),
        _says(texts, r" (?:all ?metal|metal lock\w*|crimped|deformed) "),
    )  # nyloc, nylock
    locks = metal or nylon or _says(texts, r" (?:self )?lock\w* ")
    plain = not locks and wanted != "plain" and _says(texts, " plain ")
    wrong = "nylon" if nylon and "nylon" not in wanted else "plain" if plain else ""
    if wrong:
        return f"it is a {wrong} nut, {wanted} needed", ""
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
    r"\b(?:\d{1,2} ?x ?\d{1,3}(?:\.\d+|[ -]\d/\d)?(?:/\d{2,3}(?:\.\d+)?)*|\d{2,3}(?:\.\d+)? ?x ?\d(?![\d.]))(?: ?(?:mm|in|inch)\b| ?\")?"
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
    changes = part.role != "hat" and len({one.name for one in circles}) > 1 and _CHANGES.search(_words(text))
    return (f"it changes one circle into another, {wanted} needed on both faces", "") if changes else YES


def _own_pilot(part: Part, _key: str, wanted: Any, _demand: Demand) -> Answer:
    """A spacer that carries the hub's pilot on, where the wheel is centred by it. wanted: diameters [mm] of which its own may be."""
    words = f"{part.description} {part.note}"
    behind = re.search(r"(?:pilot|spigot|hub ?-?centric)\D{0,4}(\d{2,3}(?:\.\d+)?)\b(?! ?x)", words, re.IGNORECASE)
    own = behind or re.search(r"\b(\d{2,3}(?:\.\d+)?) ?(?:mm )?(?:pilot|spigot|hub ?-?centric)", words, re.IGNORECASE)
    if own and wanted and float(own[1]) > LEAST_PILOT and all(abs(float(own[1]) - one) > PILOT_SLACK for one in wanted):
        return f"its pilot is {own[1]} mm, {mm(wanted[0])} needed", ""
    texts, pilot = (part.description, part.note), " (?:pilots?|spigots?|hub ?centric) "
    if _says(texts, pilot):
        return YES
    denied = re.search(pilot, _words(" ".join(texts)))
    return ("it has no pilot of its own", "") if denied else ("", "whether it has a pilot of its own")


@cache
def by_its_words(role: str, texts: tuple[str, ...]) -> tuple[Answer, ...]:
    """What a part's class, description and remark say against it whatever it is for: rows of `words_against.txt`."""
    found = []
    for row in rows("words_against"):
        said = _said(texts, f" (?:{row['words']}) ") if not row["roles"] or role in row["roles"].split("; ") else ""
        if said and (against := "" if row["beside"] and _says(texts, f" (?:{row['beside']}) ") else row["against"]):
            found.append((against.format(said=said), ""))
        elif said and row["ask"]:
            found.append(("", row["ask"].format(said=said)))
    return tuple(found)


KEPT_OFF = re.compile("|".join(f" (?:{row['words']})(?= )" for row in rows("kept_off_roads")))
HARD = r" (?:rac(?:e|es|ing)|track\w*|competition|motorsport|circuit|closed course|off (?:road|highway)) "


def says_road_mark(words: str) -> bool:
    """Whether a hose's words say that it has the mark of a road hose."""
    return _says((words,), " (?:road (?:marked|mark|approved|legal)|approved for (?:the )?roads?) ")


def kept_off_roads(part: Part) -> Answer:
    """A part that its own words keep off public roads."""
    said = " ".join(map(_words, (part.strength_class, part.description, part.note)))
    return ("by its own words it is not for public roads", "") if KEPT_OFF.search(said) else YES


def _public_roads(part: Part, _key: str, _wanted: Any, _demand: Demand) -> Answer:
    """A pad for races or tracks that names no road is kept off it, too."""
    texts = (part.strength_class, part.description, part.note)
    hard = re.search(HARD, " ".join(map(_words, texts))) and not _says(texts, " (?:road|street|highway)s? ")
    return ("by its own words it is not for public roads", "") if hard else kept_off_roads(part)


USES = ("fast road", "road", "track", "race")  # as they are looked for
DUTIES = ("road", "fast road", "track", "race")
"""What pads are for, the hardest last: a pad for two of them is one for what lies between."""


def _use(part: Part, _key: str, wanted: Any, _demand: Demand) -> Answer:
    """A pad that is bought names no other use than the one that is wanted; what lies in the kit's box, its own sheet tells of."""
    duty, box = wanted
    said, named = " ".join(map(_words, (part.strength_class, part.description, part.note))), []
    for other, ours in (("street", "road"), ("trackday", "track"), ("trackdays", "track")):
        said = said.replace(f" {other} ", f" {ours} ")
    for use in USES:
        if f" {use} " in said:
            named.append(use)
            said = said.replace(f" {use} ", " ")
    hardness = [DUTIES.index(use) for use in named]
    within = named and min(hardness) <= DUTIES.index(duty) <= max(hardness)
    if not named or within or part in box:
        return YES
    return f"it is for {' and '.join(named)}, {duty} use needed", ""


def _shape(part: Part, key: str, wanted: Any, demand: Demand) -> Answer:
    """Another name of the same make-up, "P-52" where "P-44" is wanted, is another shape."""
    found = text_says(part, key, wanted, demand)
    like = re.sub(r"\d+", r"\\d+", _words(str(wanted)))
    named = re.search("[a-z]", like.replace("\\d", "")) and "\\d" in like
    other = re.search(like, " ".join(map(_words, (part.description, part.note)))) if named else None
    return (f"its shape is {other[0].strip()}, {wanted} needed", "") if found == ("", key) and other else found


def _pad_thickness(part: Part, _key: str, wanted: Any, _demand: Demand) -> Answer:
    """Pads that are thicker than the kit's do not go in beside its disc."""
    words = re.search(r"(\d+(?:\.\d+)?) ?mm thick", part.description)
    thick = part.thickness if part.thickness is not None else float(words[1]) if words else wanted
    return (f"it is {mm(thick)} thick, at most {mm(wanted)} needed", "") if thick > wanted + NOISE else YES


def _words(text: str) -> str:
    return f" {re.sub(r'[^a-z0-9]+', ' ', text.lower()).strip()} "


_BEFORE = re.compile(
    r" (?:(?:not|cannot|never|except|unsuitable|incompatible|isn) (?:[a-z0-9]+ ){0,3}|(?:no|non|off|without|replaces|unlike|instead of|rather than) )$"
)
_BEHIND = re.compile(r" (?:use )?(?:free|racing|prohibited|forbidden|not (?:allowed|legal|approved|permitted)) ")


def _denied(between: list[str]) -> bool:
    """Whether the words before or behind what is looked for deny it: "not for road use", "off-road", "road racing"."""
    before = any(_BEFORE.search(f"{text} ") for text in between[:-1])
    return before or any(_BEHIND.match(f" {text} ") for text in between[1:])


def _clauses(texts: Iterable[str]) -> Iterable[str]:
    return (_words(clause) for text in texts for clause in re.split(r", |[;()]", text))


def _says(texts: Iterable[str], words: str) -> bool:
    """Whether these words (a pattern over plain text) stand in one of the texts and nothing beside them denies them."""
    return bool(_said(texts, words))


def _said(texts: Iterable[str], words: str) -> str:
    """The first of them that is said, "" for none."""
    found = ((clause, one) for clause in _clauses(texts) for one in re.finditer(words, clause))
    said = (one for clause, one in found if not _denied([clause[: one.start()], clause[one.end() :]]))
    return next((one[0].strip() for one in said), "")


# Texts of one key that exclude each other: a part that says one of them is not the other.
EXCLUDES = {
    "use": ("brake", "wheel bearing"), "position": ("inner", "outer"), "form": ("open", "closed"), "seat": ("cone", "ball", "flat"),
}  # fmt: skip


def text_says(part: Part, key: str, wanted: Any, _demand: Demand) -> Answer:
    """Anything else: the text must stand in the part's class, description or remark."""
    must = _words(str(wanted))
    texts = (part.strength_class, part.description, part.note)
    said = [_words(text) for text in texts]
    if any(must in text for text in said):
        denied = any(_denied(one.split(must)) for one in _clauses(texts))
        return (f"by its own words it is not {wanted}", "") if denied else YES
    others = [other for other in EXCLUDES.get(key, ()) if any(_words(other) in text for text in said)]
    if others:
        return f"it is {others[0]}, {wanted} needed", ""
    if key == "compound" and part.strength_class:
        return f"its compound is {part.strength_class}, {wanted} needed", ""
    return "", key.replace("_", " ")


def _bore(part: Part, _key: str, wanted: Any, _demand: Demand) -> Answer:
    """A hat whose column or words name another bore than the kit's sheet."""
    own = part.inner_diameter
    other = own is not None and abs(own - wanted) > ALIKE["inner_diameter"]
    return (f"its bore is {mm(own)}, {mm(wanted)} needed", "") if own is not None and other else YES


def _said_drum(part: Part, _key: str, wanted: Any, _demand: Demand) -> Answer:
    """A rotor or hat whose words name another drum for the parking shoes than the kit's sheet, or none."""
    said = f"{part.description} {part.note}"
    if re.search(r"\b(?:no|without) (?:parking )?drum", said, re.IGNORECASE):
        return "it has no drum for the parking shoes", ""
    found = re.search(r"\bdrum\D{0,4}(\d{3}(?:\.\d+)?)\b", said, re.IGNORECASE)
    other = found is not None and abs(float(found[1]) - wanted) > ALIKE["outer_diameter"]
    return (f"its drum is {found[1]} mm, {mm(wanted)} needed", "") if found and other else YES


def _at_axle(part: Part, _key: str, wanted: Any, _demand: Demand) -> Answer:
    """A part whose words name the other axle alone."""
    texts, other = (part.description, part.note), {"front": "rear", "rear": "front"}.get(wanted, "")
    named = other and _says(texts, f" {other} ") and not _says(texts, f" {wanted} ")
    return (f"it is for the {other} axle", "") if named else YES


Matcher = Callable[[Part, str, Any, Demand], Answer]
BY_WORDS: dict[str, Matcher] = {
    "fluid": _fluid, "duty": _duty, "public_roads": _public_roads, "for_use": _use, "shape": _shape, "pad_thickness": _pad_thickness,
    "nut_kind": _nut_kind, "bore": _bore, "said_pattern": lambda *asked: (_pattern(*asked)[0], ""), "said_drum": _said_drum, "at_axle": _at_axle, "pattern": _pattern, "own_pilot": _own_pilot, "seat_radius": _seat, "seat_angle": _seat,
}  # fmt: skip
"""What a key of a demand's spec asks of a part's words."""
