"""The thread that a diameter, a pitch and their marks mean: M, #, a fraction, an inch mark, or two plain numbers."""

import re

from bomcheck.notation import thread_sizes as sizes
from bomcheck.notation.clean import refuse
from bomcheck.notation.number import decimal, fraction
from bomcheck.notation.thread_words import TYPE
from bomcheck.notation.types import Thread


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
            typed,
            f"{pitch:g} is no pitch; it looks like a length",
            f"Type {name} with its pitch, the length in its own cell",
            "pitch missing",
        )
    if not 1 <= diameter <= 100 or (pitch is not None and not 0.2 <= pitch < diameter / 2):
        raise refuse(typed, "there is no such metric thread", TYPE)
    return sizes.metric(diameter, pitch)


def _unified(inches: float | None, tpi: float | None, typed: object) -> Thread:
    if inches is None or not 0.05 < inches <= 4 or sizes.size_name(inches) == f"{inches:g}" != str(round(inches)):
        raise refuse(typed, "there is no inch thread of this diameter", TYPE)
    if tpi is not None and not (4 <= tpi <= 80 and inches * tpi > 2):
        raise refuse(typed, f"{tpi:g} threads per inch cannot be right for this diameter", TYPE)
    return sizes.unified(inches, tpi)
