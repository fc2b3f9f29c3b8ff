"""Sizes of line fittings: dash sizes, tube sizes and the threads that go with them, from tables/tube_fittings.txt."""

import re
from datetime import date
from functools import cache
from typing import NamedTuple

from bomcheck.model.errors import Unreadable
from bomcheck.model.records import dataclass
from bomcheck.model.types import LineEnd, Thread
from bomcheck.notation import line_end as line_sizes
from bomcheck.notation.dates import looks_like_date, refuse_date
from bomcheck.notation.text import decimal, fraction, is_blank, plain, refuse
from bomcheck.notation.thread import read_thread
from bomcheck.tables import rows
from bomcheck.tables.line_joints import joint_rows

INCH = 25.4


def fitting(seat: str, *, dash: str = "", tube: str = "") -> Thread | None:
    """Thread of a fitting with this seat and dash size ("3") or tube ("3/16", "4.75"); None if the table has none."""
    wanted = tube_size(tube)
    for row in rows("tube_fittings"):
        same_tube = wanted is not None and row["tube"] != "" and tube_size(row["tube"]) == wanted
        if row["seat"] == seat and ((dash != "" and row["dash"] == dash.lstrip("0")) or same_tube):
            return read_thread(row["thread"])
    return None


def dashes() -> str:
    """The known dash sizes, for a message: "-2, -3, -4"."""
    return ", ".join(f"-{row['dash']}" for row in rows("tube_fittings") if row["seat"] == "37")


def dash_of(thread: Thread) -> str | None:
    """The dash size of a 37 degree fitting with this thread, None if there is none."""
    return next(
        (row["dash"] for row in rows("tube_fittings") if row["seat"] == "37" and row["thread"] == thread.name), None
    )


def tube_size(text: str) -> float | None:
    """Outside diameter [mm] of a tube: "3/16" is in inches, "4.75" or "6 mm" in mm; None for anything else."""
    found = re.fullmatch(r'([\d./,]+) ?(mm|in|inch|")?', text.strip())
    if not found:
        return None
    inches = fraction(found[1])
    value = decimal(found[1]) if inches is None else inches
    if value is None:
        return None
    in_inches = found[2] != "mm" and (inches is not None or found[2] is not None or value < 1)
    return round(value * INCH, 6) if in_inches else value


def tube_name(tube: float | None) -> str:
    """How a tube of this diameter [mm] is called: "3/16" or "4.75 mm"."""
    for sixteenths in range(2, 11):
        if tube is not None and abs(tube - sixteenths * INCH / 16) < 1e-3:
            above, below = sixteenths, 16
            while above % 2 == 0:
                above, below = above // 2, below // 2
            return f"{above}/{below}"
    return f"{tube:g} mm"


def as_tube(text: str, seat: str | None) -> float | None:
    """The tube [mm] that a lone size means with this seat: "3/16 IF", "4.75 bubble"; None where a thread is meant.

    A lone fraction with an inverted flare or a bubble, and a lone 4 to 8 mm with a bubble, are tubes; nuts of that size
    do not exist or are too small for a brake tube (common practice, no source).
    """
    tube = tube_size(text)
    if tube is None or seat not in ("inverted flare", "bubble"):
        return None
    is_inch = "/" in text or tube < 1 or '"' in text
    return tube if (is_inch and 3 <= tube <= 13) or (seat == "bubble" and 4 <= tube <= 8) else None


def is_tube(text: str) -> bool:
    """Whether a fraction is the size of a tube in the table: "3/16"."""
    return "/" in text and any(row["tube"] == text for row in rows("tube_fittings"))


def nut_of_size(text: str) -> Thread | None:
    """The inverted flare nut whose thread has this diameter: "3/8" -> 3/8-24; None if there is none."""
    size = tube_size(text)
    nuts = (read_thread(row["thread"]) for row in rows("tube_fittings") if row["seat"] == "inverted flare")
    return next((nut for nut in nuts if nut and size is not None and abs(nut.diameter - size) < 1e-3), None)


