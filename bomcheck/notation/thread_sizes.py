"""Sizes of standard threads, what follows from them, and which are mistaken for each other."""

import math
from functools import cache

from bomcheck.model.types import Thread
from bomcheck.tables import rows

INCH = 25.4


def metric(diameter: float, pitch: float | None) -> Thread:
    """ISO metric thread: diameter and pitch in mm, pitch None when it was not stated; named like "M10x1.0"."""
    name = f"M{diameter:g}" if pitch is None else f"M{diameter:g}x{with_decimal(pitch)}"
    return Thread(name, "M", float(diameter), pitch)


def unified(inches: float, tpi: float | None) -> Thread:
    """Unified inch thread: major diameter in inches, threads per inch or None; named like "1/2-20" or "#10-32"."""
    size = size_name(inches)
    name = size if tpi is None else f"{size}-{tpi:g}"
    return Thread(name, "UN", round(inches * INCH, 6), None if tpi is None else INCH / tpi)


def pipe(size: str) -> Thread | None:
    """Taper pipe thread of a nominal size such as "1/8"; its diameter is that of the pipe. None if there is none."""
    row = next((row for row in rows("threads_pipe") if row["size"] == size), None)
    if row is None:
        return None
    name = f"{size}-{row['tpi']} NPT"
    return Thread(name, "NPT", round(float(row["diameter"]) * INCH, 6), INCH / float(row["tpi"]))


def with_decimal(pitch: float) -> str:
    """A metric pitch as it is printed, with at least one decimal: 1 -> "1.0", 1.25 -> "1.25"."""
    return f"{pitch:.1f}" if round(pitch, 1) == pitch else f"{pitch:g}"


def size_name(inches: float) -> str:
    """How a thread of this diameter is called: 0.5 -> "1/2", 1.125 -> "1-1/8", 0.19 -> "#10", 0.49 -> "0.49"."""
    for row in rows("threads_unified"):
        if abs(float(row["diameter"]) - inches) < 0.0005:
            return row["size"]
    above, below = round(inches * 64), 64
    if abs(above / 64 - inches) > 0.0005 or above == 0:
        return f"{inches:g}"
    while above % 2 == 0 and below > 1:
        above, below = above // 2, below // 2
    whole, rest = divmod(above, below)
    return "-".join(part for part in (str(whole) if whole else "", f"{rest}/{below}" if rest else "") if part)


def number_size(number: str) -> float | None:
    """Diameter in inches of a numbered size: "10" -> 0.19."""
    return next((float(row["diameter"]) for row in rows("threads_unified") if row["size"] == f"#{number}"), None)


@cache
def standard_pitches(form: str, diameter: float) -> tuple[float, ...]:
    """Standard pitches [mm] of a form and diameter [mm], coarse first; empty when the diameter is not standard.

    Tube nut threads count as standard: 7/16-24 is one, and stands in no general thread table.
    """
    if form == "M":
        found = [row for row in rows("threads_metric") if float(row["diameter"]) == diameter]
        return tuple(p for row in found for p in _figures(row["coarse"], row["fine"]))
    columns = ("coarse", "fine", "extra_fine", "other")
    same = [row for row in rows("threads_unified") if abs(float(row["diameter"]) * INCH - diameter) < 0.001]
    found_tpi = [tpi for row in same for tpi in _figures(*(row[column] for column in columns))]
    tubes = [row["thread"].rpartition("-") for row in rows("tube_fittings") if "-" in row["thread"]]
    found_tpi += [float(tpi) for size, _, tpi in tubes if same and size == same[0]["size"]]
    return tuple(dict.fromkeys(INCH / tpi for tpi in found_tpi))


