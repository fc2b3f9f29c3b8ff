"""Threads that are never the same but look or even start alike, found from their figures."""

from bomcheck.notation.thread_sizes import INCH
from bomcheck.notation.types import Thread

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
    return f"{_figures(a)} and {_figures(b)} look alike but never fit: {_apart(wider, finer)}{_forms(a, b)}"


def _figures(thread: Thread) -> str:
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
