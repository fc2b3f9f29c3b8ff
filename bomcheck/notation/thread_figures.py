"""Figures of a thread by the formulas of its standard, and whether its pitch is a standard one. All in mm and mm²."""

import math

from bomcheck.notation.thread_sizes import INCH, standard_pitches
from bomcheck.notation.types import Thread

HEIGHT = math.sqrt(3) / 2
"""Height of the sharp 60° triangle per pitch (ISO 68-1, ASME B1.1)."""


def pitch_diameter(thread: Thread) -> float | None:
    """Basic pitch diameter [mm], d - 3/4 H (ISO 724, ASME B1.1); None for a taper thread or an unknown pitch."""
    return None if _pitch(thread) is None else thread.diameter - 0.75 * HEIGHT * _pitch_of(thread)


def minor_diameter(thread: Thread) -> float | None:
    """Basic minor diameter [mm], d - 5/4 H (ISO 724, ASME B1.1); None for a taper thread or an unknown pitch."""
    return None if _pitch(thread) is None else thread.diameter - 1.25 * HEIGHT * _pitch_of(thread)


def stress_area(thread: Thread) -> float | None:
    """Tensile stress area [mm²]; None for a taper thread or an unknown pitch.

    Metric: pi/4 (d - 0.9382 P)² (ISO 898-1, 9.1.6); inch: pi/4 (d - 0.9743/n)² (ASME B1.1, appendix B).
    """
    if _pitch(thread) is None:
        return None
    return math.pi / 4 * (thread.diameter - (0.9382 if thread.form == "M" else 0.9743) * _pitch_of(thread)) ** 2


def threads_per_inch(thread: Thread) -> float | None:
    """Threads in one inch, None for an unknown pitch."""
    return None if thread.pitch is None else round(INCH / thread.pitch, 4)


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


def _pitch(thread: Thread) -> float | None:
    return None if thread.form == "NPT" else thread.pitch


def _pitch_of(thread: Thread) -> float:
    return thread.pitch or 0.0
