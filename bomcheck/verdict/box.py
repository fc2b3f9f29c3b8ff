"""The box of true sizes: every input anywhere inside its ±; ranges, and whether straight-line demands can meet in it."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from bomcheck.verdict.affine import Affine
from bomcheck.verdict.meet import Row, can_all_hold, highest_of_two

FINE = 1e-7  # mm: how closely the top of a smallest is found; what is given is never below the true one


@dataclass(frozen=True, slots=True)
class Range:
    """Least, middle and greatest value over the box; middle is the value at the sizes as stated."""

    low: float
    middle: float
    high: float


@dataclass(frozen=True)
class Box:
    """middle: stated size of each input; half: its ±. Same units as the sizes."""

    middle: dict[str, float] = field(default_factory=dict)
    half: dict[str, float] = field(default_factory=dict)

    def range(self, pieces: Sequence[Affine]) -> Range:
        """Exact range of the smallest of `pieces`.

        The low end is exact always; the high end is exact for one piece, and for several it is found by asking how
        high all of them can stand together.
        """
        middle = min(piece.at(self.middle) for piece in pieces)
        low = min(piece.at(self.middle) - piece.spread(self.half) for piece in pieces)
        high = min(piece.at(self.middle) + piece.spread(self.half) for piece in pieces)
        if len(pieces) > 1:
            high = self._highest_together(pieces, middle, high)
        return Range(low, middle, high)

    def range_of_most(self, pieces: Sequence[Affine]) -> Range:
        """Exact range of the greatest of `pieces`."""
        turned = self.range([-piece for piece in pieces])
        return Range(-turned.high, -turned.middle, -turned.low)

    def _highest_together(self, pieces: Sequence[Affine], reached: float, bound: float) -> float:
        rows = [row for row in map(self.row, pieces) if row[1]]
        if len(rows) <= 2:
            return min(bound, highest_of_two(*rows)) if len(rows) == 2 else bound
        if self.can_hold([piece - bound for piece in pieces]):
            return bound
        while bound - reached > FINE:
            middle = (bound + reached) / 2
            if self.can_hold([piece - middle for piece in pieces]):
                reached = middle
            else:
                bound = middle
        return bound

    def can_hold(self, wanted: Sequence[Affine]) -> bool:
        """Whether some true sizes inside the ± make every one of `wanted` at least zero."""
        return can_all_hold([self.row(piece) for piece in wanted])

    def row(self, piece: Affine) -> Row:
        """The piece as a row over the box, see `bomcheck.verdict.meet`."""
        reach = {key: slope * self.half.get(key, 0.0) for key, slope in piece.slopes.items()}
        return piece.at(self.middle), {key: value for key, value in reach.items() if value}
