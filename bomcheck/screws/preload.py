"""From the torque to the screw's tension, and what share of its proof strength that is."""

from functools import cache

from bomcheck.notation.thread_figures import stress_area
from bomcheck.notation.types import Thread
from bomcheck.parts.strength import strength
from bomcheck.tables import rows
from bomcheck.verdict.box import Range

UNKNOWN_LOW, UNKNOWN_HIGH = 0.12, 0.20  # nut factors between which a thread of unknown condition is judged
CHART_SHARE = 0.75  # share of the proof strength that torque charts are made for: common practice, no source


@cache
def nut_factors() -> dict[str, float]:
    """Nut factor K [-] by condition of the thread, from `tables/nut_factors.txt`."""
    return {row["condition"]: float(row["factor"]) for row in rows("nut_factors")}


def nut_factor(condition: str | None) -> tuple[float, float]:
    """Least and greatest nut factor [-] to judge for; equal for a known condition.

    >>> nut_factor("dry"), nut_factor(None)
    ((0.2, 0.2), (0.12, 0.2))
    """
    known = nut_factors().get(condition or "")
    return (UNKNOWN_LOW, UNKNOWN_HIGH) if known is None else (known, known)


def nut_factors_seen(condition: str | None) -> tuple[float, float]:
    """Least and greatest nut factor [-] that one table or another prints for the condition; stated, not judged.

    >>> nut_factors_seen("threadlocker"), nut_factors_seen(None)
    ((0.14, 0.2), (0.12, 0.2))
    """
    row = next((row for row in rows("nut_factors") if row["condition"] == condition), None)
    return nut_factor(condition) if row is None else (float(row["low"]), float(row["high"]))


def preload(torque: float, diameter: float, factor: float) -> float:
    """Tension F = T / (K d) [N] from the torque [N·m], the nominal diameter [mm] and the nut factor [-].

    >>> round(preload(82.1, 12.0, 0.20))
    34208
    """
    return torque * 1000.0 / (factor * diameter)


def torque_for(tension: float, diameter: float, factor: float) -> float:
    """Torque T = K d F [N·m] for a tension [N]."""
    return factor * diameter * tension / 1000.0


def proof_load(thread: Thread, grade: str) -> float | None:
    """Proof load [N]: stress area times proof stress; None for an unknown pitch or class.

    Source: ISO 898-1:2013, ASME B1.1 appendix B, SAE J429:2014.
    """
    area, strong = stress_area(thread), strength(grade, thread.diameter)
    return None if area is None or strong is None else area * strong[0]


def chart_torque(thread: Thread, grade: str, factor: float, share: float = CHART_SHARE) -> float | None:
    """Torque [N·m] that brings the screw to a share of its proof load; None for an unknown pitch or class."""
    load = proof_load(thread, grade)
    return None if load is None else torque_for(load * share, thread.diameter, factor)


def proof_use(torque: float, thread: Thread, grade: str, condition: str | None = None) -> Range | None:
    """Share of the proof load [-] that the torque [N·m] brings about; None for an unknown pitch or class.

    A range only where the thread's condition is not known; its middle is that of the range's nut factors' preloads.
    """
    load = proof_load(thread, grade)
    if load is None:
        return None
    slick, rough = nut_factor(condition)
    low, high = (preload(torque, thread.diameter, factor) / load for factor in (rough, slick))
    return Range(low, (low + high) / 2, high)