GENDERS = (
    ("male", r"male|ext(?:ernal)?"), ("female", r"female|fem|int(?:ernal)?"), ("eye", r"eye|ring"), ("port", r"port"),
)  # fmt: skip
_LETTERS = {"m": "male", "f": "female"}
_DASH = re.compile(
    r"(?:^|(?<= ))(?:(?:an|jic)[ -]*|dash ?-?|size ?-?|# ?|-)(?!37|45)0?(\d{1,2})(?: ?(?:an|jic))?(?![\d./x*])(?!-\d)"
    r"|(?:^|(?<= ))0?(\d{1,2}) ?-?(?:an|jic)\b"
)
_TUBE = re.compile(
    r'(?:^|(?<= ))(\d+/\d+|\d*[.,]?\d+) ?(mm|in|inch|")? ?(?:od )?tub(?:e|ing)(?! ?nut)\b'
    r"|\btube ?(?:od|size)? ?(\d+/\d+|\d*[.,]\d+|\d+ ?mm)"
)
_NOISE = re.compile(
    r"\b(?:tube|flare|nut|nuts|hose|end|fitting|fittings|inlet|thread|seat|swivel|deg|degrees?|cone|with|for|the|and|a|an"
    r"|straight|brake|line|union|bulkhead|washers?|gasket|type|style|sae)\b|[;:°]|(?<!\d),|,(?!\d)"
)
KNOWN = (
    "inverted", "flare", "bubble", "banjo", "crush", "o-ring", "male", "female", "tube", "port", "fine", "coarse",
    "pipe",
)  # fmt: skip


def stray_word(rest: str) -> str | None:
    """The first word in the text left over that belongs to no thread, None if there is none."""
    words = re.findall(r"(?<![\w/.#-])[a-z]{3,}\b", rest)
    return next(
        (word for word in words if word not in KNOWN and not re.fullmatch(r"un[a-z]*|npt|tpi|bs[pwf]t?", word)), None
    )


def meant_word(word: str) -> str:
    """'Did you mean "flare"? ' where a known word is near, else ""."""
    import difflib

    near = difflib.get_close_matches(word, KNOWN, 1, 0.6)
    return f'Did you mean "{near[0]}"? ' if near else ""


class Words(NamedTuple):
    """seat and gender as in LineEnd, dash size ("3"), tube [mm], and the text that is left, a thread or ""."""

    seat: str | None
    gender: str | None
    dash: str | None
    tube: float | None
    rest: str


def take_words(text: str, typed: object) -> Words:
    """Takes seat, gender, dash and tube size out of plain text. Raises Unreadable when two of a kind disagree."""
    dash, rest = _take_dash(" ".join(re.sub(r"[()]", " ", text.lower()).split()))
    tube, rest = _take_tube(rest)
    gender, rest = _take_letter(rest)
    seat, rest = _take(_seats(), rest, "seats", typed)
    word, rest = _take(GENDERS, rest, "genders", typed)
    if gender and word and gender != word:
        raise refuse(typed, f"both {gender} and {word} are stated", "Type one gender", "entries disagree")
    rest = " ".join(_NOISE.sub(" ", rest).split()).strip(" -/.")
    gender = word or gender
    gender = "female" if gender == "port" and seat != "banjo" else gender  # only a banjo calls it a port
    return Words(seat, gender, dash, tube, rest)


@cache
def _seats() -> tuple[tuple[str, str], ...]:
    """(seat, how it is written), in the order in which they are looked for."""
    return tuple((seat, row.written) for seat, row in joint_rows().items())


def _take(choices: tuple[tuple[str, str], ...], text: str, what: str, typed: object) -> tuple[str | None, str]:
    """(the choice that is named in the text, the text without it)."""
    found: list[str] = []
    for name, pattern in choices:
        without = re.sub(rf"(?<![\w/.])(?:{pattern})(?![\w/])", " ", text)
        if without != text:
            found.append(name)
            text = without
    if what == "genders" and "port" in found and len(found) > 1:
        found.remove("port")
    if len(found) > 1:
        raise refuse(typed, f"two {what} are stated, {found[0]} and {found[1]}", "Type one of them", "entries disagree")
    return (found[0] if found else None), text


