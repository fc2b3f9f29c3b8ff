"""Ends of brake lines and ports as people type them: "3/8-24 IF", "-3", "AN3", "10 x 1 bubble", "banjo 10x1.0"."""

import re
from dataclasses import dataclass
from datetime import date

from bomcheck.errors import Unreadable
from bomcheck.notation import line_sizes
from bomcheck.notation.clean import is_blank, plain, refuse
from bomcheck.notation.dates import looks_like_date, refuse_date
from bomcheck.notation.line_words import Words, meant_word, stray_word, take_words
from bomcheck.notation.thread import read_thread
from bomcheck.notation.types import LineEnd, Thread

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
            typed, f"{_with_article(seat)} cannot be {_with_article(gender)}", _genders(seat), "entries disagree"
        )
    if size == _Size() and seat is None:
        raise refuse(typed, "neither thread nor seat is stated", TYPE)
    return LineEnd(end_name(size.thread, seat, gender, size.tube), size.thread, seat, gender, size.tube)


def _genders(seat: str) -> str:
    return 'Type "banjo eye" or "banjo port"' if seat == "banjo" else "Type male or female"


def _with_article(words: str) -> str:
    if words in ("male", "female", "NPT", "crush"):
        return {"NPT": "a taper pipe thread", "crush": "a crush washer seat"}.get(words, words)
    if words == "37":
        return "a 37 degree cone"
    return ("an " if words[0].lower() in "aeio" else "a ") + words
