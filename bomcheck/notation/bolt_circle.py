"""The diameters in the text of a bolt circle, without its count: "100/114.3", "4-1/2", '4.5"'."""

import re
from datetime import date
from functools import cache
from math import pi, sin
from typing import NamedTuple

from bomcheck.model.types import BoltCircle
from bomcheck.notation.dates import looks_like_date, refuse_date
from bomcheck.notation.text import decimal, is_blank, number, plain, refuse, split_list
from bomcheck.tables import rows

INCH = 25.4
TYPE = 'Type count x diameter, for example 5x114.3 or 5x4.5"'


def halves(text: str) -> list[str]:
    """The two sizes of "100-114.3" or '4-1/2-4-3/4"': divided at the dash that leaves a number on both sides."""
    for dash in re.finditer(r"\s*-\s*", text):
        before, after = text[: dash.start()], text[dash.end() :]
        if number(bare_size(before)) is not None and number(bare_size(after)) is not None:
            return [before, after]
    return [text]


def slashed(text: str) -> list[str]:
    """The sizes of "100/114.3" or "4-1/2/4-3/4"; a fraction is not cut."""
    parts = [part.strip() for part in re.split(r"/|\s*,\s+", text)]
    joined: list[str] = []
    for part in parts:
        whole = f"{joined[-1]}/{part}" if joined else part
        if joined and re.search(r"[- ]\d+$", joined[-1]) and number(bare_size(whole)) is not None:
            joined[-1] = whole
        else:
            joined.append(part)
    return joined


def bare_size(text: str) -> str:
    return re.sub(r'\s*(?:mm|inch(?:es)?|ins?\.?|")$', "", text.strip())


def diameters(texts: list[str], whole: str, typed: object) -> list[float]:
    """Diameters [mm]; a size without a unit takes that of the last one, else 2 to 8 is inches."""
    last = whole.strip()
    shared = "mm" if last.endswith("mm") else "in" if re.search(r'(?:"|in\.?|inch(?:es)?)$', last) else ""
    return [_diameter(text, shared, typed) for text in texts]


def _diameter(text: str, shared: str, typed: object) -> float:
    bare = bare_size(text)
    value = number(bare)
    if value is None:
        if re.fullmatch(r"[\d.,]+ ?(?:-|to) ?[\d.,]+", bare) and decimal(bare.split("-")[0].strip()):
            raise refuse(
                typed,
                "two circles or the ends of a slot",
                "Type 5x100/114.3 for two circles, 5x100-114.3 slotted for slots",
            )
        raise refuse(typed, "this cannot be read as a bolt circle", TYPE)
    unit = "mm" if text.strip().endswith("mm") else shared
    in_inches = (
        bool(re.search(r'(?:"|in\.?|inch(?:es)?)$', text.strip())) or unit == "in" or (not unit and 2 <= value <= 8)
    )
    return round(value * INCH if in_inches else value, 3)


_SLOTTED = re.compile(r"\b(?:slotted|slots?|slot holes?)\b")
_DUAL = re.compile(r"\b(?:dual|double|multi|two|drilled|pattern|patterns|fit|both)\b")
_NOISE = re.compile(
    r"\b(?:pcd|p\.c\.d\.|bcd?|b\.c\.|bolt circle|bolt pattern|circle|pitch circle|Ø|dia\.?|on)\b|[()Ø]", re.I
)
_HOLES = r"(?:lugs?|studs?|bolts?|holes?|h)"
_COUNT_WORD = re.compile(rf"(?<![\d.,/])(\d{{1,2}}) ?-? ?{_HOLES}\b[ ,x-]*")
_COUNT_FIRST = re.compile(r"(\d{1,2}) ?[x*/-] ?(?=[\d.,])(.+)|(\d{1,2}) ([\d.,].*)")
_COUNT_LAST = re.compile(r"(.+?) ?[x*] ?(\d{1,2})")


class _Counted(NamedTuple):
    """Count of holes and the text of the diameters, "" if there is none."""

    holes: int
    sizes: str


def read_bolt_circle(typed: object) -> BoltCircle | None:
    """The one bolt circle in `typed`, None for a blank cell. Raises Unreadable, also for more than one.

    >>> read_bolt_circle("5x4.75").diameter, read_bolt_circle("114.3x5").name, read_bolt_circle("5 lug").diameter
    (120.65, '5x114.3', None)
    """
    found = read_bolt_circles(typed)
    if found is not None and len(found) > 1:
        raise refuse(typed, "this is more than one bolt circle", "Type the one that is there, for example 5x114.3")
    return found[0] if found else None


def read_bolt_circles(typed: object) -> tuple[BoltCircle, ...] | None:
    """All bolt circles in `typed`: "5x100/114.3" are two, as are "5x100; 5x114.3"; None if blank. Raises Unreadable."""
    if isinstance(typed, date):
        raise refuse_date(typed, "bolt circle")
    if typed is None or is_blank(text := plain(typed)):
        return None
    if looks_like_date(text):
        raise refuse_date(typed, "bolt circle")
    found = [circle for item in _items(text) for circle in _read(item, typed)]
    return tuple(dict.fromkeys(found))


