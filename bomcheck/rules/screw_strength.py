"""Screws in figures: strength class, engagement, preload from torque, and the slips that a figure betrays."""

import re
from collections.abc import Sequence
from functools import cache

from bomcheck.model.box import Range
from bomcheck.model.finding import in_inches
from bomcheck.model.records import dataclass
from bomcheck.model.types import Thread
from bomcheck.notation.thread_sizes import stress_area
from bomcheck.tables import rows

SPELLINGS = re.compile(r"^(class|cl\.?|grade|gr\.?|g)?\s*(\d{1,2}(?:[.,]\d)?)$", re.I)


@cache
def _table() -> tuple[tuple[str, float, float, float, float], ...]:
    """(class, above, up to [mm], proof, tensile [MPa]) each."""
    return tuple(
        (row["class"], float(row["above"]), float(row["up_to"]), float(row["proof"]), float(row["tensile"]))
        for row in rows("screw_classes")
    )


def class_name(typed: str) -> str:
    """The usual spelling of a class; a text that is no known class comes back as it was: a bare 8 may be a nut's.

    >>> class_name("Gr. 8"), class_name("10,9"), class_name("A2-70"), class_name("8")
    ('grade 8', '10.9', 'A2-70', '8')
    """
    found = SPELLINGS.match(typed.strip())
    if found is None:
        return typed.strip()
    number = found[2].replace(",", ".")
    name = f"grade {number}" if (found[1] or "").lower().startswith("g") else number
    return name if name in {row[0] for row in _table()} else typed.strip()


def strength(name: str, diameter: float) -> tuple[float, float] | None:
    """(proof, tensile) [MPa] of a class at a nominal diameter [mm]; None for a class that is not in the table."""
    wanted = class_name(name)
    for known, above, up_to, proof, tensile in _table():
        if known == wanted and above < diameter <= up_to:
            return proof, tensile
    return None


def not_lower(offered: str, wanted: str, diameter: float | None) -> bool | None:
    """Whether a class is at least the other; None where one of them is not known. diameter [mm]: None for up to 16.

    Between the two families the figures of the table decide, both of them.

    >>> not_lower("12.9", "10.9", 12.0), not_lower("grade 8", "10.9", 12.0), not_lower("grade 5", "8.8", 12.0)
    (True, False, True)
    """
    if class_name(offered) == class_name(wanted):
        return True
    has, must = (strength(name, diameter or 10.0) for name in (offered, wanted))
    if has is None or must is None:
        return None
    return has[0] >= must[0] and has[1] >= must[1]


UNKNOWN_LOW, UNKNOWN_HIGH = 0.12, 0.20  # nut factors between which a thread of unknown condition is judged


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


def proof_load(thread: Thread, grade: str) -> float | None:
    """Proof load [N]: stress area times proof stress; None for an unknown pitch or class.

    Source: ISO 898-1:2013, ASME B1.1 appendix B, SAE J429:2014.
    """
    area, strong = stress_area(thread), strength(grade, thread.diameter)
    return None if area is None or strong is None else area * strong[0]


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


# N·m in one unit: BIPM SI brochure and NIST SP 811, exact inch and pound.
POUND_FOOT, POUND_INCH = 1.3558179483, 0.1129848290
KILOGRAM_METRE = 9.80665
UNITS = {"lb·in": POUND_INCH, "lb·ft": POUND_FOOT, "N·m": 1.0, "kgf·m": KILOGRAM_METRE}
PLAUSIBLE = (0.40, 0.90)  # share of the proof strength that printed torques lie in: common practice, no source
ROUND = 0.002  # a printed figure is round: within this part of a whole or half number


@dataclass(frozen=True, slots=True)
class Slip:
    """figure: as printed. typed, meant: the unit that was read, and the one that makes sense. torque [N·m]: as meant.
    use [-]: share of the proof strength then."""

    figure: float
    typed: str
    meant: str
    torque: float
    use: float

    def __str__(self) -> str:
        return f"{self.figure:g} {self.meant} instead of {self.figure:g} {self.typed} would use {self.use:.2f}"


def slips(torque: float, use: Range) -> list[Slip]:
    """Readings of the figure in another unit that load the screw as printed torques do, the round figures first.

    torque [N·m] and use [-]: as read.

    >>> [str(slip) for slip in slips(200 * POUND_FOOT, Range(6.6, 6.6, 6.6))][:1]
    ['200 lb·in instead of 200 lb·ft would use 0.55']
    """
    found = []
    for typed, factor in UNITS.items():
        figure = torque / factor
        for meant, other in UNITS.items():
            share = use.middle * other / factor
            if meant != typed and _is_round(figure) and PLAUSIBLE[0] <= share <= PLAUSIBLE[1]:
                found.append(Slip(round(figure * 2) / 2, typed, meant, figure * other, share))
    return sorted(found, key=lambda slip: {"lb·ft", "lb·in"} != {slip.typed, slip.meant})


def _is_round(figure: float) -> bool:
    nearest = round(figure * 2) / 2
    return nearest > 0 and abs(figure - nearest) <= ROUND * nearest


SMALL = 30.0  # N·m: below it inch torques are printed in lb·in; common practice, no source


def both_units(torque: float) -> str:
    """A torque [N·m] in both units, those of the job first; small ones in lb·in.

    >>> both_units(70.0), both_units(22.6), both_units(35 * POUND_FOOT)
    ('70 N·m (52 lb·ft)', '22.6 N·m (200 lb·in)', '47.5 N·m (35 lb·ft)')
    >>> from bomcheck.model.finding import said_in
    >>> with said_in("inch"):
    ...     both_units(22.6)
    '200 lb·in (22.6 N·m)'
    """
    return stages_said((torque,), "inch" if in_inches() else "metric")


POUND_FORCE, PSI = 4.4482216153, 0.0068947573  # N, MPa in one: exact pound and inch, BIPM SI brochure


def force(low: float, high: float | None = None) -> str:
    """A force, or two [N], in the unit of the job: kN to the tenth, or whole tens of lbf.

    >>> force(38900.0), force(38900.0, 51900.0)
    ('38.9 kN', '38.9 to 51.9 kN')
    >>> from bomcheck.model.finding import said_in
    >>> with said_in("inch"):
    ...     force(38900.0)
    '8,750 lbf'
    """
    ends = [low, low if high is None else high]
    shown = [f"{round(one / POUND_FORCE, -1):,.0f}" if in_inches() else f"{one / 1000:.1f}" for one in ends]
    return f"{' to '.join(dict.fromkeys(shown))} {'lbf' if in_inches() else 'kN'}"


def stages_said(steps: Sequence[float], system: str) -> str:
    """The torques [N·m] of several stages in both units, the job's first; the inch unit is that of the last figure.

    >>> stages_said((27.5, 55.0), "metric"), stages_said((9.04, 15.82, 22.6), "inch")
    ('27.5, 55 N·m (20, 41 lb·ft)', '80, 140, 200 lb·in (9, 15.8, 22.6 N·m)')
    """
    factor, unit = (POUND_INCH, "lb·in") if steps[-1] < SMALL else (POUND_FOOT, "lb·ft")
    metric = f"{', '.join(bare(step) for step in steps)} N·m"
    inch = f"{', '.join(f'{step / factor:.0f}' for step in steps)} {unit}"
    return f"{inch} ({metric})" if system == "inch" else f"{metric} ({inch})"


def bare(torque: float) -> str:
    """A torque [N·m] as a bare figure, to the tenth where it has one."""
    return f"{torque:.1f}".removesuffix(".0")
