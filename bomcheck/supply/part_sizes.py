"""The sizes that stand in a part's words, in the trade's own notation: "hex screw M10x1.25 x 38, 10.9", "friction ring 330 x 28"."""

import re
from collections.abc import Iterable, Mapping
from contextlib import suppress
from functools import cache
from typing import Any

from bomcheck.model.errors import Unreadable
from bomcheck.model.finding import mm
from bomcheck.model.job import Part
from bomcheck.model.records import replace
from bomcheck.model.types import Thread
from bomcheck.rules.screw_strength import class_name, not_lower
from bomcheck.tables import rows

THREAD = re.compile(
    r"\bM\d+(?:[.,]\d+)?(?:\s*[x×]\s*[0-3](?:[.,]\d+)?)?(?!\d)|\b(?:#\d{1,2}|\d{1,2}/\d{1,2})-\d{2}\b(?:\s*NPT)?",
    re.IGNORECASE,
)
_FIGURE = r"\d{1,2}[ -]\d{1,2}/\d{1,2}|\d{1,2}/\d{1,2}|\d{1,3}(?:[.,]\d+)?"
_BEHIND = re.compile(rf"\s*[x×]\s*({_FIGURE})\s*(mm|in|\")?", re.IGNORECASE)  # the length right behind the thread
_CLASS = re.compile(
    r"\b(?:4\.[68]|5\.[68]|6\.8|8[.,]8|9\.8|10[.,]9|12[.,]9|A[24]-\d\d|(?:grade|gr\.?) ?\d)\b", re.IGNORECASE
)
_NUMBER = r"(\d{1,3}(?:[.,]\d+)?|[.,]\d+)"
_TWO, _THREE = (
    re.compile(rf"(?<![\w.]){_NUMBER}\s*[x×]\s*{_NUMBER}(?![\w.])"),
    re.compile(rf"(?<![\w.]){_NUMBER}\s*[x×]\s*{_NUMBER}\s*[x×]\s*{_NUMBER}(?![\w.])"),
)
_CM = re.compile(r"(\d+(?:[.,]\d+)?) ?cm\b")
_HOSE = re.compile(r"(?<!for )(?<![-–])\b(\d{3,4}(?:[.,]\d+)?)\s*mm\b(?! (?:disc|rotor|kit|brake))", re.IGNORECASE)
_BORE = r"(?<!stud )(?<!bolt )\b(?:bore|CB)\s*(?:of|dia\.?|[:=])?\s*Ø?\s*(\d{1,3}(?:[.,]\d+)?)"
SINGLE = {
    "hose": ("length", _HOSE, 0.0), "park shoe set": ("outer_diameter", _HOSE, 0.0), "hat": ("inner_diameter", re.compile(_BORE, re.IGNORECASE), 8.0),
    "wheel spacer": ("thickness", re.compile(r"(?<![\w.])(\d{1,2}(?:[.,]\d+)?)\s*mm\b"), 0.0),
}  # fmt: skip
"""Role: attribute that a lone figure is, how it is written, and below what it is in inches."""
SCREWED, NUTS = ("screw", "stud", "bolt"), (" nut",)
DISCS, LONGEST = (150.0, 500.0), 254.0  # mm: discs and screws of brakes, common practice, no source
ALIKE = {"length": 0.6, "thickness": 0.3, "outer_diameter": 0.6, "inner_diameter": 0.6}  # mm, words beside column
SHOES_BELOW = 3.0  # mm that shoes may be smaller than the drum that they are sold for: common practice, no source
CALLED = {"strength_class": "class", "outer_diameter": "outside diameter", "inner_diameter": "inside diameter"}
ENDED = ("hose", "adapter")
_SHIM, SHIM_ALIKE, THICKEST_SHIM = re.compile(r"(?<![\w.])(\d(?:[.,]\d+)?) ?mm\b"), 0.03, 5.0  # mm
_AMOUNT = re.compile(r"\b(\d+(?:[.,]\d+)?) ?(ml|l|g|kg)\b", re.IGNORECASE)
AMOUNTS = {"ml": 0.001, "l": 1.0, "g": 1.0, "kg": 1000.0}
_DASH = re.compile(r"(?<![\w.,/-])-(\d{1,2})(?![\w.,/-])")
_PIPE = re.compile(r"\b1/[48](?:-\d\d)? ?(NPT|BSPT|BSPP|BSP)\b")
_PACK = re.compile(r"\b(?:pack|box|bag|set|packet)s? of (\d[\d,]*)\b|\bper (\d{2,})\b|\b(\d{2,}) ?pcs\b", re.IGNORECASE)
_PAIR = re.compile(r"\bpairs? of\b|\(pair\)", re.IGNORECASE)
HANDED = ("rotor", "caliper")  # of which left and right are two parts, where one side is asked for
_SIDE = re.compile(r"(?<!mm )\b(left(?:-hand)?|l\.?h\.?s?|l|right(?:-hand)?|r\.?h\.?s?|r)(?![\w-])", re.IGNORECASE)


