"""Sizes of line fittings: dash sizes, tube sizes and the threads that go with them, from tables/tube_fittings.txt."""

import re

from bomcheck.notation.number import decimal, fraction
from bomcheck.notation.thread import read_thread
from bomcheck.notation.types import Thread
from bomcheck.tables import rows

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
