"""The words round a thread: noise, series, pipe; and texts that are no thread to be read here."""

import re
from datetime import date

from bomcheck.model.errors import Unreadable
from bomcheck.model.types import Thread
from bomcheck.notation import thread_sizes as sizes
from bomcheck.notation.dates import looks_like_date, refuse_date
from bomcheck.notation.text import decimal, fraction, is_blank, plain, refuse
from bomcheck.tables import rows

TYPE = "Type diameter and pitch, for example M12x1.5 or 1/2-20"
PIPE = re.compile(r"\b(?:nptf?|npt thread|pipe|taper pipe)\b|(?<=\d)nptf?\b")
SERIES = re.compile(r"\b(extra[ -]fine|fine|coarse|unj?ef|unr?j?f|unr?j?c|uns?)\b|(?<=\d)(unef|unf|unc|un)\b")
_NOISE = re.compile(
    r"\b(?:threads?|thd|tpi|right[ -]hand|rh|metric|wheel|lugs?|studs?|bolts?|screws?|nuts?|dia|diameter|o/?d)\b\.?"
    r"|(?<=\d)-[4-8][ghe]{1,2}(?:[4-8][gh])?$|[- ][123][ab]$"
)
_LEFT = re.compile(r"\b(?:lh|left|left[ -]hand(?:ed)?)\b")
_FOREIGN = re.compile(r"\b(?:bsp[pt]?|bsw|bsf|whit(?:worth)?|\d+ ?ba|tr\d*)\b|^[gr]c? ?\d")
_DASH = re.compile(r"(?:-|#|an|jic|dash)[ -]*0?[2-9]|(?:-|an|jic|dash)[ -]*\d{1,2}|\d{1,2} ?(?:an|jic)")
_NAMES = {"c": "coarse", "f": "fine"}


def refuse_strangers(text: str, typed: object) -> None:
    """Raises for left-hand and British threads, and for a dash size that belongs to a line fitting."""
    if _LEFT.search(text):
        raise refuse(
            typed,
            "left-hand threads cannot be told from right-hand ones here",
            "Type the size alone and put the hand in a note",
        )
    if _FOREIGN.search(text):
        raise refuse(
            typed, "British and other thread forms are not read; they do not fit NPT or inch threads of that size", TYPE
        )
    if _DASH.fullmatch(text) and not text.startswith("#1"):
        raise refuse(
            typed,
            "this is a size of a line fitting, not a screw thread",
            "Type its thread, for example 3/8-24 for a -3 fitting",
        )


def tidy(text: str) -> str:
    """No noise words, no spaces round the marks between figures, "1 1/8" as "1-1/8", "pitch 1.5" as "x1.5"."""
    text = re.sub(r"(?:\b|(?<=\d))(?:pitch|p) ?(?=[\d.,])", "x", _NOISE.sub(" ", text).strip())
    text = re.sub(r"(?<=\d)(?:tpi)", "", re.sub(r"(\d) (\d+/\d+)", r"\1-\2", text))
    return re.sub(r"\s*([-x*/])\s*(?=[\d.,])", r"\1", re.sub(r"\s+", " ", text)).strip(" ,;")


def refuse_rest(rest: str, typed: object) -> None:
    if re.match(r"[-x* ]+\d", rest):
        raise refuse(
            typed,
            "there is a number too many, perhaps a length",
            "Type the thread alone and the length in its own cell",
        )
    if rest.strip(" .\"'"):
        raise refuse(typed, f'"{rest.strip()[:30]}" is not understood in a thread', TYPE)


def series_name(found: re.Match[str]) -> str:
    word = (found[1] or found[2]).replace("-", " ")
    if word in ("un", "uns"):
        return ""
    return (
        word if word in ("fine", "coarse", "extra fine") else "extra fine" if word.endswith("ef") else _NAMES[word[-1]]
    )