def side_in_words(words: str, letters: bool = True) -> str:
    """left or right where the words name one of the two alone, else "". letters: whether L and R alone name a side.

    >>> side_in_words("caliper, L.H."), side_in_words("rotors left and right"), side_in_words("used, 10 mm left")
    ('left', '', '')
    """
    sides = {"right" if said[0] in "rR" else "left" for said in _SIDE.findall(words) if letters or len(said) > 1}
    return sides.pop() if len(sides) == 1 else ""


@cache
def sizes_in_words(role: str, words: str) -> Mapping[str, tuple[Any, ...]]:
    """{attribute of a part: all that its words may mean}: thread, length [mm], strength_class, thickness and diameters [mm].

    >>> sizes_in_words("bracket screw", "hex screw M10x1.25 x 38, 10.9")["length"]
    (38.0,)
    """
    found: dict[str, tuple[Any, ...]] = {}
    words = _CM.sub(lambda one: f"{10 * _mm(one[1]):g} mm", words)
    if role.endswith((*SCREWED, *NUTS)) and role != "rotor screw":
        threads = tuple(dict.fromkeys(one for one in map(thread_in, THREAD.findall(words)) if one is not None))
        found["thread"] = threads
        if role.endswith(SCREWED):
            shared = "in" if any(one.form != "M" for one in threads) else "mm"
            lengths = tuple(dict.fromkeys(_lengths(words, shared)))
            found["length"] = lengths if len(lengths) == 1 else ()
            found["strength_class"] = tuple(dict.fromkeys(_CLASS.findall(words)))
    elif role == "rotor":
        pairs = [_group(two, 20.0) for two in _TWO.findall(words)]
        pairs = [pair for pair in pairs if DISCS[0] < pair[0] < DISCS[1] and pair[1] < pair[0] / 5]
        found["outer_diameter"], found["thickness"] = (tuple(pair[at] for pair in pairs) for at in (0, 1))
    elif role in ("washer", "sealing washer"):
        rings = [_group(three, 3.0) for three in _THREE.findall(words)]
        rings = [ring for ring in rings if ring[2] < ring[0] < ring[1]]
        for at, key in enumerate(("inner_diameter", "outer_diameter", "thickness")):
            found[key] = tuple(ring[at] for ring in rings)
    elif role == "shim":
        thick = (_mm(one) for one in _SHIM.findall(words))
        found["thickness"] = tuple(one for one in thick if one <= THICKEST_SHIM)
    elif role in SINGLE:
        key, pattern, inches_below = SINGLE[role]
        found[key] = tuple(_mm(one, inches_below) for one in pattern.findall(words))
    return {key: values for key, values in found.items() if values}


def thread_in(text: str) -> Thread | None:
    """The thread that a piece of words means, None where it means none."""
    from bomcheck.notation.thread import read_thread

    with suppress(Unreadable):
        return read_thread(re.sub(r"\s+", "", text.replace(",", ".").replace("×", "x")))
    return None


def _lengths(words: str, shared: str) -> Iterable[float]:
    from bomcheck.notation.quantity import read_quantity

    behind = (_BEHIND.match(words, one.end()) for one in THREAD.finditer(words))
    for text, unit in (one.groups() for one in behind if one is not None):
        with suppress(Unreadable):
            value = read_quantity(text, "mm", unit or shared)
            if not unit and value is not None and value > LONGEST:  # no screw is so many inches long
                value = read_quantity(text, "mm", "mm")
            if value is not None:
                yield round(value, 3)