def circle_name(count: int, low: float | None, high: float | None) -> str:
    """Canonical text of a bolt circle [mm]: "5x114.3", "5x100-114.3 slotted", "5"."""
    if low is None or high is None:
        return str(count)
    ends = f"{low:.10g}" if low == high else f"{low:.10g}-{high:.10g} slotted"
    return f"{count}x{ends}"


def _items(text: str) -> list[str]:
    items = [
        part
        for item in split_list(text.lower())
        for part in re.split(r"\s*(?:\+|&|\band\b|\bor\b|/(?=\s*\d{1,2} ?x))\s*", item)
    ]
    return [item for item in items if item.strip()]


def _read(item: str, typed: object) -> list[BoltCircle]:
    """The circles of one item of a list."""
    is_slotted = bool(_SLOTTED.search(item))
    bare = " ".join(_NOISE.sub(" ", _DUAL.sub(" ", _SLOTTED.sub(" ", item))).split()).strip(" ,-")
    counted = _counted(bare, typed)
    if not counted.sizes:
        return [BoltCircle(circle_name(counted.holes, None, None), counted.holes, None, None)]
    if is_slotted:
        return [_slot(counted, typed)]
    return [
        _circle(counted.holes, size, size, typed) for size in diameters(slashed(counted.sizes), counted.sizes, typed)
    ]


def _counted(text: str, typed: object) -> _Counted:
    """Count and diameters: the small whole number is the count, whichever side it stands on."""
    if word := _COUNT_WORD.search(text):
        rest = f"{text[: word.start()]} {text[word.end() :]}".strip(" x-/,")
        return _Counted(_count(word[1], typed), rest)
    first, last = _COUNT_FIRST.fullmatch(text), _COUNT_LAST.fullmatch(text)
    if first and 3 <= int(first[1] or first[3]) <= 10:
        return _Counted(int(first[1] or first[3]), first[2] or first[4])
    if last and 3 <= int(last[2]) <= 10:
        return _Counted(int(last[2]), last[1])
    if re.fullmatch(r"\d{1,2}", text):
        return _Counted(_count(text, typed), "")
    if first and first[1] and number(bare_size(first[2])) is not None:
        raise refuse(typed, f"{int(first[1])} studs are not 3 to 10", TYPE)
    if number(re.sub(r"[^\d./,-]+$", "", text).split("/")[0]) is not None:
        raise refuse(typed, "the number of studs is missing or not 3 to 10", TYPE, "part of it missing")
    raise refuse(typed, "this cannot be read as a bolt circle", TYPE)


def _count(text: str, typed: object) -> int:
    if not 3 <= int(text) <= 10:
        raise refuse(typed, f"{int(text)} studs are not 3 to 10", TYPE)
    return int(text)


def _slot(counted: _Counted, typed: object) -> BoltCircle:
    ends = [end for end in re.split(r"\s+to\s+|\s*(?:\.\.+)\s*", counted.sizes) if end]
    if len(ends) == 1:
        ends = halves(counted.sizes)
    if len(ends) == 1:
        ends = slashed(counted.sizes)
    sizes = diameters(ends, counted.sizes, typed)
    if len(sizes) != 2 or sizes[0] == sizes[1]:
        raise refuse(
            typed,
            "a slotted hat needs both ends of its slots",
            "Type for example 5x100-114.3 slotted",
            "part of it missing",
        )
    return _circle(counted.holes, min(sizes), max(sizes), typed)


def _circle(count: int, low: float, high: float, typed: object) -> BoltCircle:
    if low < 50 or high > 400:
        raise refuse(typed, "there is no bolt circle of this diameter", f"{TYPE}; 2 to 8 is read as inches")
    return BoltCircle(circle_name(count, low, high), count, low, high)


@cache
def named_circles() -> dict[int, tuple[float, ...]]:
    """Bolt circles with a name, diameters [mm] by lug count, from `tables/bolt_circles.txt`."""
    circles: dict[int, list[float]] = {}
    for row in rows("bolt_circles"):
        circles.setdefault(int(row["count"]), []).append(float(row["diameter"]))
    return {count: tuple(sorted(diameters)) for count, diameters in circles.items()}


def circle_from_chord(chord: float, count: int, between: int = 0) -> float:
    """Bolt circle [mm] from the distance between two studs' centres [mm]. count: studs on the circle. between: studs
    between the two. Source: geometry, chord = diameter x sin(pi x (between + 1) / count).

    >>> round(circle_from_chord(67.184, 5), 1), round(circle_from_chord(108.7, 5, between=1), 1)
    (114.3, 114.3)
    """
    return chord / sin(pi * (between + 1) / count)


def circle_settles(circle: BoltCircle | None) -> float:
    """± [mm] with which a measured circle can be told from all named ones but the nearest; 0.0 where none is near.

    >>> round(circle_settles(BoltCircle("5x114.5", 5, 114.5, 114.5)), 2)
    0.49
    """
    if circle is None or circle.diameter is None:
        return 0.0
    away = sorted(abs(named - circle.diameter) for named in named_circles().get(circle.count, ()))
    return 0.0 if len(away) < 2 or away[0] > 0.5 else max(0.0, away[1] - 0.01)
