"""Threads as people type them: M12x1.5, 12x1.5, 12-1.5, 1/2-20, .5-20, 1/2" fine, 7/16-20 UNF, #10-32, 1/8 NPT."""

import re
from datetime import date

from bomcheck.errors import Unreadable
from bomcheck.notation import thread_sizes as sizes
from bomcheck.notation.clean import is_blank, plain, refuse
from bomcheck.notation.dates import looks_like_date, refuse_date
from bomcheck.notation.thread_parts import made_of
from bomcheck.notation.thread_words import PIPE, SERIES, TYPE, refuse_rest, refuse_strangers, series_name, tidy
from bomcheck.notation.types import Thread
from bomcheck.tables import rows

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
            typed,
            f"the pipe thread of this size is {made.name}",
            f"Type {made.name} or correct the size",
            "entries disagree",
        )
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
            typed,
            f"{made.name} is not {series} by the standard",
            f"Type {made.name} alone, or correct the pitch",
            "entries disagree",
        )
    return made


def _several(made: Thread, series: str, pitches: tuple[float, ...], typed: object) -> Unreadable:
    choices = " or ".join(sizes.metric(made.diameter, pitch).name for pitch in pitches) or "diameter and pitch"
    return refuse(
        typed,
        f'"{series}" does not name one pitch for {made.name}',
        f"Measure the pitch and type {choices}",
        "pitch missing",
    )
