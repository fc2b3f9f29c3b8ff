"""Threads made from their figures, and the standard tables that say which pitches exist."""

from functools import cache

from bomcheck.notation.types import Thread
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