def made_of(found: re.Match[str], typed: object) -> Thread:
    """The thread of matched parts, decided by its marks: M, a fraction, #, an inch mark, or the size of the pitch."""
    text, unit = found["diameter"], (found["unit"] or "").strip()
    pitch = decimal(found["pitch"]) if found["pitch"] else None
    inches = fraction(text)
    diameter = decimal(text) if inches is None else inches
    if diameter is None:
        raise refuse(typed, "this cannot be read as a thread", TYPE)
    if found["number"]:
        return _unified(sizes.number_size(text), pitch, typed)
    if found["m"] or unit == "mm":
        return _metric(diameter, pitch, typed)
    if inches is not None or unit or diameter < 1 or (pitch and diameter < 2 and pitch > 6):
        return _inch(text, diameter, pitch, typed)
    return _bare(text, diameter, pitch, typed)


def _bare(text: str, diameter: float, pitch: float | None, typed: object) -> Thread:
    """Two plain numbers: 12-1.5 is metric, 10-32 a numbered inch size; one alone says too little."""
    if pitch is None:
        raise refuse(typed, "one number alone is no thread", TYPE)
    if pitch <= 6:
        return _metric(diameter, pitch, typed)
    numbered = sizes.number_size(text)
    if numbered is None or sizes.INCH / pitch not in sizes.standard_pitches("UN", numbered * sizes.INCH):
        raise refuse(typed, "this is neither a metric nor an inch thread", TYPE)
    return _unified(numbered, pitch, typed)


def _inch(text: str, inches: float, tpi: float | None, typed: object) -> Thread:
    """A unified thread, or the small taper pipe threads that mechanics name without NPT: 1/8-27."""
    as_pipe = sizes.pipe(text)
    if as_pipe is None or (tpi is not None and as_pipe.name != f"{text}-{tpi:g} NPT"):
        return _unified(inches, tpi, typed)
    is_small = inches < 0.2
    if tpi is not None and is_small:
        return as_pipe
    if is_small or (tpi is not None and not _is_unified(inches, tpi)):
        wrong = f"this may be the pipe thread {as_pipe.name} or a screw thread"
        raise refuse(typed, wrong, f"Type {as_pipe.name}, or the size with its pitch", "pitch missing")
    return _unified(inches, tpi, typed)


def _is_unified(inches: float, tpi: float) -> bool:
    pitches = sizes.standard_pitches("UN", inches * sizes.INCH)
    return any(abs(pitch * tpi - sizes.INCH) < 1e-6 for pitch in pitches)


def _metric(diameter: float, pitch: float | None, typed: object) -> Thread:
    if pitch is not None and pitch > 6 and 1 <= diameter <= 100:
        name = f"M{diameter:g}"
        raise refuse(
            typed, f"{pitch:g} is no pitch; it looks like a length",
            f"Type {name} with its pitch, the length in its own cell", "pitch missing",
        )  # fmt: skip
    if not 1 <= diameter <= 100 or (pitch is not None and not 0.2 <= pitch < diameter / 2):
        raise refuse(typed, "there is no such metric thread", TYPE)
    return sizes.metric(diameter, pitch)


def _unified(inches: float | None, tpi: float | None, typed: object) -> Thread:
    if inches is None or not 0.05 < inches <= 4 or sizes.size_name(inches) == f"{inches:g}" != str(round(inches)):
        raise refuse(typed, "there is no inch thread of this diameter", TYPE)
    if tpi is not None and not (4 <= tpi <= 80 and inches * tpi > 2):
        raise refuse(typed, f"{tpi:g} threads per inch cannot be right for this diameter", TYPE)
    return sizes.unified(inches, tpi)


_BOLT = re.compile(r"an ?-?(\d{1,2})(?:-\w+)?( ?bolt)?")
_DIAMETER = (
    r"(?P<m>m ?)?(?P<number>#|no\.? ?)?"
    r"(?P<diameter>\d+-\d*[13579]/\d+|\d*[13579]/(?:2|4|8|16|32|64)(?!\d)|\d+(?:[.,]\d+)?|[.,]\d+)"
)
_THREAD = re.compile(
    _DIAMETER + r'(?P<unit> ?(?:mm|in(?:ch)?|"))?(?:[-x*/ ](?P<pitch>\d+(?:[.,]\d+)?|[.,]\d+) ?(?:mm|")?)?(?P<rest>.*)'
)


