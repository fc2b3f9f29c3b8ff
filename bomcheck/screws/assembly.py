"""Assembly preload and torque from the friction of thread and head: a second way beside the nut factor.

Source: VDI 2230 part 1:2003, equations 5.4/20 and R13: preload at 90 percent of the least yield strength, bolt loaded by
tension and twist together. The bearing face of the head from ISO 4014/4017, the hole of ISO 273 (medium).
"""

import math
from dataclasses import dataclass

from bomcheck.notation.types import Thread

YIELD_SHARE = 0.90
# Least 0.2 % yield stress [MPa], up to M16 and above: ISO 898-1:2013 table 3, from memory.
YIELD = {"8.8": (640.0, 660.0), "10.9": (940.0, 940.0), "12.9": (1100.0, 1100.0)}
# Nominal diameter -> (least bearing diameter under a hexagon head, medium clearance hole) [mm]: ISO 4014, ISO 273.
BEARING = {
    6.0: (8.88, 6.6),
    8.0: (11.63, 9.0),
    10.0: (14.63, 11.0),
    12.0: (16.63, 13.5),
    14.0: (19.64, 15.5),
    16.0: (22.49, 17.5),
}


@dataclass(frozen=True, slots=True)
class Tightened:
    """tension [N] and torque [N·m] of the tightened screw."""

    tension: float
    torque: float


def tightened(thread: Thread, grade: str, friction: float = 0.12) -> Tightened | None:
    """Preload and torque of a metric hexagon screw; None where thread, pitch or class is not in the tables.

    friction [-]: the same in the thread and under the head.
    """
    bearing, strong = BEARING.get(thread.diameter), YIELD.get(grade)
    if thread.form != "M" or thread.pitch is None or bearing is None or strong is None:
        return None
    pitch, middle = thread.pitch, thread.diameter - 0.649519 * thread.pitch
    stressed = (middle + thread.diameter - 1.226869 * pitch) / 2
    twist = 1.5 * middle / stressed * (pitch / (math.pi * middle) + 1.155 * friction)
    yielding = strong[0] if thread.diameter <= 16 else strong[1]
    tension = math.pi / 4 * stressed**2 * YIELD_SHARE * yielding / math.sqrt(1 + 3 * twist**2)
    arm = 0.16 * pitch + 0.58 * middle * friction + sum(bearing) / 4 * friction
    return Tightened(tension, tension * arm / 1000.0)