def pitch_of_series(form: str, diameter: float, series: str) -> tuple[float, ...]:
    """Pitches [mm] that "coarse", "fine" or "extra fine" may mean for a form and diameter [mm], best only one."""
    if form == "M":
        column = {"coarse": "coarse", "fine": "selected"}.get(series)
        found = [row for row in rows("threads_metric") if float(row["diameter"]) == diameter]
        return tuple(p for row in found for p in _figures(row[column])) if column else ()
    column = series.replace(" ", "_")
    same = [row for row in rows("threads_unified") if abs(float(row["diameter"]) * INCH - diameter) < 0.001]
    return tuple(INCH / tpi for row in same for tpi in _figures(row[column]))


def _figures(*texts: str) -> list[float]:
    return [float(figure) for text in texts for figure in text.split(",") if figure]


def stress_area(thread: Thread) -> float | None:
    """Tensile stress area [mm²]; None for a taper thread or an unknown pitch.

    Metric: pi/4 (d - 0.9382 P)² (ISO 898-1, 9.1.6); inch: pi/4 (d - 0.9743/n)² (ASME B1.1, appendix B).
    """
    if thread.form == "NPT" or thread.pitch is None:
        return None
    return math.pi / 4 * (thread.diameter - (0.9382 if thread.form == "M" else 0.9743) * thread.pitch) ** 2


def is_standard(thread: Thread) -> bool:
    """Whether diameter and pitch stand together in a standard table; an unknown pitch is no fault."""
    pitches = standard_pitches(thread.form, thread.diameter)
    if thread.form == "NPT":
        return True
    return bool(pitches) if thread.pitch is None else any(abs(thread.pitch - pitch) < 1e-6 for pitch in pitches)


def remark(thread: Thread) -> str | None:
    """A sentence for a thread that no standard table has, with what it has instead; None for a standard one."""
    if is_standard(thread):
        return None
    pitches = standard_pitches(thread.form, thread.diameter)
    if not pitches:
        return f"{thread.name} is not a standard size of thread; check the diameter"
    if thread.form == "M":
        known = ", ".join(f"{pitch:g} mm" for pitch in pitches)
    else:
        known = ", ".join(f"{INCH / pitch:.4g}" for pitch in pitches) + " threads per inch"
    return f"{thread.name} is not a standard pitch of this diameter, which has {known}; check it with a pitch gauge"


CLOSE_DIAMETER = 0.75
"""Two diameters [mm] that the eye does not tell apart; common practice, no source."""
CLOSE_PITCH = 0.25
"""Two pitches [mm] that pass as one without a pitch gauge; common practice, no source."""


def look_alike(a: Thread, b: Thread) -> str | None:
    """Why two different threads are easily taken for one another, with their figures; None if they are not.

    Both pitches must be known: 3/8-24 is 9.53 mm with a pitch of 1.058 mm, M10x1.0 is 10.00 mm with 1.000 mm.
    """
    if a.pitch is None or b.pitch is None or a.name == b.name:
        return None
    wider, finer = abs(a.diameter - b.diameter), abs(a.pitch - b.pitch)
    if wider > CLOSE_DIAMETER or finer > CLOSE_PITCH:
        return None
    return f"{_look_alike_figures(a)} and {_look_alike_figures(b)} look alike but never fit: {_apart(wider, finer)}{_forms(a, b)}"


def _look_alike_figures(thread: Thread) -> str:
    return f"{thread.name} ({thread.diameter:.2f} mm, pitch {thread.pitch:.3f} mm)"


def _apart(wider: float, finer: float) -> str:
    """How far two diameters and two pitches [mm] are apart, in words; the one that is equal is named so."""
    diameters = "same diameter" if wider < 0.005 else f"diameters {wider:.2f} mm apart"
    pitches = "same pitch" if finer < 0.0005 else f"pitches {finer:.3f} mm apart, {10 * finer:.2f} mm over ten turns"
    return f"{diameters}, {pitches}"


def _forms(a: Thread, b: Thread) -> str:
    """Says which of the two is a taper pipe thread, if one is."""
    if (a.form == "NPT") == (b.form == "NPT"):
        return ""
    taper = a if a.form == "NPT" else b
    return f"; {taper.name} is tapered, {INCH / (taper.pitch or INCH):g} threads per inch"