def _group(texts: Iterable[str], inches_below: float) -> list[float]:
    """Figures of one part [mm]: all in inches where the first is below inches_below."""
    values = [float(text.replace(",", ".")) for text in texts]
    return [round(value * 25.4, 3) for value in values] if values[0] < inches_below else values


def _mm(text: str, inches_below: float = 0.0) -> float:
    """A figure [mm]; one below inches_below is in inches."""
    value = float(text.replace(",", "."))
    return round(value * 25.4, 3) if value < inches_below else value


def worded(part: Part) -> tuple[Part, str]:
    """The part with its blank columns as its words fill them, and what its words say against a column, "" for nothing."""
    filled: dict[str, Any] = {}
    for key, said in sizes_in_words(part.role, part.description).items():
        typed = getattr(part, key)
        if typed in (None, ""):
            filled |= {key: said[0]} if len(said) == 1 else {}
        elif not any(_alike(part.role, key, one, typed) for one in said):
            name, words = CALLED.get(key, key), _shown(said[0])
            return part, f"its words say {name} {words}, its column {_shown(typed)}: look which is right"
    return (replace(part, **filled) if filled else part), _other_ends(part) or _other_pack(part)


def _other_ends(part: Part) -> str:
    """What the words of a hose or an adapter say of its threads against both of its ends."""
    ends = [end for end in (part.end_a, part.end_b) if end is not None and end.thread is not None]
    if part.role not in ENDED or len(ends) < 2:
        return ""
    other = [
        text
        for text, thread in _threads_in(part.description)
        if thread and not any(thread.may_be(end.thread) for end in ends)
    ]
    other += [one[0] for one in _PIPE.finditer(part.description) if not any(end.thread.form == one[1] for end in ends)]
    both = " and ".join(end.name for end in ends)
    return f"its words say {other[0]}, its ends are {both}: look which is right" if other else ""


def _other_pack(part: Part) -> str:
    """What the words of a line of the price list say a pack holds, or that its price is for, against its columns."""
    if part.unit_price is None or part.unit in ("set", "pair"):
        return ""
    held, per, amount = _pack_in(part.description)
    size, unit = part.pack_size or 1.0, part.unit.lower()
    if per:
        return f"its words say a price per {per}: type what one costs"
    if amount and unit in AMOUNTS and part.pack_size and unit.endswith("l") == amount[2].lower().endswith("l"):
        of_it = _mm(amount[1]) * AMOUNTS[amount[2].lower()] / AMOUNTS[unit]
        other = abs(of_it - size) > 0.01 * size
        return f"its words say {amount[0]}, its columns {size:g} {part.unit}: look which is right" if other else ""
    if unit not in ("", "each") or not held or abs(held - size) < 1e-6:
        return ""
    return f"its words say a pack of {held:g}, its columns {size:g}: look which is right, and type what one costs"


@cache
def _pack_in(words: str) -> tuple[float, str, re.Match[str] | None]:
    """(how many a pack holds, for how many a price is, an amount) by its words; 0, "" and None where they do not say."""
    said = _PACK.search(words)
    held = float((said[1] or said[2] or said[3]).replace(",", "")) if said else 2.0 if _PAIR.search(words) else 0.0
    return held, said[2] or "" if said else "", _AMOUNT.search(words)


@cache
def _threads_in(words: str) -> tuple[tuple[str, Thread | None], ...]:
    """The threads in the words of a hose or an adapter, those of dash sizes too."""
    dashes = {row["dash"]: row["thread"] for row in rows("tube_fittings") if row["seat"] == "37"}
    named = ((text, thread_in(text)) for text in THREAD.findall(words))
    return (*named, *((f"-{dash}", thread_in(dashes.get(dash, ""))) for dash in _DASH.findall(words)))


def _alike(role: str, key: str, said: Any, typed: Any) -> bool:
    if key == "thread":
        return bool(said.may_be(typed))
    if key == "strength_class":
        return class_name(typed) == "not marked" or not_lower(said.replace(",", "."), typed, None) is not False
    slack = {"park shoe set": SHOES_BELOW, "shim": SHIM_ALIKE}.get(role, ALIKE[key])
    return bool(abs(said - typed) <= slack)


def _shown(value: Any) -> str:
    return mm(value) if isinstance(value, float) else getattr(value, "name", str(value))
