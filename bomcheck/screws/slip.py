"""A torque that was meant in another unit: which reading of the same figure would make sense."""

from dataclasses import dataclass

from bomcheck.verdict.box import Range

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