def read_thread(typed: object) -> Thread | None:
    """The thread in `typed`, None when the cell says that nothing is known.

    A thread whose pitch was not stated has pitch None. Raises Unreadable. No pitch is assumed, but "1/2 fine" names
    one.

    >>> read_thread("12-1.5").name, read_thread('1/2" fine').name, read_thread("1/8 pipe").name
    ('M12x1.5', '1/2-20', '1/8-27 NPT')
    """
    if isinstance(typed, date):
        raise refuse_date(typed, "thread")
    if typed is None or is_blank(text := plain(typed)):
        return None
    if looks_like_date(text):
        raise refuse_date(typed, "thread")
    lowered = text.lower()
    refuse_strangers(lowered, typed)
    if bolt := _aircraft_bolt(lowered, typed):
        return bolt
    if PIPE.search(lowered):
        return _pipe(tidy(PIPE.sub("", lowered)), typed)
    return _straight(tidy(lowered), typed)


def _aircraft_bolt(text: str, typed: object) -> Thread | None:
    """The thread of an AN bolt, whose dash is its diameter in sixteenths; None if the text is none."""
    found = _BOLT.fullmatch(text)
    if not found or not found[2]:
        return None
    row = next((row for row in rows("tube_fittings") if row["seat"] == "bolt" and row["dash"] == found[1]), None)
    if row is None:
        raise refuse(typed, f"no thread is known here for an AN{found[1]} bolt", TYPE)
    return read_thread(row["thread"])


def _pipe(text: str, typed: object) -> Thread:
    found = re.fullmatch(r'(\d+/\d+|1) ?(?:"|in)?(?:[-x ](\d+(?:\.5)?))?', text)
    made = sizes.pipe(found[1]) if found else None
    if made is None or found is None:
        raise refuse(typed, "this is no known size of pipe thread", "Type for example 1/8-27 NPT")
    if found[2] and made.name != f"{found[1]}-{found[2]} NPT":
        raise refuse(
            typed, f"the pipe thread of this size is {made.name}", f"Type {made.name} or correct the size",
            "entries disagree",
        )  # fmt: skip
    return made


def _straight(text: str, typed: object) -> Thread:
    series = SERIES.search(text)
    found = _THREAD.fullmatch(tidy(SERIES.sub("", text)))
    if not found:
        raise refuse(typed, "this cannot be read as a thread", TYPE)
    refuse_rest(found["rest"], typed)
    made = made_of(found, typed)
    return _with_series(made, series_name(series), typed) if series else made


def _with_series(made: Thread, series: str, typed: object) -> Thread:
    """The thread with the pitch that "fine" or "coarse" names; raises when it names several, or not the one typed."""
    pitches = sizes.pitch_of_series(made.form, made.diameter, series) if series else ()
    if made.pitch is None and len(pitches) == 1:
        return (
            sizes.metric(made.diameter, pitches[0])
            if made.form == "M"
            else sizes.unified(made.diameter / sizes.INCH, round(sizes.INCH / pitches[0], 3))
        )
    if made.pitch is None and series:
        raise _several(made, series, pitches, typed)
    if series and made.form == "UN" and not any(abs(pitch - (made.pitch or 0)) < 1e-6 for pitch in pitches):
        raise refuse(
            typed, f"{made.name} is not {series} by the standard", f"Type {made.name} alone, or correct the pitch",
            "entries disagree",
        )  # fmt: skip
    return made


def _several(made: Thread, series: str, pitches: tuple[float, ...], typed: object) -> Unreadable:
    choices = " or ".join(sizes.metric(made.diameter, pitch).name for pitch in pitches) or "diameter and pitch"
    return refuse(
        typed, f'"{series}" does not name one pitch for {made.name}', f"Measure the pitch and type {choices}",
        "pitch missing",
    )  # fmt: skip