def _take_dash(text: str) -> tuple[str | None, str]:
    found = _DASH.search(text)
    if not found:
        return None, text
    return found[1] or found[2], f"{text[: found.start()]} {text[found.end() :]}".strip()


def _take_tube(text: str) -> tuple[float | None, str]:
    found = _TUBE.search(text)
    if not found:
        return None, text
    size = f"{found[1]} {found[2] or ''}" if found[1] else found[3]
    return tube_size(size.strip()), f"{text[: found.start()]} {text[found.end() :]}".strip()


def _take_letter(text: str) -> tuple[str | None, str]:
    """A gender written as a lone M or F: "IFM", "3/8-24 IF m"; the M of "M 10x1" is none."""
    found = re.search(r"(?<=\bif)[mf]\b|(?<![\w/.])\b[mf]\b(?! ?\d)", text)
    if not found:
        return None, text
    return _LETTERS[found[0]], f"{text[: found.start()]} {text[found.end() :]}"


TYPE = "Type thread, seat and gender, for example 3/8-24 inverted flare male or M10x1.0 bubble female"


@dataclass(frozen=True, slots=True)
class _Size:
    """Thread and tube [mm] of an end, either unknown."""

    thread: Thread | None = None
    tube: float | None = None


def read_line_end(typed: object) -> LineEnd | None:
    """The end in `typed`, None for a blank cell; what was not stated stays None in it. Raises Unreadable.

    >>> read_line_end("AN3").name, read_line_end("AN3").unknown
    ('-3 37', ('gender',))
    >>> read_line_end("3/16 IF").name
    '3/8-24 inverted flare'
    """
    if isinstance(typed, date):
        raise refuse_date(typed, "line end")
    if typed is None or is_blank(text := plain(typed)):
        return None
    if looks_like_date(text):
        raise refuse_date(typed, "line end")
    _refuse_bolt(text, typed)
    words = take_words(text, typed)
    size = _dash_size(words, typed) if words.dash else _size(words, typed)
    seat = words.seat or ("37" if words.dash else None)
    return _checked(size, seat, words.gender, typed)


def end_name(thread: Thread | None, seat: str | None, gender: str | None, tube: float | None = None) -> str:
    """Canonical text of what is known of an end: "3/8-24 inverted flare male", "-3 37 male", "3/16 tube"."""
    dash = line_sizes.dash_of(thread) if seat == "37" and thread else None
    size = f"-{dash}" if dash else thread.name if thread else f"{line_sizes.tube_name(tube)} tube" if tube else ""
    said = "" if seat == "NPT" and thread and thread.form == "NPT" else seat
    return " ".join(part for part in (size, said, gender) if part)


def _refuse_bolt(text: str, typed: object) -> None:
    """Raises for a screw: the dash of an AN bolt counts otherwise than that of a fitting."""
    lowered = text.lower()
    if not re.search(r"\b(?:bolt|screw|stud)s?\b", lowered) or "banjo" in lowered:
        return
    found = re.match(r"(?:an|nas) ?-?(\d{1,2})\b", lowered)
    thread = line_sizes.fitting("bolt", dash=found[1]) if found else None
    if found and thread:
        wrong = f"an AN{found[1]} bolt is a screw with a {thread.name.lstrip('#')} thread, not a line fitting"
        raise refuse(typed, wrong, f'Type "-{found[1]} 37" with its gender if a fitting is meant')
    raise refuse(typed, "a screw is no end of a brake line", TYPE)


def _dash_size(words: Words, typed: object) -> _Size:
    """Thread of a dash size, which must agree with a thread and a seat that are also stated."""
    seat = words.seat or "37"
    if seat not in ("37", "O-ring"):
        raise refuse(
            typed, f"a -{words.dash} fitting has a 37 degree cone, not {_with_article(seat)}", TYPE, "entries disagree"
        )
    thread = line_sizes.fitting(seat, dash=words.dash or "")
    if thread is None:
        raise refuse(
            typed, f"-{words.dash} is no dash size known here", f"Known are {line_sizes.dashes()}; else type the thread"
        )
    stated = _thread(words.rest, typed) if words.rest else None
    if stated and stated.name != thread.name:
        raise refuse(typed, f"a -{words.dash} fitting is {thread.name}, not {stated.name}", TYPE, "entries disagree")
    return _Size(thread, words.tube)


