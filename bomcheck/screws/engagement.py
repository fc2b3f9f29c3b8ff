"""How much thread must carry the screw, screw and tapped part of one material."""

import math

from bomcheck.notation.thread_figures import stress_area
from bomcheck.notation.types import Thread


def equal_strength_engagement(thread: Thread) -> float | None:
    """Engagement [mm] at which the screw breaks before its thread strips; None for an unknown pitch.

    Le = 2 At / (0.5 pi (d - 0.64952 P)), screw and tapped part of the same strength. Source: FED-STD-H28, appendix on
    load capability (form seen in public copies).
    """
    area = stress_area(thread)
    if area is None or thread.pitch is None:
        return None
    return engagement_of(area, thread.diameter, thread.pitch)


def engagement_of(area: float, diameter: float, pitch: float) -> float:
    """The same from stress area, nominal diameter and pitch, all in one unit of length.

    >>> round(engagement_of(0.1, 0.5, 0.1), 4)
    0.2927
    """
    return 2.0 * area / (0.5 * math.pi * (diameter - 0.64952 * pitch))