def _size(words: Words, typed: object) -> _Size:
    """Thread and tube of an end without a dash size; "3/16 IF" is a tube, "10mm bubble" a thread of unknown pitch."""
    tube = line_sizes.as_tube(words.rest, words.seat) if words.tube is None else None
    if tube is not None:
        _refuse_unsure(words, typed)
        return _Size(
            line_sizes.fitting(words.seat or "", tube=words.rest) if words.seat == "inverted flare" else None, tube
        )
    if words.rest:
        _refuse_tube_or_thread(words, typed)
        return _Size(_thread(f"{words.rest} NPT" if words.seat == "NPT" else words.rest, typed), words.tube)
    if words.tube is not None and words.seat == "inverted flare":
        return _Size(line_sizes.fitting(words.seat, tube=line_sizes.tube_name(words.tube)), words.tube)
    return _Size(None, words.tube)


def _refuse_unsure(words: Words, typed: object) -> None:
    """Raises where a size is both a tube and the nut of a smaller tube: 3/8 inverted flare."""
    nut = line_sizes.nut_of_size(words.rest)
    if words.seat != "inverted flare" or nut is None:
        return
    other = line_sizes.fitting("inverted flare", tube=words.rest)
    wrong = f"{words.rest} may be the tube" + (f" (nut {other.name})" if other else "") + f" or the nut ({nut.name})"
    raise refuse(
        typed, wrong, f'Type "{nut.name} inverted flare" or "{words.rest} tube inverted flare"', "part of it missing"
    )


def _refuse_tube_or_thread(words: Words, typed: object) -> None:
    """Raises for a lone fraction that names a tube as often as a thread: "3/16", "1/4 JIC"."""
    size = words.rest.rstrip('" ')
    if words.seat not in (None, "37") or words.tube is not None or not line_sizes.is_tube(size):
        return
    wrong = f"{size} may be the size of the tube or of the thread"
    raise refuse(typed, wrong, f'Type "{size} tube" and the seat, or the thread with its pitch', "part of it missing")


def _thread(text: str, typed: object) -> Thread | None:
    if stray := stray_word(text):
        raise refuse(typed, f'"{stray[:30]}" is not understood in a line end', f"{meant_word(stray)}{TYPE}")
    try:
        return read_thread(text)
    except Unreadable as fault:
        instead = TYPE if fault.kind == "unreadable text" else fault.instead
        raise refuse(typed, fault.wrong, instead, fault.kind) from None


def _checked(size: _Size, seat: str | None, gender: str | None, typed: object) -> LineEnd:
    """The end, after refusing parts that contradict each other or say nothing."""
    is_pipe = size.thread is not None and size.thread.form == "NPT"
    seat = "NPT" if is_pipe and seat is None else seat
    if size.thread and is_pipe != (seat == "NPT"):
        raise refuse(
            typed, f"{size.thread.name} does not go with {_with_article(seat or 'NPT')}", TYPE, "entries disagree"
        )
    if gender and seat and (gender in ("eye", "port")) != (seat == "banjo"):
        raise refuse(
            typed,
            f"{_with_article(seat)} cannot be {_with_article(gender)}",
            'Type "banjo eye" or "banjo port"' if seat == "banjo" else "Type male or female",
            "entries disagree",
        )
    if size == _Size() and seat is None:
        raise refuse(typed, "neither thread nor seat is stated", TYPE)
    return LineEnd(end_name(size.thread, seat, gender, size.tube), size.thread, seat, gender, size.tube)


def _with_article(words: str) -> str:
    if words in ("male", "female", "NPT", "crush"):
        return {"NPT": "a taper pipe thread", "crush": "a crush washer seat"}.get(words, words)
    if words == "37":
        return "a 37 degree cone"
    return ("an " if words[0].lower() in "aeio" else "a ") + words
